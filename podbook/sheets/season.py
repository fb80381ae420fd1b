"""The months of the book: eight in a row, from the first pods or the first day of feeding on."""

from __future__ import annotations

from calendar import monthrange
from dataclasses import dataclass

from podbook.regions import Region
from podbook.regions.region import MONTHS

COUNT = 8
LEAP_FREE_YEAR = 2026


@dataclass(frozen=True)
class Month:
    """One month of the book, with the region's defaults."""

    name: str
    days: float
    """Days on which stock are fed."""
    temperature: float
    drop: float
    """Share of the year's pods that drop in it."""


def months(region: Region) -> tuple[Month, ...]:
    """Return the eight months of a region's book.

    They begin with the first month of pods or of feeding; what the season has beyond eight months is left out.
    """
    fed = _days_fed(region)
    drop, temperature = region.monthly["pod_drop"], region.monthly["temperature"]
    first = _first({*fed, *(month for month, share in drop.by_month.items() if share > 0)})
    order = [(first - 1 + step) % 12 + 1 for step in range(COUNT)]
    return tuple(
        Month(MONTHS[month - 1], float(fed.get(month, 0)), temperature.in_month(month), drop.in_month(month))
        for month in order
    )


def before(region: Region) -> float:
    """Return the mean temperature of the month before the first one."""
    first = MONTHS.index(months(region)[0].name) + 1
    return region.monthly["temperature"].in_month((first - 2) % 12 + 1)


def _days_fed(region: Region) -> dict[int, int]:
    """Return the days of feeding by calendar month, from the first day of the season on."""
    month, day, left = int(region["season_start"]), int(region["season_start_day"]), int(region["season_days"])
    fed: dict[int, int] = {}
    while left > 0:
        days = min(left, max(0, monthrange(LEAP_FREE_YEAR, month)[1] - day + 1))
        fed[month] = fed.get(month, 0) + days
        month, day, left = month % 12 + 1, 1, left - days
    return fed


def _first(used: set[int]) -> int:
    """Return the month that follows the longest gap between the months used."""

    def gap(month: int) -> int:
        return next(step for step in range(1, 13) if (month - 1 - step) % 12 + 1 in used)

    return max(sorted(used), key=gap)
