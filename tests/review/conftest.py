"""A workbook as it was built, one that was spoiled, and the reports on them."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from openpyxl import Workbook, load_workbook
from openpyxl.utils.cell import range_boundaries
from reports import LONG, QUOTED, SCRIPT, SHEET, WORSE

from podbook import regions
from podbook.book.writer import write as build
from podbook.inputs.farm import filled
from podbook.review.findings import Finding
from podbook.review.report import page as report
from podbook.review.report.told import MOST_AT_LENGTH, MOST_IN_BRIEF, MOST_ROWS
from podbook.review.verify import Verdict, verify
from podbook.sheets import book_of


def cells(workbook: Workbook, name: str) -> list[Any]:
    """The cells that a name of the workbook stands for."""
    sheet, _, span = workbook.defined_names[name].attr_text.rpartition("!")
    left, top, right, bottom = range_boundaries(span.replace("$", ""))
    page = workbook[sheet.strip("'")]
    return [page.cell(row, column) for row in range(top, bottom + 1) for column in range(left, right + 1)]


@pytest.fixture(scope="session")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("whole") / "farm.xlsx"
    build(book_of(regions.load("us_midatl_appal"), filled()), path)
    return path


@pytest.fixture(scope="session")
def harmed(whole: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A workbook in which formulas, a coefficient and entries were spoiled, with texts that would be markup."""
    path = tmp_path_factory.mktemp("harmed") / "farm.xlsx"
    workbook = load_workbook(whole)
    for name, number in WORSE.items():
        cells(workbook, name)[0].value = number
    for cell in cells(workbook, "winter_pods_eaten")[2:6]:
        cell.value = 1234
    cells(workbook, "hay_price_entry")[0].value = QUOTED
    cells(workbook, "stockpile_area_entry")[0].value = LONG
    for cell in cells(workbook, "tally_weight")[:5]:
        cell.value = "1,200"
    cells(workbook, "book_title")[0].value = SCRIPT
    own = workbook.create_sheet(SHEET)
    own["A1"], own["A2"] = "mine", "=1/0"
    workbook.save(path)
    return path


@pytest.fixture(scope="session")
def right(whole: Path) -> Verdict:
    return verify(whole, ["formualizer"])


@pytest.fixture(scope="session")
def wrong(harmed: Path) -> Verdict:
    return verify(harmed, ["formualizer"])


@pytest.fixture(scope="session")
def many(right: Verdict) -> Verdict:
    """A verdict with more findings than are told at length, in brief, and as rows."""
    alike = [
        Finding("formula", True, "Winter", f"B{row}", "alike", "it happened", key="alike")
        for row in range(10, 12 + MOST_ROWS)
    ]
    each = [
        Finding("formula", True, "Winter", f"C{number}", f"label {number}", f"thing {number} happened", "this", "that",
                "An effect of some lines, as there are where several results change. " * (number % 5),
                f"Mend thing {number} now", f"key {number}")
        for number in range(1, MOST_AT_LENGTH + MOST_IN_BRIEF + 20)
    ]  # fmt: skip
    return replace(right, findings=(*each[:5], *alike, *each[5:]))


@pytest.fixture(scope="session")
def pages(right: Verdict, wrong: Verdict, many: Verdict, tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    folder = tmp_path_factory.mktemp("reports")
    found = {}
    for name, verdict in (("right", right), ("wrong", wrong), ("many", many)):
        found[name] = folder / f"{name}.html"
        report.write(verdict, found[name])
    return found
