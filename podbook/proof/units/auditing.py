"""The audit: is the unit of every formula the one that its cell states?"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

from podbook.book.model import Book
from podbook.book.node import Node
from podbook.book.tree import Tree, typed
from podbook.proof.units.amiss import missed
from podbook.proof.units.deriving import Deriving
from podbook.proof.units.found import Clash, Found, Kind, Of, Several, of_unit, said
from podbook.proof.units.line import LONGEST, Line, is_closed
from podbook.proof.units.measure import SAME, measure
from podbook.proof.units.readings import CONVERSIONS, FULLER, INSIDE_OF, RESULTS
from podbook.systems import CURRENCIES, METRIC, in_money, metric


@dataclass(frozen=True)
class UnitFault:
    """A formula whose unit is not the one that its cell states."""

    key: str
    item: int
    formula: str
    derived: str
    """The unit of the formula in words; empty where its parts don't go together."""
    declared: str
    """The unit of the cell in words."""
    what: str
    """What is wrong, in plain words."""
    line: str
    """How the unit comes about."""


@dataclass(frozen=True)
class Derived:
    """The unit of a formula in one cell."""

    found: Found | None
    """None where its parts don't go together."""
    what: str
    """What is wrong with it, if something is."""
    line: str
    """How it comes about; an empty text where it holds words, or where that would be too long."""


class Audit:
    """Derives the units of the formulas of one book."""

    def __init__(self, book: Book) -> None:
        self.book = book
        self._units: dict[str, Found] = {}

    def faults(self) -> tuple[UnitFault, ...]:
        """Return every fault of the book: one a node, or one a line where lines have formulas of their own."""
        found = [self._of_factor(key) for key in CONVERSIONS if key in self.book.nodes]
        for node in self.book.worked:
            found += [self.fault(node, item, typed(self.book, node, item)) for item in apart(node)]
        return tuple(each for each in found if each is not None)

    def fault(self, node: Node, item: int, tree: Tree) -> UnitFault | None:
        """Return what is wrong with the unit of a formula of a cell."""
        derived = self.derived(node.key, tree, lined=False)
        if not derived.what:
            return None
        derived = self.derived(node.key, tree)
        words = "" if derived.found is None else said(derived.found)
        declared = said(self.declared(node.key))
        return UnitFault(node.key, item, node.formula_of(item), words, declared, derived.what, derived.line)

    def derived(self, key: str, tree: Tree, *, lined: bool = True) -> Derived:
        """Return the unit of a formula in a cell."""
        deriving = self.deriving(key)
        line = self._line(deriving, tree) if lined else ""
        try:
            found = deriving.of(tree)
            wanted = self.wanted(key)
            return Derived(found, "" if fits(found, wanted) else missed(found, wanted), line)
        except Clash as clash:
            return Derived(None, str(clash), line)
        except ArithmeticError:
            return Derived(Kind.UNKNOWN, "", "")

    def clash(self, tree: Tree) -> str:
        """Return what the user's own formula mixes up; an empty text where nothing is, or no unit is known."""
        try:
            Deriving(self.book, self.unit_of, users=True).of(tree)
        except Clash as clash:
            return str(clash)
        except ArithmeticError:
            return ""
        return ""

    def unit_of(self, key: str) -> Found:
        """Return what a node holds where a formula names it."""
        if key not in self._units:
            self._units[key] = self._unit_of(key)
        return self._units[key]

    def declared(self, key: str) -> Found:
        """Return the unit that is printed beside a cell."""
        return of_unit(self.book.nodes[key].unit)

    def label(self, key: str) -> str:
        """Return the label of a node."""
        return self.book.nodes[key].label

    def wanted(self, key: str) -> Found:
        """Return the unit that the formula of a cell must have."""
        result = RESULTS.get(pattern(key))
        return self.unit_of(key) if result is None else self.read(result.unit)

    def deriving(self, key: str) -> Deriving:
        """Return what derives the units of a cell's formula: some read what they name in units of their own."""
        inside = INSIDE_OF.get(pattern(key), ())
        read = {what: self.read(each.unit) for each in inside for what in each.what}
        ones = read.pop("1", None)
        unit_of: Callable[[str], Found] = self.unit_of
        if read:

            def unit_of(named: str) -> Found:
                return read.get(pattern(named)) or self.unit_of(named)

        return Deriving(self.book, unit_of, () if ones is None else (ones.measure,))

    def _line(self, deriving: Deriving, tree: Tree) -> str:
        try:
            line = Line(deriving.of, deriving.figure).of(tree)
        except (Clash, ArithmeticError):
            return ""
        line = line[1:-1] if is_closed(line) else line
        return line if len(line) <= LONGEST and "words" not in line else ""

    def _unit_of(self, key: str) -> Found:
        node = self.book.nodes[key]
        if node.role == "span":
            return Several(tuple(dict.fromkeys(map(self.unit_of, node.members))))
        fuller = FULLER.get(figure_of(pattern(key)))
        return of_unit(node.unit) if fuller is None else self.read(fuller.unit)

    def read(self, unit: str) -> Of:
        """Return what is read in a unit of the book in US customary units, as it is in this one."""
        return Of(measure(in_money(metric(unit)[0] if self.book.units == METRIC else unit, self._currency)))

    def _of_factor(self, key: str) -> UnitFault | None:
        """Return what is wrong with a factor between two units: the figure must be just what one is of the other."""
        node = self.book.nodes[key]
        (figure,) = node.contents
        found = measure(node.unit)
        if isinstance(figure, int | float) and not found.kinds and math.isclose(figure * found.size, 1, rel_tol=SAME):
            return None
        return UnitFault(key, 0, f"{figure}", str(found), str(found), f"{figure} {found} is not 1", "")

    @cached_property
    def _currency(self) -> str:
        units = " ".join(node.unit for node in self.book.nodes.values())
        return next((money for money in CURRENCIES if re.search(rf"\b{money}\b", units)), "USD")


def audit(book: Book) -> tuple[UnitFault, ...]:
    """Return every formula of a book whose unit is not the one that its cell states."""
    return Audit(book).faults()


def fits(derived: Found, wanted: Found) -> bool:
    """Return whether a formula of a unit may stand in a cell of another."""
    if derived in (Kind.ZERO, Kind.UNKNOWN):
        return wanted is not Kind.WORDS
    if isinstance(derived, Of) and isinstance(wanted, Of):
        return any(wanted.measure.agrees(each) for each in (derived.measure, *derived.also))
    return derived is wanted


def pattern(key: str) -> str:
    """Return a key with # in place of its numbers."""
    return re.sub(r"\d+", "#", key)


def apart(node: Node) -> range | tuple[int, ...]:
    """Return one item for each formula of a node that names other nodes than the rest."""
    if "{#}" in node.formula + node.first_formula:
        return range(node.count)
    return (0, 1) if node.first_formula and node.count > 1 else (0,)


def figure_of(key: str) -> str:
    """Return the name of the figure that a cell belongs to: its entry, bounds and default are of its unit."""
    return re.sub(r"_(?:entry|default|low|high)$", "", key)
