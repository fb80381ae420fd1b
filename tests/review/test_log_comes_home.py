"""A season log that was filled in comes home: all of it agrees, and it goes on into a newer workbook by its months."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from old_books import alter, assert_same_results, build, contents, fate, put, spot
from openpyxl import Workbook, load_workbook

from podbook.recalc import DEFAULT
from podbook.review.carrying.carry import carry
from podbook.review.verify import verify

FULL = {
    "log_picked": [90, 640, 790, 310, 120, 0, 0, 0],
    "log_fed": [0, 0, 700, 2600, 2500, 3000, 400, 0],
    "log_hay_tons": [None, None, 1.5, 11, None, 15, 2, 0],
    "log_hay_bales": [None, None, None, None, 30, None, None, None],
    "log_supplement": [0, 0, 0, 0, 50, 120, 0, 0],
    "log_hay_money": [0, 0, 190, 1500, 1900, 2300, 300, 0],
    "log_days": [0, 0, 17, 31, 28, 31, 4, 0],
    "log_head": [0, 0, 97, 97, 96, 96, 96, 0],
    "log_share_trees_entry": 0.2,
    "log_year_entry": "off-year",
}
NOTES = {4: "drought broke, mud at the gate", 7: "turned out to grass"}


def notes(workbook: Workbook) -> None:
    for item, words in NOTES.items():
        cell = spot(workbook, "log_label", item)
        cell.offset(column=-1).value = words


@pytest.fixture(scope="module")
def returned(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("log")
    return alter(build(folder / "demo.xlsx"), folder / "returned.xlsx", put(**FULL), notes)


def rows(path: Path) -> list[Any]:
    workbook = load_workbook(path)
    return [spot(workbook, "log_label", item).offset(column=-1).value for item in range(8)]


def test_a_log_that_was_filled_in_agrees(returned: Path) -> None:
    verdict = verify(returned, (DEFAULT,))
    assert verdict.comparisons[0].disagreements == ()
    assert verdict.comparisons[0].agreeing == verdict.comparisons[0].cells > 14_000
    assert verdict.agrees
    assert not any(each.kind == "own" and "Season log" in each.sheet for each in verdict.findings)


def test_it_is_carried_with_its_notes(returned: Path, tmp_path: Path) -> None:
    done = carry(returned, tmp_path / "new.xlsx")
    assert done.complete
    assert_same_results(returned, tmp_path / "new.xlsx")
    assert contents(tmp_path / "new.xlsx", "log.hay_tons") == FULL["log_hay_tons"]
    assert contents(tmp_path / "new.xlsx", "log_year_entry") == ["off-year"]
    assert rows(tmp_path / "new.xlsx") == rows(returned)
    assert fate(done.fates, "log.note", 7).becomes == NOTES[7]


def test_it_goes_by_its_months_where_the_season_begins_earlier(returned: Path, tmp_path: Path) -> None:
    """The winter of the upper Midwest runs from September to April: October is its second month, May is none."""
    done = carry(returned, tmp_path / "new.xlsx", "us_upper_midwest")
    new = tmp_path / "new.xlsx"
    assert contents(new, "months.name")[:2] == ["Sep", "Oct"]
    assert contents(new, "log.picked") == [None, *FULL["log_picked"][:7]]
    assert contents(new, "log.head") == [None, *FULL["log_head"][:7]]
    noted = {item: words for item, words in enumerate(rows(returned)) if not words.startswith("Month")}
    assert set(noted) == {0, 1, 2, 3, 4, 7}
    assert rows(new) == ["Month 1", *(noted[item] for item in range(5)), "Month 7", "Month 8"]
    left = {(each.key, each.was) for each in done.fates if each.outcome == "left" and each.key.startswith("log.")}
    may = {
        f"log.{key.removeprefix('log_')}" for key, months in FULL.items() if isinstance(months, list) and months[7] == 0
    }
    assert left >= {("log.note", NOTES[7])}
    assert {key for key, _ in left} == {"log.note", *may}


def test_a_slip_in_the_log_is_told(returned: Path, tmp_path: Path) -> None:
    spoilt = alter(returned, tmp_path / "spoilt.xlsx", put(log_fed=[0, "none"]))
    found = [str(each) for each in verify(spoilt, (DEFAULT,)).slips]
    assert len(found) == 1
    assert "Pods fed" in found[0]
    assert "the text 'none'" in found[0]
