"""Entries whose default is the region's."""

from __future__ import annotations

from podbook.book.model import Entry
from podbook.regions import Region


def regional(region: Region, name: str, label: str, unit: str, low: float, high: float, *, help: str = "", look: str = "0.00") -> Entry:
    """Return an entry with the region's default, its source, year and mark."""
    found = region.numbers[name]
    if found.unit != unit:
        raise ValueError(f"region {region.name}: {name} is in {found.unit}, the book wants {unit}")
    return Entry(name, label, unit, found.value, low, high, source=found.source, place=_place(found.place, found.year),
                 mark=found.mark, help=help, look=look, local=True)  # fmt: skip


def _place(place: str, year: str) -> str:
    return f"{place}, {year}" if year and year not in place else place
