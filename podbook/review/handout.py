"""The handout of a workbook from outside, as a PDF: printed only of a book in which nothing is wrong."""

from __future__ import annotations

from functools import partial
from pathlib import Path

from podbook import files, recalc
from podbook.book.writer import write_alone
from podbook.errors import EngineFailed
from podbook.recalc import DEFAULT
from podbook.recalc.program import scratch
from podbook.review import bounded
from podbook.review.find import entered
from podbook.review.verify import examined
from podbook.sheets.handout import TITLE

LIBREOFFICE = "libreoffice"


def handout(path: Path, pdf: Path, *, replace: bool = False) -> str:
    """Print the handout of a workbook; return what is wrong with the book, if it was not printed for that.

    The workbook is opened for reading only. What is printed is a sheet of its own, which holds the workbook's figures
    as they were worked out and found right, and nothing else of the file. Raises PodbookError if the PDF may not be
    written, and NotOurWorkbook, Refused or EngineFailed if the workbook can't be checked or printed.
    """
    files.refuse(pdf, ".pdf", replace=replace)
    with scratch() as directory:
        sheet = directory / "handout.xlsx"
        if wrong := bounded.one(path, partial(_prepared, sheet=sheet)):
            return str(wrong)
        if LIBREOFFICE not in recalc.installed():
            raise EngineFailed(
                f"{path}: can't be printed here, for LibreOffice (the program soffice) is not on the path;"
                f" install LibreOffice Calc, or print the sheet {TITLE} from any spreadsheet program"
            )
        with files.drafted(pdf) as draft:
            recalc.printed(sheet, draft)
    return ""


def _prepared(path: Path, sheet: Path) -> str:
    """Write the handout alone, if nothing is wrong with the workbook; else return the first thing that is."""
    verdict, found, values = examined(path, (DEFAULT,))
    counting = [each for each in verdict.findings if each.counts]
    if counting:
        first = counting[0]
        more = f" ({len(counting) - 1} more)" if len(counting) > 1 else ""
        return f"{first.address} ({first.label}): {first.what}{more}"
    if not verdict.agrees:
        return "some formulas do not give what they should"
    keys = [key for key, place in found.places.items() if place.sheet == found.places["barn_status"].sheet]
    write_alone(found.book, TITLE, {key: entered(found, values, key) for key in keys}, sheet)
    return ""
