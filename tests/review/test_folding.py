"""What was done to a block of cells is told as one in the terminal, and cell by cell to other programs."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner
from old_books import build
from openpyxl import load_workbook

from podbook.cli import app
from podbook.review.findings import Finding
from podbook.review.folding import blocks, span
from podbook.review.words import said


def wrong(cell: str, effect: str = "Nothing", what: str = "a formula was overwritten") -> Finding:
    return Finding("formula", True, "Savings", cell, cell, what, effect=effect)


def test_neighbours_of_which_the_same_is_said_are_one_block() -> None:
    block = [wrong(cell) for cell in ("B7", "B8", "C7", "C8")]
    others = [wrong("B9", "Hay saved: 3 tons"), wrong("E7"), wrong("E8"), wrong("B2:B9"), wrong("")]
    assert blocks([others[0], *block, *others[1:]]) == [[others[0]], [block[0], *block[2:1:-1], block[1], block[3]],
                                                        *([each] for each in others[1:])]  # fmt: skip
    assert span(block) == "Savings!B7:C8"
    assert span([*block, wrong("C9")]) == "Savings, between B7 and C9"


def test_a_whole_book_of_findings_is_folded_soon() -> None:
    (block,) = blocks([wrong(f"B{row}") for row in range(1, 20_000)])
    assert len(block) == 19_999


@pytest.fixture(scope="module")
def pasted(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A book in which values were pasted over a block, and a sheet of words was deleted."""
    path = build(tmp_path_factory.mktemp("pasted") / "farm.xlsx")
    workbook, values = load_workbook(path), load_workbook(path, data_only=True)["Savings"]
    for row in range(8, 16):
        workbook["Savings"][f"B{row}"].value = values[f"B{row}"].value
    del workbook["Works"]
    workbook.save(path)
    return path


def test_values_pasted_over_a_block_are_one_entry(pasted: Path) -> None:
    done = CliRunner().invoke(app, ["verify", str(pasted)])
    assert done.exit_code == 1
    assert done.stdout.count("a formula was overwritten") == 1
    assert "Savings!B8:B15, 8 cells: a formula was overwritten" in done.stdout
    findings = json.loads(CliRunner().invoke(app, ["verify", str(pasted), "--json"]).stdout)["findings"]
    assert len([each for each in findings if each["counts"]]) == 8


def test_a_sheet_of_words_that_is_gone_is_told_and_no_fault(pasted: Path) -> None:
    findings = json.loads(CliRunner().invoke(app, ["verify", str(pasted), "--json"]).stdout)["findings"]
    assert [each["counts"] for each in findings if "the sheet Works is gone" in each["what"]] == [False]


def test_a_file_by_another_ending_is_named(pasted: Path) -> None:
    done = CliRunner().invoke(app, ["verify", str(pasted.with_suffix(".xls"))])
    assert done.exit_code == 3
    assert f"there is no such file; there is {pasted}" in done.stderr


def test_one_agrees_and_two_agree() -> None:
    assert (said("agrees", 1), said("agrees", 2), said("differs", 3)) == ("agrees", "agree", "differ")
    assert said("unchecked", 2) == "unchecked"
