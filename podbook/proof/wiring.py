"""Wiring: which cells feed the reference function of a cell, worked out once for a book."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from functools import cached_property
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from podbook.book.formula import Where as Where
from podbook.book.model import Book
from podbook.book.node import Node, Ref
from podbook.errors import BookFault
from podbook.proof.bindings import WHOLE, Bindings, Bound, Feed
from podbook.proof.rings import rings
from podbook.systems import Turn


class Wire(NamedTuple):
    """What one parameter is fed by: a word or number given outright, one cell, or several cells in a list."""

    given: Any = None
    cell: Where | None = None
    cells: tuple[Where, ...] | None = None


class Wired(NamedTuple):
    """How one cell's reference function is fed."""

    ref: Ref
    arguments: tuple[tuple[str, bool, Wire], ...]
    """Name of the parameter, whether it takes what stands there as it is (a word), and its wire."""
    gate: Where | None
    otherwise: Where | None

    def feeds(self) -> Iterator[Where]:
        """Yield every cell that feeds it."""
        for where in (self.gate, self.otherwise):
            if where is not None:
                yield where
        for _, _, wire in self.arguments:
            if wire.cell is not None:
                yield wire.cell
            yield from wire.cells or ()


class Step(NamedTuple):
    """Nodes that are worked out together."""

    keys: tuple[str, ...]
    cells: tuple[Where, ...]
    """Their cells in turn, if they feed each other; else none: it is a single node, and its cells go in any order."""


class Wiring:
    """The wiring of a book."""

    def __init__(self, book: Book) -> None:
        self.book = book
        self.bindings = Bindings(book)
        self._known: dict[Where, Wired] = {}
        self._feeds: dict[Where, tuple[Where, ...]] = {}
        self._columns: dict[str, tuple[Where, ...]] = {}
        self._for_all: dict[str, Bound | None] = {}
        self.one_by_one: set[str] = set()
        """Nodes whose functions were seen not to take whole fields."""

    def of(self, where: Where) -> Wired:
        """Return how a cell's reference function is fed."""
        if where not in self._known:
            self._known[where] = self._wired(*where)
        return self._known[where]

    def for_all(self, node: Node) -> Bound | None:
        """Return what feeds all items of a field but a first one with its own function; None where words do, or lists.

        A whole column is the one list that may feed them.
        """
        if node.key not in self._for_all:
            *_, before, last = self.bindings.of(node.key)
            plain = before is last and last.otherwise is None and all(map(_is_column, last.feeds))
            self._for_all[node.key] = last if plain else None
        return self._for_all[node.key]

    def feeds(self, where: Where) -> tuple[Where, ...]:
        """Return the cells that a cell's value is worked from: its reference's feed, or a span's members."""
        found = self._feeds.get(where)
        if found is None:
            node = self.book.nodes[where[0]]
            if node.role == "span":
                found = ((node.members[where[1]], 0),)
            else:
                found = tuple(self.of(where).feeds()) if node.role == "worked" else ()
            self._feeds[where] = found
        return found

    def links(self, where: Where) -> tuple[Where, ...]:
        """Return what feeds a cell, a whole column as one; of a whole column, its cells."""
        key, item = where
        if item == WHOLE:
            return self._column(key)
        node = self.book.nodes[key]
        if node.role != "worked":
            return self.feeds(where)
        wired = self.of(where)
        found = [each for each in (wired.gate, wired.otherwise) if each is not None]
        for _, _, wire in wired.arguments:
            if wire.cell is not None:
                found.append(wire.cell)
            elif wire.cells and wire.cells is self._columns.get(wire.cells[0][0]):
                found.append((wire.cells[0][0], WHOLE))
            else:
                found.extend(wire.cells or ())
        return tuple(found)

    def scale(self, where: Where, get: Callable[[Where], Any]) -> float:
        """Return the size on which a cell is exact; 0 for its own."""
        node = self.book.nodes[where[0]]
        size = 1.0 if node.scale else 0.0
        for sign, word in re.findall(r"([*/]?)([^*/]+)", node.scale):
            found = get(self.bindings.spot(node.table, word).at(where[1]))
            if not isinstance(found, float) or found == 0:
                return 0.0
            size = size / found if sign == "/" else size * found
        return abs(size)

    @cached_property
    def steps(self) -> tuple[Step, ...]:
        """The book in steps, each after all that feed it. Raises BookFault if cells feed each other in a ring."""
        return self.steps_for(self.book.nodes)

    def steps_for(self, keys: Iterable[str]) -> tuple[Step, ...]:
        """Return some nodes, and all that feed them, in steps."""
        graph = {key: self._feeding(self.book.nodes[key]) for key in keys}
        waiting = [feed for feeds in graph.values() for feed in feeds]
        while waiting:
            if (key := waiting.pop()) not in graph:
                graph[key] = self._feeding(self.book.nodes[key])
                waiting.extend(graph[key])
        steps = []
        for group in rings(graph):
            ring = len(group) > 1 or group[0] in graph[group[0]]
            steps.append(Step(group, tuple(self._in_turn(group)) if ring else ()))
        return tuple(steps)

    @cached_property
    def order(self) -> tuple[Where, ...]:
        """Every cell of the book, each after all that feed it. Raises BookFault if cells feed each other in a ring."""
        return tuple(
            where
            for step in self.steps
            for where in step.cells or ((key, item) for key in step.keys for item in range(self.book.nodes[key].count))
        )

    def _feeding(self, node: Node) -> tuple[str, ...]:
        """Return the keys of the nodes that feed any cell of a node."""
        if node.role == "span":
            return tuple(dict.fromkeys(node.members))
        if node.role != "worked":
            return ()
        different = {id(bound): bound for bound in self.bindings.of(node.key)}
        return tuple(dict.fromkeys(spot.key for bound in different.values() for spot in bound.spots()))

    def _in_turn(self, keys: tuple[str, ...]) -> Iterator[Where]:
        """Yield the cells of nodes that feed each other, each after those of them that feed it."""
        done: dict[Where, bool] = {}
        for start in [(key, item) for key in keys for item in range(self.book.nodes[key].count)]:
            stack = [start]
            while stack:
                where = stack[-1]
                if done.get(where):
                    stack.pop()
                    continue
                waiting = [each for each in self.feeds(where) if each[0] in keys and not done.get(each)]
                if not waiting:
                    done[where] = True
                    yield where
                    stack.pop()
                elif where in done:
                    raise BookFault(f"'{where[0]}' feeds itself by way of '{waiting[0][0]}'")
                else:
                    done[where] = False
                    stack.extend(waiting)

    def _wired(self, key: str, item: int) -> Wired:
        bound = self.bindings.of(key)[item]
        return Wired(
            bound.ref,
            tuple((feed.name, feed.as_is, self._wire(feed, item)) for feed in bound.feeds),
            None if bound.gate is None else bound.gate.at(item),
            None if bound.otherwise is None else bound.otherwise.at(item),
        )

    def _wire(self, feed: Feed, item: int) -> Wire:
        if feed.listed:
            return Wire(cells=self.listed(feed, item))
        return Wire(cell=feed.spots[0].at(item)) if feed.spots else Wire(feed.given)

    def listed(self, feed: Feed, item: int) -> tuple[Where, ...]:
        """Return the cells of a list that feeds an item: of a single column the same tuple each time."""
        several = [self._column(spot.key) if spot.whole else (spot.at(item),) for spot in feed.spots]
        return several[0] if len(several) == 1 else tuple(cell for each in several for cell in each)

    def turn(self, where: Where) -> Turn | None:
        """Return how a cell's value is turned from US customary units, in which reference functions work."""
        node = self.book.nodes[where[0]]
        return self.book.turns.get(node.members[where[1]] if node.role == "span" else node.key)

    def turned_back(self, key: str, column: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return a column of a node's numbers in US customary units."""
        if not self.book.turns:
            return column
        if self.book.nodes[key].role != "span":
            turn = self.turn((key, 0))
            return column if turn is None else turn.back(column)
        turns = (self.turn((key, item)) for item in range(len(column)))
        back = [one if turn is None else turn.back(one) for turn, one in zip(turns, column, strict=True)]
        return np.array(back, dtype=float)

    def _column(self, key: str) -> tuple[Where, ...]:
        """Return the cells of a column: the same tuple each time, since every row of a long table may name it."""
        if key not in self._columns:
            self._columns[key] = tuple((key, each) for each in range(self.book.nodes[key].count))
        return self._columns[key]


def _is_column(feed: Feed) -> bool:
    """Return whether a parameter is given outright, or fed by numbers: a cell an item, or a column for all."""
    if not feed.spots:
        return True
    return not feed.as_is and (not feed.listed or (len(feed.spots) == 1 and feed.spots[0].whole))
