"""Workbooks that come back: what a user did to one, in words and in steps, and what is to be found in it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
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


def at(key: str, item: int = 0) -> tuple[str, str]:
    """Return sheet and cell in which an item stands when the book is built."""
    return PLACES[key].sheet, PLACES[key].cells[item]


def row(key: str, item: int = 0) -> int:
    """Return the row of an item."""
    return coordinate_to_tuple(at(key, item)[1])[0]


def column(key: str, item: int = 0) -> int:
    """Return the column of an item."""
    return coordinate_to_tuple(at(key, item)[1])[1]


def cells(first: str, last: str, left: int | None = None, right: int | None = None) -> str:
    """Return the cells from the first item of one node to the last of another, or as wide as told."""
    left = left or column(first)
    right = right or column(last, -1)
    return f"{get_column_letter(left)}{row(first)}:{get_column_letter(right)}{row(last, -1)}"


@dataclass(frozen=True)
class Expected:
    """One thing that is to be found: an item of a node, or a cell that belongs to none."""

    key: str
    item: int
    what: str
    """A word of the sentence that says what is wrong."""


@dataclass(frozen=True)
class Case:
    """A workbook that comes back."""

    name: str
    did: str
    """What the user did, in words."""
    steps: Sequence[Step] = ()
    expects: tuple[Expected, ...] = ()
    """What is to be found, and that it counts; nothing where what was done is harmless."""
    by: Literal["libreoffice", "ods", "gnumeric", "openpyxl", "by hand"] = "libreoffice"
    contents: Mapping[tuple[str, str], Any] = field(default_factory=dict)
    """What is put in cells by a program that does not calculate."""
    on_by: Literal["", "gnumeric", "openpyxl"] = ""
    """The program that opened and saved it next."""


def make(cases: Sequence[Case], demo: Path, folder: Path) -> dict[str, Path]:
    """Make the workbooks of some cases; return where each stands."""
    folder.mkdir(parents=True, exist_ok=True)
    into = {case.name: folder / f"{case.name}.xlsx" for case in cases}
    jobs = [
        Job(demo, case.steps, into[case.name], case.by == "ods") for case in cases if case.by in ("libreoffice", "ods")
    ]
    if jobs:
        office.libreoffice(jobs, folder)
    for case in cases:
        path = into[case.name]
        if case.by == "gnumeric":
            office.gnumeric(demo, path)
        elif case.by == "openpyxl":
            office.openpyxl(demo, path, case.contents)
        elif case.by == "by hand":
            office.by_hand(demo, path, case.contents)
        if case.on_by:
            before = path.rename(folder / f"{case.name}.before.xlsx")
            if case.on_by == "gnumeric":
                office.gnumeric(before, path)
            else:
                office.openpyxl(before, path, {})
    return into
