"""When two values agree, and how a value is told."""

from __future__ import annotations

from typing import Any

from podbook.book.node import Content
from podbook.proof.evaluate import Unusable
from podbook.recalc import Cell, Fault

RELATIVE = 1e-9
"""Largest relative difference that counts as agreement: engines differ in the last digits only."""
ABSOLUTE = 1e-12
"""Largest difference that counts as agreement next to zero, where a relative one means nothing."""
BLANK = (None, "")
"""Engines and files can't tell an empty text from an empty cell. Nought is neither."""


def differs(found: Cell, wanted: Any, scale: float = 0.0) -> float | None:
    """Return the relative difference of two values that agree, or None if they do not agree.

    What is left of large numbers is exact only on their ``scale``.
    """
    if isinstance(found, bool):
        found = float(found)
    if isinstance(found, int | float) and isinstance(wanted, int | float):
        gap = abs(found - wanted)
        if gap <= ABSOLUTE:
            return 0.0
        relative = gap / max(abs(found), abs(wanted), scale)
        return relative if relative <= RELATIVE else None
    if isinstance(found, Fault) or isinstance(wanted, Unusable):
        return None
    return 0.0 if found == wanted or (found in BLANK and wanted in BLANK) else None


def given(stands: Any, wanted: Content) -> bool:
    """Return whether what stands in a cell is a given figure or word as it was written, not one worked out or near."""
    if isinstance(wanted, int | float):
        plain = isinstance(stands, int | float) and not isinstance(stands, bool)
        return plain and abs(stands - wanted) <= RELATIVE * abs(wanted)
    return stands == wanted or (stands in BLANK and wanted in BLANK)


def told(value: Any) -> str:
    """Return a value in words."""
    if value is None or value == "":
        return "nothing"
    if isinstance(value, Unusable | Fault):
        return str(value)
    if isinstance(value, float):
        return f"{value:.12g}"
    return str(value)
