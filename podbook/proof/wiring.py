"""Wiring: which cells feed the reference function of a cell, worked out once for a book."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import cached_property
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from podbook.book.formula import Where as Where
from podbook.book.model import Book
from podbook.book.node import Binding, Content, Node, Ref
from podbook.errors import BookFault
from podbook.proof.rings import rings
from podbook.systems import Turn

PREVIOUS = "prev"
NUMBERED = "{#}"
NO_TURN = Turn()
NO_TURNS: Mapping[Where, Turn] = {}
WHOLE = -1
"""In place of an item: the whole column."""


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
    turn: Turn = NO_TURN
    """How its value is turned from US customary units, in which reference functions work."""
    feed_turns: Mapping[Where, Turn] = NO_TURNS
    """The same of the cells that feed it, where they are turned."""

    def feeds(self) -> Iterator[Where]:
        """Yield every cell that feeds it."""
        for where in (self.gate, self.otherwise):
            if where is not None:
                yield where
        for _, _, wire in self.arguments:
            if wire.cell is not None:
                yield wire.cell
            yield from wire.cells or ()


class Feed(NamedTuple):
    """What a parameter of a whole field is fed by: numbers of another field, item by item, or the same for all."""

    name: str
    key: str
    before: int = 0
    """How many items before its own."""
    item: int | None = None
    """The one cell for all items; WHOLE for the whole column."""


class Field(NamedTuple):
    """How a field's reference function is fed for all its items at once, but for a first one with its own function."""

    function: Callable[..., Any]
    given: tuple[tuple[str, Any], ...]
    """Name and value of the parameters that are fed outright."""
    feeds: tuple[Feed, ...]
    gate: Feed | None
    otherwise: Content
    turn: Turn


class Step(NamedTuple):
    """Nodes that are worked out together."""

    keys: tuple[str, ...]
    cells: tuple[Where, ...]
    """Their cells in turn, if they feed each other; else none: it is a single node, and its cells go in any order."""


class Wiring:
    """The wiring of a book."""

    def __init__(self, book: Book) -> None:
        self.book = book
        self._known: dict[Where, Wired] = {}
        self._columns: dict[str, tuple[Where, ...]] = {}
        self._spots: dict[tuple[str, str], tuple[str, int, int]] = {}
        self._fields: dict[str, Field | None] = {}

    def of(self, where: Where) -> Wired:
        """Return how a cell's reference function is fed."""
        if where not in self._known:
            try:
                self._known[where] = self._wired(self.book.nodes[where[0]], where[1])
            except BookFault as fault:
                raise BookFault(f"'{where[0]}': {fault}") from None
        return self._known[where]

    def field(self, node: Node) -> Field | None:
        """Return how a field's function is fed for all items at once; None where words or items' own cells feed it."""
        if node.key not in self._fields:
            self._fields[node.key] = self._field(node)
        return self._fields[node.key]

    def feeds(self, where: Where) -> tuple[Where, ...]:
        """Return the cells that a cell's value is worked from: its reference's feed, or a span's members."""
        node = self.book.nodes[where[0]]
        if node.role == "span":
            return ((node.members[where[1]], 0),)
        return tuple(self.of(where).feeds()) if node.role == "worked" else ()

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
            found = get(self._cell(node.table, word, where[1]))
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
        keys: dict[str, None] = {}
        for ref in filter(None, (node.ref, node.first_ref)):
            for word in self._words(node.table, ref):
                numbers = range(1, node.count + 1) if NUMBERED in word else (1,)
                for each in numbers:
                    keys[self._spot(node.table, word.removesuffix("*").replace(NUMBERED, str(each)))[0]] = None
        return tuple(keys)

    def _words(self, table: str, ref: Ref) -> Iterator[str]:
        """Yield the words of a reference that stand for cells."""
        yield from filter(None, (ref.when, ref.otherwise_from))
        for name, as_is in ref.function.feeds:
            binding = ref.bindings.get(name, name)
            if isinstance(binding, tuple):
                yield from binding
            elif isinstance(binding, str) and not (as_is and not self._is_key(table, binding)):
                yield binding

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

    def _wired(self, node: Node, item: int) -> Wired:
        ref, table = node.ref_of(item), node.table
        if ref is None:
            raise BookFault("has a formula but no reference function")
        arguments = tuple(
            (name, as_is, self._wire(table, item, ref.bindings.get(name, name), as_is))
            for name, as_is in ref.function.feeds
        )
        gate = None if ref.when is None else self._cell(table, ref.when, item)
        otherwise = None if ref.otherwise_from is None else self._cell(table, ref.otherwise_from, item)
        wired = Wired(ref, arguments, gate, otherwise)
        if not self.book.turns:
            return wired
        feeds = {where: self.book.turns.get(self._own(where)) for where in wired.feeds()}
        turns = {where: turn for where, turn in feeds.items() if turn is not None}
        return wired._replace(turn=self.book.turns.get(node.key, NO_TURN), feed_turns=turns)

    def _field(self, node: Node) -> Field | None:
        ref = node.ref
        if ref is None or ref.otherwise_from or any(NUMBERED in word for word in self._words(node.table, ref)):
            return None
        given, feeds = [], []
        for name, as_is in ref.function.feeds:
            binding = ref.bindings.get(name, name)
            if isinstance(binding, tuple):
                if len(binding) > 1 or not binding[0].endswith("*"):
                    return None
                binding = binding[0]
            if not isinstance(binding, str) or (as_is and not self._is_key(node.table, binding)):
                given.append((name, binding))
            elif as_is:
                return None
            else:
                feeds.append(self._feed(node.table, name, binding))
        gate = None if ref.when is None else self._feed(node.table, "", ref.when)
        turn = self.book.turns.get(node.key, NO_TURN)
        return Field(ref.function.function, tuple(given), tuple(feeds), gate, ref.otherwise, turn)

    def _feed(self, table: str, name: str, binding: str) -> Feed:
        key, step, fixed = self._spot(table, binding.removesuffix("*"))
        if binding.endswith("*"):
            return Feed(name, key, item=WHOLE)
        return Feed(name, key, before=-fixed) if step else Feed(name, key, item=fixed)

    def turned_back(self, key: str, column: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return a column of a node's numbers in US customary units."""
        turns, node = self.book.turns, self.book.nodes[key]
        if not turns:
            return column
        if node.role != "span":
            turn = turns.get(key)
            return column if turn is None else turn.back(column)
        back = [turns.get(each, NO_TURN).back(one) for each, one in zip(node.members, column, strict=True)]
        return np.array(back, dtype=float)

    def _own(self, where: Where) -> str:
        """Return the key of the node whose cell it is: of a span, the member's."""
        node = self.book.nodes[where[0]]
        return node.members[where[1]] if node.role == "span" else node.key

    def _wire(self, table: str, item: int, binding: Binding, as_is: bool) -> Wire:
        if isinstance(binding, tuple):
            several = [self._cells(table, each, item) for each in binding]
            return Wire(cells=several[0] if len(several) == 1 else tuple(cell for each in several for cell in each))
        if not isinstance(binding, str) or (as_is and not self._is_key(table, binding)):
            return Wire(binding)
        if binding.endswith("*"):
            return Wire(cells=self._cells(table, binding, item))
        return Wire(cell=self._cell(table, binding, item))

    def _cells(self, table: str, binding: str, item: int) -> tuple[Where, ...]:
        """Return the cells that a binding stands for: one, or a whole column."""
        if not binding.endswith("*"):
            return (self._cell(table, binding, item),)
        return self._column(self._spot(table, binding[:-1].replace(NUMBERED, str(item + 1)))[0])

    def _column(self, key: str) -> tuple[Where, ...]:
        """Return the cells of a column: the same tuple each time, since every row of a long table may name it."""
        if key not in self._columns:
            self._columns[key] = tuple((key, each) for each in range(self.book.nodes[key].count))
        return self._columns[key]

    def _is_key(self, table: str, binding: str) -> bool:
        bare = binding.rstrip("*").partition("@")[0].replace(NUMBERED, "1")
        return bare in self.book.nodes or f"{table}.{bare}" in self.book.nodes

    def _cell(self, table: str, binding: str, item: int) -> Where:
        key, step, fixed = self._spot(table, binding.replace(NUMBERED, str(item + 1)))
        return key, item * step + fixed

    def _spot(self, table: str, binding: str) -> tuple[str, int, int]:
        """Return the key that a binding stands for, and what to multiply an item by and to add to find its own."""
        known = self._spots.get((table, binding))
        if known is None:
            word, _, which = binding.partition("@")
            key = self._key(table, word)
            if which == PREVIOUS:
                step, fixed = 1, -1
            elif which:
                step, fixed = 0, int(which) - 1
            else:
                step, fixed = 0 if self.book.nodes[key].size is None else 1, 0
            known = self._spots[(table, binding)] = key, step, fixed
        return known

    def _key(self, table: str, word: str) -> str:
        """Return the key that a word of a binding stands for, inside the node's table first."""
        own = f"{table}.{word}"
        if table and own in self.book.nodes:
            if word in self.book.nodes:
                raise BookFault(f"a field of the table '{table}' is fed by '{word}': a field of it, and a cell too")
            return own
        if word in self.book.nodes:
            return word
        raise BookFault(f"a reference{f' of the table {table}' if table else ''} is fed by '{word}': not in the book")
