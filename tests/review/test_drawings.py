"""A copy with the outlook says which pictures and shapes it lacks."""

from __future__ import annotations

import zipfile
from collections import Counter
from pathlib import Path

import pytest
from click.testing import CliRunner
from openpyxl import load_workbook

from podbook import regions
from podbook.book.writer import write
from podbook.cli import app
from podbook.inputs.farm import filled
from podbook.review.ahead import drawings
from podbook.review.find import loaded
from podbook.sheets import book_of

ANCHOR = (
    '<xdr:oneCellAnchor xmlns:xdr="http://schemas.openxmlformats.org/drawingml/2006/spreadsheetDrawing" '
    'xmlns:a="http://schemas.openxmlformats.org/drawingml/2006/main" '
    'xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships">'
    "<xdr:from><xdr:col>1</xdr:col><xdr:colOff>0</xdr:colOff><xdr:row>1</xdr:row><xdr:rowOff>0</xdr:rowOff></xdr:from>"
    '<xdr:ext cx="9525" cy="9525"/>{}<xdr:clientData/></xdr:oneCellAnchor>'
)
SHAPE = ANCHOR.format(
    '<xdr:sp><xdr:nvSpPr><xdr:cNvPr id="90" name="Arrow"/><xdr:cNvSpPr/></xdr:nvSpPr>'
    '<xdr:spPr><a:prstGeom prst="rightArrow"><a:avLst/></a:prstGeom></xdr:spPr></xdr:sp>'
)
PICTURE = ANCHOR.format(
    '<xdr:pic><xdr:nvPicPr><xdr:cNvPr id="91" name="Paddock"/><xdr:cNvPicPr/></xdr:nvPicPr>'
    '<xdr:blipFill><a:blip r:embed="rId90"/><a:stretch><a:fillRect/></a:stretch></xdr:blipFill>'
    '<xdr:spPr><a:prstGeom prst="rect"><a:avLst/></a:prstGeom></xdr:spPr></xdr:pic>'
)
UNREAD = SHAPE.replace("<xdr:sp>", '<xdr:sp useBgFill="1">')
"""A shape filled as what is behind it: openpyxl then drops the whole drawing, charts and all."""
DOT = bytes.fromhex(
    "89504e470d0a1a0a0000000d49484452000000010000000108060000001f15c4890000000d49444154789c63f8cfc0f01f0005000201"
    "5e5db5920000000049454e44ae426082"
)
PART, LINKS = "xl/drawings/drawing1.xml", "xl/drawings/_rels/drawing1.xml.rels"
LINK = (
    '<Relationship Id="rId90" Target="../media/dot.png" '
    'Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/image"/>'
)


@pytest.fixture(scope="module")
def farm(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("drawings") / "farm.xlsx"
    write(book_of(regions.load("us_midatl_appal"), filled()), path)
    return path


def drawn_on(farm: Path, path: Path, *anchors: str) -> Path:
    """Copy a workbook, with more on its first drawing."""
    ends = {
        PART: ("</wsDr>", "".join(anchors)),
        LINKS: ("</Relationships>", LINK),
        "[Content_Types].xml": ("</Types>", '<Default Extension="png" ContentType="image/png"/>'),
    }
    with zipfile.ZipFile(farm) as old, zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            content = old.read(name).decode() if name in ends else old.read(name)
            if isinstance(content, str):
                end, more = ends[name]
                assert content.rstrip().endswith(end)
                content = content.replace(end, more + end)
            new.writestr(name, content)
        new.writestr("xl/media/dot.png", DOT)
    return path


def drawn_first(path: Path) -> str:
    """Return the title of the first sheet with a chart: that of the first drawing."""
    return next(sheet.title for sheet in load_workbook(path).worksheets if sheet._charts)


def test_the_books_own_charts_are_all_carried_over(farm: Path) -> None:
    assert drawings.lost(farm, load_workbook(farm)) == {}


def test_shapes_are_lost_and_charts_beside_them_are_not(farm: Path, tmp_path: Path) -> None:
    path = drawn_on(farm, tmp_path / "shapes.xlsx", SHAPE, SHAPE)
    copied = load_workbook(path)
    assert drawings.lost(path, copied) == {drawn_first(farm): Counter(shape=2)}


def test_a_picture_is_lost_where_it_was_not_read(farm: Path, tmp_path: Path) -> None:
    """openpyxl reads pictures only if another package is there."""
    path = drawn_on(farm, tmp_path / "picture.xlsx", PICTURE)
    copied = load_workbook(path)
    title = drawn_first(farm)
    copied[title]._images.clear()
    assert drawings.lost(path, copied) == {title: Counter(picture=1)}
    copied[title]._images.append(None)
    assert drawings.lost(path, copied) == {}


def test_charts_that_go_with_a_drawing_are_named(farm: Path, tmp_path: Path) -> None:
    path = drawn_on(farm, tmp_path / "unread.xlsx", UNREAD)
    charts = len(load_workbook(farm)[drawn_first(farm)]._charts)
    assert drawings.lost(path, loaded(path)) == {drawn_first(farm): Counter(chart=charts, shape=1)}


def test_the_command_names_what_its_copy_lacks(farm: Path, tmp_path: Path) -> None:
    source, copy = drawn_on(farm, tmp_path / "arrow.xlsx", SHAPE), tmp_path / "copy.xlsx"
    before = source.read_bytes()
    done = CliRunner().invoke(app, ["outlook", str(source), "--draws", "5", "--into", str(copy)])
    assert done.exit_code == 0
    assert f"lacks what could not be copied: 1 shape on the sheet '{drawn_first(farm)}'" in done.stderr
    assert source.read_bytes() == before
    plain = CliRunner().invoke(app, ["outlook", str(farm), "--draws", "5", "--into", str(copy), "--replace"])
    assert "lacks" not in plain.stderr


def test_nothing_takes_a_workbooks_place_that_lacks_something(farm: Path, tmp_path: Path) -> None:
    source = drawn_on(farm, tmp_path / "arrow.xlsx", UNREAD)
    before = source.read_bytes()
    done = CliRunner().invoke(app, ["outlook", str(source), "--draws", "5", "--into", str(source), "--replace"])
    assert done.exit_code == 2
    charts = len(load_workbook(farm)[drawn_first(farm)]._charts)
    assert f"would lose {charts} charts, 1 shape on the sheet" in done.stderr
    assert "Warning" not in done.stderr
    assert source.read_bytes() == before
