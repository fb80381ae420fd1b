"""Fields: what a reference function makes of a whole field in one call, instead of one call an item.

A function is believed in this only where it can be: its result must have a word or a finite number for every item, and
the last of them must be what the function says of that item alone. Where it can't, the caller goes item by item.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from podbook.book.node import Node
from podbook.proof.bindings import WHOLE, Bound, Spot
from podbook.proof.wiring import Where, Wiring

LEAST = 5
"""Items from which one call for all of them is quicker than one for each."""
EXACT = 1e-12
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
        fed, good = self._fed(bound, items)
        shut: Any = False
        if bound.gate is not None:
            gate, there = self._part(bound.gate, items)
            closed = np.equal(gate, 0)
            good, shut = good & there & ~closed, there & closed
        places: Sequence[int] = range(items.start, items.stop)
        rest: Sequence[int] = ()
        if not np.all(good):
            good, shut = (np.broadcast_to(each, len(places)) for each in (good, shut))
            rest = (items.start + np.flatnonzero(~(good | shut))).tolist()
            places = (items.start + np.flatnonzero(good)).tolist()
            stepping = [feed.name for feed in bound.feeds if feed.spots and feed.spots[0].step]
            fed.update((name, fed[name][good]) for name in stepping)
        found = self._called(node, bound, fed, len(places)) if len(places) >= LEAST else None
        if found is None:
            return None
        if not _same(found[-1], alone((node.key, places[-1]))):
            self.wiring.one_by_one.add(node.key)
            return None
        if len(found) == node.count:
            return found
        values: list[Any] = [bound.ref.otherwise] * node.count
        for item, value in zip(places, found, strict=True):
            values[item] = value
        for item in (*range(items.start), *rest):
            values[item] = alone((node.key, item))
        return values

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

    def _called(self, node: Node, bound: Bound, fed: dict[str, Any], count: int) -> list[Any] | None:
        """Return what the function says of so many items, if it says something of each."""
        try:
            result = np.asarray(bound.ref.function.function(**fed))
        except (ArithmeticError, ValueError, TypeError, IndexError):
            result = np.empty(0)
        if result.shape != (count,) or result.dtype.kind not in "fU":
            self.wiring.one_by_one.add(node.key)
            return None
        if result.dtype.kind == "f":
            if not np.isfinite(result).all():
                return None
            turn = self.wiring.turn((node.key, 0))
            result = result if turn is None else turn.of(result)
        found: list[Any] = result.tolist()
        return found

    def _numbers_of(self, key: str) -> Numbers:
        if key not in self._numbers:
            done = self.done[key]
            every = set(map(type, done)) == {float}
            there = [every or type(each) is float or _is_number(each) for each in done]
            column = np.array(
                done if every else [each if fits else np.nan for each, fits in zip(done, there, strict=True)],
                dtype=float,
            )
            column.flags.writeable = False
            every = every or all(there)
            self._numbers[key] = Numbers(self.wiring.turned_back(key, column), np.array(there, dtype=bool), every)
        return self._numbers[key]


def _is_number(found: Any) -> bool:
    return isinstance(found, int | np.number) and not isinstance(found, bool)


def _same(together: Any, alone: Any) -> bool:
    if isinstance(together, str) or isinstance(alone, str):
        return bool(together == alone)
    return isinstance(alone, float) and abs(together - alone) <= EXACT * max(1.0, abs(alone))
