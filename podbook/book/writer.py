"""Write the book as an .xlsx file: whole or not at all, and the same bytes for the same book."""

from __future__ import annotations

from collections.abc import Mapping
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any, cast

from openpyxl import Workbook
from openpyxl.styles import Font

from podbook import files, recalc
from podbook.book import bare, charts, package, rows
from podbook.book.cells import Cells, Looks
from podbook.book.formula import absolute, formulas, sheet_prefix
from podbook.book.layout import Layout, lay_out
from podbook.book.model import Book
from podbook.book.page import Page, Values
from podbook.book.saving import Saved
from podbook.errors import EngineFailed
from podbook.unswept import unswept

PRINTED_FACE = "Liberation Sans"
"""Face of what LibreOffice prints: it brings it along."""
NEVER = ("#NAME?", "#N/IMPL!", "#CIRC!")
"""Errors that no entry can bring about: the book itself is wrong, or the engine lacks a function."""
Typed = Mapping[str, list[str]]
"""The formulas in the cells of worked nodes, by their keys."""


def write(book: Book, path: Path, *, replace: bool = False) -> None:
    """Write the book to ``path`` with every value filled in.

    Raises PodbookError if the file is there and may not be replaced, or its folder is missing.
    """
    files.refuse(path, ".xlsx", replace=replace)
    with unswept(), files.drafted(path) as draft, ThreadPoolExecutor(1) as beside:
        layout = lay_out(book)
        typed = {node.key: formulas(book, node, layout.places) for node in book.worked}
        names = _names(book, layout)
        bare.write(_contents(book, layout, typed), names, draft)
        # The engine lets go of Python while it calculates: the book is dressed meanwhile.
        calculated = beside.submit(recalc.values, draft, recalc.DEFAULT, _wanted(book, layout))
        saved = Saved(_workbook(book, layout, typed), names)
        package.pack(_filled(saved, calculated.result()), draft)


def write_alone(book: Book, title: str, values: Values, path: Path) -> None:
    """Write one sheet of a book to ``path``, with values in place of its formulas: to be printed, not worked in."""
    (sheet,) = (each for each in book.sheets if each.title == title)
    workbook = _empty()
    page = workbook.create_sheet(title)
    looks = Looks(workbook)
    Page(book, lay_out(book), sheet, Cells(page, looks), values, live=False).write()
    # Columns are as wide as the digits of the workbook's own face make them: it must be one that is there.
    workbook._fonts[0] = Font(name=PRINTED_FACE, size=10)  # type: ignore[attr-defined]  # not in openpyxl's stubs
    for cells in page.iter_rows(min_row=1):
        for cell in cast("tuple[Any, ...]", cells):
            cell._style = looks.lettered(cell._style, face=PRINTED_FACE)
    workbook.save(path)


def _empty() -> Workbook:
    workbook = Workbook()
    workbook.remove(workbook.worksheets[0])
    workbook.properties.creator = "podbook"
    workbook.properties.title = "Pods as winter feed"
    # Gnumeric takes an unsaid "no" for "yes", and the guard refuses what it then saves.
    workbook.calculation.iterate = False
    return workbook


def _workbook(book: Book, layout: Layout, typed: Typed) -> Workbook:
    workbook = _empty()
    looks = Looks(workbook)
    pages = [
        Page(book, layout, sheet, Cells(workbook.create_sheet(sheet.title), looks), typed) for sheet in book.sheets
    ]
    for page in pages:
        page.write()
    for page in pages:
        for picture, row in page.pictures:
            charts.add(page.page, picture, row, layout)
    return workbook


def _names(book: Book, layout: Layout) -> dict[str, str]:
    """Return the cells that each defined name stands for."""
    found = {}
    for node in book.nodes.values():
        place = layout.places[node.key]
        first, last = absolute(place.cells[0]), absolute(place.cells[-1])
        span = first if node.size is None else f"{first}:{last}"
        found[node.name] = sheet_prefix(place.sheet) + span
    return found


def _contents(book: Book, layout: Layout, typed: Typed) -> dict[str, bare.Cells]:
    """Return what stands in the cells of all nodes, by sheet."""
    found: dict[str, dict[str, tuple[str, object]]] = {sheet.title: {} for sheet in book.sheets}
    for node in book.nodes.values():
        place = layout.places[node.key]
        there = found[place.sheet]
        if node.role == "worked":
            there.update((cell, ("f", each)) for cell, each in zip(place.cells, typed[node.key], strict=True))
        elif node.role != "span":
            for cell, content in zip(place.cells, node.contents, strict=True):
                there[cell] = ("s" if isinstance(content, str) else "n", content)
    return cast("dict[str, bare.Cells]", found)


def _wanted(book: Book, layout: Layout) -> dict[str, list[str]]:
    """Return the cells with formulas, by sheet."""
    found: dict[str, list[str]] = {sheet.title: [] for sheet in book.sheets}
    for node in book.worked:
        place = layout.places[node.key]
        found[place.sheet].extend(place.cells)
    return found


def _filled(saved: Saved, values: Mapping[recalc.Address, recalc.Cell]) -> dict[str, bytes]:
    """Return the parts of a workbook with every value filled in."""
    for (sheet, cell), value in values.items():
        if isinstance(value, recalc.Fault) and value.text in NEVER:
            raise EngineFailed(f"{sheet}!{cell}: its formula can't be calculated ({value})")
    parts = dict(saved.parts)
    for part, (title, cells) in saved.formulas.items():
        text = rows.filled(parts[part].decode("ascii"), (values[title, cell] for cell in cells))
        parts[part] = text.encode("ascii", "xmlcharrefreplace")
    return parts
