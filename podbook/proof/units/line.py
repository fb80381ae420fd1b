"""How the unit of a formula comes about, in one line: ``$/ton as fed ÷ (lb DM/lb as fed × lb as fed/ton as fed)``."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from podbook.book.tree import Bracket, Call, Minus, Number, One, Pair, Quoted, Span, Tree, Whole
from podbook.proof.units.found import Found, Of, one, said

PLAIN = ""
"""What a bare number is written as: it leaves a product as it is."""
TRUTHS = ("AND", "OR", "NOT", "ISNUMBER", "ISERROR")
COUNTS = ("COUNT", "COUNTIF", "COLUMNS", "EXP", "FIND", "IRR", "LN", "MATCH", "ROWS")
DEGREES = (["°F"], ["°C"])
"""A sum of temperatures alone may be a difference of two."""
LONGEST = 300


@dataclass(frozen=True)
class Line:
    """Writes lines."""

    found: Callable[[Tree], Found]
    """Says what a part of a formula is."""
    figure: Callable[[Tree], float | None]
    """Says what a power is, where that is fixed."""

    def of(self, tree: Tree) -> str:
        """Return how the unit of a formula comes about; an empty text for a bare number."""
        match tree:
            case Bracket(inner) | Minus(inner):
                return self.of(inner)
            case Number(text):
                return "100" if float(text) == 100 else PLAIN
            case Quoted():
                return "words"
            case One() | Whole() | Span():
                found = one(self.found(tree))
                return PLAIN if isinstance(found, Of) and found.measure.is_plain else said(found)
            case Pair("*" | "/" as sign, left, right):
                return self._product(left, right, "×" if sign == "*" else "÷")
            case Pair("+" | "-"):
                return self._sum(tree)
            case Pair("^", base, power):
                under, figure = self.of(base), self.figure(power)
                return f"{_closed(under)}^{'?' if figure is None else f'{figure:g}'}" if under else PLAIN
            case Call(name, given):
                return self._call(name, given)
        return PLAIN

    def _call(self, name: str, given: Sequence[Tree]) -> str:
        match name:
            case "IF" | "CHOOSE":
                return self._either(given[1:], " or ")
            case "NPV":
                return self._either(given[1:], " + ")
            case "SUMPRODUCT":
                parts = [each for each in map(self.of, given) if each]
                return " × ".join(parts)
            case "SUMIF":
                return self.of(given[-1])
            case "PMT":
                return self._product(given[2], given[1], "÷")
            case "SQRT":
                under = self.of(given[0])
                return f"√({under})" if under else PLAIN
            case "INDEX" | "ROUND":
                return self.of(given[0])
        return PLAIN if name in (*TRUTHS, *COUNTS) else self._either(given, " or ")

    def _either(self, several: Sequence[Tree], sign: str) -> str:
        """Return the parts that share a unit: each way of coming by it once."""
        ways = list(dict.fromkeys(self.of(each) for each in several if not _nothing(each)))
        if len([each for each in ways if each]) == 0:
            return PLAIN
        if len(ways) == 1:
            return ways[0]
        return f"({sign.join(each or '1' for each in ways)})"

    def _sum(self, tree: Tree) -> str:
        """Return the terms of a sum: each way of coming by its unit once."""
        ways: dict[str, str] = {}
        for sign, term in _terms(tree):
            if not _nothing(term):
                ways.setdefault(self.of(term), sign)
        if list(ways) in DEGREES:
            return said(one(self.found(tree)))
        if len(ways) < 2 or not any(ways):
            return next(iter(ways), PLAIN)
        return "(" + "".join(f" {sign} {each or '1'}" for each, sign in ways.items()).removeprefix(" + ") + ")"

    def _product(self, left: Tree, right: Tree, sign: str) -> str:
        first, second = self.of(left), self.of(right)
        if not second:
            return first
        if sign == "÷":
            return f"{first or '1'} ÷ {_closed(second)}"
        return f"{first} × {second}" if first else second


def _terms(tree: Tree) -> tuple[tuple[str, Tree], ...]:
    """Return the terms of a sum, each with its sign."""
    if isinstance(tree, Pair) and tree.sign in "+-":
        return (*_terms(tree.left), (tree.sign, tree.right))
    return (("+", tree),)


def _nothing(tree: Tree) -> bool:
    return isinstance(tree, Number) and float(tree.text) == 0


def _closed(words: str) -> str:
    """Return what stands under a sign in brackets, where it is more than one unit."""
    return f"({words})" if any(sign in words for sign in " /^") and not is_closed(words) else words


def is_closed(words: str) -> bool:
    """Return whether a text is one pair of brackets."""
    if not (words.startswith("(") and words.endswith(")")):
        return False
    depth = 0
    for place, letter in enumerate(words):
        depth += (letter == "(") - (letter == ")")
        if depth == 0:
            return place == len(words) - 1
    return False
