"""What a recalculated cell can be, whichever engine computed it."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from podbook.errors import listed


@dataclass(frozen=True)
class Fault:
    """An error value. Engines name the same error differently: compare that it is one, not its text."""

    text: str

    def __str__(self) -> str:
        return self.text


Cell = float | str | bool | Fault | None
Address = tuple[str, str]
"""Sheet title and coordinate: ("Stand", "B12")."""
Wanted = Mapping[str, Collection[str]]
"""Coordinates asked for, by sheet title."""


def lacking(wanted: Wanted, titles: Sequence[str]) -> str | None:
    """What to say when a wanted sheet is not among the titles of the file."""
    for sheet in wanted:
        if sheet not in titles:
            return f"there is no sheet '{sheet}'; there are {listed(titles)}"
    return None
