"""The complaint about a place in a farm's own file."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from podbook.errors import BadInput, Complaint


def refused(path: Path, where: str, found: str, allowed: str) -> BadInput:
    """Return the error that names a place in a file, what was found there and what is allowed."""
    return BadInput([Complaint(str(path), None, where, found, allowed)])


def quoted(value: Any) -> str:
    """Return a value as a complaint shows it, cut if it is long."""
    text = "nothing" if value is None else repr(value)
    return text if len(text) <= 40 else text[:39] + "…"
