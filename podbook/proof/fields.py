"""Fields: what a reference function makes of a whole field in one call, instead of one call an item.

A function is believed in this only where it can be: its result must have a word or a finite number for every item, and
the last of them must be what the function says of that item alone. Where it can't, the caller goes item by item.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from podbook.book.node import Node
from podbook.proof.bindings import WHOLE, Bound, Spot
from podbook.proof.wiring import Where, Wiring

LEAST = 5
"""Items from which one call for all of them is quicker than one for each."""
EXACT = 1e-12
ALL = np.array(True)
"""That every item of a column is a number."""
Alone = Callable[[Where], Any]
"""What a cell's reference function says of it alone."""


class Numbers(NamedTuple):
    """A column as numbers, in US customary units."""

    column: NDArray[np.float64]
    """Not a number where there is none."""
    there: NDArray[np.bool_]
    """Where there is one."""
    all_there: bool


class Fields:
    """The columns that are worked out so far, by the keys of their nodes."""

    def __init__(self, wiring: Wiring) -> None:
        self.wiring = wiring
        self.done: dict[str, Sequence[Any]] = {}
        self._numbers: dict[str, Numbers] = {}

    def together(self, node: Node, alone: Alone) -> list[Any] | None:
        """Return the values of a node's cells, or None if its function has to be called for each of them."""
        if node.count < LEAST or node.key in self.wiring.one_by_one:
            return None
        bound = self.wiring.for_all(node)
        if bound is None:
            return None
        items = slice(0 if node.first_ref is None else 1, node.count)
        shut, open_ = self._gated(bound.gate, items)
        if open_ is not True and np.count_nonzero(open_) < LEAST:
            rest = items.start + np.flatnonzero(~shut)
            return self._by_items(node, bound, (), (), rest.tolist(), alone)
        fed, good = self._fed(bound, items)
        good = good if open_ is True else good & open_
        if good is True or np.all(good):
            found = self._believed(node, bound, fed, range(items.start, items.stop), alone)
            if found is None:
                return None
            if len(found) == node.count:
                if found.dtype.kind == "f" and self.wiring.turn((node.key, 0)) is None:
                    self._numbers[node.key] = Numbers(found, ALL, True)
                return list(found.tolist())
            return self._by_items(node, bound, range(items.start, items.stop), found.tolist(), (), alone)
        good, shut = (np.broadcast_to(each, items.stop - items.start) for each in (good, shut))
        rest, places = (items.start + np.flatnonzero(each) for each in (~(good | shut), good))
        if len(places) < LEAST:
            return self._by_items(node, bound, (), (), [*rest.tolist(), *places.tolist()], alone)
        stepping = [feed.name for feed in bound.feeds if feed.spots and feed.spots[0].step]
        fed.update((name, fed[name][good]) for name in stepping)
        found = self._believed(node, bound, fed, places.tolist(), alone)
        return None if found is None else self._by_items(node, bound, places, found.tolist(), rest.tolist(), alone)

    def _by_items(
        self, node: Node, bound: Bound, places: Iterable[int], found: Iterable[Any], rest: Iterable[int], alone: Alone
    ) -> list[Any]:
        """Return the values of a node's cells: found at some places, by the cell at others, as where shut elsewhere."""
        values: list[Any] = [bound.ref.otherwise] * node.count
        for item, value in zip(places, found, strict=True):
            values[item] = value
        for item in (*rest, *(() if node.first_ref is None else (0,))):
            values[item] = alone((node.key, item))
        return values

    def _gated(self, gate: Spot | None, items: slice) -> tuple[Any, Any]:
        """Return for which items a gate is shut, and for which open: for each, or once where it is open for all."""
        if gate is None:
            return False, True
        found, there = self._part(gate, items)
        closed = np.equal(found, 0)
        if there is True and not np.any(closed):
            return False, True
        count = items.stop - items.start
        return np.broadcast_to(there & closed, count), np.broadcast_to(there & ~closed, count)

    def _fed(self, bound: Bound, items: slice) -> tuple[dict[str, Any], Any]:
        """Return what a function is fed by, for all items, and whether all of it is there: for each item, or once."""
        fed: dict[str, Any] = {}
        good: Any = True
        for feed in bound.feeds:
            if feed.spots:
                fed[feed.name], there = self._part(feed.spots[0], items)
                if there is not True:
                    good = good & there
            else:
                fed[feed.name] = feed.given
        return fed, good

    def _part(self, spot: Spot, items: slice) -> tuple[Any, Any]:
        """Return what a spot feeds some items, and whether it is there.

        That is a number for each and whether there is one, or the one number or the column for all.
        """
        key, step, fixed = spot
        numbers = self._numbers.get(key) or self._numbers_of(key)
        if step:
            part = slice(items.start + fixed, items.stop + fixed)
            return numbers.column[part], numbers.all_there or numbers.there[part]
        if fixed == WHOLE:
            return numbers.column, numbers.all_there
        return float(numbers.column[fixed]), numbers.all_there or bool(numbers.there[fixed])

    def _believed(
        self, node: Node, bound: Bound, fed: dict[str, Any], places: Sequence[int], alone: Alone
    ) -> NDArray[Any] | None:
        """Return what the function says of so many items, if it says something of each, and of the last as alone."""
        try:
            result = np.asarray(bound.ref.function.function(**fed))
        except (ArithmeticError, ValueError, TypeError, IndexError):
            result = np.empty(0)
        if result.shape != (len(places),) or result.dtype.kind not in "fU":
            self.wiring.one_by_one.add(node.key)
            return None
        if result.dtype.kind == "f":
            if not np.isfinite(result).all():
                return None
            turn = self.wiring.turn((node.key, 0))
            result = result if turn is None else turn.of(result)
        if not _same(result[-1].item(), alone((node.key, places[-1]))):
            self.wiring.one_by_one.add(node.key)
            return None
        return result

    def _numbers_of(self, key: str) -> Numbers:
        if key not in self._numbers:
            done = self.done[key]
            if set(map(type, done)) == {float}:
                column, there = np.array(done), ALL
            else:
                fits = [type(each) is float or _is_number(each) for each in done]
                column = np.array([each if one else np.nan for each, one in zip(done, fits, strict=True)], dtype=float)
                there = ALL if all(fits) else np.array(fits)
            column.flags.writeable = False
            self._numbers[key] = Numbers(self.wiring.turned_back(key, column), there, there is ALL)
        return self._numbers[key]


def _is_number(found: Any) -> bool:
    return isinstance(found, int | np.number) and not isinstance(found, bool)


def _same(together: Any, alone: Any) -> bool:
    if isinstance(together, str) or isinstance(alone, str):
        return bool(together == alone)
    return isinstance(alone, float) and abs(together - alone) <= EXACT * max(1.0, abs(alone))
