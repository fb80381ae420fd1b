"""The next command, written so that it can be pasted into a shell as it stands."""

from __future__ import annotations

import shlex
from pathlib import Path


def command(name: str, *words: str | Path, region: str | Path | None = None) -> str:
    """Return a command with its words; with the region's file, if the workbook is of a region of the user's own."""
    own = () if region is None else ("--region", str(region))
    return shlex.join(["podbook", name, *map(str, words), *own])
