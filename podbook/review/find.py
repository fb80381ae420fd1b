"""Find the book's cells again in a file from outside, by their defined names."""

from __future__ import annotations

import re
import warnings
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from podbook import recalc
from podbook.book.formula import Place
from podbook.book.model import Book
from podbook.errors import NotOurWorkbook, PodbookError
from podbook.inputs.filled import Filled
from podbook.recalc import Cell
from podbook.review import guard
from podbook.sheets import book_of
from podbook.sheets.start import EDITION

if TYPE_CHECKING:
    from openpyxl import Workbook

SPAN = re.compile(r"(?:'((?:[^']|'')+)'|([^'!]+))!\$?([A-Z]{1,3})\$?(\d+)(?::\$?([A-Z]{1,3})\$?(\d+))?")

SNAPSHOT = ("outlook_inputs", "outlook_numbers", "outlook_area")
"""Names of the two stamps of an outlook, and of the cells that the second one is of."""
MOST_SNAPSHOT_ROWS = 500


@dataclass(frozen=True)
class Opened:
    """A file from outside, and where the book's nodes stand in it."""

    path: Path
    book: Book
    places: Mapping[str, Place]
    """Without the nodes whose name or cells are gone."""
    cells: Mapping[tuple[str, str], Any]
    """What stands in the cells of the nodes: a formula as text that begins with '=', a number, a word, or None."""
    snapshot: Mapping[str, Any] | None = None
    """Stamps and cells of the sheet that holds the outlook, by their names, if there is one."""


def opened(path: Path) -> Opened:
    """Open a file read-only, after the guard has passed it.

    Raises NotOurWorkbook for a file that podbook did not build, Refused for one that is not safe.
    """
    guard.check(path)
    try:
        workbook = loaded(path)
    except Exception as problem:  # openpyxl raises almost anything on a damaged file
        raise NotOurWorkbook(
            f"{path}: can't be read as a workbook ({type(problem).__name__}); save it again as .xlsx"
        ) from None
    names = {name: str(found.attr_text) for name, found in workbook.defined_names.items()}
    titles = {sheet.title: sheet for sheet in workbook.worksheets}

    def text(name: str) -> Any:
        place = _place(names.get(name, ""), 1)
        return None if place is None or place.sheet not in titles else titles[place.sheet][place.cells[0]].value

    edition, region, rows = text("book_edition"), text("book_region"), text("book_rows")
    if not isinstance(edition, str) or not isinstance(region, str) or not isinstance(rows, int | float):
        raise NotOurWorkbook(
            f"{path}: is not a workbook that podbook built (its first page does not say which edition it is)"
        )
    if edition != EDITION:
        raise NotOurWorkbook(f"{path}: is edition {edition[:20]} of the book; this podbook checks edition {EDITION}")
    book = _book(path, region, int(rows))
    places = {}
    for node in book.nodes.values():
        place = _place(names.get(node.name, ""), node.count)
        if place is not None and place.sheet in titles:
            places[node.key] = place
    cells = {(place.sheet, cell): titles[place.sheet][cell].value for place in places.values() for cell in place.cells}
    return Opened(path, book, places, cells, _snapshot(names, titles))


def loaded(path: Path) -> Workbook:
    """Return a file that the guard has passed, as openpyxl reads it: without a word on what it can't carry over."""
    from openpyxl import load_workbook

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        return load_workbook(path)


def wanted(found: Opened) -> dict[str, list[str]]:
    """Return the cells that an engine is asked for: those with formulas, by sheet."""
    cells: dict[str, list[str]] = {}
    for (sheet, cell), stands in found.cells.items():
        if _is_formula(stands):
            cells.setdefault(sheet, []).append(cell)
    return cells


def entered(found: Opened, values: dict[tuple[str, str], Cell], key: str) -> tuple[Any, ...]:
    """Return what stands in a node's cells: as filled in, or as the engine works it out."""
    place = found.places.get(key)
    if place is None:
        return (None,) * found.book.nodes[key].count
    return tuple(
        values.get((place.sheet, cell)) if _is_formula(stands) else stands
        for cell in place.cells
        for stands in (found.cells[(place.sheet, cell)],)
    )


def filled_in(found: Opened) -> dict[str, tuple[Any, ...]]:
    """Return what is filled in, by node; of an entry that holds a formula, what the everyday engine makes of it."""
    keys = [node.key for node in found.book.nodes.values() if node.role == "entry"]
    cells: dict[str, list[str]] = {}
    for place in (found.places[key] for key in keys if key in found.places):
        for cell in place.cells:
            if _is_formula(found.cells[(place.sheet, cell)]):
                cells.setdefault(place.sheet, []).append(cell)
    values = recalc.values(found.path, recalc.DEFAULT, cells) if cells else {}
    return {key: entered(found, values, key) for key in keys}


def _is_formula(stands: Any) -> bool:
    return isinstance(stands, str) and stands.startswith("=")


def _snapshot(names: Mapping[str, str], titles: Mapping[str, Any]) -> Mapping[str, Any] | None:
    found: dict[str, Any] = {}
    for name in SNAPSHOT:
        match = SPAN.fullmatch(names.get(name, ""))
        if match is None or (match[1] or match[2]) not in titles:
            return None
        quoted, plain, first, top, last, bottom = match.groups()
        sheet = titles[quoted or plain]
        if last is None:
            found[name] = sheet[f"{first}{top}"].value
        elif int(bottom) > MOST_SNAPSHOT_ROWS:
            return None
        else:
            found[name] = [[cell.value for cell in row] for row in sheet[f"{first}{top}:{last}{bottom}"]]
    return found


def _book(path: Path, region: str, rows: int) -> Book:
    from podbook import regions

    if not 1 <= rows <= 5000:
        raise NotOurWorkbook(f"{path}: says that it has {rows} rows for trees; allowed are 1 to 5000")
    if region not in regions.names():
        raise NotOurWorkbook(
            f"{path}: was built for a region '{region[:40]}'; this podbook knows {', '.join(regions.names())}"
        )
    try:
        return book_of(regions.load(region), Filled(title="", types=(), rows=rows))
    except PodbookError as problem:
        raise NotOurWorkbook(f"{path}: {problem}") from None


def _place(span: str, count: int) -> Place | None:
    """Return the cells that a name stands for, one column or one row of them; None if they are not ``count``."""
    match = SPAN.fullmatch(span)
    if match is None:
        return None
    quoted, plain, first, top, last, bottom = match.groups()
    title = quoted.replace("''", "'") if quoted else plain
    if last is None:
        return Place(title, (f"{first}{top}",)) if count == 1 else None
    from openpyxl.utils import column_index_from_string, get_column_letter

    left, right, low, high = column_index_from_string(first), column_index_from_string(last), int(top), int(bottom)
    if (right - left + 1) * (high - low + 1) != count or (left != right and low != high):
        return None
    return Place(
        title, tuple(f"{get_column_letter(c)}{r}" for r in range(low, high + 1) for c in range(left, right + 1))
    )
