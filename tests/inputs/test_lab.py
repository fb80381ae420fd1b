"""Every cell of a laboratory file that cannot be used is named by its line and column."""

from __future__ import annotations

import csv
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from podbook.errors import BadInput, Complaint
from podbook.inputs import lab
from podbook.inputs.lab import Analysis, LabSheet

ONE_FOLDER = settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None, max_examples=60)
HUSK = Analysis(cp=6, ndf=27.3, ndicp=1.2, adicp=0.5, fat=1.2, ash=3.6, lignin=5, sugar=22.3)
SEED = Analysis(cp=22, ndf=13.2, ndicp=None, adicp=None, fat=3, ash=3.9, lignin=None, sugar=4)
POD = LabSheet("Good", "as fed", "whole", 12.47, 0.25, HUSK, None)
SPLIT = LabSheet("Better", "dry", "husk and seed", 12, 0.25, HUSK, SEED)


def text(value: float | None) -> str:
    return "" if value is None else f"{value:.3f}"


def cells(sheet: LabSheet) -> list[str]:
    parts = [[text(getattr(part, name, None)) for name in lab.SCALES] for part in (sheet.first, sheet.seed)]
    return [sheet.kind, sheet.basis, sheet.parts, text(sheet.moisture), text(sheet.seed_share), *parts[0], *parts[1]]


def with_cells(sheet: LabSheet, **changed: str) -> list[str]:
    return [changed.get(column, cell) for column, cell in zip(lab.COLUMNS, cells(sheet), strict=True)]


def write(path: Path, rows: Sequence[Sequence[str]]) -> Path:
    with path.open("w", newline="", encoding="utf-8") as file:
        csv.writer(file).writerows([lab.COLUMNS, *rows])
    return path


def complaints(path: Path) -> tuple[Complaint, ...]:
    with pytest.raises(BadInput) as caught:
        lab.read(path)
    return caught.value.complaints


def places(path: Path) -> list[tuple[int, str]]:
    return [(complaint.line, complaint.column) for complaint in complaints(path)]


def test_sound_sheets(tmp_path: Path) -> None:
    sheets = lab.read(write(tmp_path / "l.csv", [cells(POD), cells(SPLIT)]))
    assert sheets == [POD, SPLIT]
    assert [(sheet.as_fed, sheet.apart) for sheet in sheets] == [(True, False), (False, True)]


def test_whole_pods_may_have_their_seed_analysed_too(tmp_path: Path) -> None:
    sheet = replace(POD, seed=SEED)
    assert lab.read(write(tmp_path / "l.csv", [cells(sheet)])) == [sheet]


@pytest.mark.parametrize(
    ("column", "content", "allowed"),
    [
        ("type", "", "begins with a letter"),
        ("type", "=1+1", "begins with a letter"),
        ("type", "G*d", "begins with a letter"),
        ("type", "x" * 31, "at most 30 characters"),
        ("basis", "DM", "'as fed', 'dry'"),
        ("parts", "pods", "'whole', 'husk and seed'"),
        ("moisture", "61", "percent as printed, from 0 to 60 %"),
        ("moisture", "0.12", "percent as printed, e.g. 12"),
        ("moisture", "", "percent as printed"),
        ("seed_share", "25", "for 25 % write 0.25"),
        ("cp", "0.098", "percent as printed, e.g. 9.8"),
        ("cp", "", "percent as printed, from 1 to 60 %"),
        ("cp", "nan", "a plain number, without commas or units"),
        ("cp", "9,8", "a plain number, without commas or units"),
        ("ndf", "4", "from 5 to 90 %"),
        ("ndf", "0.3", "percent as printed, e.g. 30"),
        ("fat", "31", "from 0 to 30 %"),
        ("ash", "0.04", "percent as printed, e.g. 4"),
        ("sugar", "71", "from 0 to 70 %"),
        ("lignin", "n.d.", "a plain number, without commas or units"),
        ("ndicp", "28", "at most ndf, of which it is a part"),
        ("adicp", "6.1", "at most cp, of which it is a part"),
        ("lignin", "27.4", "at most ndf, of which it is a part"),
        ("seed_cp", "", "percent as printed, from 1 to 60 %"),
        ("seed_lignin", "14", "at most seed_ndf, of which it is a part"),
        ("seed_sugar", "62", "at most the non-fibre carbohydrate, 57.9 % of dry matter"),
        ("seed_sugar", "1e1", "a plain number, without commas or units"),
    ],
)
def test_a_bad_cell(tmp_path: Path, column: str, content: str, allowed: str) -> None:
    (complaint,) = complaints(write(tmp_path / "l.csv", [cells(POD), with_cells(SPLIT, **{column: content})]))
    assert (complaint.line, complaint.column) == (3, column)
    assert allowed in complaint.allowed


def test_parts_that_add_to_more_than_a_hundred(tmp_path: Path) -> None:
    path = write(tmp_path / "l.csv", [with_cells(POD, ndf="78", sugar="1"), with_cells(SPLIT, seed_ndf="72")])
    first, second = complaints(path)
    assert (first.line, first.column) == (2, "cp")
    assert "101.5 % of dry matter" in first.found
    assert (second.line, second.column) == (3, "seed_cp")
    assert "100.9 % of dry matter" in second.found
    as_printed = with_cells(POD, ndf="78", sugar="1", basis="dry")
    assert lab.read(write(path, [as_printed]))[0].first.ndf == 78


def test_sugar_is_judged_by_the_dry_matter(tmp_path: Path) -> None:
    sheet = replace(POD, first=replace(HUSK, sugar=55))
    (complaint,) = complaints(write(tmp_path / "l.csv", [cells(sheet)]))
    assert (complaint.line, complaint.column) == (2, "sugar")
    assert complaint.found == "62.8 % sugar in dry matter"
    assert "57.8 % of dry matter" in complaint.allowed


def test_a_seed_half_analysed(tmp_path: Path) -> None:
    path = write(tmp_path / "l.csv", [with_cells(POD, seed_cp="22", seed_fat="3")])
    assert places(path) == [(2, "seed_ndf"), (2, "seed_ash"), (2, "seed_sugar")]


def test_junk_in_the_cells_of_a_seed_not_analysed(tmp_path: Path) -> None:
    assert places(write(tmp_path / "l.csv", [with_cells(POD, seed_cp="n/a")])) == [(2, "seed_cp")]


def test_every_bad_row_is_named(tmp_path: Path) -> None:
    rows = [with_cells(POD, cp="0.098", basis="?"), cells(SPLIT), with_cells(POD, type="GOOD", sugar="x")]
    assert places(write(tmp_path / "l.csv", rows)) == [(2, "basis"), (2, "cp"), (4, "type"), (4, "sugar")]


def test_six_types_at_most(tmp_path: Path) -> None:
    rows = [cells(replace(POD, kind=f"Type {letter}")) for letter in "ABCDEFG"]
    assert len(lab.read(write(tmp_path / "l.csv", rows[:6]))) == 6
    (complaint,) = complaints(write(tmp_path / "l.csv", rows))
    assert (complaint.line, complaint.allowed) == (8, "at most 6 types of tree")


def test_a_missing_column(tmp_path: Path) -> None:
    path = tmp_path / "l.csv"
    path.write_text(",".join(lab.COLUMNS[:4] + lab.COLUMNS[5:]) + "\n")
    (complaint,) = complaints(path)
    assert str(complaint).startswith(f"{path}, line 1: found no column 'seed_share'; allowed: the heading type,basis,")


def test_whole_pods_want_no_columns_of_the_seed(tmp_path: Path) -> None:
    path, wanted = tmp_path / "l.csv", len(lab.WANTED)
    path.write_text(",".join(lab.WANTED) + "\n" + ",".join(cells(POD)[:wanted]) + "\n")
    assert lab.read(path) == [POD]
    path.write_text(",".join(lab.WANTED) + "\n" + ",".join(cells(SPLIT)[:wanted]) + "\n")
    assert [(each.line, each.column, each.found) for each in complaints(path)] == [
        (2, f"seed_{name}", "a blank") for name in ("cp", "ndf", "fat", "ash", "sugar")
    ]


def tenths(low: float, high: float) -> st.SearchStrategy[float]:
    return st.integers(round(low * 10), round(high * 10)).map(lambda number: number / 10)


ANALYSES = st.builds(
    Analysis,
    cp=tenths(5, 20),
    ndf=tenths(10, 25),
    ndicp=st.none() | tenths(0, 3),
    adicp=st.none() | tenths(0, 3),
    fat=tenths(0, 4),
    ash=tenths(0.5, 4),
    lignin=st.none() | tenths(0, 8),
    sugar=tenths(0, 15),
)
SHEETS = st.lists(
    st.builds(
        LabSheet,
        kind=st.sampled_from(["Wild", "Good", "Late (grafted)", "No. 4"]),
        basis=st.sampled_from(lab.BASES),
        parts=st.just(lab.APART),
        moisture=tenths(1, 30),
        seed_share=st.integers(0, 600).map(lambda number: number / 1000),
        first=ANALYSES,
        seed=ANALYSES,
    ),
    min_size=1,
    max_size=4,
    unique_by=lambda sheet: sheet.kind,
)


@ONE_FOLDER
@given(sheets=SHEETS)
def test_what_is_written_is_read(tmp_path: Path, sheets: list[LabSheet]) -> None:
    assert lab.read(write(tmp_path / "l.csv", [cells(sheet) for sheet in sheets])) == sheets


@ONE_FOLDER
@given(
    sheets=SHEETS, junk=st.sampled_from(["=A1", "-1", "1,2", "-nan", "?", "12 %", "9e9", "\x00", "½"]), data=st.data()
)
def test_a_junk_cell_is_named_and_no_other(
    tmp_path: Path, sheets: list[LabSheet], junk: str, data: st.DataObject
) -> None:
    rows = [cells(sheet) for sheet in sheets]
    row = data.draw(st.integers(0, len(rows) - 1))
    column = data.draw(st.integers(0, len(lab.COLUMNS) - 1))
    rows[row][column] = junk
    assert places(write(tmp_path / "l.csv", rows)) == [(row + 2, lab.COLUMNS[column])]
