"""Every cell of a tally that cannot be used is named by its line and column."""

from __future__ import annotations

import csv
from collections.abc import Sequence
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from podbook.errors import BadInput, Complaint
from podbook.inputs import tally
from podbook.inputs.tally import TreeRecord

TYPES = ("Wild", "Good")
HEADING = ",".join(tally.COLUMNS)
SOUND = ["7", "Wild", "2024", "25", "118.5", "0.9", "0.15"]
ONE_FOLDER = settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None, max_examples=60)


def write(path: Path, rows: Sequence[Sequence[str]]) -> Path:
    with path.open("w", newline="", encoding="utf-8") as file:
        csv.writer(file).writerows([tally.COLUMNS, *rows])
    return path


def complaints(path: Path) -> tuple[Complaint, ...]:
    with pytest.raises(BadInput) as caught:
        tally.read(path, TYPES)
    return caught.value.complaints


def places(path: Path) -> list[tuple[int, str]]:
    return [(complaint.line, complaint.column) for complaint in complaints(path)]


def with_cell(column: str, text: str) -> list[str]:
    return [text if name == column else cell for name, cell in zip(tally.COLUMNS, SOUND, strict=True)]


def test_a_sound_row(tmp_path: Path) -> None:
    records = tally.read(write(tmp_path / "t.csv", [SOUND]), TYPES)
    assert records == [TreeRecord(7, "Wild", 2024, 25.0, 118.5, 0.9, 0.15)]


@pytest.mark.parametrize(
    ("column", "text", "allowed"),
    [
        ("tree", "0", "whole number"),
        ("tree", "12a", "whole number"),
        ("tree", "", "whole number"),
        ("type", "wild", "'Wild', 'Good'"),
        ("type", "", "'Wild', 'Good'"),
        ("year", "2024.5", "whole number"),
        ("year", "24", "from 1900 to 2100"),
        ("age", "0", "from 1 to 200 years"),
        ("age", "ten", "a plain number, without commas or units"),
        ("weight_lb", "1,200", "a plain number, without commas or units"),
        ("weight_lb", "35 lb", "a plain number, without commas or units"),
        ("weight_lb", "1e2", "a plain number, without commas or units"),
        ("weight_lb", "nan", "a plain number, without commas or units"),
        ("weight_lb", "inf", "a plain number, without commas or units"),
        ("weight_lb", "9" * 5000, "from 0 to 3000 lb"),
        ("weight_lb", "-3", "from 0 to 3000 lb"),
        ("weight_lb", "", "from 0 to 3000 lb"),
        ("share_picked", "0", "a share from 0.05 to 1"),
        ("share_picked", "90", "for 90 % write 0.9"),
        ("share_picked", "half", "a plain number"),
        ("moisture", "35", "a share from 0 to 0.7; for 35 % write 0.35"),
        ("moisture", "35 %", "a share from 0 to 0.7; for 35 % write 0.35"),
        ("moisture", "-0.1", "a share from 0 to 0.7"),
        ("moisture", "0,15", "a plain number, without commas or units"),
        ("moisture", "", "a share from 0 to 0.7"),
    ],
)
def test_a_bad_cell(tmp_path: Path, column: str, text: str, allowed: str) -> None:
    (complaint,) = complaints(write(tmp_path / "t.csv", [with_cell(column, text)]))
    assert (complaint.line, complaint.column) == (2, column)
    assert allowed in complaint.allowed
    assert complaint.found == "a blank" if not text else text[:39] in complaint.found


def test_every_bad_row_is_named(tmp_path: Path) -> None:
    rows = [with_cell("moisture", "35"), SOUND, with_cell("weight_lb", "1,200"), ["", "Oak", "x", "", "", "", ""]]
    assert places(write(tmp_path / "t.csv", rows)) == [
        (2, "moisture"),
        (3, "year"),
        (4, "weight_lb"),
        (4, "year"),
        *[(5, column) for column in tally.COLUMNS],
    ]


def test_a_tree_twice_in_a_year(tmp_path: Path) -> None:
    (complaint,) = complaints(write(tmp_path / "t.csv", [SOUND, with_cell("tree", "8"), SOUND]))
    assert (complaint.line, complaint.column) == (4, "year")
    assert "tree 7 in 2024 again, as on line 2" in complaint.found


def test_a_tree_of_two_types(tmp_path: Path) -> None:
    other = ["7", "Good", "2025", *SOUND[3:]]
    (complaint,) = complaints(write(tmp_path / "t.csv", [SOUND, other]))
    assert (complaint.line, complaint.column) == (3, "type")
    assert "'Wild' on line 2" in complaint.found


@pytest.mark.parametrize(
    ("heading", "column", "found"),
    [
        (HEADING.replace(",moisture", ""), "", "no column 'moisture'"),
        (HEADING + ",note", "", "unknown column 'note'"),
        (
            "weight,tree,type,year,age",
            "",
            "no columns 'weight_lb', 'share_picked', 'moisture' and unknown column 'weight'",
        ),
        (
            "some notes",
            "",
            "no columns 'tree', 'type', 'year', 'age', 'weight_lb', 'share_picked', 'moisture' and unknown",
        ),
        (HEADING + ",age", "age", "the column 2 times"),
        (HEADING.replace("year", "year,"), "", "a blank heading"),
        (HEADING.replace(",", ";"), "", "semicolons"),
        ("", "", "no heading"),
    ],
)
def test_a_bad_heading(tmp_path: Path, heading: str, column: str, found: str) -> None:
    path = tmp_path / "t.csv"
    path.write_text(f"{heading}\n{','.join(SOUND)}\n")
    (complaint,) = complaints(path)
    assert (complaint.line, complaint.column) == (1, column)
    assert found in complaint.found


def test_the_columns_may_stand_in_any_order(tmp_path: Path) -> None:
    path = tmp_path / "t.csv"
    path.write_text(",".join(reversed(tally.COLUMNS)) + "\n" + ",".join(reversed(SOUND)) + "\n")
    assert tally.read(path, TYPES)[0].tree == 7


def test_a_comma_within_a_number_makes_a_cell_too_many(tmp_path: Path) -> None:
    path = tmp_path / "t.csv"
    path.write_text(f"{HEADING}\n7,Wild,2024,25,1,200,0.9,0.15\n8,Wild,2024,25,100,0.9,35\n")
    first, second = complaints(path)
    assert (first.line, first.column, first.found) == (2, "", "8 cells")
    assert (second.line, second.column) == (3, "moisture")


def test_empty_lines_count_but_cost_nothing(tmp_path: Path) -> None:
    path = tmp_path / "t.csv"
    path.write_text(f"\ufeff{HEADING}\r\n\r\n,,,,,,\r\n{','.join(with_cell('age', 'x'))}\r\n\r\n", encoding="utf-8")
    assert places(path) == [(4, "age")]


def test_a_line_break_within_a_cell_keeps_the_lines_right(tmp_path: Path) -> None:
    rows = [with_cell("type", "Wi\nld"), ["8", *with_cell("age", "x")[1:]]]
    assert places(write(tmp_path / "t.csv", rows)) == [(2, "type"), (4, "age")]


def test_no_rows(tmp_path: Path) -> None:
    (complaint,) = complaints(write(tmp_path / "t.csv", []))
    assert complaint.found == "no rows"


def test_files_that_cannot_be_read(tmp_path: Path) -> None:
    assert complaints(tmp_path / "gone.csv")[0].found == "no such file"
    assert complaints(tmp_path)[0].found == "a folder"
    path = tmp_path / "t.csv"
    path.write_bytes(HEADING.encode() + b"\n7,W\xefld,2024,25,118,0.9,0.15\n")
    (complaint,) = complaints(path)
    assert (complaint.line, complaint.found) == (2, "letters that are not UTF-8")
    path.write_text(f'{HEADING}\n7,"Wild,2024\n')
    (complaint,) = complaints(path)
    assert complaint.line == 2
    assert "quotation mark closed" in complaint.allowed
    path.write_text(f"{HEADING}\n{','.join(SOUND)}\n{',' * 200}\n")
    assert complaints(path)[0].line == 3


def test_a_quotation_that_is_never_closed_is_told_where_it_begins(tmp_path: Path) -> None:
    path = tmp_path / "t.csv"
    before = f'{HEADING}\n\n7,"Wi\nld",2024,25,118,0.9,0.15\n'
    for unclosed in (
        '8,"Wild,2024\n',
        '"',
        f'8,Wild,2024,25,118,0.9,"0.15\n{",".join(SOUND)}\n',
        f'8,"{"x" * 200_000}\n',
    ):
        path.write_text(before + unclosed)
        (complaint,) = complaints(path)
        assert (complaint.line, complaint.found) == (5, "a line that cannot be split into cells")
    path.write_text(before + '8,"Wild",2024,25,"118","0.9",0.15')
    assert places(path) == [(3, "type")]


def test_a_letter_that_no_text_has_ends_no_file(tmp_path: Path) -> None:
    path = tmp_path / "t.csv"
    path.write_text(f"{HEADING}\n\0\n{','.join(with_cell('age', 'x'))}\n")
    assert places(path) == [(2, column) for column in tally.COLUMNS] + [(3, "age")]


def decimals(low: float, high: float, places: int) -> st.SearchStrategy[float]:
    step = 10**places
    return st.integers(round(low * step), round(high * step)).map(lambda number: number / step)


RECORDS = st.lists(
    st.builds(
        TreeRecord,
        tree=st.integers(1, 99999),
        kind=st.sampled_from(TYPES),
        year=st.integers(1900, 2100),
        age=decimals(1, 200, 1),
        weight=decimals(0, 3000, 2),
        picked=decimals(0.05, 1, 3),
        moisture=decimals(0, 0.7, 4),
    ),
    min_size=1,
    max_size=12,
    unique_by=lambda record: record.tree,
)


def cells(record: TreeRecord) -> list[str]:
    numbers = (record.age, record.weight, record.picked, record.moisture)
    return [str(record.tree), record.kind, str(record.year), *(f"{number:.4f}" for number in numbers)]


@ONE_FOLDER
@given(records=RECORDS)
def test_what_is_written_is_read(tmp_path: Path, records: list[TreeRecord]) -> None:
    assert tally.read(write(tmp_path / "t.csv", [cells(record) for record in records]), TYPES) == records


JUNK = st.one_of(
    st.text(st.characters(exclude_categories=["Cs"]), max_size=60),
    st.sampled_from(["nan", "inf", "-1", "1e3", "1,200", "35 lb", "½", "٣", "=1+1", "0x10", "1_000", "--3", "1.2.3"]),
).filter(lambda text: not text.strip().replace(".", "").isdecimal() or not text.isascii())


@ONE_FOLDER
@given(records=RECORDS, junk=JUNK, data=st.data())
def test_a_junk_cell_is_named_and_no_other(
    tmp_path: Path, records: list[TreeRecord], junk: str, data: st.DataObject
) -> None:
    rows = [cells(record) for record in records]
    row = data.draw(st.integers(0, len(rows) - 1))
    column = data.draw(st.integers(0, len(tally.COLUMNS) - 1))
    rows[row][column] = junk
    assert places(write(tmp_path / "t.csv", rows)) == [(row + 2, tally.COLUMNS[column])]


def test_a_heading_in_other_words_is_told_whole_and_with_the_unit_it_has(tmp_path: Path) -> None:
    path = tmp_path / "t.csv"
    path.write_text(f"Tree No,Type,Year,Age,Weight (kg),Share,Moisture\n{','.join(SOUND)}\n")
    (complaint,) = complaints(path)
    assert "'moisture' and unknown columns 'Tree No', " in complaint.found
    assert "more" not in complaint.found
    assert complaint.allowed.endswith("moisture, or 'weight_kg' for 'weight_lb'")
