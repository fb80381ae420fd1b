"""Three workbooks on paper: printed to PDF by LibreOffice and read back as text, and reckoned at Calibri's widths."""

from __future__ import annotations

import gzip
import os
import re
import shutil
import subprocess
import zipfile
from collections import Counter
from dataclasses import dataclass, replace
from html import unescape
from pathlib import Path

import pytest
from openpyxl import load_workbook
from openpyxl.utils import range_boundaries
from openpyxl.worksheet.worksheet import Worksheet

from podbook import regions
from podbook.book import paper
from podbook.book.model import Book
from podbook.book.writer import write
from podbook.inputs.farm import filled
from podbook.inputs.filled import Filled
from podbook.pod_trees import pod_trees
from podbook.sheets import book_of, season
from podbook.systems import METRIC
from podbook.templates import template

MOST_PAGES_OF_A_SHEET = 2
DEMO, EUROPEAN, FULLEST = "demo", "eu_mediterranean", "fullest"
SMALLEST = 0.67
"""Least scale at which a sheet is printed."""
SMALL = {
    "Stand": 0.66,
    "Herd": 0.62,
    "Sources": 0.63,
    "Rations": 0.62,
    "Season log": 0.58,
    "Trees": 0.58,
    "Quick sums": 0.56,
}
"""Sheets that are smaller in some book, and how small: long tables that stay whole, a hundred trees weighed, and A4,
which is narrower than US letter."""
MOST_PAGES = 43
TALLIED = 100
FOOTER = re.compile(r"podbook - (\w+(?: \w+)*)\s+Page (\d+) of (\d+)")


def need(program: str) -> None:
    if shutil.which(program) is None:
        if os.environ.get("PODBOOK_ALL_WITNESSES") != "1":
            pytest.skip(f"{program} is not installed")
        pytest.fail(f"{program} is not installed")


def fullest() -> Filled:
    """Return a farm that fills in all there is: types of tree of six kinds, five groups, a long tally, a whole log."""
    demo, months = filled(), [month.name for month in season.months(regions.load("us_s_plains"))]
    kinds = {kind.species: kind.name for kind in pod_trees().kinds}
    types = tuple(replace(demo.types[0], name=name, kind=name, share=1 / 6) for name in list(kinds.values())[:6])
    analysis, tree, month = demo.sheets[-1], demo.records[0], replace(demo.log[-1], supplement=90, supplement_money=20)
    return replace(
        demo,
        title="A farm whose name is so long that not all of it can stand at the head of a page",
        types=types,
        groups=(demo.groups * 5)[:5],
        sheets=tuple(replace(analysis, kind=each.name) for each in types),
        records=tuple(replace(tree, tree=number, kind=types[number % 6].name) for number in range(1, TALLIED + 1)),
        log=tuple(replace(month, month=name, collecting_money=40) for name in months),
    )


def book(name: str) -> Book:
    if name == DEMO:
        return book_of(regions.load("us_midatl_appal"), filled())
    if name == FULLEST:
        return book_of(regions.load("us_s_plains"), fullest(), METRIC)
    return template(name)


@dataclass(frozen=True)
class Printed:
    name: str
    path: Path
    farm: str
    pages: list[str]
    """The text of every page."""

    @property
    def counted(self) -> Counter[str]:
        return Counter(footer[1] for page in self.pages if (footer := FOOTER.search(page)))


@pytest.fixture(scope="module", params=[DEMO, EUROPEAN, FULLEST])
def printed(request: pytest.FixtureRequest, demo: Path, tmp_path_factory: pytest.TempPathFactory) -> Printed:
    need("soffice")
    need("pdftotext")
    made, path = book(request.param), demo
    if request.param != DEMO:
        path = tmp_path_factory.mktemp("print") / "farm.xlsx"
        write(made, path)
    reading = ["pdftotext", "-layout", "-enc", "UTF-8", str(by_libreoffice(path, "pdf")), "-"]
    text = subprocess.run(reading, check=True, capture_output=True, encoding="utf-8", timeout=60).stdout
    farm = str(made.nodes["book_title"].contents[0])[: paper.LONGEST_NAME].strip()
    return Printed(request.param, path, farm, text.removesuffix("\f").split("\f"))


def by_libreoffice(workbook: Path, kind: str) -> Path:
    """Convert a workbook to another kind of file beside it."""
    need("soffice")
    profile = workbook.parent / "profile"
    command = ["soffice", f"-env:UserInstallation={profile.as_uri()}", "--headless", "--norestore"]
    command += ["--convert-to", kind, "--outdir", str(workbook.parent), str(workbook)]
    subprocess.run(command, check=True, capture_output=True, timeout=120)
    return workbook.with_suffix(f".{kind}")


def test_every_sheet_takes_at_most_two_pages(printed: Printed) -> None:
    assert [number for number, page in enumerate(printed.pages, 1) if FOOTER.search(page) is None] == []
    assert list(printed.counted) == load_workbook(printed.path).sheetnames
    assert {sheet: count for sheet, count in printed.counted.items() if count > MOST_PAGES_OF_A_SHEET} == {}


def test_the_whole_book_is_a_handful_of_pages(printed: Printed) -> None:
    assert len(printed.pages) <= MOST_PAGES
    numbers = [(int(footer[2]), int(footer[3])) for page in printed.pages for footer in FOOTER.finditer(page)]
    assert numbers == [(number, len(printed.pages)) for number in range(1, len(printed.pages) + 1)]


def test_no_figure_is_too_wide_for_its_column(printed: Printed) -> None:
    assert [number for number, page in enumerate(printed.pages, 1) if "###" in page] == []


def test_no_page_shows_an_error_value(printed: Printed) -> None:
    error = re.compile(r"#(?:DIV/0!|N/A|NAME\?|NULL!|NUM!|REF!|VALUE!)|\bErr:\d{3}")
    assert [found for page in printed.pages for found in error.findall(page)] == []


def test_every_page_says_which_sheet_it_belongs_to(printed: Printed) -> None:
    repeated = {sheet.title: sheet.print_title_rows for sheet in load_workbook(printed.path).worksheets}
    seen = set()
    for page in printed.pages:
        footer = FOOTER.search(page)
        assert footer is not None
        head, _, below = page.partition(printed.farm)
        assert head.strip() == ""
        if footer[1] not in seen or repeated[footer[1]] == "$1:$2":
            assert below.strip()[: len(footer[1])] == footer[1]
        seen.add(footer[1])


def test_a_table_that_is_broken_over_pages_has_its_headings_on_each(printed: Printed) -> None:
    broken = {"Trees": ("Tree no.", "Picked up", "Moisture"), "Pods": ("Type 1", "Type 6", "Unit")}
    for title, headings in broken.items():
        pages = [page for page in printed.pages if (footer := FOOTER.search(page)) and footer[1] == title]
        assert len(pages) > 1
        assert [heading for page in pages[1:] for heading in headings if heading not in page] == []


def test_first_page_and_handout_take_the_pages_they_should(printed: Printed) -> None:
    assert (printed.counted["Start"], printed.counted["Handout"]) == (1, 2)


def test_the_paper_is_that_of_the_country(printed: Printed) -> None:
    """Numbers of paper sizes from ECMA-376, part 1, 18.3.1.63: 1 is US letter, 9 is A4."""
    numbers = {sheet.page_setup.paperSize for sheet in load_workbook(printed.path).worksheets}
    assert numbers == {9 if printed.name == EUROPEAN else 1}


def scale(sheet: Worksheet) -> float:
    """Return how large a sheet is printed where columns are as wide as Calibri's digits make them.

    Fails where pages are turned by rows and one is higher than the paper has room for at the scale of its width: a
    program would print another page then.
    """
    _, _, columns, last = range_boundaries(str(sheet.print_area).rpartition("!")[2].replace("$", ""))
    (size,) = (each for each in (paper.LETTER, paper.A4) if each.number == sheet.page_setup.paperSize)
    wide, high = size.size(sheet.page_setup.orientation == "landscape")
    margins = sheet.page_margins
    wide, high = wide - 72 * (margins.left + margins.right), high - 72 * (margins.top + margins.bottom)
    turns = tuple(each.id + 1 for each in sheet.row_breaks.brk)
    found = paper.measured(sheet, columns, last)
    heights = found.heights(paper.parts_of(last, turns))
    at = min(1.0, wide / found.width)
    if sheet.page_setup.fitToHeight == 0:
        assert max(heights) * at <= high, sheet.title
        return at
    assert not turns
    return float(min(at, sheet.page_setup.fitToHeight * high / sum(heights)))


def test_no_sheet_is_printed_too_small_to_read(printed: Printed) -> None:
    scales = {sheet.title: scale(sheet) for sheet in load_workbook(printed.path).worksheets}
    assert {title: at for title, at in scales.items() if at < SMALL.get(title, SMALLEST)} == {}


def test_a_page_that_would_overflow_is_found(demo: Path) -> None:
    sheet = load_workbook(demo)["Rations"]
    assert scale(sheet) > SMALL["Rations"]
    sheet.page_margins.left = sheet.page_margins.right = 0.3
    with pytest.raises(AssertionError, match="Rations"):
        scale(sheet)


def test_a_tally_of_hundreds_of_trees_takes_the_pages_that_it_needs(tmp_path: Path) -> None:
    path = tmp_path / "many.xlsx"
    write(book_of(regions.load("us_midatl_appal"), replace(filled(), rows=400)), path)
    sheet = load_workbook(path)["Trees"]
    assert sheet.page_setup.fitToHeight == 0
    assert sheet.page_setup.orientation == "landscape"


def test_every_figure_on_the_first_page_is_printed_with_its_name(printed: Printed) -> None:
    start = load_workbook(printed.path, data_only=True)["Start"]
    labels = [row[0].value for row in start.iter_rows(max_col=2) if isinstance(row[1].value, int | float)]
    assert len(labels) > 5
    assert [
        label
        for label in labels
        if not re.search(rf"{re.escape(str(label))}\s+(?:-?[$€]?[\d,.]+|none)", printed.pages[0])
    ] == []


def drawings(workbook: Path) -> str:
    """Return all drawings of a workbook, one after the other."""
    with zipfile.ZipFile(workbook) as package:
        names = [name for name in package.namelist() if re.fullmatch(r"xl/drawings/drawing\d+\.xml", name)]
        return "".join(package.read(name).decode() for name in names)


def test_libreoffice_shows_every_chart_with_its_words(demo: Path) -> None:
    flat = by_libreoffice(demo, "fods").read_text(encoding="utf-8")
    told = re.findall(r"<svg:desc>((?:Bar|Line) chart: [^<]*)</svg:desc>", flat)
    assert len(told) >= 12
    assert sorted(map(unescape, told)) == sorted(map(unescape, re.findall(r' descr="([^"]*)"', drawings(demo))))


def test_gnumeric_shows_every_chart_with_its_titles(demo: Path, tmp_path: Path) -> None:
    need("ssconvert")
    into = tmp_path / "farm.gnumeric"
    subprocess.run(["ssconvert", str(demo), str(into)], check=True, capture_output=True, timeout=60)
    shown = gzip.decompress(into.read_bytes()).decode()
    names = re.findall(r'<gnm:SheetObjectGraph Name="([^"]*)"', shown)
    assert len(names) >= 12
    assert sorted(names) == sorted(re.findall(r'<cNvPr [^>]*name="([^"]*)"', drawings(demo)))
    counted = Counter(re.findall(r'<GogObject role="([\w-]+)"', shown))
    assert (counted["Plot"], counted["Title"], counted["Label"]) == (len(names), len(names), 2 * len(names))
