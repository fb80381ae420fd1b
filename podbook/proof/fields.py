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
from podbook.proof.bindings import Bound, Spot
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
        """Return the values of a node's cells, or None if its function has to be called for each of them.

        The node has at least ``LEAST`` cells.
        """
        bound = self.wiring.for_all(node)
        if bound is None or node.key in self.wiring.one_by_one:
            return None
        items = slice(0 if node.first_ref is None else 1, node.count)
        good, shut = self._open(bound, items)
        places: Sequence[int] = range(items.start, items.stop)
        if not np.all(good):
            good, shut = (np.broadcast_to(each, len(places)) for each in (good, shut))
            places = (items.start + np.flatnonzero(good)).tolist()
        found = self._called(node, bound, items, good, len(places)) if len(places) >= LEAST else None
        if found is None:
            return None
        if not _same(found[-1], alone((node.key, places[-1]))):
            self.wiring.one_by_one.add(node.key)
            return None
        values: list[Any] = [bound.ref.otherwise] * node.count
        for item, value in zip(places, found, strict=True):
            values[item] = value
        rest = () if len(places) == items.stop - items.start else np.flatnonzero(~(good | shut)) + items.start
        for item in (*range(items.start), *map(int, rest)):
            values[item] = alone((node.key, item))
        return values

    def _open(self, bound: Bound, items: slice) -> tuple[Any, Any]:
        """Return whether all that feeds an item is there with an open gate, and whether its gate is shut: for each
        item, or once for all."""
        good: Any = True
        for feed in bound.feeds:
            if feed.spots:
                good = good & self._there(feed.spots[0], items)
        if bound.gate is None:
            return good, False
        there, shut = self._there(bound.gate, items), np.equal(self._fed(bound.gate, items), 0)
        return good & there & ~shut, there & shut

    def _called(self, node: Node, bound: Bound, items: slice, good: Any, count: int) -> list[Any] | None:
        """Return what the function says of the items that are good, if it says something of each."""
        arguments: dict[str, Any] = {}
        for feed in bound.feeds:
            fed = self._fed(feed.spots[0], items) if feed.spots else feed.given
            some = count < items.stop - items.start and feed.spots and feed.spots[0].step
            arguments[feed.name] = fed[good] if some else fed
        try:
            result = np.asarray(bound.ref.function.function(**arguments))
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

    def _fed(self, spot: Spot, items: slice) -> Any:
        """Return what feeds some items: a number for each, the one number or the column for all."""
        column = self._numbers_of(spot.key).column
        if spot.step:
            return column[items.start + spot.fixed : items.stop + spot.fixed]
        return column if spot.whole else float(column[spot.fixed])

    def _there(self, spot: Spot, items: slice) -> Any:
        """Return whether there are numbers that feed some items, for each or for all."""
        numbers = self._numbers_of(spot.key)
        if numbers.all_there:
            return True
        if spot.step:
            return numbers.there[items.start + spot.fixed : items.stop + spot.fixed]
        return False if spot.whole else bool(numbers.there[spot.fixed])

    def _numbers_of(self, key: str) -> Numbers:
        if key not in self._numbers:
            done = self.done[key]
            there = [type(each) is float or _is_number(each) for each in done]
            every = all(there)
            column = np.array(
                done if every else [each if fits else np.nan for each, fits in zip(done, there, strict=True)],
                dtype=float,
            )
            column.flags.writeable = False
            self._numbers[key] = Numbers(self.wiring.turned_back(key, column), np.array(there, dtype=bool), every)
        return self._numbers[key]


def _is_number(found: Any) -> bool:
    return isinstance(found, int | np.number) and not isinstance(found, bool)


def _same(together: Any, alone: Any) -> bool:
    if isinstance(together, str) or isinstance(alone, str):
        return bool(together == alone)
    return isinstance(alone, float) and abs(together - alone) <= EXACT * max(1.0, abs(alone))
