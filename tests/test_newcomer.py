"""Wrong words and files, as a newcomer would give them: each is answered in a line or two that says what to do."""

from __future__ import annotations

import json
import shutil
from collections.abc import Sequence
from dataclasses import fields
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from podbook import regions
from podbook.book.model import Entries
from podbook.cli import app
from podbook.errors import Complaint, listed
from podbook.inputs.farm import filled
from podbook.inputs.filled import Group, TypeOfTree
from podbook.sheets import book_of

ROOT = Path(__file__).parents[1]
DEMO = ROOT / "podbook" / "data" / "demo"
BOOK = ROOT / "worked_examples" / "demo_farm" / "demo_farm.xlsx"
KINDS = "a farm's file (TOML)"


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where a newcomer works: a workbook, its files, notes, and a folder without workbooks."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("PODBOOK_REGIONS", "")
    shutil.copyfile(BOOK, "farm.xlsx")
    for each in DEMO.iterdir():
        shutil.copyfile(each, each.name)
    Path("notes.txt").write_text("weigh the trees\n", encoding="utf-8")
    Path("empty.csv").touch()
    Path("empty.xlsx").touch()
    Path("photos").mkdir()
    semicolons = Path("tally.csv").read_text(encoding="utf-8").replace(",", ";")
    Path("semicolons.csv").write_text(semicolons, encoding="utf-8")
    farm = Path("farm.toml").read_text(encoding="utf-8")
    Path("typo.toml").write_text(farm.replace("[figures]", "[figures]\nhay_prise = 3"), encoding="utf-8")
    Path("broken.toml").write_text(farm.replace("title =", "title"), encoding="utf-8")
    return tmp_path


def run(*arguments: str) -> Any:
    return CliRunner().invoke(app, list(arguments))


HEADING = "tree,type,year,age,weight_lb,share_picked,moisture"
LINES = 'allowed: lines such as name = 3 or name = "a word", below headings in [brackets]'
WRONG: dict[str, tuple[int, str]] = {
    "build x.xlsx --farm none.toml": (2, f"none.toml: found no such file; allowed: the path of {KINDS}"),
    "build x.xlsx --farm photos": (2, f"photos: found a folder; allowed: the path of {KINDS}"),
    "build x.xlsx --farm farm.xlsx": (
        2, f"farm.xlsx: found a workbook or another packed file; allowed: {KINDS}, which is plain text",
    ),
    "build x.xlsx --farm broken.toml": (
        2, f"broken.toml, line 4: found a line that is no TOML (expected '=' after a key in a key/value pair); {LINES}",
    ),
    "build x.xlsx --farm typo.toml": (
        2, "'hay_prise' is no figure of the book; nearest to it: 'hay_price', 'hay_cp', 'grass_price';"
        " 'podbook figures' lists them all",
    ),
    "build x.xlsx --trees photos": (2, "photos: found a folder; allowed: the path of a CSV file"),
    "build x.xlsx --trees empty.csv": (2, f"empty.csv, line 1: found no heading; allowed: the heading {HEADING}"),
    "build x.xlsx --trees semicolons.csv": (
        2, f"semicolons.csv, line 1: found semicolons or tabs between the cells; allowed: commas, as in {HEADING}",
    ),
    "build x.xlsx --trees notes.txt": (
        2, "notes.txt, line 1: found no columns 'tree', 'type', 'year', 'age', 'weight_lb', 'share_picked', 'moisture'"
        f" and unknown column 'weigh the trees'; allowed: the heading {HEADING}",
    ),
    "build x.xlsx --units kg": (2, "--units: found 'kg'; allowed: 'us', 'metric'"),
    "build x.xlsx --region farm.toml": (2, "farm.toml: found nothing that a region's file has; allowed: a "),
    "build x.xlsx --region none.toml": (2, "none.toml: found no such file; allowed: the path of a region's file"),
    "build x.xlsx --region moon": (2, "moon: found no such region; allowed: one of 'eu_mediterranean', 'nz', "),
    "build x.xlsx --station moon": (2, "station 'moon': found none of this name; "),
    "verify farm.xlsx --region none.toml": (2, "none.toml: found no such file; allowed: the path of a region's file"),
    "verify farm.xlsx photos": (2, "photos: holds no .xlsx workbook; name files, or a folder that holds some"),
    "verify empty.xlsx": (3, "empty.xlsx is not an .xlsx workbook but an empty file; name the workbook, saved"),
    "verify notes.txt": (3, "notes.txt is not an .xlsx workbook but another kind of file; name the workbook,"),
    "season photos": (3, "photos is not a file; give the path of an .xlsx workbook"),
    "carry farm.xlsx x.xlsx --region none.toml": (2, "none.toml: found no such file; allowed: the path of a region's"),
    "carry farm.xlsx x.xlsx --region photos": (2, "photos: found a folder; allowed: the path of a region's file"),
    "explain farm.xlsx hay_price": (
        2, "hay_price: there is no such file; name the cell first, then the workbook:"
        " podbook explain hay_price farm.xlsx",
    ),
    "outlook farm.xlsx --alike Wild": (2, "--alike: found 'Wild'; write it as TYPE=SHARE, such as 'Wild=0.8'"),
    "outlook farm.xlsx --alike Wyld=0.8": (
        2, "--alike: 'Wyld' is no type of tree in this book; it has 'Wild', 'Good', 'Selected grafted'",
    ),
    "outlook farm.xlsx --vary hay_prise=1,2": (2, "--vary: 'hay_prise' is no single number of the book; it has "),
    "trees carrob": (2, "'carrob' is no kind of pod tree; name one of 'honey_locust_wild', "),
    "figures saddle": (2, "no figure's name or words hold 'saddle'; 'podbook figures' lists them all"),
    "figures --units kg": (2, "--units: found 'kg'; allowed: 'us', 'metric'"),
}  # fmt: skip


@pytest.mark.parametrize("line", WRONG)
def test_it_is_answered_in_a_line_and_nothing_is_written(folder: Path, line: str) -> None:
    code, told = WRONG[line]
    before = {each: each.stat().st_mtime_ns for each in folder.iterdir()}
    done = run(*line.split())
    assert (done.exit_code, done.stdout) == (code, "")
    first, *more = done.stderr.splitlines()
    assert first.startswith(told)
    assert more in ([], ["1 place to mend; nothing was written"])
    assert {each: each.stat().st_mtime_ns for each in folder.iterdir()} == before


def test_a_season_that_can_not_be_told_is_one_json_object(folder: Path) -> None:
    done = run("season", "none.xlsx", "--json")
    assert done.exit_code == 3
    assert json.loads(done.stdout) == {"file": "none.xlsx", "could_not_tell": "none.xlsx: there is no such file"}


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["honey locust, wild", "carob"], "'honey locust, wild', 'carob'"),
        (["the neighbour's"], '"the neighbour\'s"'),
        ([], ""),
        (["a\x1b[31mb"], "'a\\x1b[31mb'"),
    ],
)
def test_words_to_choose_from_are_told_apart(words: Sequence[str], told: str) -> None:
    assert listed(words) == told


def test_a_place_in_a_file_reads_naturally() -> None:
    def said(line: int | None, column: str) -> str:
        return str(Complaint("t.csv", line, column, "this", "that")).removesuffix(": found this; allowed: that")

    assert said(None, "") == "t.csv"
    assert said(3, "") == "t.csv, line 3"
    assert said(3, "age") == "t.csv, line 3, column 'age'"
    assert said(None, "type 1.kind") == "t.csv, 'type 1.kind'"


def test_figures_lists_every_name_that_a_farms_file_may_hold(tmp_path: Path) -> None:
    listed_here = json.loads(run("figures", "--json").stdout)["figures"]
    book = book_of(regions.load(regions.HOME), filled())
    entries = [
        each for sheet in book.sheets for block in sheet.blocks if isinstance(block, Entries) for each in block.rows
    ]
    assert [each["name"] for each in listed_here] == [each.name for each in entries]
    assert len(listed_here) > 100
    lines = [f"{each.name} = {json.dumps(each.default)}" for each in entries if each.default is not None]
    farm = (DEMO / "farm.toml").read_text(encoding="utf-8").partition("[figures]")[0]
    (tmp_path / "farm.toml").write_text("\n".join([farm, "[figures]", *lines]), encoding="utf-8")
    done = run("build", str(tmp_path / "farm.xlsx"), "--farm", str(tmp_path / "farm.toml"))
    assert done.exit_code == 0, done.output


def test_figures_lists_what_a_type_and_a_group_may_hold() -> None:
    found = json.loads(run("figures", "--json").stdout)
    for part, kind in (("type", TypeOfTree), ("group", Group)):
        names = {each.name for each in fields(kind)} - {"analysis"}
        assert {each["name"] for each in found[part]} == names
    done = run("figures", "condition")
    assert "[[group]]" in done.stdout
    assert "Condition score (cattle, 1 to 9)" in done.stdout
    assert "a number from 1 to 9" in done.stdout
    assert "[[type]]" not in done.stdout


def test_figures_are_found_by_name_or_words_and_told_in_either_units() -> None:
    done = run("figures", "Price of hay")
    assert done.exit_code == 0
    assert "hay_price" in done.stdout
    assert "a number from 20 to 700 $/ton as fed" in done.stdout
    assert "wage" not in done.stdout
    assert "[figures]" in done.stderr
    (metric,) = json.loads(run("figures", "hay_price", "--units", "metric", "--json").stdout)["figures"]
    assert metric["unit"] == "$/t as fed"
    (choice,) = json.loads(run("figures", "pod_form", "--json").stdout)["figures"]
    assert choice["allowed"].startswith("one of '")
