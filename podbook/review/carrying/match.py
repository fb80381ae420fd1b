"""Which item of a table of the book a cell of an old workbook belongs to."""

from __future__ import annotations

import re
from collections.abc import Iterable

from podbook.book.model import Table
from podbook.book.node import Content
from podbook.review.carrying.old import Old, Span, Spot

OWN_ROW = re.compile(r"(Row|Month) \d+")
"""The label that a row has until the user writes a note over it."""


def spans(old: Old, table: Table) -> list[Span]:
    """Return the cells of the fields that are filled in, as far as the old workbook has them by name."""
    return [old.names[field.name] for field in table.fields if field.role == "entry" and field.name in old.names]


def items(old: Old, table: Table) -> dict[Spot, int]:
    """Return the item of each cell: by its place where items run down, by the heading over its column where across.

    Where no heading is one of the table's, as in an edition that called them otherwise, the place counts there too.
    """
    found = spans(old, table)
    if not table.across:
        return {spot: place for span in found for place, spot in enumerate(span.cells)}
    columns = sorted({column for span in found for column in range(span.left, span.right + 1)})
    top = min((old.names[field.name].top for field in table.fields if field.name in old.names), default=0)
    by_heading = _by_heading(old, table, columns, found[0].sheet, top) if found else {}
    place_of = by_heading or dict(zip(columns, range(len(table.items)), strict=False))
    return {spot: place_of[spot.column] for span in found for spot in span.cells if spot.column in place_of}


def _by_heading(old: Old, table: Table, columns: Iterable[int], sheet: str, top: int) -> dict[int, int]:
    left = {item.casefold(): place for place, item in enumerate(table.items)}
    headings = {column: old.heading(Spot(sheet, top, column)).casefold() for column in columns}
    return {column: left.pop(heading) for column, heading in headings.items() if heading in left}


def months(names: Iterable[Content], new: Iterable[Content]) -> dict[int, int]:
    """Return which of the new months each old month is, by its name; those that are not among them are left out."""
    left = {str(name).casefold(): place for place, name in enumerate(new)}
    named = ((place, str(name).casefold()) for place, name in enumerate(names))
    return {place: left.pop(name) for place, name in named if name in left}


def labels(old: Old, table: Table) -> list[Spot]:
    """Return the cells that hold the user's own labels of a table's rows: left of its first field."""
    found = [old.names[field.name] for field in table.fields if field.name in old.names]
    if not table.open_labels or not found:
        return []
    first = min(found, key=lambda span: span.left)
    return [spot.moved(0, -1) for spot in first.cells] if first.left > 1 else []


def rows(old: Old, table: Table) -> int:
    """Return how many rows of a table that runs down are needed: up to the last one in which something stands."""
    noted = [place for place, spot in enumerate(labels(old, table)) if own_label(old, spot)]
    filled = [place for spot, place in items(old, table).items() if spot in old.cells]
    return max((*noted, *filled), default=-1) + 1


def own_label(old: Old, spot: Spot) -> bool:
    """Return whether a row's label is a note of the user's."""
    found = old.value(spot)
    return found is not None and not (isinstance(found, str) and OWN_ROW.fullmatch(found))
