"""A workbook of cells and names alone, to be calculated while the book itself is dressed."""

from __future__ import annotations

import zipfile
from collections.abc import Mapping, Sequence
from pathlib import Path

from podbook.book.escaping import quoted
from podbook.book.rows import cell_text, names_text, without_values
from podbook.coordinates import row_and_column

Cells = Mapping[str, tuple[str, object]]
"""The kind of each cell ('f' for a formula, 's' for a text, 'n' for a number or nothing) and what stands in it."""
_MAIN = 'xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"'
_LINKS = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
_KINDS = "application/vnd.openxmlformats-officedocument.spreadsheetml"


def write(sheets: Mapping[str, Cells], names: Mapping[str, str], path: Path) -> None:
    """Write cells, by sheet, and what names stand for."""
    numbers = range(1, len(sheets) + 1)
    with zipfile.ZipFile(path, "w") as archive:
        types = [("workbook.xml", "sheet.main"), *((f"sheet{each}.xml", "worksheet") for each in numbers)]
        archive.writestr("[Content_Types].xml", _content_types(types))
        archive.writestr("_rels/.rels", _links([("officeDocument", "xl/workbook.xml")]))
        archive.writestr("xl/_rels/workbook.xml.rels", _links([("worksheet", f"sheet{each}.xml") for each in numbers]))
        archive.writestr("xl/workbook.xml", _workbook(list(sheets), names))
        for number, cells in zip(numbers, sheets.values(), strict=True):
            archive.writestr(f"xl/sheet{number}.xml", _sheet(cells))


def _content_types(types: Sequence[tuple[str, str]]) -> str:
    said = "".join(f'<Override PartName="/xl/{part}" ContentType="{_KINDS}.{kind}+xml"/>' for part, kind in types)
    links = '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
    return f'<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">{links}{said}</Types>'


def _links(targets: Sequence[tuple[str, str]]) -> str:
    said = "".join(
        f'<Relationship Id="rId{number}" Type="{_LINKS}/{kind}" Target="{target}"/>'
        for number, (kind, target) in enumerate(targets, 1)
    )
    space = "http://schemas.openxmlformats.org/package/2006/relationships"
    return f'<Relationships xmlns="{space}">{said}</Relationships>'


def _workbook(titles: Sequence[str], names: Mapping[str, str]) -> str:
    sheets = "".join(
        f'<sheet name={quoted(title)} sheetId="{number}" r:id="rId{number}"/>' for number, title in enumerate(titles, 1)
    )
    named = f"<definedNames>{names_text(names)}</definedNames>"
    return f'<workbook {_MAIN} xmlns:r="{_LINKS}"><sheets>{sheets}</sheets>{named}</workbook>'


def _sheet(cells: Cells) -> str:
    by_row: dict[int, list[tuple[int, str]]] = {}
    for cell in cells:
        row, column = row_and_column(cell)
        by_row.setdefault(row, []).append((column, cell))
    rows = (
        f'<row r="{row}">{"".join(cell_text(cell, "", *cells[cell]) for _, cell in sorted(by_row[row]))}</row>'
        for row in sorted(by_row)
    )
    return f"<worksheet {_MAIN}><sheetData>{without_values(''.join(rows))}</sheetData></worksheet>"
