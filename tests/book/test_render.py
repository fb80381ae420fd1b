"""The workbook on paper: printed to PDF by LibreOffice and read back as text."""

from __future__ import annotations

import gzip
import os
import re
import shutil
import subprocess
import zipfile
from collections import Counter
from html import unescape
from pathlib import Path

import pytest
from openpyxl import load_workbook
from openpyxl.utils import column_index_from_string, get_column_letter

from podbook import regions
from podbook.book.writer import write
from podbook.inputs.farm import filled
from podbook.sheets import book_of

MOST_PAGES_OF_A_SHEET = 2
FARM = "Demo farm (invented)"
SMALLEST = 0.5
"""Least scale at which a sheet is printed, by the width of its columns."""
HANDBOOK, PAGES_OF_THE_HANDBOOK = "Pod trees", 4
MOST_PAGES = 45
FOOTER = re.compile(r"podbook - (\w+(?: \w+)*)\s+Page (\d+) of (\d+)")


def need(program: str) -> None:
    if shutil.which(program) is None:
        if os.environ.get("PODBOOK_ALL_WITNESSES") != "1":
            pytest.skip(f"{program} is not installed")
        pytest.fail(f"{program} is not installed")


@pytest.fixture(scope="module")
def workbook(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("print") / "farm.xlsx"
    write(book_of(regions.load("us_midatl_appal"), filled()), path)
    return path


def by_libreoffice(workbook: Path, kind: str) -> Path:
    """Convert a workbook to another kind of file beside it."""
    need("soffice")
    profile = workbook.parent / "profile"
    command = ["soffice", f"-env:UserInstallation={profile.as_uri()}", "--headless", "--norestore"]
    command += ["--convert-to", kind, "--outdir", str(workbook.parent), str(workbook)]
    subprocess.run(command, check=True, capture_output=True, timeout=120)
    return workbook.with_suffix(f".{kind}")


@pytest.fixture(scope="module")
def pages(workbook: Path) -> list[str]:
    """The text of every page."""
    need("pdftotext")
    reading = ["pdftotext", "-layout", "-enc", "UTF-8", str(by_libreoffice(workbook, "pdf")), "-"]
    text = subprocess.run(reading, check=True, capture_output=True, encoding="utf-8", timeout=60).stdout
    return text.removesuffix("\f").split("\f")


def test_every_sheet_takes_at_most_two_pages(workbook: Path, pages: list[str]) -> None:
    footers = [FOOTER.search(page) for page in pages]
    assert [number for number, footer in enumerate(footers, 1) if footer is None] == []
    counted = Counter(footer[1] for footer in footers if footer)
    assert list(counted) == load_workbook(workbook).sheetnames
    assert {sheet: count for sheet, count in counted.items() if count > MOST_PAGES_OF_A_SHEET} == {
        HANDBOOK: PAGES_OF_THE_HANDBOOK
    }


def test_the_whole_book_is_a_handful_of_pages(pages: list[str]) -> None:
    assert len(pages) <= MOST_PAGES
    numbers = [(int(footer[2]), int(footer[3])) for page in pages for footer in FOOTER.finditer(page)]
    assert numbers == [(number, len(pages)) for number in range(1, len(pages) + 1)]


def test_no_figure_is_too_wide_for_its_column(pages: list[str]) -> None:
    assert [number for number, page in enumerate(pages, 1) if "###" in page] == []


def test_no_page_shows_an_error_value(pages: list[str]) -> None:
    error = re.compile(r"#(?:DIV/0!|N/A|NAME\?|NULL!|NUM!|REF!|VALUE!)|\bErr:\d{3}")
    assert [found for page in pages for found in error.findall(page)] == []


def test_every_page_says_which_sheet_it_belongs_to(pages: list[str]) -> None:
    for page in pages:
        footer = FOOTER.search(page)
        assert footer is not None
        head, sheet = page.split(maxsplit=len(FARM.split()))[:-1], page.split(FARM, 1)[1].strip()
        assert head == FARM.split()
        assert sheet.startswith(footer[1])


def test_first_page_and_handout_take_the_pages_they_should(pages: list[str]) -> None:
    counted = Counter(footer[1] for page in pages if (footer := FOOTER.search(page)))
    assert (counted["Start"], counted["Handout"]) == (1, 2)


def test_no_sheet_is_printed_too_small_to_read(workbook: Path) -> None:
    small = {}
    for sheet in load_workbook(workbook).worksheets:
        last = column_index_from_string(re.sub(r".*:\$?([A-Z]+)\$?\d+$", r"\1", str(sheet.print_area)))
        width = sum(sheet.column_dimensions[get_column_letter(column)].width for column in range(1, last + 1))
        paper = 540 if sheet.page_setup.orientation == "portrait" else 720
        if paper / (0.75 * 7 * width) < SMALLEST:
            small[sheet.title] = width
    assert small == {}


def test_every_figure_on_the_first_page_is_printed_with_its_name(workbook: Path, pages: list[str]) -> None:
    start = load_workbook(workbook, data_only=True)["Start"]
    labels = [row[0].value for row in start.iter_rows(max_col=2) if isinstance(row[1].value, int | float)]
    assert len(labels) > 5
    assert [
        label for label in labels if not re.search(rf"{re.escape(str(label))}\s+(?:-?[$]?[\d,.]+|none)", pages[0])
    ] == []


def drawings(workbook: Path) -> str:
    """Return all drawings of a workbook, one after the other."""
    with zipfile.ZipFile(workbook) as package:
        names = [name for name in package.namelist() if re.fullmatch(r"xl/drawings/drawing\d+\.xml", name)]
        return "".join(package.read(name).decode() for name in names)


def test_libreoffice_shows_every_chart_with_its_words(workbook: Path) -> None:
    flat = by_libreoffice(workbook, "fods").read_text(encoding="utf-8")
    told = re.findall(r"<svg:desc>((?:Bar|Line) chart: [^<]*)</svg:desc>", flat)
    assert len(told) >= 12
    assert sorted(map(unescape, told)) == sorted(map(unescape, re.findall(r' descr="([^"]*)"', drawings(workbook))))


def test_gnumeric_shows_every_chart_with_its_titles(workbook: Path, tmp_path: Path) -> None:
    need("ssconvert")
    into = tmp_path / "farm.gnumeric"
    subprocess.run(["ssconvert", str(workbook), str(into)], check=True, capture_output=True, timeout=60)
    shown = gzip.decompress(into.read_bytes()).decode()
    names = re.findall(r'<gnm:SheetObjectGraph Name="([^"]*)"', shown)
    assert len(names) >= 12
    assert sorted(names) == sorted(re.findall(r'<cNvPr [^>]*name="([^"]*)"', drawings(workbook)))
    counted = Counter(re.findall(r'<GogObject role="([\w-]+)"', shown))
    assert (counted["Plot"], counted["Title"], counted["Label"]) == (len(names), len(names), 2 * len(names))
