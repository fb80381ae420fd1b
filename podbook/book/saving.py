"""A workbook's parts as openpyxl writes them, but for the rows of its sheets, which it writes cell by cell, slowly."""

from __future__ import annotations

import zipfile
from collections.abc import Callable, Generator, Mapping
from functools import partial
from io import BytesIO
from typing import Any, cast

from openpyxl import Workbook
from openpyxl.drawing.spreadsheet_drawing import SpreadsheetDrawing
from openpyxl.worksheet._writer import WorksheetWriter
from openpyxl.writer.excel import ExcelWriter
from openpyxl.xml.constants import ARC_WORKBOOK, SHEET_MAIN_NS
from openpyxl.xml.functions import tostring

from podbook.book.rows import names_text, rows

_written: Callable[[Any], bytes] = partial(cast("Any", tostring), encoding="us-ascii")


NAMES = b"<definedNames>"


class Saved(ExcelWriter):
    """A workbook as its parts; those of its sheets have gaps where the values of formulas belong."""

    def __init__(self, workbook: Workbook, names: Mapping[str, str]) -> None:
        packed = BytesIO()
        self.formulas: dict[str, tuple[str, list[str]]] = {}
        """For the part of a sheet its title, and the cells of its formulas in the order of their gaps."""
        with zipfile.ZipFile(packed, "w") as archive:
            super().__init__(workbook, archive)
            self.archive = archive
            self.write_data()
            self.parts = {name: archive.read(name) for name in archive.namelist()}
        before, after = self.parts[ARC_WORKBOOK].split(NAMES)  # every sheet has names of its own, for its print
        self.parts[ARC_WORKBOOK] = before + NAMES + names_text(names).encode() + after

    def write_worksheet(self, ws: Any) -> None:
        """Write a sheet: as it is in openpyxl, but without a file of its own on the disk."""
        ws._drawing = SpreadsheetDrawing()
        ws._drawing.charts = ws._charts
        sheet = _Sheet(ws)
        sheet.write()
        ws._rels = sheet._rels  # type: ignore[attr-defined]  # not in openpyxl's stubs
        self.archive.writestr(ws.path[1:], sheet.text.getvalue())
        self.manifest.append(ws)
        self.formulas[ws.path[1:]] = ws.title, sheet.formulas


class _Sheet(WorksheetWriter):
    def __init__(self, page: Any) -> None:
        self.text = BytesIO()
        self.formulas: list[str] = []
        super().__init__(page, self.text)

    def get_stream(self) -> Generator[Any, Any, None]:
        self.text.write(f'<worksheet xmlns="{SHEET_MAIN_NS}">'.encode())
        try:
            while True:
                element = yield
                if element is not None:
                    self.text.write(_written(element))
        except GeneratorExit:
            self.text.write(b"</worksheet>")

    def write_rows(self) -> None:
        text, self.formulas = rows(self.ws)  # type: ignore[arg-type]  # never a write-only sheet
        self.text.write(f"<sheetData>{text}</sheetData>".encode("ascii", "xmlcharrefreplace"))
