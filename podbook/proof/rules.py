"""Rules for formulas, each with its reason. They hold for every formula of the book."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from podbook.book.formula import PLACEHOLDER, QUOTED, WORD
from podbook.book.model import Book
from podbook.book.node import Node

FUNCTIONS = frozenset(
    (
        *("IF", "AND", "OR", "NOT", "MIN", "MAX", "SUM", "AVERAGE", "COUNT", "ABS", "ROUND", "EXP", "LN", "SQRT"),
        *("INDEX", "MATCH", "SUMIF", "COUNTIF", "CHOOSE", "NPV", "IRR", "PMT", "ISNUMBER", "ISERROR", "SUMPRODUCT"),
        *("ROWS", "COLUMNS", "FIND"),
    )
)
"""The common ground of the engines."""
LITERALS = frozenset(("0", "1", "2", "100"))
LONGEST = 200
DEEPEST = 4
CALL = re.compile(r"([A-Z][A-Z0-9.]*)\(")
NUMBER = re.compile(r"(?<![A-Za-z0-9_.$])\d+(?:\.\d+)?(?![A-Za-z0-9_.(])")
PICKED = re.compile(r"(?:INDEX\([A-Za-z_][A-Za-z0-9_]*|CHOOSE\([^,]*),\d+\)")
TYPED_ADDRESS = re.compile(r"(?<![A-Za-z0-9_.])\$?[A-Z]{1,3}\$?\d+(?![A-Za-z0-9_.(])")
ADDRESS = re.compile(r"\$?[A-Za-z]{1,3}\$?[0-9]+|[RrCc][0-9]*", re.ASCII)


@dataclass(frozen=True)
class Breach:
    """A formula, or a name, that breaks a rule."""

    key: str
    rule: str
    found: str


def breaches(book: Book) -> Iterator[Breach]:
    """Yield every breach in the book."""
    for node in book.nodes.values():
        if ADDRESS.fullmatch(node.name) or node.name.upper() in FUNCTIONS | {"TRUE", "FALSE"}:
            yield Breach(
                node.key, "a name must not look like an address or a function: engines read it differently", node.name
            )
        if node.role == "worked":
            yield from _of_formula(book, node)


def _of_formula(book: Book, node: Node) -> Iterator[Breach]:
    for item in {0, node.count - 1}:
        yield from _of_text(book, node, node.formula_of(item))


def _of_text(book: Book, node: Node, text: str) -> Iterator[Breach]:
    bare = QUOTED.sub('""', PLACEHOLDER.sub("B12", text))
    if len(bare) > LONGEST:
        yield Breach(
            node.key, f"at most {LONGEST} characters, or nobody can check it by eye", f"{len(bare)} characters"
        )
    for call in CALL.findall(bare):
        if call not in FUNCTIONS:
            yield Breach(node.key, "only functions that the engines agree on", call)
    for word in WORD.findall(bare):
        if word not in book.by_name and word not in FUNCTIONS and not ADDRESS.fullmatch(word):
            yield Breach(node.key, "every name must be in the book", word)
    for typed in TYPED_ADDRESS.findall(PLACEHOLDER.sub("", QUOTED.sub("", text))):
        yield Breach(node.key, "a cell is named, never addressed: an address is lost when rows move", typed)
    depth = _depth(bare)
    if depth is None:
        yield Breach(node.key, "every bracket must have its other half", text)
    elif depth > DEEPEST:
        yield Breach(node.key, f"at most {DEEPEST} conditions inside one another, or nobody can follow it", str(depth))
    for literal in NUMBER.findall(PICKED.sub("", bare)):
        if literal not in LITERALS:
            yield Breach(
                node.key, "a coefficient is a cell with a unit and a source, not a number in a formula", literal
            )
    for sign, reason in (
        ("--", "engines disagree on --"),
        ("%", "a percent sign hides a factor"),
        ("IFERROR", "hides faults"),
    ):
        if sign in bare:
            yield Breach(node.key, reason, sign)


def _depth(text: str) -> int | None:
    """Return how many IF, AND, OR and NOT are open at once at the deepest point; None where brackets don't match."""
    deepest = 0
    opened: list[bool] = []
    for match in re.finditer(r"([A-Z]*)\(|\)", text):
        if match.group(0) == ")":
            if not opened:
                return None
            opened.pop()
        else:
            opened.append(match.group(1) in ("IF", "AND", "OR", "NOT"))
            deepest = max(deepest, sum(opened))
    return None if opened else deepest
