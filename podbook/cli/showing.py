"""Regions and weather stations as a person reads them in a terminal."""

from __future__ import annotations

from collections.abc import Sequence

from rich.table import Table
from rich.text import Text

from podbook.harmless import plain
from podbook.regions.declared_weeds import Declared
from podbook.regions.described import season
from podbook.regions.region import BY_MONTH, MONTHS, NUMBERS, Notice, Region, Sourced
from podbook.regions.stations import NORMALS, Station
from podbook.review.words import Screen
from podbook.sources import NO_DOCUMENT, bibliography
from podbook.units import shown

WIDEST = 26
"""Letters of the first column of a region's table."""
NARROW = 80
"""Letters of a line that is printed to a file or a pipe: a note in a table is folded there."""


def show_regions(found: Sequence[Region], weeds: Sequence[Declared]) -> None:
    """Print a line for each region, and the places for which there is none."""
    screen = _screen()
    table = Table("region", "where", "units", "feeding", "temperatures of", pad_edge=False)
    table.columns[0].no_wrap = True
    for each in found:
        place = each.monthly["temperature"].place.split(",")[0]
        units = f"{each.units}, {each.currency}"
        table.add_row(each.name, each.title, units, season(each), place)
    screen.print(table)
    screen.print("Honey locust is a declared weed in these places, so no workbook is made for them:")
    for weed in weeds:
        screen.print(f"- {weed.title}: {weed.reason} ({weed.source}, {weed.mark})")
    screen.print("All figures of one: podbook regions NAME. One of your own: podbook regions --start mine.toml")


def show_region(region: Region) -> None:
    """Print every figure of a region with its unit, range and origin."""
    screen = _screen()
    screen.print(f"{region.name}: {region.title}", style="bold")
    screen.print(f"Units: {region.units}. Currency: {region.currency}. Feeding: {season(region)}.")
    table = Table("what", "figure", "where it comes from", show_lines=True, pad_edge=False)
    table.columns[0].min_width = max(map(len, NUMBERS))
    table.columns[0].max_width = WIDEST
    for name, wanted in NUMBERS.items():
        number, stated = region.numbers[name], region.numbers[name].stated
        unit = f"({MONTHS[int(stated.value) - 1]})" if stated.unit == "month" else shown(stated.unit)
        figure = _lines(f"{stated.value:g} {unit}", f"{stated.low:g} to {stated.high:g}")
        table.add_row(_lines(wanted.what, name), figure, _origin(number))
    for name, wanted in BY_MONTH.items():
        monthly, by_month = region.monthly[name], region.monthly[name].stated.by_month
        values = (f"{MONTHS[month - 1]} {value:g}" for month, value in by_month.items())
        table.add_row(_lines(wanted.what, name), _lines(shown(monthly.stated.unit), *values), _origin(monthly))
    screen.print(table)
    screen.print("Notices", style="bold")
    for notice in region.notices:
        screen.print(f"- {notice.text} ({notice.source}, {notice.mark})")
    screen.print("Works", style="bold")
    every: tuple[Sourced | Notice, ...] = (*region.numbers.values(), *region.monthly.values(), *region.notices)
    for key in sorted({each.source for each in every} - {*NO_DOCUMENT}):
        screen.print(f"- {key}: {bibliography()[key].cited}")


def show_stations(found: Sequence[Station]) -> None:
    """Print a line for each station: its id, its name, and the normals of the winter months."""
    screen = _screen()
    winter = ("Nov", "Dec", "Jan", "Feb", "Mar")
    table = Table("id", "station", *winter, pad_edge=False)
    for each in found:
        normals = (f"{each.temperatures[MONTHS.index(month) + 1]:.1f}" for month in winter)
        table.add_row(each.id, each.title, *normals)
    screen.print(table)
    number = f"{len(found)} {'station' if len(found) == 1 else 'stations'}"
    screen.print(f"{number}; {bibliography()[NORMALS].title}, °F.")
    screen.print("Use one: podbook build farm.xlsx --station ID")


def _screen() -> Screen:
    """Return the screen to print on: in a file or a pipe as wide as a narrow terminal, for tables are folded here."""
    screen = Screen()
    return screen if screen.is_terminal else Screen(width=NARROW)


def _lines(*lines: str) -> Text:
    """Return lines as one cell of a table."""
    return Text("\n".join(plain(line, one_line=True) for line in lines))


def _origin(each: Sourced) -> Text:
    """Return where a figure comes from, as one cell of a table."""
    head = each.mark if each.source in NO_DOCUMENT else f"{each.mark}: {each.source}"
    year = "" if each.year in each.place else f", {each.year}"
    return _lines(head, f"{each.place}{year}", each.note)
