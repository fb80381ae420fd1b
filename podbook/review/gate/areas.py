"""Cells and ranges as the parts of a workbook write them."""

from __future__ import annotations

import re

from podbook.coordinates import number

CELL = re.compile(r"([A-Z]{1,3})([1-9][0-9]{0,6})")


def area(ref: str) -> int:
    """Cells of a range; a range that cannot be read counts as endless."""
    corners = [CELL.fullmatch(corner.replace("$", "")) for corner in ref.split(":")]
    if len(corners) > 2 or any(corner is None for corner in corners):
        return 1 << 40
    columns = [number(corner[1]) for corner in corners if corner]
    rows = [int(corner[2]) for corner in corners if corner]
    return (max(columns) - min(columns) + 1) * (max(rows) - min(rows) + 1)
