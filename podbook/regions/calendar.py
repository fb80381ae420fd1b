"""The months of a region's book: eight in a row, from the first pods or the first day of feeding on."""

from __future__ import annotations

from calendar import monthrange
from collections.abc import Mapping

COUNT = 8
LEAP_FREE_YEAR = 2026


def days_fed(month: int, day: int, days: int) -> dict[int, int]:
    """Return the days of feeding by calendar month, from this day on."""
    fed: dict[int, int] = {}
    while days > 0:
        here = min(days, max(0, monthrange(LEAP_FREE_YEAR, month)[1] - day + 1))
        fed[month] = fed.get(month, 0) + here
        month, day, days = month % 12 + 1, 1, days - here
    return fed


def months_of_book(fed: Mapping[int, float], drop: Mapping[int, float]) -> tuple[int, ...]:
    """Return the eight calendar months of a book, by its days of feeding and the shares of pods that drop."""
    first = _first({*fed, *(month for month, share in drop.items() if share > 0)})
    return tuple((first - 1 + step) % 12 + 1 for step in range(COUNT))


def month_before(month: int) -> int:
    """Return the calendar month before a month."""
    return (month - 2) % 12 + 1


def _first(used: set[int]) -> int:
    """Return the month that follows the longest gap between the months used."""

    def gap(month: int) -> int:
        return next(step for step in range(1, 13) if (month - 1 - step) % 12 + 1 in used)

    return max(sorted(used), key=gap)
