"""Rectangles of cells, as defined names give them."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from podbook.coordinates import letters, number, row_and_column

if TYPE_CHECKING:
    from podbook.book.formula import Place

LOST = ""
"""Coordinate of a cell that is gone."""
_SPAN = re.compile(
    r"(?:'((?:[^']|'')+)'|([^'!:,\s]+))!\$?([A-Z]{1,3})\$?([1-9]\d{0,6})(?::\$?([A-Z]{1,3})\$?([1-9]\d{0,6}))?"
)


@dataclass(frozen=True)
class Span:
    """A rectangle of cells on one sheet."""

    sheet: str
    left: int
    top: int
    right: int
    bottom: int

    def along(self, across: bool) -> tuple[int, int]:
        """First and last line on the axis of a table's items."""
        return (self.left, self.right) if across else (self.top, self.bottom)

    def beside(self, across: bool) -> int | None:
        """The one row or column it takes on the other axis; None if it takes several."""
        low, high = (self.top, self.bottom) if across else (self.left, self.right)
        return low if low == high else None

    @property
    def count(self) -> int:
        """How many cells it has."""
        return (self.right - self.left + 1) * (self.bottom - self.top + 1)


@lru_cache(maxsize=10_000)
def span_of(text: str) -> Span | None:
    """Return what a defined name stands for, if that is a rectangle of cells."""
    match = _SPAN.fullmatch(text.strip())
    if match is None:
        return None
    quoted, plain, first, top, last, bottom = match.groups()
    left, right = number(first), number(last or first)
    low, high = int(top), int(bottom or top)
    sheet = quoted.replace("''", "'") if quoted else plain
    return Span(sheet, min(left, right), min(low, high), max(left, right), max(low, high))


def at(column: int, row: int) -> str:
    """Return a coordinate such as ``B12``."""
    return f"{letters(column)}{row}"


def is_line(span: Span, place: Place) -> bool:
    """Return whether the cells of a field, which go down or across in their order, are those of a rectangle."""
    first, last = at(span.left, span.top), at(span.right, span.bottom)
    there = (span.sheet, span.count, first, last) == (place.sheet, len(place.cells), place.cells[0], place.cells[-1])
    return there and LOST not in place.cells


def covers(span: Span, sheet: str, cell: str) -> bool:
    row, column = row_and_column(cell)
    return span.sheet == sheet and span.left <= column <= span.right and span.top <= row <= span.bottom


def ends(cells: Sequence[str]) -> str:
    return cells[0] if len(cells) == 1 else f"{cells[0]}:{cells[-1]}"
