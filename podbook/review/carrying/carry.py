"""Carry a user's inputs from a workbook that came back into a new one of the book as it is now."""

from __future__ import annotations

from pathlib import Path

from podbook import files, recalc, regions
from podbook.book.layout import lay_out
from podbook.book.model import Book
from podbook.book.refill import refilled
from podbook.book.writer import write
from podbook.errors import PodbookError, listed
from podbook.inputs.filled import LEAST_ROWS, Filled
from podbook.review.carrying import match
from podbook.review.carrying.fate import Carried, Fate
from podbook.review.carrying.leftovers import Leftovers
from podbook.review.carrying.moving import Moving, writable
from podbook.review.carrying.old import Old
from podbook.sheets import book_of
from podbook.sheets.start import EDITION

LONGEST_TITLE = 60
NO_TITLE = "A farm"


def carry(
    old: Path, new: Path, region: str | None = None, units: str | None = None, *, replace: bool = False
) -> Carried:
    """Build a new workbook with the inputs of an old one, which is opened for reading only.

    Without a region or a system of units the new one has those of the old.

    Raises NotOurWorkbook, Refused or EngineFailed where the old one can't be read, any other PodbookError for a wrong
    use; then nothing is written.
    """
    if new.exists() and old.exists() and new.samefile(old):
        raise PodbookError(f"{new}: is the old workbook itself, which is never changed; name another file for the new")
    files.refuse(new, ".xlsx", replace=replace)
    if region is not None:
        regions.refuse_declared(region)
        _demand(region, f"--region: found '{region}'")
    found = Old(old)
    if region is None:
        region = found.region
        _demand(region, f"{old}: was built for the region '{region[:40]}', so name one for the new with --region")
    title = found.title.strip()
    lost = [] if 0 < len(title) <= LONGEST_TITLE and writable(title) else [_untitled(title)]
    title = NO_TITLE if lost else title
    units = units or (found.units if region == found.region else regions.load(region).units)
    book = bare = book_of(regions.load(region), Filled(title, ()), units)
    if (rows := max(match.rows(found, table) for table in bare.tables.values())) > LEAST_ROWS:
        book = book_of(regions.load(region), Filled(title, (), rows=rows), units)
    home = _built(found, units)
    moving = Moving(found, book, home)
    left = Leftovers(found, bare, _built(found, found.units) if found.edition == EDITION else None)
    fates, beside = (*lost, *moving.fates, *left.entries()), tuple(left.beside())
    write(refilled(book, moving.contents, moving.labels), new, replace=replace)
    editions, moved = (found.edition, EDITION), (found.region, region)
    return Carried(str(old), str(new), title, editions, moved, fates, beside, _status(new, book))


def _built(found: Old, units: str) -> Book | None:
    """Return the book of the old workbook's region, with nothing filled in; None if that region is not known."""
    return (
        book_of(regions.load(found.region), Filled(found.title, ()), units) if found.region in regions.known() else None
    )


def _demand(region: str, found: str) -> None:
    if region not in regions.known():
        raise PodbookError(f"{found}; this podbook knows {listed(regions.known())}")


def _untitled(title: str) -> Fate:
    problem = "allowed: a title of 1 to 60 letters"
    return Fate("left", "title", 0, "", "Title of the farm", "", "", title, "", NO_TITLE, "", problem)


def _status(new: Path, book: Book) -> str:
    place = lay_out(book).places["status"]
    return str(recalc.values(new, recalc.DEFAULT, {place.sheet: place.cells})[(place.sheet, place.cells[0])])
