"""What one wrong cell does to the key results, all else as it should be."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property
from typing import Any

from podbook.proof.agreement import differs
from podbook.proof.bindings import WHOLE
from podbook.proof.evaluate import Columns, Unusable, evaluated
from podbook.proof.wiring import Where, Wiring


class Effects:
    """Works results out anew with one cell as it stands."""

    def __init__(self, wiring: Wiring, expected: Columns) -> None:
        self.wiring, self.expected = wiring, expected

    @cached_property
    def _followers(self) -> Mapping[Where, list[Where]]:
        """The cells that each cell feeds."""
        found: dict[Where, list[Where]] = {}
        columns: set[Where] = set()
        for where in self.wiring.order:
            for feed in self.wiring.links(where):
                found.setdefault(feed, []).append(where)
                if feed[1] == WHOLE and feed not in columns:
                    columns.add(feed)
                    for cell in self.wiring.links(feed):
                        found.setdefault(cell, []).append(feed)
        return found

    @cached_property
    def _position(self) -> Mapping[Where, int]:
        return {where: position for position, where in enumerate(self.wiring.order)}

    def of(self, where: Where, stands: Any) -> dict[Where, Any]:
        """Return every cell that comes out otherwise if this one holds what stands in it, with its value then."""
        below, waiting = {where}, [where]
        while waiting:
            for each in self._followers.get(waiting.pop(), ()):
                if each not in below:
                    below.add(each)
                    waiting.append(each)
        values: dict[Where, Any] = {where: stands}

        def get(each: Where) -> Any:
            return values[each] if each in values else self.expected[each[0]][each[1]]

        cells = [each for each in below if each[1] != WHOLE and each != where]
        for each in sorted(cells, key=self._position.__getitem__):
            node = self.wiring.book.nodes[each[0]]
            feeds = self.wiring.feeds(each)
            if all(feed not in values for feed in feeds):
                continue
            if node.role == "span":
                values[each] = get(feeds[0])
                continue
            found = evaluated(self.wiring, each, get)
            should = self.expected[each[0]][each[1]]
            same = isinstance(found, Unusable) and isinstance(should, Unusable)
            if not same and differs(found if not isinstance(found, Unusable) else None, should) is None:
                values[each] = found
        del values[where]
        return values
