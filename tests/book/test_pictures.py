"""The charts of the book: told in words, labelled with units, and readable without colour."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations
from pathlib import Path
from xml.etree.ElementTree import Element, fromstring

import pytest
from click.testing import CliRunner
from contrast import GRAPHICS, TEXT, contrast
from openpyxl import load_workbook
from packages import Parts, packed, parts_of

from podbook import regions
from podbook.book import package
from podbook.book.model import Book, Picture
from podbook.book.writer import write
from podbook.cli import app
from podbook.inputs.farm import filled
from podbook.sheets import book_of
from podbook.systems import METRIC, US
from podbook.units import shown

C, A, X = (
    f"{{http://schemas.openxmlformats.org/drawingml/2006/{name}}}" for name in ("chart", "main", "spreadsheetDrawing")
)
LINK = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}id"
PAPER = "FFFFFF"
APART_IN_GREY = 1.5
"""Least ratio of two grounds that are told apart in grey."""


@dataclass(frozen=True)
class Shown:
    """A chart as it stands in a file."""

    sheet: str
    name: str
    words: str
    """Its alternative text."""
    anchor: Element
    chart: Element

    @property
    def title(self) -> str:
        return text_of(self.chart.find(f"{C}chart/{C}title"))

    @property
    def axes(self) -> list[Element]:
        return [each for each in self.chart.iter() if each.tag in (f"{C}valAx", f"{C}catAx")]

    @property
    def series(self) -> list[Element]:
        return list(self.chart.iter(f"{C}ser"))


def text_of(element: Element | None) -> str:
    return "" if element is None else "".join(each.text or "" for each in element.iter(f"{A}t"))


def links(parts: Parts, part: str) -> dict[str, str]:
    folder, _, name = part.rpartition("/")
    found = fromstring(parts.get(f"{folder}/_rels/{name}.rels", b"<none/>"))
    return {each.attrib["Id"]: each.attrib["Target"].lstrip("/") for each in found}


def charts(path: Path) -> Iterator[Shown]:
    parts = parts_of(path)
    for number, title in enumerate(load_workbook(path, read_only=True).sheetnames, 1):
        for drawing in links(parts, f"xl/worksheets/sheet{number}.xml").values():
            to = links(parts, drawing)
            for anchor in fromstring(parts[drawing]):
                said = next(anchor.iter(f"{X}cNvPr"))
                chart = fromstring(parts[to[next(anchor.iter(f"{C}chart")).attrib[LINK]]])
                yield Shown(title, said.get("name", ""), said.get("descr", ""), anchor, chart)


@pytest.fixture(scope="module", params=[US, METRIC])
def book(request: pytest.FixtureRequest) -> Book:
    return book_of(regions.load("us_midatl_appal"), filled(), request.param)


@pytest.fixture(scope="module")
def path(book: Book, demo: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("pictures") / "farm.xlsx"
    if book.units == US:
        return demo
    write(book, made)
    return made


@pytest.fixture(scope="module")
def drawn(path: Path) -> list[Shown]:
    return list(charts(path))


@pytest.fixture(scope="module")
def outlook(demo: Path, tmp_path_factory: pytest.TempPathFactory) -> list[Shown]:
    """The charts of a copy with the sheet Outlook: those of the book, and its own."""
    path = tmp_path_factory.mktemp("outlook") / "copy.xlsx"
    assert CliRunner().invoke(app, ["outlook", str(demo), "--draws", "20", "--into", str(path)]).exit_code == 0
    return list(charts(path))


def pictures(book: Book) -> list[tuple[str, Picture]]:
    return [(sheet.title, block) for sheet in book.sheets for block in sheet.blocks if isinstance(block, Picture)]


def test_every_picture_of_the_book_is_drawn_and_told_in_words(book: Book, drawn: list[Shown]) -> None:
    wanted = pictures(book)
    assert len(wanted) >= 12
    assert [(each.sheet, each.name) for each in drawn] == [(sheet, picture.title) for sheet, picture in wanted]
    for (_, picture), each in zip(wanted, drawn, strict=True):
        legend = [words for _, words in picture.series] if len(picture.series) > 1 else []
        assert [words for words in (picture.title, picture.along, picture.up, *legend) if words not in each.words] == []


def test_the_words_name_the_cells_of_the_figures(drawn: list[Shown]) -> None:
    for each in drawn:
        refs = [
            str(ref.text).replace("$", "")
            for series in each.series
            for values in (f"{C}val", f"{C}yVal")
            for ref in series.findall(f"{values}//{C}f")
        ]
        assert refs
        assert [ref for ref in refs if ref not in each.words] == []


def test_every_chart_has_its_title_and_the_titles_of_its_axes(drawn: list[Shown], outlook: list[Shown]) -> None:
    for each in (*drawn, *outlook):
        assert each.title
        assert [text_of(axis.find(f"{C}title")) for axis in each.axes if not text_of(axis.find(f"{C}title"))] == []
        assert len(each.axes) == 2
        assert [
            axis.find(f"{C}delete[@val='0']") for axis in each.axes if axis.find(f"{C}delete[@val='0']") is None
        ] == []


def test_the_axis_of_values_says_the_unit_of_its_figures(book: Book) -> None:
    for _, picture in pictures(book):
        for key, _ in picture.series:
            unit = shown(book.nodes[key].unit).split("/")[0].split(" ")[0]
            said = {"t": "tonnes", "ton": "tons"}.get(unit, unit)
            assert re.search(rf"(?<!\w){re.escape(said)}(?!\w)", picture.up), (picture.title, picture.up, unit)


def test_the_outlooks_charts_are_told_and_so_are_those_of_the_book_beside_it(
    drawn: list[Shown], outlook: list[Shown], book: Book
) -> None:
    assert [each.sheet for each in outlook[-2:]] == ["Outlook", "Outlook"]
    for each in outlook:
        assert each.name == each.title
        assert [
            words
            for words in (each.title, *(text_of(axis.find(f"{C}title")) for axis in each.axes))
            if words not in each.words
        ] == []
    if book.units != METRIC:
        assert [(each.sheet, each.words) for each in outlook[:-2]] == [(each.sheet, each.words) for each in drawn]


def test_words_that_a_user_gave_a_chart_are_kept(demo: Path, tmp_path: Path) -> None:
    parts = parts_of(demo)
    part = "xl/drawings/drawing1.xml"
    first = re.compile(rb'(<cNvPr id="1" name=)"[^"]*" descr="[^"]*"')
    parts[part] = first.sub(rb'\1"Mine" descr="My own words"', parts[part])
    path = packed(tmp_path / "own.xlsx", parts)
    package.tell_charts(path)
    told = list(charts(path))
    assert (told[0].name, told[0].words) == ("Mine", "My own words")
    assert all(each.words for each in told)


def ground(series: Element) -> tuple[str, str]:
    """Return the ground of a series' bars and their hatching."""
    hatched = series.find(f"{C}spPr/{A}pattFill")
    if hatched is not None:
        return hatched.find(f"{A}bgClr/{A}srgbClr").attrib["val"], hatched.attrib["prst"]  # type: ignore[union-attr]
    return series.find(f"{C}spPr/{A}solidFill/{A}srgbClr").attrib["val"], ""  # type: ignore[union-attr]


def line(series: Element) -> tuple[str, str]:
    """Return the colour and the dash of a series' line or outline."""
    drawn_so = series.find(f"{C}spPr/{A}ln")
    assert drawn_so is not None
    return (
        drawn_so.find(f"{A}solidFill/{A}srgbClr").attrib["val"],  # type: ignore[union-attr]
        drawn_so.find(f"{A}prstDash").attrib["val"],  # type: ignore[union-attr]
    )


def test_every_line_and_every_bars_outline_stands_out_from_the_paper(drawn: list[Shown], outlook: list[Shown]) -> None:
    shades = {line(series)[0] for each in (*drawn, *outlook) for series in each.series}
    assert len(shades) >= 3
    assert {shade: contrast(shade, PAPER) for shade in shades if contrast(shade, PAPER) < GRAPHICS} == {}


def test_the_series_of_a_chart_are_told_apart_without_colour(drawn: list[Shown], outlook: list[Shown]) -> None:
    pairs = 0
    for each in (*drawn, *outlook):
        lines = each.chart.find(f".//{C}scatterChart") is not None
        for one, other in combinations(each.series, 2):
            pairs += 1
            if lines:
                assert line(one)[1] != line(other)[1], each.title
            else:
                (first, hatching), (second, other_hatching) = ground(one), ground(other)
                assert hatching != other_hatching or contrast(first, second) >= APART_IN_GREY, each.title
    assert pairs >= 10


def test_all_letters_of_a_chart_stand_out_from_the_paper(drawn: list[Shown], outlook: list[Shown]) -> None:
    letters = {
        (colour.attrib["val"], int(each.attrib["sz"]))
        for chart in (*drawn, *outlook)
        for tag in ("rPr", "defRPr")
        for each in chart.chart.iter(f"{A}{tag}")
        for colour in each.findall(f"{A}solidFill/{A}srgbClr")
    }
    assert len(letters) >= 3
    assert [one for one in letters if contrast(one[0], PAPER) < TEXT or one[1] < 900] == []


def test_labels_at_bars_follow_their_own_format(drawn: list[Shown]) -> None:
    formats = [each for chart in drawn for each in chart.chart.findall(f".//{C}dLbls/{C}numFmt")]
    assert len(formats) >= 5
    assert {each.get("sourceLinked") for each in formats} == {"0"}


def test_charts_cover_no_cells_and_one_another_nowhere(path: Path, drawn: list[Shown]) -> None:
    """Anchored to cells at both ends, over rows that are empty."""
    workbook = load_workbook(path)
    covered: set[tuple[str, int, int]] = set()
    for each in drawn:
        left, top, right, bottom = (
            int(str(each.anchor.findtext(f"{X}{end}/{X}{along}"))) for end in ("from", "to") for along in ("col", "row")
        )
        cells = {
            (each.sheet, row, column) for row in range(top + 1, bottom + 1) for column in range(left + 1, right + 1)
        }
        assert cells
        assert not cells & covered
        covered |= cells
    assert [spot for spot in covered if workbook[spot[0]].cell(*spot[1:]).value is not None] == []
