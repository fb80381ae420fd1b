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
