"""The unit of a formula, derived from its tree and the units of the cells that it names."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from podbook.book.model import Book
from podbook.book.tree import Bracket, Call, Elsewhere, Minus, Number, One, Pair, Quoted, Span, Tree, Whole
from podbook.proof.units.found import Clash, Found, Kind, Of, Several, fit, literal, multiplied, one, plain, summed
from podbook.proof.units.functions import RULES
from podbook.proof.units.measure import NUMBER, Measure, measure, raised

TOLERANCE = "rounding"
"""The coefficient that is added to a figure as so much of its unit; in its product with 1 and a size, the 1 is one of
the unit of that size."""
YEAR = measure("year")
COMPARED = ("=", "<>", "<", ">", "<=", ">=")


@dataclass(frozen=True)
class Deriving:
    """Derives units in one book; ``unit_of`` says what a node holds."""

    book: Book
    unit_of: Callable[[str], Found]
    also: Sequence[Measure] = ()
    """Units in which a 1 or 2 may be read too."""
    users: bool = False
    """Whether it is the user's own formula: what is typed there may be of any unit, and a yes counts as 1."""

    def of(self, tree: Tree) -> Found:
        """Return the unit of a formula. Raises Clash where none fits."""
        if not self.users:
            return self._of(tree)
        if isinstance(tree, Quoted) or (isinstance(tree, Number) and literal(tree.text, ()) is not Kind.ZERO):
            return Kind.UNKNOWN
        found = self._of(tree)
        return Kind.UNKNOWN if found is Kind.TRUTH else found

    def _of(self, tree: Tree) -> Found:
        match tree:
            case Number(text):
                return literal(text, self.also)
            case Quoted():
                return Kind.WORDS
            case One((key, _)) | Whole(key):
                return self.unit_of(key)
            case Elsewhere(text):
                return Kind.TRUTH if text.upper() in ("TRUE", "FALSE") else Kind.UNKNOWN
            case Span(first, last):
                return self._span(first, last)
            case Bracket(inner):
                return self.of(inner)
            case Minus(inner):
                return summed(Kind.ZERO, self.of(inner), "-")
            case Call(name, given):
                rule = RULES.get(name)
                found = tuple(map(self.of, given))
                return Kind.UNKNOWN if rule is None else rule(found, given)
            case Pair("^", base, power):
                return self._power(base, power)
            case Pair(sign, left, right) if sign in COMPARED:
                if Quoted("") not in (left, right):
                    fit(self.of(left), self.of(right), "compares {} with {}")
                return Kind.TRUTH
            case Pair("+", left, One((key, _))) if key == TOLERANCE:
                return self.of(left)
            case Pair("*", left, right) if self._is_tolerance(left, right):
                return self._size(right)
            case Pair("*" | "/" as sign, left, right):
                return multiplied(self.of(left), self.of(right), 1 if sign == "*" else -1)
            case Pair(sign, left, right):
                return summed(self.of(left), self.of(right), sign)
        raise Clash("can't be taken apart")

    def _span(self, first: Tree, last: Tree) -> Found:
        """Return what all cells from one to another hold: the fields of a table between two of them."""
        if not (isinstance(first, One) and isinstance(last, One)):
            return Kind.UNKNOWN
        start, end = first.where[0], last.where[0]
        if start == end:
            return self.unit_of(start)
        table = self.book.tables.get(self.book.nodes[start].table)
        keys = [] if table is None else [node.key for node in table.fields]
        if start not in keys or end not in keys:
            return Kind.UNKNOWN
        places = sorted((keys.index(start), keys.index(end)))
        return Several(tuple(dict.fromkeys(self.unit_of(key) for key in keys[places[0] : places[1] + 1])))

    def _power(self, base: Tree, power: Tree) -> Found:
        """Return a power; a share may be raised to a number of years, which compounds what is yearly."""
        found, exponent = one(self.of(base)), one(self.of(power))
        if Kind.UNKNOWN in (found, exponent):
            return Kind.UNKNOWN
        is_plain = isinstance(found, Of) and found.measure.is_plain
        if not (is_plain and isinstance(exponent, Of) and exponent.measure.agrees(YEAR)):
            plain(exponent, "the power")
        if is_plain or found is Kind.ZERO:
            return Of(NUMBER) if is_plain else found
        number = self.figure(power)
        if not isinstance(found, Of) or found.measure.is_point or number is None:
            raise Clash(f"raises {found} to a power that is not fixed")
        return Of(raised(found.measure, number))

    def figure(self, power: Tree) -> float | None:
        """Return the figure of a power: a number typed, or a coefficient."""
        if isinstance(power, Number):
            return float(power.text)
        if isinstance(power, One) and (node := self.book.nodes[power.where[0]]).role == "coefficient":
            (content,) = node.contents
            return float(content) if isinstance(content, int | float) else None
        return None

    def _is_tolerance(self, left: Tree, right: Tree) -> bool:
        return left == One((TOLERANCE, 0)) and isinstance(right, Bracket) and Number("1") in _terms(right.inner)

    def _size(self, bracket: Tree) -> Found:
        """Return the unit of the size in a tolerance."""
        assert isinstance(bracket, Bracket)
        terms = [self.of(term) for term in _terms(bracket.inner) if term != Number("1")]
        found = terms[0] if terms else Kind.ZERO
        for term in terms[1:]:
            found = summed(found, term, "+")
        return found


def _terms(tree: Tree) -> tuple[Tree, ...]:
    """Return the terms of a sum."""
    if isinstance(tree, Pair) and tree.sign == "+":
        return (*_terms(tree.left), tree.right)
    return (tree,)
