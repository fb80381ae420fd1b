"""Findings of neighbouring cells that say the same, such as of values pasted over a block, as one."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from podbook.coordinates import row_and_column
from podbook.review.findings import Finding
from podbook.review.spans import at

Place = tuple[str, str, int, int]
LEAST = 4
"""Cells from which a block is told as one."""
_CELL = re.compile(r"[A-Z]{1,3}[1-9][0-9]*")


def blocks(findings: Sequence[Finding]) -> list[list[Finding]]:
    """Return findings in their order: together those of a block of formulas to which the same was done."""
    waiting = {_place(each, number): each for number, each in enumerate(findings)}
    found = []
    for first in tuple(waiting):
        if first not in waiting:
            continue
        members = {first}
        growing = [first]
        while growing:
            for near in _neighbours(*growing.pop()):
                if near in waiting and near not in members:
                    members.add(near)
                    growing.append(near)
        found.append([waiting.pop(each) for each in (sorted(members) if len(members) >= LEAST else [first])])
    return found


def span(block: Sequence[Finding]) -> str:
    """Return the cells of a block, as a range where they fill one, else from the first to the last."""
    places = [row_and_column(each.cell) for each in block]
    rows, columns = zip(*places, strict=True)
    first, last = at(min(columns), min(rows)), at(max(columns), max(rows))
    full = len(block) == (max(rows) - min(rows) + 1) * (max(columns) - min(columns) + 1)
    return f"{block[0].sheet}!{first}:{last}" if full else f"{block[0].sheet}, between {first} and {last}"


def _place(each: Finding, number: int) -> Place:
    """Return what is said of which cell, row and column; of what stands alone, nothing that has neighbours."""
    if each.kind != "formula" or not _CELL.fullmatch(each.cell):
        return "", "", -3 * number, 0
    return each.sheet, f"{each.what}: {each.effect}", *row_and_column(each.cell)


def _neighbours(sheet: str, said: str, row: int, column: int) -> Iterator[Place]:
    for down, across in ((1, 0), (-1, 0), (0, 1), (0, -1)):
        yield sheet, said, row + down, column + across
