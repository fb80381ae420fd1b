"""What may be wrong with a cell, and how it is told."""

from __future__ import annotations

from dataclasses import dataclass

VALUE_ONLY = "the formula and its reference function differ"
FOLLOWS, NOT_FROM_ENTRIES = "it follows from another cell", "its value is not what the entries make of it"


@dataclass(frozen=True)
class Disagreement:
    """A cell that is not what it should be."""

    key: str
    item: int
    sheet: str
    cell: str
    label: str
    what: str
    """What is wrong, in one sentence."""
    stands: str
    should: str
    began_at: str
    """Sheet and cell in which it began; the cell's own address where it began here."""
    followers: tuple[str, ...] = ()
    """Sheet and cell of every one that differs because of this one."""
    lost: bool = False
    """Whether the cell is gone."""

    @property
    def address(self) -> str:
        """Sheet and cell."""
        return f"{self.sheet}!{self.cell}"

    @property
    def began_here(self) -> bool:
        """Whether the fault began in this cell."""
        return self.began_at == self.address


@dataclass(frozen=True)
class Wrong:
    """What is wrong with one cell in itself."""

    what: str
    stands: str
    should: str
    edited: bool
    """Whether what stands in the cell was changed; else it is wrong because of others, or in its value only."""
    lost: bool = False
    """Whether the cell is gone."""
