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
from podbook.proof.bindings import Bound, Feed, Spot
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


class Fields:
    """The columns that are worked out so far, by the keys of their nodes."""

    def __init__(self, wiring: Wiring) -> None:
        self.wiring = wiring
        self.done: dict[str, Sequence[Any]] = {}
        self._numbers: dict[str, Numbers] = {}

    def together(self, node: Node, alone: Alone) -> list[Any] | None:
        """Return the values of a node's cells, or None if its function has to be called for each of them."""
        bound = self._for_all(node)
        if bound is None:
            return None
        items = slice(0 if node.first_ref is None else 1, node.count)
        good = np.ones(items.stop - items.start, dtype=bool)
        for feed in bound.feeds:
            for spot in feed.spots:
                good &= self._there(spot, items)
        off = np.zeros_like(good)
        if bound.gate is not None:
            off |= self._there(bound.gate, items) & (self._fed(bound.gate, items) == 0)
            good &= self._there(bound.gate, items) & ~off
        chosen = np.flatnonzero(good)
        found = self._called(node, bound, items, chosen) if len(chosen) >= LEAST else None
        if found is None or not _same(found[-1], alone((node.key, items.start + int(chosen[-1])))):
            return None
        values: list[Any] = [bound.ref.otherwise] * node.count
        for place, value in zip(chosen.tolist(), found, strict=True):
            values[items.start + place] = value
        for item in (*range(items.start), *(np.flatnonzero(~(good | off)) + items.start).tolist()):
            values[item] = alone((node.key, item))
        return values

    def _for_all(self, node: Node) -> Bound | None:
        """Return what feeds all items of a field but a first one with its own function; None where words do, or lists.

        A whole column is the one list that may feed them.
        """
        if node.count < LEAST:
            return None
        second, *_, last = self.wiring.bindings.of(node.key)[1:]
        if second is not last or last.otherwise is not None:
            return None
        if any(feed.spots and (feed.as_is or (feed.listed and not _is_column(feed))) for feed in last.feeds):
            return None
        return last

    def _called(self, node: Node, bound: Bound, items: slice, chosen: NDArray[np.intp]) -> list[Any] | None:
        """Return what the function says of the items chosen, if it says something of each."""
        arguments: dict[str, Any] = {}
        for feed in bound.feeds:
            fed = self._fed(feed.spots[0], items) if feed.spots else feed.given
            arguments[feed.name] = fed[chosen] if feed.spots and feed.spots[0].step else fed
        try:
            result = np.asarray(bound.ref.function.function(**arguments))
        except (ArithmeticError, ValueError, TypeError, IndexError):
            return None
        if result.shape != chosen.shape or result.dtype.kind not in "fU":
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
        there = self._numbers_of(spot.key).there
        if spot.step:
            return there[items.start + spot.fixed : items.stop + spot.fixed]
        return bool(there.all()) if spot.whole else bool(there[spot.fixed])

    def _numbers_of(self, key: str) -> Numbers:
        if key not in self._numbers:
            done = self.done[key]
            there = np.array([type(each) is float or _is_number(each) for each in done], dtype=bool)
            column = np.array([each if fits else np.nan for each, fits in zip(done, there, strict=True)], dtype=float)
            column.flags.writeable = False
            self._numbers[key] = Numbers(self.wiring.turned_back(key, column), there)
        return self._numbers[key]


def _is_column(feed: Feed) -> bool:
    return len(feed.spots) == 1 and feed.spots[0].whole


def _is_number(found: Any) -> bool:
    return isinstance(found, int | np.number) and not isinstance(found, bool)


def _same(together: Any, alone: Any) -> bool:
    if isinstance(together, str) or isinstance(alone, str):
        return bool(together == alone)
    return isinstance(alone, float) and abs(together - alone) <= EXACT * max(1.0, abs(alone))
