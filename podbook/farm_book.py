"""The book for one farm: a region's defaults, a weather station's temperatures, and what the farm filled in."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from podbook import regions
from podbook.book.model import Book
from podbook.book.refill import refilled
from podbook.inputs.filled import Filled
from podbook.sheets import book_of
from podbook.sheets.season import temperatures


@dataclass(frozen=True)
class Ordered:
    """A workbook to build."""

    region: str
    """Name of a region that is known."""
    units: str
    """System of units."""
    filled: Filled
    path: Path
    station: str = ""
    """The weather station whose temperatures are filled in instead of the region's, if any."""


def book_for(order: Ordered) -> Book:
    """Return the book that is ordered. Raises PodbookError where the region or the station is none."""
    region = regions.load(order.region)
    book = book_of(region, order.filled, order.units)
    if order.station:
        there = temperatures(region.at_station(regions.station(order.station)), order.units)
        unsaid = {key: there[key] for key in there if key.removesuffix("_entry") not in order.filled.figures}
        book = refilled(book, unsaid, {})
    return book
