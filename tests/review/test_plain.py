"""Cells taken by their text are those that an XML parser finds; what could be read otherwise is left to the parser."""

from __future__ import annotations

from pathlib import Path

import pytest
from bases import bases
from packages import packed, parts_of
from spoiling import KINDS, NOT_MADE, Sound, spoiled

from podbook.coordinates import letters
from podbook.errors import PodbookError
from podbook.review.gate import parts
from podbook.review.gate.contents import Contents
from podbook.review.gate.plain import MOST, plain
from podbook.review.gate.reach import all_inside, outside
from podbook.review.gate.read import read

SPACE = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
HEAD = f'<?xml version="1.0" encoding="UTF-8"?>\n<worksheet xmlns="{SPACE}">'
CELLS = (
    '<row r="1" ht="27"><c r="A1" s="1" t="inlineStr"><is><t>Hay &amp; &#176;F</t></is></c>'
    '<c r="C1" t="s"><v>3</v></c></row>'
    '<row r="2"/><row r="4" spans="1:2"><c r="B4"><f>IF(A1&lt;1,"a","b")</f><v>1.5</v></c></row>'
)
COLUMNS = [letters(number) for number in range(1, 52)]
SEEDS = range(40, 42)
OF_SHEETS = tuple(kind for kind in KINDS if kind.startswith(("cells", "elements of a sheet", "texts", "parts")))


def part(cells: str = CELLS, before: str = "", after: str = "") -> bytes:
    return f"{HEAD}{before}<sheetData>{cells}</sheetData>{after}</worksheet>".encode()


def test_plain_cells_are_taken() -> None:
    found = plain(part())
    assert found is not None
    columns = (found.coordinates, found.kinds, found.formulas, found.values, found.texts)
    assert list(zip(*columns, strict=True)) == [
        ("A1", "inlineStr", None, "", "Hay & °F"),
        ("C1", "s", None, "3", None),
        ("B4", "n", 'IF(A1<1,"a","b")', "1.5", None),
    ]
    assert found.farthest == (4, 3)
    assert found.rest == part('<row r="1" ht="27"></row><row r="2"/><row r="4" spans="1:2"></row>')


@pytest.mark.parametrize(
    "cells",
    [
        CELLS.replace("1.5", "<!-- 1 -->1.5"),
        CELLS.replace("1.5", "<![CDATA[1.5]]>"),
        CELLS.replace("1.5", "1.5]]>"),
        CELLS.replace("1.5", "<?what 1?>1.5"),
        CELLS.replace("1.5", "1\x00.5"),
        CELLS.replace("1.5", "1\r.5"),
        CELLS.replace("1.5", "&#49;.5"),
        CELLS.replace("1.5", "&one;.5"),
        CELLS.replace("1.5", "1 & 5"),
        CELLS.replace("<f>", '<f t="shared" si="0">'),
        CELLS.replace("<f>", '<f xmlns="urn:another">'),
        CELLS.replace('<row r="4"', '<row r="4" xmlns="urn:another"'),
        CELLS.replace('r="B4"', 'r="B5"'),
        CELLS.replace('r="C1"', 'r="A1"'),
        CELLS.replace('r="C1"', 'r="C1" r="D1"'),
        CELLS.replace("</row>", "", 1),
        CELLS.replace('<c r="B4">', '<c r="B4"><v>2</v>'),
        CELLS.replace('<row r="2"/>', '<c r="A2"><v>2</v></c>'),
        CELLS.replace('<row r="2"/>', "much"),
        CELLS.replace('<row r="2"/>', '</sheetData><row r="2"/>'),
        CELLS.replace('<row r="2"/>', '<sheetData/><row r="2"/>'),
        CELLS.replace('<row r="4" spans="1:2">', '<row r="4" spans="1:2&amp;">'),
    ],
)
def test_of_anything_else_nothing_is_taken(cells: str) -> None:
    assert cells != CELLS
    assert plain(part(cells)) is None


@pytest.mark.parametrize(
    "content",
    [
        part().replace(b"UTF-8", b"latin-1"),
        part().replace(b"UTF-8", b"UTF-8").replace("°".encode(), b"\xb0").replace(b"&#176;", b"\xb0"),
        part().decode().encode("utf-16"),
        b"\xef\xbb\xbf" + part(),
        part().replace(b"<worksheet ", b"<x:worksheet "),
        part().replace(b"2006/main", b"2006/other"),
        part(before="<!-- <sheetData> -->"),
        part(after=f"<sheetData>{CELLS}</sheetData>"),
        part(before=f"<sheetData>{CELLS}</sheetData>"),
    ],
)
def test_of_a_part_of_another_kind_nothing_is_taken(content: bytes) -> None:
    assert plain(content) is None


def test_more_cells_than_a_book_has_are_read_as_a_stream_and_bounded(tmp_path: Path, demo: Path) -> None:
    cells = ""
    for row in range(1, 20_002):
        cells += f'<row r="{row}">' + "".join(f'<c r="{column}{row}"/>' for column in COLUMNS) + "</row>"
    assert plain(part(cells)) is None
    content = parts_of(demo)
    content["xl/worksheets/sheet3.xml"] = part(cells)
    told = outcome(packed(tmp_path / "many.xlsx", content))
    assert isinstance(told, str)
    assert "1,000,000 elements" in told


def test_more_rows_than_a_book_has_are_read_as_a_stream_though_they_are_empty() -> None:
    def rows(count: int) -> bytes:
        return part("".join(f'<row r="{row}"></row>' for row in range(1, count + 1)))

    assert plain(rows(MOST)) is not None
    assert plain(rows(MOST + 1)) is None


def outcome(path: Path) -> Contents | str:
    try:
        return read(path)
    except PodbookError as problem:
        return f"{type(problem).__name__}: {problem}"


@pytest.fixture(scope="module")
def sounds(tmp_path_factory: pytest.TempPathFactory) -> list[Sound]:
    return [Sound.of(path) for path in bases(tmp_path_factory.mktemp("bases"), office=True)]


def test_every_program_writes_plain_cells(sounds: list[Sound], tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for number, sound in enumerate(sounds):
        path = tmp_path / f"{number}.xlsx"
        path.write_bytes(sound.content)
        sheets = [name for name in parts_of(path) if name.startswith("xl/worksheets/sheet")]
        assert sheets
        assert all(plain(parts_of(path)[name]) is not None for name in sheets)
        with monkeypatch.context() as patched:
            patched.setattr(parts, "plain", lambda content: None)
            parsed = outcome(path)
        assert isinstance(parsed, Contents)
        assert outcome(path) == parsed


@pytest.mark.parametrize("kind", OF_SHEETS)
def test_a_spoiled_workbook_is_read_alike(
    sounds: list[Sound], tmp_path: Path, monkeypatch: pytest.MonkeyPatch, kind: str
) -> None:
    path = tmp_path / "spoiled.xlsx"
    for seed in SEEDS:
        try:
            path.write_bytes(spoiled(sounds[seed % len(sounds)], kind, seed))
        except NOT_MADE:
            continue
        taken = outcome(path)
        with monkeypatch.context() as patched:
            patched.setattr(parts, "plain", lambda content: None)
            assert taken == outcome(path)


@pytest.mark.parametrize(
    "formula",
    [
        'WEBSERVICE("x")',
        'webservice ("x")',
        '_xlfn.WEBSERVICE("x")',
        "INDIRECT(A1)",
        "REGISTER.ID(1)",
        "'[1]Sheet'!A1",
        "[1]Sheet!A1",
        "cmd|' /C x'!A1",
        "'http://a/b'!A1",
        "'a*b'!A1",
        '"' + "x" * 9000 + '"',
        "(" * 300 + ")" * 300,
    ],
)
def test_what_reaches_outside_is_never_passed_at_a_glance(formula: str) -> None:
    assert outside(formula)
    assert not all_inside(["1+1", formula, "A1"])


def test_harmless_formulas_are_passed_at_a_glance() -> None:
    assert all_inside(["SUM(A1:A9)", "'Season log'!$B$4*2", 'IF(A1="a (b)",1,0)'])
    assert all_inside([])


def test_a_formula_outside_is_refused_among_plain_cells(tmp_path: Path, demo: Path) -> None:
    content = parts_of(demo)
    sheet = "xl/worksheets/sheet3.xml"
    assert b"<f>" in content[sheet]
    content[sheet] = content[sheet].replace(b"<f>", b"<f>WEBSERVICE(A1)+", 1)
    told = outcome(packed(tmp_path / "outside.xlsx", content))
    assert isinstance(told, str)
    assert "the function WEBSERVICE" in told
