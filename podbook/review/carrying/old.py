"""What stands in a workbook of any edition, found by its defined names alone: its own book need not be known."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

from podbook.book import look
from podbook.coordinates import letters
from podbook.errors import NotOurWorkbook
from podbook.recalc import Address, Cell, Fault
from podbook.review import bounded
from podbook.review.gate import guard
from podbook.review.spans import span_of
from podbook.systems import SYSTEMS, US

MOST_CELLS = 5000
"""Cells that one name may lead to: the longest tally."""
MOST_NAMED = 1_000_000
"""Cells that all names together may lead to: a tally of 5,000 rows has 150,000."""


@dataclass(frozen=True)
class Span:
    """The cells of a name: one row or one column of them."""

    sheet: str
    top: int
    left: int
    bottom: int
    right: int

    @property
    def count(self) -> int:
        """How many cells there are."""
        return (self.bottom - self.top + 1) * (self.right - self.left + 1)

    @property
    def cells(self) -> tuple[Spot, ...]:
        """Its cells, in their order."""
        return tuple(
            Spot(self.sheet, row, column)
            for row in range(self.top, self.bottom + 1)
            for column in range(self.left, self.right + 1)
        )


@dataclass(frozen=True)
class Spot:
    """One cell."""

    sheet: str
    row: int
    column: int

    @property
    def coordinate(self) -> str:
        return f"{letters(self.column)}{self.row}"

    def __str__(self) -> str:
        return f"{self.sheet}!{self.coordinate}"

    def moved(self, rows: int, columns: int) -> Spot:
        return Spot(self.sheet, self.row + rows, self.column + columns)


@dataclass(frozen=True)
class Standing:
    """What stands in a cell, and how it looks."""

    value: Any
    kind: str
    """What openpyxl calls its kind: "f" is a formula, "e" an error."""
    boxed: bool
    """Whether it looks like a cell that is to be filled in."""
    ink: str
    """Colour of its letters; empty where none is said outright."""


@dataclass(frozen=True)
class Page:
    """A sheet of cells."""

    title: str
    charts: int
    pictures: int


@dataclass(frozen=True)
class Read:
    """All that is asked of a file, as plain data."""

    cells: Mapping[Spot, Standing]
    """The cells that are not empty."""
    noted: tuple[Spot, ...]
    """The cells that have a note."""
    names: Mapping[str, str]
    pages: tuple[Page, ...]
    chart_pages: tuple[str, ...]
    """Sheets that are nothing but a chart."""


class Old:
    """A workbook from outside, read in a bounded child process after the guard has passed it.

    Raises NotOurWorkbook for a file that podbook did not build, Refused for one that is not safe.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        read: Read = bounded.one(path, _read)
        self.cells, self.noted, self.pages, self.chart_pages = read.cells, read.noted, read.pages, read.chart_pages
        titles = {page.title for page in self.pages}
        spans = {name: _span(words) for name, words in read.names.items()}
        self.names: Mapping[str, Span] = {
            name: span for name, span in spans.items() if span is not None and span.sheet in titles
        }
        if (count := sum(span.count for span in self.names.values())) > MOST_NAMED:
            raise NotOurWorkbook(f"{path}: its names lead to {count:,} cells; allowed are {MOST_NAMED:,}")
        self.edition, self.region = self._word("book_edition"), self._word("book_region")
        said = self._word("book_units") if "book_units" in self.names else US
        self.units = said if said in SYSTEMS else US

    def _word(self, name: str) -> str:
        span = self.names.get(name)
        found = None if span is None else self.value(span.cells[0])
        if not isinstance(found, str):
            raise NotOurWorkbook(
                f"{self.path}: is not a workbook that podbook built (no cell named '{name}' says what it is)"
            )
        return found

    @property
    def title(self) -> str:
        """The farm's title; of an old book on its first page, the text after the sheet's title and two more lines."""
        if "book_title" in self.names:
            said = self.value(self.names["book_title"].cells[0])
            return said if isinstance(said, str) else ""
        page = self.names["book_edition"].sheet
        column = sorted(spot.row for spot in self.cells if spot.sheet == page and spot.column == 1)
        found = self.value(Spot(page, column[3], 1)) if len(column) > 3 else None
        return found if isinstance(found, str) else ""

    def formula(self, spot: Spot) -> str:
        """Return the formula in a cell, or an empty text."""
        cell = self.cells.get(spot)
        return str(cell.value) if cell is not None and cell.kind == "f" else ""

    def value(self, spot: Spot) -> Any:
        """Return what stands in a cell, a formula worked out anew; None for an empty cell or an empty text."""
        cell = self.cells.get(spot)
        if cell is None:
            return None
        if cell.kind == "f":
            return self._worked.get((spot.sheet, spot.coordinate))
        return Fault(str(cell.value)) if cell.kind == "e" else cell.value

    @cached_property
    def _worked(self) -> Mapping[Address, Cell]:
        wanted: dict[str, list[str]] = {}
        for spot, cell in self.cells.items():
            if cell.kind == "f":
                wanted.setdefault(spot.sheet, []).append(spot.coordinate)
        return bounded.values(self.path, wanted)

    def unit(self, name: str) -> str | None:
        """Return the unit that is printed beside a single figure as filled in, or beside a field of a table."""
        span = self.names[name]
        used, low = self.names.get(name.removesuffix("_entry")), self.names.get(f"{name}_low")
        if name.endswith("_entry") and used is not None:
            between = (span.cells[0].moved(0, step) for step in range(1, used.left - span.left))
            return next((found for spot in between if isinstance(found := self.value(spot), str)), None)
        if low is None:
            beside = Spot(span.sheet, span.top, span.right + 1)
        else:
            beside = low.cells[0].moved(0, -1) if low.top == span.top else low.cells[0].moved(-1, 0)
        found = self.value(beside)
        return found if isinstance(found, str) else None

    def heading(self, spot: Spot) -> str:
        """Return the text that stands next above a cell, at most three rows up."""
        above = (self.value(spot.moved(-step, 0)) for step in range(1, 4))
        return next((found for found in above if isinstance(found, str)), "")


def _read(path: Path) -> Read:
    """Read a file that the guard passes, as openpyxl does."""
    guard.check(path)
    from openpyxl import load_workbook

    try:
        workbook = load_workbook(path)
    except MemoryError:
        raise
    except Exception as problem:  # openpyxl raises almost anything on a damaged file
        raise NotOurWorkbook(
            f"{path}: can't be read as a workbook ({type(problem).__name__}); save it again as .xlsx"
        ) from None
    cells: dict[Spot, Standing] = {}
    noted: list[Spot] = []
    looks: dict[int, tuple[bool, str]] = {}
    for sheet in workbook.worksheets:
        for row, line in enumerate(sheet.iter_rows(), 1):
            for column, cell in enumerate(line, 1):
                if cell.value is not None and cell.value != "":
                    if (found := looks.get(cell.style_id)) is None:
                        found = looks[cell.style_id] = _boxed(cell), _ink(cell)
                    cells[Spot(sheet.title, row, column)] = Standing(cell.value, cell.data_type, *found)
                if cell.comment is not None:
                    noted.append(Spot(sheet.title, row, column))
    return Read(
        cells,
        tuple(noted),
        {name: str(found.attr_text) for name, found in workbook.defined_names.items()},
        tuple(Page(sheet.title, len(sheet._charts), len(sheet._images)) for sheet in workbook.worksheets),  # type: ignore[attr-defined]  # no other way to ask
        tuple(page.title for page in workbook.chartsheets),
    )


def _boxed(cell: Any) -> bool:
    ground = cell.fill.fgColor.rgb
    return not cell.protection.locked and isinstance(ground, str) and ground[-6:] == look.POD


def _ink(cell: Any) -> str:
    ink = cell.font.color.rgb if cell.font.color is not None else ""
    return ink[-6:] if isinstance(ink, str) else ""


def _span(text: str) -> Span | None:
    """Return the cells that a name stands for; None unless they are one row or one column, and not too many."""
    found = span_of(text)
    if found is None:
        return None
    span = Span(found.sheet, found.top, found.left, found.bottom, found.right)
    straight = found.left == found.right or found.top == found.bottom
    return span if straight and span.count <= MOST_CELLS else None
