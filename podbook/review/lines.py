"""The lines of a table as they stand in a file, matched with its items."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from podbook.book.model import Table
from podbook.book.node import Node
from podbook.review.spans import at

LABELS = 4
"""How far from its first field the labels of a table are looked for."""


class Body:
    """The lines of one table as they stand in a file."""

    def __init__(
        self, table: Table, sheet: str, lines: range, cells: Mapping[str, Any], beside: Mapping[str, int]
    ) -> None:
        self.table, self.sheet, self.lines, self.cells, self.beside = table, sheet, lines, cells, beside
        self.worked = [key for key in beside if _node(table, key).role != "entry"]
        self._contents: dict[int, int] = {}

    def _cell(self, line: int, key: str) -> str:
        return at(*turned(line, self.beside[key], self.table.across))

    def _holds(self, line: int) -> bool:
        """Whether a line holds anything that is not filled in by the user."""
        return any(self._cell(line, key) in self.cells for key in self.worked)

    def content(self, line: int) -> int:
        """How many of the fields that are not filled in by the user hold something in a line."""
        if line not in self._contents:
            self._contents[line] = sum(self._cell(line, key) in self.cells for key in self.worked)
        return self._contents[line]

    def labels(self) -> list[Any]:
        """What stands in the lines where their labels are, beside the first field."""
        first = min(self.beside.values())
        candidates = [
            [self.cells.get(at(*turned(line, first - step, self.table.across))) for line in self.lines]
            for step in range(1, min(LABELS, first - 1) + 1)
        ]
        wanted = set(self.table.items)
        return max(
            candidates, key=lambda found: sum(each in wanted for each in found), default=[None] * len(self.lines)
        )

    def aligned(self) -> list[int | None]:
        """Return the line of each item, None where it is gone."""
        count = len(self.table.items)
        if len(self.lines) == count and (not self.worked or all(map(self._holds, self.lines))):
            return list(self.lines)
        labels = self.labels()
        full = max(map(self.content, self.lines), default=0)

        def fit(line: int, item: int) -> float:
            if labels[line] is not None and labels[line] == self.table.items[item]:
                return 4.0
            return self.content(self.lines[line]) / full if full else 0.5

        # The best way to match lines and items in their order, by dynamic programming.
        best = [[-2.0 * item for item in range(count + 1)]]
        for line in range(len(self.lines)):
            idle = -2.0 * self.content(self.lines[line]) / full if full else 0.0
            row = [best[-1][0] + idle]
            for item in range(count):
                matched = best[-1][item] + (fit(line, item) if self._may_be(line, labels) else -3.0)
                row.append(max(matched, best[-1][item + 1] + idle, row[-1] - 2.0))
            best.append(row)
        found: list[int | None] = [None] * count
        line, item = len(self.lines), count
        while line and item:
            idle = -2.0 * self.content(self.lines[line - 1]) / full if full else 0.0
            if best[line][item] == best[line][item - 1] - 2.0:
                item -= 1
            elif best[line][item] == best[line - 1][item] + idle:
                line -= 1
            else:
                line, item = line - 1, item - 1
                found[item] = self.lines[line]
        return found

    def _may_be(self, line: int, labels: Sequence[Any]) -> bool:
        return bool(self.content(self.lines[line]) if self.worked else labels[line] in self.table.items)

    def filled_extras(self, lines: Sequence[int | None]) -> list[int]:
        """Return the lines that belong to no item, though something stands in their cells."""
        ours = set(lines)
        return [line for line in self.lines if line not in ours and self.first_filled(line)]

    def first_filled(self, line: int) -> str:
        """Return the first cell of a line that holds something, in the table's fields."""
        return next((cell for key in self.beside if (cell := self._cell(line, key)) in self.cells), "")


def _node(table: Table, key: str) -> Node:
    return next(node for node in table.fields if node.key == key)


def turned(line: int, beside: int, across: bool) -> tuple[int, int]:
    """Return column and row of a cell, from its line on the axis of the items and its place on the other one."""
    return (line, beside) if across else (beside, line)
