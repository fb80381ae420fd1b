"""Carry a farm's inputs: what is left behind and whether it is said, other regions, and the command."""

from __future__ import annotations

import json
import shutil
import zipfile
from collections.abc import Callable
from copy import copy
from dataclasses import replace
from pathlib import Path
from types import MappingProxyType
from typing import Any

import pytest
from click.testing import CliRunner
from old_books import (
    REGION,
    alter,
    assert_verifies_but_for_entries,
    build,
    contents,
    digest,
    edition,
    fate,
    insert,
    moving,
    put,
    rename,
)
from openpyxl import Workbook
from openpyxl.chart import BarChart, Reference
from openpyxl.comments import Comment
from openpyxl.workbook.defined_name import DefinedName

from podbook import recalc, regions
from podbook.cli import app
from podbook.errors import EngineFailed, PodbookError
from podbook.review.ahead import snapshot
from podbook.review.ahead.outlook import outlook
from podbook.review.carrying.carry import carry
from podbook.sheets.start import EDITION


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return build(tmp_path_factory.mktemp("old") / "demo.xlsx")


@pytest.fixture
def altered(demo: Path, tmp_path: Path) -> Callable[..., Path]:
    """Change a copy of the demo farm's workbook."""
    return lambda *changes: alter(demo, tmp_path / "old.xlsx", *changes)


# What is the user's own


def test_sheets_cells_notes_and_charts_of_the_users_own_are_listed(
    altered: Callable[..., Path], tmp_path: Path
) -> None:
    def own(workbook: Workbook) -> None:
        mine = workbook.create_sheet("Fodder <log>")
        for row in range(1, 6):
            mine.append([row, row * 2])
        chart = BarChart()
        chart.add_data(Reference(mine, min_col=2, min_row=1, max_row=5))
        mine.add_chart(chart, "D2")
        another = BarChart()
        another.add_data(Reference(mine, min_col=1, min_row=1, max_row=5))
        workbook["Savings"].add_chart(another, "T40")
        workbook["Feeds"]["P9"] = "ask the neighbour"
        workbook["Feeds"]["P10"] = 17
        workbook["Herd"]["B9"].comment = Comment("two heifers more in spring", "me")
        workbook["Cautions"]["A3"].comment = Comment("read", "me")

    done = carry(altered(own), tmp_path / "new.xlsx")
    assert not done.complete
    assert not done.counts["left"]
    assert {(each.kind, each.sheet, each.count, each.first) for each in done.leftovers} == {
        ("cells on a sheet of your own", "Fodder <log>", 10, "A1"),
        ("charts", "Fodder <log>", 1, ""),
        ("charts", "Savings", 1, ""),
        ("cells of your own beside the book's", "Feeds", 2, "P9"),
        ("notes on cells", "Herd", 1, "B9"),
        ("notes on cells", "Cautions", 1, "A3"),
    }
    assert len([words for words in done.sentences() if "of your own" in words]) == 6
    assert "6 places" in done.summary


def test_a_copied_sheet_is_the_users_own(altered: Callable[..., Path], tmp_path: Path) -> None:
    def copied(workbook: Workbook) -> None:
        workbook.copy_worksheet(workbook["Feeds"]).title = "Feeds (2)"

    done = carry(altered(copied), tmp_path / "new.xlsx")
    assert [(each.kind, each.sheet) for each in done.leftovers] == [("cells on a sheet of your own", "Feeds (2)")]
    assert not done.counts["left"]


def test_an_outlook_is_not_missed(demo: Path, tmp_path: Path) -> None:
    looked = tmp_path / "looked.xlsx"
    snapshot.write(outlook(demo, count=20), looked)
    done = carry(looked, tmp_path / "new.xlsx")
    assert done.complete
    assert [(each.sheet, each.lost) for each in done.leftovers] == [("Outlook", False)]
    assert "podbook outlook" in " ".join(done.sentences())


def test_a_boxed_cell_that_no_name_leads_to_is_left(altered: Callable[..., Path], tmp_path: Path) -> None:
    old = altered(put(hay_price_entry=150), rename("hay_price_entry", None))
    done = carry(old, tmp_path / "new.xlsx")
    left = [(each.key, each.old, each.was) for each in done.fates if each.outcome == "left"]
    assert left == [("hay_price_entry", "", None), ("", "Feeds!B7", 150)]
    assert "gone" in fate(done.fates, "hay_price_entry").why


def test_words_of_the_users_own_are_listed_in_whatever_ink(altered: Callable[..., Path], tmp_path: Path) -> None:
    def write(workbook: Workbook) -> None:
        page = workbook["Feeds"]
        page["A6"].value, page["A7"].value = "Hay from next door", "bale 60 $"
        page["A7"].font = copy(page["A6"].font)

    done = carry(altered(insert("Feeds", row=7), write), tmp_path / "new.xlsx")
    assert not done.complete
    beside = ("cells of your own beside the book's", "Feeds", 2, "A6")
    assert [(each.kind, each.sheet, each.count, each.first) for each in done.leftovers] == [beside]


def test_boxed_cells_that_are_gone_are_left_out(altered: Callable[..., Path], tmp_path: Path) -> None:
    def delete(workbook: Workbook) -> None:
        for name in ("lab_fat", "lab_seed_fat"):
            for cell in workbook["Pods"][workbook.defined_names[name].attr_text.split("!")[1].replace("$", "")][0]:
                cell.value = None
            workbook.defined_names[name].value = "Pods!#REF!"

    done = carry(altered(delete), tmp_path / "new.xlsx")
    assert not done.complete
    left = [each for each in done.fates if each.outcome == "left"]
    assert [each.key for each in left] == ["lab.fat", "lab.seed_fat"]
    assert all("gone" in each.why for each in left)


@pytest.mark.parametrize("title", ["x" * 61, "a\u202eb"])
def test_a_title_that_cannot_be_used_is_left(altered: Callable[..., Path], tmp_path: Path, title: str) -> None:
    old = altered(put(book_title=title))
    done = carry(old, tmp_path / "new.xlsx")
    assert done.title == "A farm"
    assert fate(done.fates, "title").outcome == "left"


# Another region


@pytest.fixture
def elsewhere(monkeypatch: pytest.MonkeyPatch) -> str:
    """A second region, with dearer hay and a winter that begins a month earlier."""
    load, home = regions.load, regions.load(REGION)
    numbers = {**home.numbers, "hay_price": replace(home.numbers["hay_price"], value=170.0)}
    drop = replace(home.monthly["pod_drop"], by_month=MappingProxyType({9: 0.2, 10: 0.4, 11: 0.4}))
    warmth = {month: 50.0 + month for month in range(1, 13)}
    temperature = replace(home.monthly["temperature"], by_month=MappingProxyType(warmth))
    region = replace(
        home,
        name="elsewhere",
        numbers=MappingProxyType(numbers),
        monthly=MappingProxyType({"pod_drop": drop, "temperature": temperature}),
    )
    monkeypatch.setattr(regions, "known", lambda: ("elsewhere", REGION))
    monkeypatch.setattr(regions, "load", lambda name: region if name == "elsewhere" else load(name))
    return "elsewhere"


def test_another_region_gives_its_defaults_and_leaves_what_was_typed(
    altered: Callable[..., Path], demo: Path, tmp_path: Path, elsewhere: str
) -> None:
    names = contents(demo, "months.name")
    assert names[:2] == ["Oct", "Nov"]
    warm = [each + 1 for each in contents(demo, "months.temperature")]
    old, new = altered(put(months_temperature=warm, wage_entry=31)), tmp_path / "new.xlsx"
    done = carry(old, new, elsewhere)
    assert done.regions == (REGION, elsewhere)
    assert_verifies_but_for_entries(new)
    assert contents(new, "book_region") == [elsewhere]
    assert contents(new, "wage_entry") == [31]
    price = fate(done.fates, "hay_price_entry")
    assert (price.outcome, price.was, price.becomes) == ("default", 125, 170)
    assert contents(new, "months.name") == ["Sep", *names[:-1]]
    assert contents(new, "months.temperature") == [59, *warm[:-1]]
    assert contents(new, "months.drop") == [0.2, 0.4, 0.4, 0, 0, 0, 0, 0]
    left = [each for each in done.fates if each.outcome == "left"]
    assert [(each.key, each.was) for each in left] == [("months.temperature", warm[-1])]
    assert carry(new, tmp_path / "again.xlsx").regions == (elsewhere, elsewhere)


def test_an_unknown_region_needs_another_to_be_named(altered: Callable[..., Path], demo: Path, tmp_path: Path) -> None:
    old, new = altered(put(book_region="nowhere", hay_price_entry=150)), tmp_path / "new.xlsx"
    with pytest.raises(PodbookError, match=r"'nowhere'.+--region.+us_midatl_appal"):
        carry(old, new)
    assert not new.exists()
    done = carry(old, new, REGION)
    assert done.complete
    assert contents(new, "hay_price_entry") == [150]
    assert contents(new, "months.days") == contents(demo, "months.days")
    doubtful = [each for each in done.fates if each.key == "months.days"]
    assert {each.outcome for each in doubtful} == {"carried"}
    assert all("'nowhere'" in each.why for each in doubtful)


# What is refused, and the command


def run(*words: str | Path) -> Any:
    done = CliRunner().invoke(app, ["carry", *map(str, words)])
    assert done.exception is None or isinstance(done.exception, SystemExit), done.exception
    return done


def test_the_command_tells_and_counts(altered: Callable[..., Path], tmp_path: Path) -> None:
    old = altered(put(hay_price_entry="[red]dear[/b]", wage_entry="=10+9"), edition("[/b]"))
    before, new = digest(old), tmp_path / "new.xlsx"
    done = run(old, new)
    assert done.exit_code == 1
    (summary,) = done.stderr.splitlines()
    assert summary.startswith(f"{new}: Demo farm (invented): ")
    assert summary.endswith(f"Next: podbook verify {new}")
    (line,) = [line for line in done.stdout.splitlines() if "[red]dear[/b]" in line]
    assert "left out" in line
    assert "Feeds!B7" in line
    assert "=10+9" in done.stdout
    assert digest(old) == before
    again = run(old, new, "--replace", "--json")
    told = json.loads(again.stdout)
    assert again.exit_code == 1
    assert (told["complete"], told["counts"]["left"]) == (
        False,
        sum(each["outcome"] == "left" for each in told["entries"]),
    )
    assert told["editions"] == ["[/b]", EDITION]
    assert {"was": "[red]dear[/b]", "key": "hay_price_entry"}.items() <= next(
        each for each in told["entries"] if each["outcome"] == "left"
    ).items()


def test_a_whole_farm_is_carried_with_code_0(demo: Path, tmp_path: Path) -> None:
    done = run(demo, tmp_path / "new.xlsx")
    assert done.exit_code == 0
    assert "326 carried" in done.stderr
    assert "239 more figures" in done.stdout
    assert "left out" not in done.stdout


WRONG_USES: dict[str, Callable[[Path, Path], tuple[str | Path, ...]]] = {
    "is already there": lambda old, folder: (old, shutil.copyfile(old, folder / "there.xlsx")),
    "must end in .xlsx": lambda old, folder: (old, folder / "new.ods"),
    "there is no folder": lambda old, folder: (old, folder / "none" / "new.xlsx"),
    "the old workbook itself": lambda old, folder: (old, old, "--replace"),
    "is the old workbook": lambda old, folder: (old, _linked(old, folder / "link.xlsx"), "--replace"),
    "moon: found no such region; allowed: one of 'eu_mediterranean', ": lambda old, folder: (
        old,
        folder / "new.xlsx",
        "--region",
        "moon",
    ),
}


def _linked(old: Path, link: Path) -> Path:
    link.hardlink_to(old)
    return link


@pytest.mark.parametrize("words", WRONG_USES)
def test_a_wrong_use_is_told_in_one_line(demo: Path, tmp_path: Path, words: str) -> None:
    before, arguments = digest(demo), WRONG_USES[words](demo, tmp_path)
    there = {each.name: digest(each) for each in tmp_path.iterdir()}
    done = run(*arguments)
    assert (done.exit_code, done.stdout) == (2, "")
    (line,) = done.stderr.splitlines()
    assert words in line
    assert digest(demo) == before
    assert {each.name: digest(each) for each in tmp_path.iterdir()} == there


def _plain_workbook(path: Path) -> None:
    Workbook().save(path)


def _with_macros(path: Path) -> None:
    Workbook().save(path)
    with zipfile.ZipFile(path, "a") as package:
        package.writestr("xl/vbaProject.bin", b"x")


def _many_names(path: Path) -> None:
    workbook = Workbook()
    for number in range(300):
        workbook.defined_names[f"n{number}"] = DefinedName(f"n{number}", attr_text="Sheet!$A$1:$A$5000")
    workbook.save(path)


def _numbered(path: Path) -> None:
    workbook = Workbook()
    workbook.defined_names["book_edition"] = DefinedName("book_edition", attr_text="Sheet!$A$1")
    workbook["Sheet"]["A1"] = 4
    workbook.save(path)


UNREADABLE: dict[str, Callable[[Path], Any]] = {
    "there is no such file": lambda path: None,
    "is not an .xlsx workbook": lambda path: path.write_bytes(b"tree,type\n1,wild\n"),
    "is an old .xls or has a password": lambda path: path.write_bytes(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"x" * 600),
    "no cell named 'book_edition'": _plain_workbook,
    "is not a workbook that podbook built": _numbered,
    "macros": _with_macros,
    "its names lead to 1,500,000 cells": _many_names,
}


@pytest.mark.parametrize("words", UNREADABLE)
def test_a_file_that_cannot_be_read_is_told_in_one_line(tmp_path: Path, words: str) -> None:
    old, new = tmp_path / "old.xlsx", tmp_path / "new.xlsx"
    UNREADABLE[words](old)
    done = run(old, new)
    assert (done.exit_code, done.stdout) == (3, "")
    (line,) = done.stderr.splitlines()
    assert words in line
    assert not new.exists()
    told = json.loads(run(old, new, "--json").stdout)
    assert told["complete"] is None
    assert words in told["could_not_carry"]


def test_what_a_formula_cannot_be_written_is_left(altered: Callable[..., Path], tmp_path: Path) -> None:
    old = altered(lambda workbook: setattr(workbook["Trees"]["A32"], "value", "=CHAR(1)"))
    moved = moving(old)
    assert fate(moved.fates, "tally.note").outcome == "left"
    assert moved.labels["tally"][0] == "Row 1"


def test_nothing_is_written_where_writing_fails(demo: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(*_: object) -> None:
        raise EngineFailed("the engine stumbled")

    monkeypatch.setattr(recalc, "values", fail)
    done = run(demo, tmp_path / "new.xlsx")
    assert (done.exit_code, done.stderr) == (3, "the engine stumbled\n")
    assert list(tmp_path.iterdir()) == []
