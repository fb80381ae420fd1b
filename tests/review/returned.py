"""Workbooks that come back: what a user did to one, in words and in steps, and what is to be found in it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import combinations
from pathlib import Path
from typing import Any, Literal

import office
from office import Job, Step
from openpyxl.utils.cell import coordinate_to_tuple, get_column_letter

from podbook import regions
from podbook.book.layout import lay_out
from podbook.inputs.farm import filled
from podbook.sheets import book_of

BOOK = book_of(regions.load("us_midatl_appal"), filled())
PLACES = lay_out(BOOK).places
WITHIN_CELLS = {"SetNumber", "SetText", "SetFormula", "PasteValue", "ClearCells", "AddComment"}
"""Steps that change a cell and leave all others where they are."""


def at(key: str, item: int = 0) -> tuple[str, str]:
    """Return sheet and cell in which an item stands when the book is built."""
    return PLACES[key].sheet, PLACES[key].cells[item]


def row(key: str, item: int = 0) -> int:
    """Return the row of an item."""
    return coordinate_to_tuple(at(key, item)[1])[0]


def column(key: str, item: int = 0) -> int:
    """Return the column of an item."""
    return coordinate_to_tuple(at(key, item)[1])[1]


def cells(first: str, last: str, left: int | None = None, right: int | None = None, above: int = 0) -> str:
    """Return the cells from the first item of one node to the last of another, or as wide and as high as told."""
    left = left or column(first)
    right = right or column(last, -1)
    return f"{get_column_letter(left)}{row(first) - above}:{get_column_letter(right)}{row(last, -1)}"


def line(first: str, last: str, item: int, above: int = 0) -> str:
    """Return the cells of one item, from one field of its table (or so many rows above it) to another."""
    return f"{get_column_letter(column(first, item))}{row(first, item) - above}:{at(last, item)[1]}"


@dataclass(frozen=True)
class Expected:
    """One thing that is to be found."""

    key: str
    item: int
    words: str
    """Words that what is told of it holds."""
    counts: bool = True
    """Whether the workbook is not right because of it."""
    address: str = ""
    """Where it now stands, if that is to be checked."""


@dataclass(frozen=True)
class Case:
    """One thing that a user did."""

    name: str
    did: str
    """What the user did, in words."""
    steps: Sequence[Step] = ()
    expects: tuple[Expected, ...] = ()
    """What is to be found; nothing where what was done is harmless."""
    with_it: tuple[str, ...] = ()
    """Keys of nodes that may be told of too: what went with it."""
    contents: Mapping[tuple[str, str], Any] = field(default_factory=dict)
    """What is put in cells by a program that does not calculate."""


@dataclass(frozen=True)
class Returned:
    """A workbook that comes back: what was done to it, and the programs it went through."""

    name: str
    cases: tuple[Case, ...]
    by: Literal["libreoffice", "ods", "gnumeric", "openpyxl", "by hand"] = "libreoffice"
    then_by: Literal["", "gnumeric", "openpyxl"] = ""
    """The program that opened and saved it next."""

    @property
    def programs(self) -> set[str]:
        """The programs that must be installed to make it."""
        each = {"libreoffice": "soffice", "ods": "soffice", "gnumeric": "ssconvert"}
        return {each[program] for program in (self.by, self.then_by) if program in each}

    def crossing(self) -> list[str]:
        """Return the pairs of cases that touch the same cells, so that one would spoil what the other is to show."""
        touched = {case.name: _touched(case) for case in self.cases}
        return [
            f"{one} and {other}"
            for (one, here), (other, there) in combinations(touched.items(), 2)
            if here & there or {sheet for sheet, cell in here if not cell} & {sheet for sheet, _ in there}
            or {sheet for sheet, cell in there if not cell} & {sheet for sheet, _ in here}
        ]  # fmt: skip


def _touched(case: Case) -> set[tuple[str, str]]:
    """Return the cells that a case touches; a sheet with no cell where it moves cells."""
    found = set(case.contents)
    for each in case.steps:
        if each.procedure in ("Unprotect", "CalculateAll", "DeleteName", "AddSheet", "CopySheet", "ReorderSheet"):
            continue
        sheet = str(each.told[0])
        if each.procedure in WITHIN_CELLS:
            found.add((sheet, str(each.told[1])))
        elif each.procedure == "CopyCells":
            found.add((str(each.told[2]), str(each.told[3])))
        else:
            found.add((sheet, ""))
    return found


def make(books: Sequence[Returned], demo: Path, folder: Path) -> None:
    """Make some workbooks in a folder, each under its name, with one start of LibreOffice."""
    folder.mkdir(parents=True, exist_ok=True)
    raw = {book.name: folder / f"{book.name}{'.first' if book.then_by else ''}.xlsx" for book in books}
    jobs = [
        Job(demo, [step for case in book.cases for step in case.steps], raw[book.name], book.by == "ods")
        for book in books
        if book.by in ("libreoffice", "ods")
    ]
    if jobs:
        office.libreoffice(jobs, folder / f"{books[0].name}.office")
    for book in books:
        contents = {cell: content for case in book.cases for cell, content in case.contents.items()}
        if book.by == "gnumeric":
            office.gnumeric(demo, raw[book.name])
        elif book.by == "openpyxl":
            office.openpyxl(demo, raw[book.name], contents)
        elif book.by == "by hand":
            office.by_hand(demo, raw[book.name], contents)
        if book.then_by == "gnumeric":
            office.gnumeric(raw[book.name], folder / f"{book.name}.xlsx")
        elif book.then_by == "openpyxl":
            office.openpyxl(raw[book.name], folder / f"{book.name}.xlsx", {})
