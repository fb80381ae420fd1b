"""The months of the book: eight in a row, from the first pods or the first day of feeding on."""

from __future__ import annotations

from dataclasses import dataclass

from podbook.regions import Region
from podbook.regions.calendar import COUNT, month_before, months_of_book
from podbook.regions.region import MONTHS
from podbook.systems import METRIC, US, Turn, metric, tidy

__all__ = ["COUNT", "Month", "before", "months", "temperatures"]


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
    fed = region.days_fed()
    drop, temperature = region.monthly["pod_drop"], region.monthly["temperature"]
    return tuple(
        Month(MONTHS[month - 1], float(fed.get(month, 0)), temperature.in_month(month), drop.in_month(month))
        for month in months_of_book(fed, drop.by_month)
    )


def before(region: Region) -> float:
    """Return the mean temperature of the month before the first one."""
    first = months_of_book(region.days_fed(), region.monthly["pod_drop"].by_month)[0]
    return region.monthly["temperature"].in_month(month_before(first))


def temperatures(region: Region, units: str = US) -> dict[str, tuple[float, ...]]:
    """Return a region's temperatures as what is filled in in a book of a system of units, by the keys of its entries."""
    turn = metric("degF")[1] if units == METRIC else Turn()
    return {
        "months.temperature": tuple(tidy(turn.of(month.temperature)) for month in months(region)),
        "temperature_before_entry": (tidy(turn.of(before(region))),),
    }
