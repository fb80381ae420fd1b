"""The book for one farm: a region's defaults, a weather station's temperatures, and what the farm filled in."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from podbook import regions
from podbook.book.model import Book
from podbook.book.refill import refilled
from podbook.inputs.filled import Filled
from podbook.regions import Region, Station
from podbook.review.entries import refuse_slips
from podbook.sheets import book_of
from podbook.sheets.season import temperatures


@dataclass(frozen=True)
class Ordered:
    """A workbook to build."""

    region: str
    """Name of a region, or the path of its file."""
    units: str
    """System of units."""
    filled: Filled
    path: Path
    weather: Station | None = None
    """The weather station whose temperatures are filled in instead of the region's."""


def book_for(order: Ordered, region: Region | None = None) -> Book:
    """Return the book that is ordered; ``region`` is its region, if that was read already.

    Raises PodbookError where something that is filled in could not be used.
    """
    region = region or regions.load(order.region)
    book = book_of(region, order.filled, order.units)
    if order.weather is not None:
        there = temperatures(region.at_station(order.weather), order.units)
        unsaid = {key: there[key] for key in there if key.removesuffix("_entry") not in order.filled.figures}
        book = refilled(book, unsaid, {})
    refuse_slips(book)
    return book
