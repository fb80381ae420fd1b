"""Rules for formulas, each with its reason: kept by every formula of the book, and advice for a user's own."""

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
OUTSIDE = re.compile(r"'(?:[^']|'')*'!|\[[^\]]*\]|\$?\d+:\$?\d+")
"""What may hold digits or signs in a user's formula and is no number: a sheet's title, a table's column, whole rows."""


@dataclass(frozen=True)
class Rule:
    """What a formula should not do, and why."""

    told: str
    """What a formula does that breaks it; braces stand for what was found."""
    reason: str
    instead: str = ""
    """What to write instead."""


LOOKS = Rule("{} looks like an address or a function", "engines read such a name differently")
NAME = Rule("speaks of {}", "that name is not in the book")
BRACKETS = Rule("has a bracket too many or too few: {}", "every bracket must have its other half")
LENGTH = Rule("has {} characters", f"beyond {LONGEST} nobody can check a formula by eye", "split it over some cells")
DEPTH = Rule(
    "has {} conditions inside one another", f"beyond {DEEPEST} nobody can follow them", "give some a cell of their own"
)
FUNCTION = Rule(
    "uses {}", "the programs that check a book do not all work it out alike", "keep to plain functions where you can"
)
TYPED = Rule(
    "reaches a figure of the book by its address: {}",
    "a name says what it means and is the same in every book, an address is neither",
    "write the figure's name",
)
LITERAL = Rule(
    "holds the number {}",
    "in a cell with a unit and a source a coefficient is seen, and changed once for all",
    "give it a cell of its own",
)
MINUS = Rule("holds {}", "programs disagree on two signs in a row", "use brackets, or IF")
PERCENT = Rule("holds {}", "a percent sign hides a factor of 100", "divide by 100, or give the share a cell of its own")
HIDES = Rule("uses {}", "it hides faults: a wrong figure looks like a right one", "ask with IF for the case you expect")


@dataclass(frozen=True)
class Breach:
    """A formula, or a name, that breaks a rule."""

    key: str
    rule: Rule
    found: str


def breaches(book: Book) -> Iterator[Breach]:
    """Yield every breach in the book."""
    for node in book.nodes.values():
        if ADDRESS.fullmatch(node.name) or node.name.upper() in FUNCTIONS | {"TRUE", "FALSE"}:
            yield Breach(node.key, LOOKS, node.name)
        if node.role == "worked":
            for rule, found in _in_book(book, node):
                yield Breach(node.key, rule, found)


def broken(formula: str) -> Iterator[tuple[Rule, str]]:
    """Yield the rules that a formula breaks by itself, whatever book it stands in, and what was found."""
    bare = QUOTED.sub('""', formula)
    if len(bare) > LONGEST:
        yield LENGTH, str(len(bare))
    bare = OUTSIDE.sub("", bare)
    for call in dict.fromkeys(CALL.findall(bare)):
        if call == "IFERROR":
            yield HIDES, call
        elif call not in FUNCTIONS:
            yield FUNCTION, call
    depth = _depth(bare)
    if depth is None:
        yield BRACKETS, bare
    elif depth > DEEPEST:
        yield DEPTH, str(depth)
    for literal in NUMBER.findall(PICKED.sub("", bare)):
        if literal not in LITERALS:
            yield LITERAL, literal
    for rule, sign in ((MINUS, "--"), (PERCENT, "%")):
        if sign in bare:
            yield rule, sign


def _in_book(book: Book, node: Node) -> Iterator[tuple[Rule, str]]:
    for text in {node.formula_of(item) for item in (0, node.count - 1)}:
        bare = PLACEHOLDER.sub("B12", text)
        yield from broken(bare)
        for word in WORD.findall(QUOTED.sub("", bare)):
            if word not in book.by_name and word not in FUNCTIONS and not ADDRESS.fullmatch(word):
                yield NAME, word
        for typed in TYPED_ADDRESS.findall(PLACEHOLDER.sub("", QUOTED.sub("", text))):
            yield TYPED, typed


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
