"""Many cells in few words: the rectangles that they fill."""

from __future__ import annotations

import re
from collections.abc import Iterable

from podbook.coordinates import row_and_column
from podbook.review.spans import at

_CELL = re.compile(r"[A-Z]{1,3}[1-9]\d{0,6}")


def by_sheet(addresses: Iterable[str]) -> dict[str, list[str]]:
    """Return, by sheet, the spans that addresses such as ``Winter!B12`` fill; what is no cell stands by itself."""
    sheets: dict[str, list[str]] = {}
    for address in addresses:
        sheet, _, cell = address.rpartition("!")
        sheets.setdefault(sheet, []).append(cell)
    return {sheet: spans(cells) for sheet, cells in sheets.items()}


def spans(cells: Iterable[str]) -> list[str]:
    """Return cells as rectangles such as ``B12:I14``: runs in a row, and the same runs in rows below each other."""
    rows: dict[int, set[int]] = {}
    others = []
    for cell in cells:
        if _CELL.fullmatch(cell):
            row, column = row_and_column(cell)
            rows.setdefault(row, set()).add(column)
        else:
            others.append(cell)
    open_: dict[tuple[int, int], tuple[int, int]] = {}
    found = []
    for row in sorted(rows):
        for run in _runs(sorted(rows[row])):
            first, last = open_.get(run, (row, row - 1))
            if last != row - 1:
                found.append((*run, first, last))
                first = row
            open_[run] = (first, row)
    found += [(*run, *tall) for run, tall in open_.items()]
    named = [_name(*each) for each in sorted(found, key=lambda each: (each[2], each[0]))]
    return [*named, *others]


def _runs(columns: list[int]) -> list[tuple[int, int]]:
    runs: list[tuple[int, int]] = []
    for column in columns:
        if runs and runs[-1][1] == column - 1:
            runs[-1] = (runs[-1][0], column)
        else:
            runs.append((column, column))
    return runs


def _name(left: int, right: int, top: int, bottom: int) -> str:
    first, last = at(left, top), at(right, bottom)
    return first if first == last else f"{first}:{last}"
