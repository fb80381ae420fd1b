"""An adviser's list of farms: a workbook for each row, or a complaint for each that can't be built and no workbook."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner
from packages import contents_of

from podbook.cli import app
from podbook.recalc import DEFAULT
from podbook.regions.load import OWN
from podbook.review.verify import verify

LIST = (
    "farm,region,units,station,area,hay_price,inputs\n"
    "Hill Farm (invented),us_ozarks,,springfield mo,12,110,\n"
    "Mas d'en Haut (invented),eu_mediterranean,,,4,150,\n"
    "Two Herds (invented),,metric,,,,two.toml\n"
)
FARM = """[farm]
title = "Another name (invented)"
units = "metric"
[[type]]
name = "Wild"
origin = "seedling"
share = 1
first_crop_age = 8
full_crop_age = 20
own_yield = 40
[[group]]
kind = "dry pregnant cow"
head = 10
body_weight = 550
"""


@pytest.fixture
def listed(tmp_path: Path) -> Path:
    (tmp_path / "two.toml").write_text(FARM, encoding="utf-8")
    (tmp_path / "farms.csv").write_text(LIST, encoding="utf-8")
    return tmp_path / "farms.csv"


def _value(path: Path, name: str) -> object:
    return contents_of(path, name)[0]


def test_every_row_becomes_a_workbook_that_verifies(listed: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    done = CliRunner().invoke(app, ["build", "--farms", str(listed), "--out", str(out)])
    assert done.exit_code == 0, done.output
    names = ["hill-farm-invented.xlsx", "mas-d-en-haut-invented.xlsx", "two-herds-invented.xlsx"]
    assert sorted(path.name for path in out.iterdir()) == names
    assert all(verify(out / name, (DEFAULT,)).agrees for name in names)
    hill, mas, two = (out / name for name in names)
    assert (_value(hill, "area_entry"), _value(hill, "hay_price_entry")) == (12, 110)
    assert _value(hill, "temperature_before_entry") == 70.3  # September at Springfield, 1991-2020 normals
    assert (_value(mas, "book_units"), _value(mas, "area_entry"), _value(mas, "hay_price_entry")) == ("metric", 4, 150)
    assert (_value(two, "book_title"), _value(two, "book_units")) == ("Two Herds (invented)", "metric")
    assert all(name in done.output for name in ("Hill Farm", "Mas d'en Haut", "Two Herds"))


def test_rows_that_do_not_say_go_by_the_options(listed: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(OWN, "")  # a region that is made known stays so no longer than the test
    own = tmp_path / "valley.toml"
    made = CliRunner().invoke(app, ["regions", "--start", str(own), "--like", "us_northeast"])
    assert made.exit_code == 0, made.output
    listed.write_text("farm,region\nAs said,\nIn the valley,valley.toml\n", encoding="utf-8")
    out, options = tmp_path / "out", ["--region", "us_ozarks", "--units", "metric"]
    done = CliRunner().invoke(app, ["build", "--farms", str(listed), "--out", str(out), *options])
    assert done.exit_code == 0, done.output
    assert _value(out / "as-said.xlsx", "book_region") == "us_ozarks"
    assert _value(out / "in-the-valley.xlsx", "book_region") == "valley"
    assert {_value(path, "book_units") for path in out.iterdir()} == {"metric"}
    assert all(verify(path, (DEFAULT,)).agrees for path in out.iterdir())


BAD_ROWS = {
    "a declared weed": ("A,queensland,,,,,", "region", "category 3 restricted invasive plant"),
    "no such region": ("A,atlantis,,,,,", "region", "us_midatl_appal"),
    "no such station": ("A,,,atlantis,,,", "station", "ATLANTA GA"),
    "no such system": ("A,,imperial,,,,", "units", "'us', 'metric'"),
    "out of range": ("A,,,,99999,,", "area", "0.1 to 5000"),
    "no number": ("A,,,,much,,", "area", "'much'"),
    "in another unit": ("A,,,,,,two.toml\nB,,us,,5,,two.toml", "farm", "use one"),
    "no name": (",us_ozarks,,,1,,", "farm", "a name of 1 to 60 letters"),
    "the same name twice": ("A,,,,,,\nA,,,,,,", "file", "again, as on line 2"),
    "no such file of inputs": ("A,,,,,,gone.toml", "column 'inputs': gone.toml", "no such file"),
    "a cell too many": ("A,,,,,,,8,9", "line 2", "found 9 cells"),
    "a cell too few": ("A,us_ozarks,,,12,", "line 2", "found 6 cells; allowed: 7 cells"),
    "semicolons": ("A;us_ozarks;;;12;;", "line 2", "found 1 cell; allowed: 7 cells"),
}


@pytest.mark.parametrize("rows", BAD_ROWS.values(), ids=BAD_ROWS)
def test_a_row_that_cannot_be_built_is_named_and_nothing_is_written(
    listed: Path, tmp_path: Path, rows: tuple[str, str, str]
) -> None:
    text, column, words = rows
    listed.write_text(LIST.splitlines()[0] + "\n" + text + "\nGood,,,,,,\n", encoding="utf-8")
    done = CliRunner().invoke(app, ["build", "--farms", str(listed), "--out", str(tmp_path / "out")])
    assert done.exit_code == 2
    assert f"farms.csv, line {2 if 'again' not in words and 'use one' not in words else 3}" in done.output
    assert column in done.output
    assert words in done.output
    assert "Traceback" not in done.output
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize(
    ("given", "words"),
    [
        (["--out", "out"], "found only one"),
        (["--farms", "farms.csv"], "found only one"),
        (["x.xlsx", "--farms", "farms.csv", "--out", "out"], "FILE: can't be used with --farms"),
        ([], "name the workbook to make"),
        (["--farms", "gone.csv", "--out", "out"], "no such file"),
    ],
)
def test_wrong_use_is_told_in_one_line(
    listed: Path, monkeypatch: pytest.MonkeyPatch, given: list[str], words: str
) -> None:
    monkeypatch.chdir(listed.parent)
    done = CliRunner().invoke(app, ["build", *given])
    assert done.exit_code == 2
    assert words in done.output


def test_a_workbook_that_is_there_is_kept(listed: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    out.mkdir()
    kept = out / "hill-farm-invented.xlsx"
    kept.write_text("mine", encoding="utf-8")
    done = CliRunner().invoke(app, ["build", "--farms", str(listed), "--out", str(out)])
    assert done.exit_code == 2
    assert "already" in done.output
    assert kept.read_text(encoding="utf-8") == "mine"
    assert list(out.iterdir()) == [kept]


def test_every_fault_of_a_row_is_told_by_its_own_column(listed: Path, tmp_path: Path) -> None:
    (tmp_path / "bad.csv").write_text("type,basis\nWild,dry\n", encoding="utf-8")
    rows = "A,ozarks,99999,two.toml,gone.csv,bad.csv\nB,,99999,two.toml,,bad.csv\nC,,,,,bad.csv\n"
    listed.write_text(f"farm,region,area,inputs,trees,lab\n{rows}", encoding="utf-8")
    done = CliRunner().invoke(app, ["build", "--farms", str(listed), "--out", str(tmp_path / "out")])
    assert done.exit_code == 2
    told = [line.partition("farms.csv, ")[2].partition(";")[0] for line in done.output.splitlines()]
    assert [each.partition(": ")[0] for each in told if each] == [
        "line 2, column 'region'",
        "line 2, column 'trees'",
        "line 2, column 'area'",
        "line 3, column 'lab'",
        "line 3, column 'area'",
        "line 4, column 'inputs'",
    ]
    assert "bad.csv, line 1: found no columns 'parts'" in done.output


def test_a_fault_in_a_farms_own_file_is_told_with_its_place(listed: Path, tmp_path: Path) -> None:
    (tmp_path / "two.toml").write_text(FARM.replace("head = 10", "head = -1"), encoding="utf-8")
    done = CliRunner().invoke(app, ["build", "--farms", str(listed), "--out", str(tmp_path / "out")])
    assert "line 4, column 'inputs': two.toml, group 1, head: found -1; allowed: a number from 1" in done.output
