"""Open a file from outside, and find the book's cells again in it."""

from __future__ import annotations

import warnings
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from podbook.book.formula import Place
from podbook.book.layout import lay_out
from podbook.book.model import Book
from podbook.errors import NotOurWorkbook, PodbookError, listed
from podbook.inputs.filled import Filled
from podbook.next_step import command
from podbook.proof.typed import Typed, are_some_lost
from podbook.proof.wiring import Where, Wiring
from podbook.proof.wrong import Wrong
from podbook.recalc import Cell
from podbook.review import bounded
from podbook.review.findings import Finding
from podbook.review.gate.contents import Contents, is_formula
from podbook.review.places import Finder, rows_of_tally
from podbook.review.spans import at, span_of
from podbook.sheets import book_of
from podbook.sheets.start import EDITION
from podbook.systems import SYSTEMS

if TYPE_CHECKING:
    from openpyxl import Workbook

    from podbook.regions import Region

KEPT = 3
"""Books, and kinds of book, of which what was found out is kept for the next file."""
_KINDS: dict[tuple[Region, str, int], Kind] = {}
"""What was found out last of books that differ by their farms' names alone."""
SNAPSHOT = ("outlook_inputs", "outlook_numbers", "outlook_area")
"""Names of the two stamps of an outlook, and of the cells that the second one is of."""
MOST_SNAPSHOT_CELLS = 10_000


@dataclass(frozen=True)
class Kind:
    """What books have in common that differ by their farms' names alone."""

    wiring: Wiring
    layout: Mapping[str, Place]
    """Where their nodes stand, as they are built."""
    typed: dict[str, list[str]] = field(default_factory=dict)
    """The formulas of their nodes there, as far as they were asked for."""


@dataclass(frozen=True)
class Opened:
    """A file from outside, and where the book's nodes stand in it."""

    path: Path
    book: Book
    wiring: Wiring
    places: Mapping[str, Place]
    """Without the nodes whose name or cells are gone; of a table's field, a cell that is gone is an empty text."""
    cells: Mapping[tuple[str, str], Any]
    """What stands in the cells of the nodes: a formula as text that begins with '=', a number, a word, or None."""
    contents: Contents
    """All that stands in the file."""
    moves: tuple[Finding, ...] = ()
    """What became of the lines of tables."""
    misnamed: Mapping[str, Wrong] = field(default_factory=dict)
    """What is wrong with the names that no longer stand for all their cells, by the keys of their nodes."""
    stretched: Mapping[str, tuple[Where, Wrong]] = field(default_factory=dict)
    """What was put into tables, by the keys of their fields, with the cell to blame where formulas go wrong by it."""
    title: str = ""
    """The farm's name."""
    typed: Typed | None = None
    """Which formulas should stand in it; None if cells of the book are gone."""
    snapshot: Mapping[str, Any] | None = None
    """Stamps and cells of the sheet that holds the outlook, by their names, if there is one."""


def opened(path: Path) -> Opened:
    """Open a file read-only, after the guard has passed it.

    Raises NotOurWorkbook for a file that podbook did not build, Refused for one that is not safe.
    """
    from podbook.review.gate.read import read

    contents = read(path)
    check_edition(path, contents)
    return located(path, contents)


def located(path: Path, contents: Contents) -> Opened:
    """Return where the book's cells stand in a file whose edition is right. Raises NotOurWorkbook if it is not ours."""
    stated = int(_single(contents, "book_rows"))
    found = rows_of_tally(contents, stated)
    said = _single(contents, "book_title")
    title = said if isinstance(said, str) else ""
    region, units = str(_single(contents, "book_region")), _single(contents, "book_units")
    book, kind = _book(path, title, region, units, found)
    finder = Finder(book, contents, kind.layout)
    moves = list(finder.findings)
    if found != stated:
        moves.append(_tally_told(finder, found, stated))
    cells = {
        (place.sheet, cell): contents.sheets[place.sheet].get(cell)
        for place in finder.places.values()
        for cell in place.cells
    }
    typed = None
    if not are_some_lost(book, finder.places):
        typed = Typed(book, finder.places, cells, kind.typed if finder.places == kind.layout else None)
    return Opened(
        path,
        book,
        kind.wiring,
        finder.places,
        cells,
        contents,
        tuple(moves),
        finder.misnamed,
        finder.stretched,
        title,
        typed,
        _snapshot(contents),
    )


def check_edition(path: Path, contents: Contents) -> None:
    """Raise NotOurWorkbook if podbook did not build a file, or another edition of it did."""
    edition, region, rows = (_single(contents, name) for name in ("book_edition", "book_region", "book_rows"))
    if not isinstance(edition, str) or not isinstance(region, str) or not isinstance(rows, int | float):
        raise NotOurWorkbook(
            f"{path}: is not a workbook that podbook built (its sheet Works does not say which edition it is)"
        )
    if edition != EDITION:
        raise NotOurWorkbook(
            f"{path}: is edition {edition[:20]} of the book{_age(edition)}; this podbook checks edition {EDITION}."
            f" Carry what is filled in into a workbook of this edition: {command('carry', path, 'NEW.xlsx')}"
        )


def _age(edition: str) -> str:
    """Return whether an edition is older or newer than this one, as far as its number says."""
    if not (edition.isascii() and edition.isdigit() and len(edition) < 10):
        return ""
    return ", an older one" if int(edition) < int(EDITION) else ", a newer one"


def loaded(path: Path) -> Workbook:
    """Return a file that the guard has passed, as openpyxl reads it: without a word on what it can't carry over."""
    from openpyxl import load_workbook

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        return load_workbook(path)


def wanted(found: Opened) -> dict[str, list[str]]:
    """Return the cells of the book that hold formulas, by sheet."""
    cells: dict[str, list[str]] = {}
    for (sheet, cell), stands in found.cells.items():
        if is_formula(stands):
            cells.setdefault(sheet, []).append(cell)
    return cells


def entered(found: Opened, values: Mapping[tuple[str, str], Cell], key: str) -> tuple[Any, ...]:
    """Return what stands in a node's cells: as filled in, or as the engine works it out."""
    place = found.places.get(key)
    if place is None:
        return (None,) * found.book.nodes[key].count
    return tuple(
        values.get((place.sheet, cell)) if is_formula(stands) else stands
        for cell in place.cells
        for stands in (found.cells[(place.sheet, cell)],)
    )


def filled_in(found: Opened) -> dict[str, tuple[Any, ...]]:
    """Return what is filled in, by node; of an entry that holds a formula, what the everyday engine makes of it."""
    keys = [node.key for node in found.book.nodes.values() if node.role == "entry"]
    cells: dict[str, list[str]] = {}
    for place in (found.places[key] for key in keys if key in found.places):
        for cell in place.cells:
            if is_formula(found.cells[(place.sheet, cell)]):
                cells.setdefault(place.sheet, []).append(cell)
    values = bounded.values(found.path, cells) if cells else {}
    return {key: entered(found, values, key) for key in keys}


def _single(contents: Contents, name: str) -> Any:
    """Return what stands in the one cell of a name."""
    span = span_of(contents.names.get(name, ""))
    if span is None or span.count != 1 or span.sheet not in contents.sheets:
        return None
    return contents.sheets[span.sheet].get(at(span.left, span.top))


def _tally_told(finder: Finder, found: int, stated: int) -> Finding:
    table = finder.book.tables["tally"]
    place = finder.places[table.fields[0].key]
    number = abs(found - stated)
    if found < stated:
        what = f"{number} of {stated} rows of the tally {'is' if number == 1 else 'are'} gone"
        advice = "See that no tree is missing in it."
    else:
        what = f"{number} {'row was' if number == 1 else 'rows were'} added to the tally"
        advice = "Nothing: the book counts them."
    return Finding("line", found < stated, place.sheet, f"{place.cells[0]}:{place.cells[-1]}", table.title, what,
                   f"{found} rows", f"{stated} rows", advice=advice, key=table.fields[0].key)  # fmt: skip


def _snapshot(contents: Contents) -> Mapping[str, Any] | None:
    found: dict[str, Any] = {}
    for name in SNAPSHOT:
        span = span_of(contents.names.get(name, ""))
        if span is None or span.sheet not in contents.sheets or span.count > MOST_SNAPSHOT_CELLS:
            return None
        cells = contents.sheets[span.sheet]
        rows = [
            [cells.get(at(column, row)) for column in range(span.left, span.right + 1)]
            for row in range(span.top, span.bottom + 1)
        ]
        found[name] = rows if name == SNAPSHOT[-1] else rows[0][0]
    return found


def _book(path: Path, title: str, region: str, units: object, rows: int) -> tuple[Book, Kind]:
    from podbook import regions

    if not 1 <= rows <= 5000:
        raise NotOurWorkbook(f"{path}: says that it has {rows} rows for trees; allowed are 1 to 5000")
    if region not in regions.known():
        raise NotOurWorkbook(
            f"{path}: was built for a region '{region[:40]}'; this podbook knows {listed(regions.known())}."
            " A region of your own is made known by its file, with --region"
        )
    if units not in SYSTEMS:
        raise NotOurWorkbook(
            f"{path}: says that its units are '{str(units)[:40]}'; this podbook knows {listed(SYSTEMS)}"
        )
    try:
        return _described(regions.load(region), title, str(units), rows)
    except PodbookError as problem:
        raise NotOurWorkbook(f"{path}: {problem}") from None


@lru_cache(maxsize=KEPT)
def _described(region: Region, title: str, units: str, rows: int) -> tuple[Book, Kind]:
    """Return an unfilled book and its kind: the same ones for the same region, by all that it says, and the rest."""
    book = book_of(region, Filled(title=title, types=(), rows=rows), units)
    kind = (region, units, rows)
    if kind not in _KINDS:
        if len(_KINDS) == KEPT:
            del _KINDS[next(iter(_KINDS))]
        _KINDS[kind] = Kind(Wiring(book), lay_out(book).places)
    return book, _KINDS[kind]
