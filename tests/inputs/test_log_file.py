"""Every cell of a season log that cannot be used is named by its line and column; the rest is read as it stands."""

from __future__ import annotations

import csv
from collections.abc import Sequence
from importlib.resources import files
from pathlib import Path

import pytest

from podbook import regions
from podbook.errors import BadInput, Complaint
from podbook.inputs import log
from podbook.inputs.farm import BORROWED, filled
from podbook.inputs.log import MonthLogged
from podbook.sheets import book_of

MONTHS = ("Oct", "Nov", "Dec", "Jan")
SOUND = ["Dec", "800", "650.5", "2", "14", "0", "410", "0", "25", "17", "97", "snow, hay early"]


def write(path: Path, *rows: Sequence[str], columns: Sequence[str] = log.COLUMNS) -> Path:
    with path.open("w", newline="", encoding="utf-8") as file:
        csv.writer(file).writerows([columns, *rows])
    return path


def with_cell(column: str, text: str) -> list[str]:
    return [text if name == column else cell for name, cell in zip(log.COLUMNS, SOUND, strict=True)]


def complaints(path: Path) -> tuple[Complaint, ...]:
    with pytest.raises(BadInput) as caught:
        log.read(path, MONTHS)
    return caught.value.complaints


def test_a_sound_month(tmp_path: Path) -> None:
    (found,) = log.read(write(tmp_path / "l.csv", SOUND), MONTHS)
    assert found == MonthLogged("Dec", "snow, hay early", 800, 650.5, 2, 14, 0, 410, 0, 25, 17, 97)


def test_a_month_of_which_little_is_known(tmp_path: Path) -> None:
    (found,) = log.read(write(tmp_path / "l.csv", ["Nov", "120"]), MONTHS)
    assert found == MonthLogged("Nov", picked=120)


def test_any_order_and_not_every_month(tmp_path: Path) -> None:
    path = write(tmp_path / "l.csv", ["Jan", "1"], ["Oct", "2"])
    assert [(each.month, each.picked) for each in log.read(path, MONTHS)] == [("Jan", 1), ("Oct", 2)]


@pytest.mark.parametrize(
    ("column", "text", "allowed"),
    [
        ("month", "december", "'Oct', 'Nov', 'Dec', 'Jan'"),
        ("month", "May", "'Oct', 'Nov', 'Dec', 'Jan'"),
        ("month", "", "'Oct', 'Nov', 'Dec', 'Jan'"),
        ("pods_picked_lb", "1,200", "a plain number, without commas or units, from 0 to 500000 lb"),
        ("pods_picked_lb", "-1", "a number from 0 to 500000 lb"),
        ("pods_fed_lb", "some", "a plain number"),
        ("hay_fed_ton", "5001", "a number from 0 to 5000 tons"),
        ("hay_fed_bales", "14 bales", "a plain number, without commas or units, from 0 to 50000 bales"),
        ("supplement_fed_lb", "nan", "a plain number"),
        ("hay_money", "$410", "a plain number"),
        ("supplement_money", "1e3", "a plain number"),
        ("collecting_money", "-25", "a number from 0 to 500000"),
        ("days_fed", "32", "a number from 0 to 31 days"),
        ("days_fed", "", "both days_fed and head_fed, or neither"),
        ("head_fed", "", "both days_fed and head_fed, or neither"),
        ("head_fed", "50001", "a number from 0 to 50000 head"),
        ("note", "x" * 61, "one line of at most 60 letters"),
        ("note", "two\nlines", "one line of at most 60 letters"),
    ],
)
def test_a_bad_cell(tmp_path: Path, column: str, text: str, allowed: str) -> None:
    (complaint,) = complaints(write(tmp_path / "l.csv", with_cell(column, text)))
    assert (complaint.line, complaint.column) == (2, column)
    assert allowed in complaint.allowed


def test_a_month_twice_names_both_lines(tmp_path: Path) -> None:
    (complaint,) = complaints(write(tmp_path / "l.csv", SOUND, ["Oct"], SOUND))
    assert (complaint.line, complaint.column, complaint.found) == (4, "month", "'Dec' again, as on line 2")


def test_every_complaint_at_once(tmp_path: Path) -> None:
    path = write(tmp_path / "l.csv", with_cell("hay_fed_ton", "two"), with_cell("month", "Sept"))
    assert [(each.line, each.column) for each in complaints(path)] == [(2, "hay_fed_ton"), (3, "month")]


def test_a_column_that_is_missing(tmp_path: Path) -> None:
    (complaint,) = complaints(write(tmp_path / "l.csv", SOUND[:-1], columns=log.COLUMNS[:-1]))
    assert (complaint.line, complaint.column, complaint.found) == (1, "", "no column 'note'")


def test_kilograms_and_tonnes(tmp_path: Path) -> None:
    """A hundred pounds are 45.359237 kg, a short ton is 0.90718474 t, exactly."""
    names = {"pods_picked_lb": "pods_picked_kg", "pods_fed_lb": "pods_fed_kg", "hay_fed_ton": "hay_fed_tonne",
             "supplement_fed_lb": "supplement_fed_kg"}  # fmt: skip
    columns = [names.get(each, each) for each in log.COLUMNS]
    row = ["Dec", "45.359237", "4.5359237", "0.90718474", "3", "453.59237", "410", "", "", "", "", ""]
    (found,) = log.read(write(tmp_path / "l.csv", row, columns=columns), MONTHS)
    figures = (found.picked, found.fed, found.hay_tons, found.hay_bales, found.supplement, found.hay_money)
    assert figures == pytest.approx((100, 10, 1, 3, 1000, 410), rel=1e-14)
    row[1] = "300000"
    (complaint,) = complaints(write(tmp_path / "m.csv", row, columns=columns))
    assert (complaint.column, complaint.allowed) == ("pods_picked_kg", "a number from 0 to 226796 kg")


def test_the_demo_log_goes_with_the_demo_farm_alone(tmp_path: Path) -> None:
    demo = log.read(Path(str(files("podbook") / "data" / "demo" / "log.csv")))
    assert all(each.note.startswith("Invented") for each in demo)
    assert filled().log == tuple(demo)
    own = write(tmp_path / "l.csv", SOUND)
    found = filled(log=own, months=MONTHS)
    assert found.title == BORROWED
    assert [each.month for each in found.log] == ["Dec"]
    (tmp_path / "t.csv").write_text(
        "tree,type,year,age,weight_lb,share_picked,moisture\n1,Wild,2024,20,100,1,0.1\n", encoding="utf-8"
    )
    assert filled(trees=tmp_path / "t.csv").log == ()


def test_a_log_stands_in_the_row_of_its_month_with_its_note(tmp_path: Path) -> None:
    path = write(tmp_path / "l.csv", SOUND, ["Oct", "7"])
    book = book_of(regions.load("us_midatl_appal"), filled(log=path, months=MONTHS))
    assert book.nodes["log.picked"].contents == (7, None, 800, *(None,) * 5)
    assert book.nodes["log.head"].contents == (None, None, 97, *(None,) * 5)
    assert book.tables["log"].items[:4] == ("Month 1", "Month 2", "snow, hay early", "Month 4")
