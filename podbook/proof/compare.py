"""Compare a workbook cell by cell with the book: its formulas as text, its values with the reference functions."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, cached_property
from typing import Any

from podbook.book.formula import Place, precedents, rendered
from podbook.book.model import Book
from podbook.book.node import Node
from podbook.proof.evaluate import Column, Unusable, end_to_end, evaluated
from podbook.recalc import Cell, Fault

RELATIVE = 1e-9
"""Largest relative difference that counts as agreement: engines differ in the last digits only."""
ABSOLUTE = 1e-12
"""Largest difference that counts as agreement next to zero, where a relative one means nothing."""
Where = tuple[str, int]
"""A node's key and an item, counted from 0."""
Grid = Mapping[tuple[str, str], Any]


@dataclass(frozen=True)
class Disagreement:
    """A cell that is not what it should be."""

    key: str
    item: int
    sheet: str
    cell: str
    label: str
    what: str
    """What is wrong, in one sentence."""
    stands: str
    should: str
    began_at: str
    """Sheet and cell in which it began; the cell's own address where it began here."""
    followers: int = 0
    """How many cells differ because of this one."""

    @property
    def address(self) -> str:
        """Sheet and cell."""
        return f"{self.sheet}!{self.cell}"

    @property
    def began_here(self) -> bool:
        """Whether the fault began in this cell."""
        return self.began_at == self.address


@dataclass(frozen=True)
class Comparison:
    """What came of comparing every formula cell with one engine's values."""

    engine: str
    cells: int
    agreeing: int
    worst: float
    """Largest relative difference among the cells that agree."""
    disagreements: tuple[Disagreement, ...]


def differs(found: Cell, wanted: Any) -> float | None:
    """Return the relative difference of two values that agree, or None if they do not agree."""
    if isinstance(found, bool):
        found = float(found)
    if isinstance(found, int | float) and isinstance(wanted, int | float):
        gap = abs(found - wanted)
        if gap <= ABSOLUTE:
            return 0.0
        relative = gap / max(abs(found), abs(wanted))
        return relative if relative <= RELATIVE else None
    if isinstance(found, Fault) or isinstance(wanted, Unusable):
        return None
    return 0.0 if (found or "") == (wanted or "") else None


@cache
def normal(formula: str) -> str:
    """Return a formula without what a spreadsheet program may change in passing: blanks, $, case, forms of a number."""
    pieces = re.split(r'("[^"]*")', formula.strip())
    for position in range(0, len(pieces), 2):
        plain = pieces[position].replace("$", "").replace(" ", "").upper()
        plain = plain.replace("TRUE()", "TRUE").replace("FALSE()", "FALSE")
        pieces[position] = re.sub(r"(?<![A-Z0-9_.])(\d+)\.0+(?![0-9])", r"\1", plain)
    return "".join(pieces)


def compare(
    book: Book, places: Mapping[str, Place], cells: Grid, values: Mapping[tuple[str, str], Cell], engine: str
) -> Comparison:
    """Compare every formula cell and every given figure of a workbook with the book.

    ``cells`` is what stands in the file, ``values`` what the engine makes of it.
    """
    here = Here(book, places, cells, values)
    faults = here.faults()
    expected = end_to_end(book, here.entries())
    agreeing, worst, wrong = 0, 0.0, []
    for node in book.worked:
        for item, (found, wanted) in enumerate(zip(here.column(node.key), expected[node.key], strict=True)):
            gap = differs(found, wanted)
            if gap is not None and (node.key, item) not in faults:
                agreeing, worst = agreeing + 1, max(worst, gap)
            elif (node.key, item) not in faults:
                wrong.append(((node.key, item), found, wanted))
    total = sum(node.count for node in book.worked)
    return Comparison(engine, total, agreeing, worst, here.told(faults, wrong))


class Here:
    """One workbook as one engine sees it."""

    def __init__(
        self, book: Book, places: Mapping[str, Place], cells: Grid, values: Mapping[tuple[str, str], Cell]
    ) -> None:
        self.book, self.places, self.cells, self.values = book, places, cells, values
        self.feeds = Feeds(book)

    def column(self, key: str) -> Column:
        node = self.book.nodes[key]
        if node.role == "span":
            return tuple(self.column(member)[0] for member in node.members)
        place = self.places.get(key)
        if place is None:
            return (Unusable(f"'{key}' is gone"),) * node.count
        return tuple(self.value(place.sheet, cell) for cell in place.cells)

    def value(self, sheet: str, cell: str) -> Any:
        stands = self.cells[(sheet, cell)]
        if isinstance(stands, str) and stands.startswith("="):
            return self.values.get((sheet, cell))
        return float(stands) if isinstance(stands, int | float) and not isinstance(stands, bool) else stands

    def entries(self) -> dict[str, Column]:
        return {node.key: self.column(node.key) for node in self.book.nodes.values() if node.role == "entry"}

    def faults(self) -> dict[Where, tuple[str, str, str]]:
        """Return the cells that are wrong in themselves: what is wrong, what stands there, what should."""
        found: dict[Where, tuple[str, str, str]] = {}
        for node in self.book.nodes.values():
            if node.key not in self.places:
                if node.role != "span":
                    found[(node.key, 0)] = (
                        "its name or some of its cells are gone",
                        "nothing",
                        f"the cells named {node.name}",
                    )
            elif node.role == "worked":
                found.update(self._formula_faults(node))
            elif node.role in ("fixed", "coefficient"):
                found.update(self._figure_faults(node))
        return found

    def _figure_faults(self, node: Node) -> dict[Where, tuple[str, str, str]]:
        if node.key in ("book_edition", "book_region", "book_rows"):
            return {}
        kind = "a coefficient was changed" if node.role == "coefficient" else "a given figure was changed"
        return {
            (node.key, item): (kind, told(found), told(wanted))
            for item, (found, wanted) in enumerate(zip(self.column(node.key), node.contents, strict=True))
            if differs(found, wanted) is None
        }

    def _formula_faults(self, node: Node) -> dict[Where, tuple[str, str, str]]:
        judged = (
            (item, self.fault(node, item, local)) for item, local in enumerate(evaluated(self.book, node, self.column))
        )
        return {(node.key, item): fault for item, fault in judged if fault is not None}

    def fault(self, node: Node, item: int, local: Any) -> tuple[str, str, str] | None:
        """Return what is wrong with one formula cell in itself: what, what stands there, what should.

        ``local`` is what its reference function says of the cells that feed it here.
        """
        place = self.places[node.key]
        cell = place.cells[item]
        stands, value = self.cells[(place.sheet, cell)], self.value(place.sheet, cell)
        try:
            should = rendered(self.book, node, item, self.places)
        except KeyError:
            return None
        if not isinstance(stands, str) or not stands.startswith("="):
            return "a formula was cleared" if stands is None else "a formula was overwritten", told(stands), should
        if stands != should and normal(stands) != normal(should):
            return "a formula was changed", f"{stands} ({told(value)})", f"{should} ({told(local)})"
        if differs(value, local) is None:
            return "the formula and its reference function differ", told(value), told(local)
        return None

    def told(
        self, faults: Mapping[Where, tuple[str, str, str]], wrong: list[tuple[Where, Any, Any]]
    ) -> tuple[Disagreement, ...]:
        """Return the disagreements: what began here first, most followed first, then what only follows."""
        ancestors = _Ancestors(self.feeds, frozenset(faults))
        roots = {where: ancestors.first(where) for where in (*faults, *(where for where, _, _ in wrong))}
        counted: dict[Where, int] = {}
        for where, root in roots.items():
            if root != where:
                counted[root] = counted.get(root, 0) + 1
        lines = [(where, *faults[where]) for where in faults]
        lines += [(where, "it follows from another cell", told(found), told(wanted)) for where, found, wanted in wrong]
        result = []
        for where, what, stands, should in lines:
            sheet, cell = self._address(where)
            root_sheet, root_cell = self._address(roots[where])
            label = self.book.nodes[where[0]].label
            result.append(
                Disagreement(
                    *where, sheet, cell, label, what, stands, should, f"{root_sheet}!{root_cell}", counted.get(where, 0)
                )
            )
        return tuple(sorted(result, key=lambda each: (not each.began_here, -each.followers)))

    def _address(self, where: Where) -> tuple[str, str]:
        place = self.places.get(where[0])
        return (place.sheet, place.cells[where[1]]) if place else ("?", self.book.nodes[where[0]].name)


class Feeds:
    """Which cells feed which, by the formulas that the book should have."""

    def __init__(self, book: Book) -> None:
        self.book = book

    @cached_property
    def into(self) -> dict[Where, list[Where]]:
        """The cells that each cell reads."""
        return {
            (node.key, item): self._read(node, item) for node in self.book.nodes.values() for item in range(node.count)
        }

    def _read(self, node: Node, item: int) -> list[Where]:
        if node.role == "span":
            return [(member, 0) for member in node.members]
        if node.role != "worked":
            return []
        own = (node.key, item)
        return [each for each in sorted(precedents(self.book, node, item)) if each != own]

    @cached_property
    def out_of(self) -> dict[Where, list[Where]]:
        """The cells that read each cell."""
        found: dict[Where, list[Where]] = {}
        for where, sources in self.into.items():
            for source in sources:
                found.setdefault(source, []).append(where)
        return found

    def below(self, starts: frozenset[Where]) -> set[Where]:
        """Return every cell that reads one of these, at once or by way of others."""
        found: set[Where] = set()
        stack = list(starts)
        while stack:
            for reader in self.out_of.get(stack.pop(), ()):
                if reader not in found:
                    found.add(reader)
                    stack.append(reader)
        return found


class _Ancestors:
    """Finds the fault from which a cell's difference comes, along the precedents of its formula."""

    def __init__(self, feeds: Feeds, faulty: frozenset[Where]) -> None:
        self.feeds, self.faulty = feeds, faulty
        self.suspect = feeds.below(faulty) | faulty
        self.known: dict[Where, Where | None] = {}

    def first(self, where: Where) -> Where:
        """Return the earliest faulty cell above a cell, or the cell itself if there is none."""
        return self._above(where) or where

    def _above(self, start: Where) -> Where | None:
        stack: list[tuple[Where, bool]] = [(start, False)]
        while stack:
            where, done = stack.pop()
            if done:
                found = next(
                    (
                        self.known[each] or each
                        for each in self._feeds(where)
                        if self.known.get(each) or each in self.faulty
                    ),
                    None,
                )
                self.known[where] = found
            elif where not in self.known:
                self.known[where] = None
                stack.append((where, True))
                stack.extend((each, False) for each in self._feeds(where) if each not in self.known)
        return self.known[start]

    def _feeds(self, where: Where) -> list[Where]:
        return [each for each in self.feeds.into[where] if each in self.suspect]


def told(value: Any) -> str:
    """Return a value in words."""
    if value is None or value == "":
        return "nothing"
    if isinstance(value, Unusable | Fault):
        return str(value)
    if isinstance(value, float):
        return f"{value:.12g}"
    return str(value)
