"""What a review finds: one finding a thing that happened, with what it does and what to do about it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Kind = Literal["sheet", "line", "name", "formula", "figure", "entry", "value", "outlook", "stored", "own"]
"""What it is about: a sheet or a line of a table that is gone or new; a defined name; a formula; a given figure; what
is filled in; a value that no formula explains; the outlook's snapshot; stored values; the user's own."""


@dataclass(frozen=True)
class Finding:
    """One thing that happened to a workbook."""

    kind: Kind
    counts: bool
    """Whether the book is not right because of it; else it is told for knowledge."""
    sheet: str
    cell: str
    """Its cell, or its first and last as in ``B4:B9``; an empty text where it is about a whole sheet or book."""
    label: str
    what: str
    """What happened, in one sentence without a full stop."""
    stands: str = ""
    should: str = ""
    effect: str = ""
    """What it does to the results."""
    advice: str = ""
    """What to do about it."""
    key: str = ""
    item: int = 0
    followers: tuple[str, ...] = ()
    """Sheet and cell of every cell that is wrong only because of it."""

    @property
    def address(self) -> str:
        """Sheet and cell, as far as it has them."""
        return f"{self.sheet}!{self.cell}" if self.cell else self.sheet
