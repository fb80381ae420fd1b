"""One workbook laid open for questions: what stands in a cell, its value, what feeds it, what is wrong with it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from functools import cached_property
from pathlib import Path
from typing import Any

from podbook.book.formula import precedents, rendered
from podbook.book.node import Node
from podbook.book.tree import (
    Call,
    Elsewhere,
    One,
    Span,
    Tree,
    Unreadable,
    Whole,
    parts,
    settled,
    standing,
    typed,
)
from podbook.proof.agreement import differs
from podbook.proof.evaluate import Unusable, evaluated
from podbook.proof.here import Here
from podbook.proof.wiring import Where
from podbook.proof.wrong import Wrong
from podbook.recalc import Address, Cell, Fault
from podbook.review import bounded
from podbook.review.entries import Slip, slips
from podbook.review.explaining.labels import NO_NAMES, Labels, Spots, naming_cells
from podbook.review.explaining.naming import Names
from podbook.review.find import Opened, entered, opened, wanted

FEW = 6
"""Cells of a column that are told one by one; more are told together."""


@dataclass(frozen=True)
class Several:
    """Cells that a formula reads together: a column, or a span."""

    cells: tuple[Where, ...]


@dataclass(frozen=True)
class Stranger:
    """A cell or a name that a formula reads and that is none of the book's."""

    text: str


Input = Where | Several | Stranger


class Desk:
    """A workbook, recalculated anew; no stored value is looked at."""

    def __init__(self, path: Path) -> None:
        self.found: Opened = opened(path)
        self.book = self.found.book
        self.spots = Spots(self.book, self.found.places)
        naming = dict(naming_cells(self.book, self.spots))
        asked = {sheet: list(cells) for sheet, cells in wanted(self.found).items()}
        for spot in naming.values():
            if isinstance(spot[1], str):
                asked.setdefault(spot[0], []).append(spot[1])
        self.values: Mapping[Address, Cell] = bounded.values(path, asked)
        self.wiring = self.found.wiring
        self._faults: dict[Where, Wrong | None] = {}
        self._inputs: dict[Where, tuple[Input, ...]] = {}
        self._cells: dict[Where, tuple[Where, ...]] = {}
        self.here = Here(
            self.book, self.found.places, self.found.cells, self.values, self.wiring, typed=self.found.typed
        )
        self.labels = Labels(self.book, dict(self._given(naming)))
        self.names = Names(self.spots, self.labels)

    def _given(self, naming: Mapping[tuple[str, int], Where | Address]) -> Iterator[tuple[Where, str]]:
        for item, spot in naming.items():
            table, position = spot
            name = self.values.get((table, position)) if isinstance(position, str) else self.value((table, position))
            if name not in NO_NAMES and not isinstance(name, Unusable | Fault):
                yield item, f"{name:g}" if isinstance(name, float) else str(name)

    def value(self, where: Where) -> Any:
        """Return the value of a cell: a number, a word, nothing, or what says why there is none."""
        if self.is_lost(where):
            return Unusable("the cell is gone")
        found = self.here.get(where)
        if found is None or isinstance(found, float | str | bool | Fault | Unusable):
            return found
        return (
            found.isoformat(sep=" ")
            if isinstance(found, datetime)
            else str(found)
            if isinstance(found, date)
            else (f"a {type(found).__name__}")
        )

    def is_lost(self, where: Where) -> bool:
        """Return whether a cell is gone from the file."""
        node = self.book.nodes[where[0]]
        return self.spots.of((node.members[where[1]], 0) if node.role == "span" else where) is None

    def stands(self, where: Where) -> Any:
        """Return what stands in a cell: a formula, a figure, a word or nothing."""
        spot = self.spots.of(where)
        return None if spot is None else self.found.cells.get(spot)

    def should(self, where: Where) -> str:
        """Return the formula that a cell should hold; as the book is typed where a cell that it names is gone."""
        node = self.book.nodes[where[0]]
        try:
            return rendered(self.book, node, where[1], self.found.places)
        except (KeyError, TypeError, AttributeError):
            return node.formula_of(where[1])

    def fault(self, where: Where) -> Wrong | None:
        """Return what is wrong with a cell in itself."""
        if where not in self._faults:
            self._faults[where] = self._fault(where)
        return self._faults[where]

    def _fault(self, where: Where) -> Wrong | None:
        node = self.book.nodes[where[0]]
        if self.is_lost(where):
            return Wrong("the cell is gone", "nothing", f"a cell of {node.name}", edited=True)
        if node.role in ("entry", "span"):
            return None
        stands = self.stands(where)
        if isinstance(stands, str) and stands.startswith("=") and self._names_lost(node, where[1]):
            return Wrong("the formula names a cell that is gone", stands, node.formula_of(where[1]), edited=False)
        return self.here.fault(where)

    def _names_lost(self, node: Node, item: int) -> bool:
        some_lost = self.found.typed is None
        return some_lost and node.role == "worked" and any(map(self.is_lost, precedents(self.book, node, item)))

    def expected(self, where: Where) -> Any:
        """Return what the reference functions alone make of the entries that stand here."""
        key, item = where
        return self.here.expected[key][item]

    def local(self, where: Where) -> Any:
        """Return what a cell's reference function makes of what feeds it here."""
        return evaluated(self.wiring, where, self.value)

    def agrees_in_all(self, where: Where) -> bool:
        """Return whether a worked cell has the value that the reference functions make of the entries."""
        scale = self.wiring.scale(where, self.expected)
        return differs(self.value(where), self.expected(where), scale) is not None

    @cached_property
    def slips(self) -> Mapping[Where, Slip]:
        """The entries that the book can't use."""
        values = dict(self.values)
        found = slips(self.book, self.found.places, lambda key: entered(self.found, values, key), self.here.expected)
        return {(each.key, each.item): each for each in found}

    def tree(self, where: Where) -> Tree | None:
        """Return the tree of the formula that works in a cell; None where none does. Raises Unreadable."""
        node, stands = self.book.nodes[where[0]], self.stands(where)
        if node.role != "worked":
            return None
        fault = self.fault(where)
        if fault is None or not fault.edited:
            return typed(self.book, node, where[1])
        if not isinstance(stands, str) or not stands.startswith("="):
            return None
        return standing(self.book, stands, self.found.places[where[0]].sheet, self.spots.at)

    def is_figure(self, node: Node) -> bool:
        """Return whether a node is a single figure that is filled in, as it is used."""
        return node.role == "worked" and f"{node.key}_entry" in self.book.nodes

    def inputs(self, where: Where) -> tuple[Input, ...]:
        """Return what the formula in a cell reads, in the order in which it names it."""
        if where not in self._inputs:
            self._inputs[where] = self._inputs_of(where)
        return self._inputs[where]

    def _inputs_of(self, where: Where) -> tuple[Input, ...]:
        node = self.book.nodes[where[0]]
        if node.role == "span":
            return ((node.members[where[1]], 0),)
        try:
            tree = self.tree(where)
        except Unreadable:
            return ()
        return () if tree is None else tuple(dict.fromkeys(self._read(settled(self.book, tree))))

    def should_read(self, where: Where) -> tuple[Input, ...]:
        """Return what the formula that a cell should hold reads."""
        tree = settled(self.book, typed(self.book, self.book.nodes[where[0]], where[1]))
        return tuple(dict.fromkeys(self._read(tree)))

    def _read(self, tree: Tree) -> Iterator[Input]:
        match tree:
            case One(where):
                yield where
            case Elsewhere(text) if text.upper() not in ("TRUE", "FALSE"):
                yield Stranger(text)
            case Whole(key):
                yield from self._column(tuple((key, item) for item in range(self.book.nodes[key].count)))
            case Span(One(first), One(last)):
                yield from self._column(self.spots.within(first, last) or (first, last))
            case Call("ROWS" | "COLUMNS"):
                return
            case Call("INDEX", (Whole(key), One(place))) if (item := self._number(place)) in range(
                1, self.book.nodes[key].count + 1
            ):
                yield place
                yield (key, item - 1)
            case _:
                for part in parts(tree):
                    yield from self._read(part)

    def _column(self, cells: tuple[Where, ...]) -> Iterator[Input]:
        node = self.book.nodes[cells[0][0]]
        listed = node.role == "fixed" and node.unit == "text"
        if len(cells) > FEW or listed:
            yield Several(cells)
        else:
            yield from cells

    def _number(self, where: Where) -> int:
        found = self.value(where)
        return int(found) if isinstance(found, float) and found.is_integer() else 0

    def upstream(self, where: Where) -> tuple[Where, ...]:
        """Return every cell from which a cell's value comes, in the order of the book."""
        seen = {where}
        waiting = [where]
        while waiting:
            for cell in self._read_cells(waiting.pop()):
                if cell not in seen:
                    seen.add(cell)
                    waiting.append(cell)
        return tuple(sorted(seen - {where}, key=lambda each: (self._order[each[0]], each[1])))

    def _read_cells(self, where: Where) -> tuple[Where, ...]:
        """Return the cells of the book that the formula in a cell reads."""
        if where not in self._cells:
            found: list[Where] = []
            for each in self.inputs(where):
                if not isinstance(each, Stranger):
                    found += each.cells if isinstance(each, Several) else (each,)
            self._cells[where] = tuple(found)
        return self._cells[where]

    @cached_property
    def _order(self) -> Mapping[str, int]:
        return {key: number for number, key in enumerate(self.book.nodes)}
