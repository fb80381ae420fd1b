"""Only what the file format allows is read in a cell: Python takes more for a number than other programs do."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from openpyxl import Workbook
from packages import packed, parts_of, share_strings

from podbook.errors import NotOurWorkbook
from podbook.review.gate.read import read

SHEET = "xl/worksheets/sheet1.xml"


def with_cell(path: Path, kind: str, value: str) -> Path:
    book = Workbook()
    book.worksheets[0]["A1"], book.worksheets[0]["A2"] = 1, "a text"
    book.save(path)
    parts = parts_of(path)
    share_strings(parts)
    parts[SHEET] = re.sub(rb'<c r="A1".*?</c>', f'<c r="A1" t="{kind}"><v>{value}</v></c>'.encode(), parts[SHEET])
    return packed(path, parts)


@pytest.mark.parametrize(
    ("kind", "value", "content"),
    [("n", "12", 12.0), ("n", " -1.5e3 ", -1500.0), ("b", "1", True), ("b", "false", False), ("s", "0", "a text")],
)
def test_what_may_stand(tmp_path: Path, kind: str, value: str, content: object) -> None:
    found = read(with_cell(tmp_path / "a.xlsx", kind, value)).sheets["Sheet"]["A1"]
    assert found == content
    assert type(found) is type(content)


@pytest.mark.parametrize(
    ("kind", "value"),
    [
        *(("n", each) for each in ("\u0661\u0662", "\uff11", "1_000", "nan", "inf", "0x10", "1,5", "1e", "ok")),
        *(("s", each) for each in ("\u0660", "-1", "1", "0.0", "1_0", "x")),
        *(("b", each) for each in ("2", "-1", "TRUE", "\u0661", "1.0")),
    ],
)
def test_what_may_not(tmp_path: Path, kind: str, value: str) -> None:
    with pytest.raises(NotOurWorkbook):
        read(with_cell(tmp_path / "a.xlsx", kind, value))


def with_sheet_data(path: Path, rows: str) -> Path:
    Workbook().save(path)
    parts = parts_of(path)
    parts[SHEET] = re.sub(
        rb"<sheetData ?/>|<sheetData>.*</sheetData>", f"<sheetData>{rows}</sheetData>".encode(), parts[SHEET]
    )
    return packed(path, parts)


def test_a_text_has_no_value_beside_it(tmp_path: Path) -> None:
    """Some programs read the one, some the other."""
    cell = '<row r="1"><c r="A1" t="inlineStr">{}<is><t>12</t></is></c></row>'
    assert read(with_sheet_data(tmp_path / "a.xlsx", cell.format("<v></v>"))).sheets["Sheet"]["A1"] == "12"
    with pytest.raises(NotOurWorkbook):
        read(with_sheet_data(tmp_path / "b.xlsx", cell.format("<v>7</v>")))


def test_a_shared_formula_that_reaches_beyond_the_sheet(tmp_path: Path) -> None:
    rows = (
        '<row r="5"><c r="B5"><f t="shared" ref="A4:B5" si="0">A1</f></c></row>',
        '<row r="{}"><c r="{}"><f t="shared" si="0"/></c></row>',
    )
    there = read(with_sheet_data(tmp_path / "a.xlsx", rows[0] + rows[1].format(6, "B6"))).sheets["Sheet"]
    assert there == {"B5": "=A1", "B6": "=A2"}
    with pytest.raises(NotOurWorkbook):
        read(with_sheet_data(tmp_path / "b.xlsx", rows[0] + rows[1].format(6, "A6")))
