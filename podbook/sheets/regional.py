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
                 mark=found.mark, help=help, look=look)  # fmt: skip


def season_temperature(region: Region, label: str, help: str) -> Entry:
    """Return the entry for the mean temperature of the region's feeding season, each month by its days of feeding."""
    found = region.monthly["temperature"]
    days_left, month, weighted = region["season_days"], int(region["season_start"]), 0.0
    while days_left > 0:
        days = min(days_left, 30.0)
        weighted += days * found.in_month(month)
        days_left, month = days_left - days, month % 12 + 1
    mean = round(weighted / region["season_days"], 1)
    return Entry("season_temperature", label, found.unit, mean, -20, 70, source=found.source,
                 place=_place(found.place, found.year), mark=found.mark, help=help, look="0.0")  # fmt: skip


def _place(place: str, year: str) -> str:
    return f"{place}, {year}" if year and year not in place else place
