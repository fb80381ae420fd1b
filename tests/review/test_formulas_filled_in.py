"""A formula that a user filled in counts as what it comes to: for the outlook, and for its fingerprint."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from openpyxl import load_workbook

from podbook import regions
from podbook.book.writer import write
from podbook.inputs.farm import filled
from podbook.recalc import DEFAULT
from podbook.review.ahead import snapshot
from podbook.review.ahead.outlook import RESULTS, Outlook, outlook
from podbook.review.find import filled_in, opened
from podbook.review.verify import verify
from podbook.sheets import book_of

FREE = "AZ300"
"""A cell of the user's own, on any sheet."""


@pytest.fixture(scope="module")
def farm(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("formulas") / "farm.xlsx"
    write(book_of(regions.load("us_midatl_appal"), filled()), path)
    return path


def typed(farm: Path, path: Path, entries: Mapping[tuple[str, int], Any], own: Any = None) -> Path:
    """Type other contents into a copy of a workbook, and something into a free cell of each of their sheets."""
    places = opened(farm).places
    workbook = load_workbook(farm)
    for (key, item), content in entries.items():
        place = places[key]
        workbook[place.sheet][place.cells[item]].value = content
        workbook[place.sheet][FREE].value = own
    workbook.save(path)
    return path


def same(a: Outlook, b: Outlook) -> bool:
    return a.likely == b.likely and all((a.draws[name] == b.draws[name]).all() for name in RESULTS)


FORMULAS: dict[tuple[str, int], tuple[str, Any]] = {
    ("hay_price_entry", 0): (f"={FREE}*2", 171.0),
    ("cases.yields", 0): (f"=MIN({FREE}/100,1)", 0.855),
    ("cases.yields", 2): ("=1/0.8", 1.25),
    ("alternate_entry", 0): ('=IF(1>0,"yes","no")', "yes"),
    ("own_rate_entry", 0): ("=1/0", 0.05),
}


def test_formulas_are_what_they_come_to(farm: Path, tmp_path: Path) -> None:
    formulas = {where: formula for where, (formula, _) in FORMULAS.items()}
    values = {where: value for where, (_, value) in FORMULAS.items()}
    by_formula = outlook(typed(farm, tmp_path / "formula.xlsx", formulas, 85.5), count=20)
    by_value = outlook(typed(farm, tmp_path / "value.xlsx", values), count=20)
    assert same(by_formula, by_value)


def test_a_formula_that_comes_to_a_word_is_that_word(farm: Path, tmp_path: Path) -> None:
    found = opened(typed(farm, tmp_path / "word.xlsx", {("own_rate_entry", 0): '="dear"'}))
    assert filled_in(found)["own_rate_entry"] == ("dear",)


def test_the_formulas_tried_make_a_difference(farm: Path, tmp_path: Path) -> None:
    """So that a formula taken for a word would be found out."""
    plain, dear = (
        outlook(farm, count=20),
        outlook(typed(farm, tmp_path / "a.xlsx", {("hay_price_entry", 0): 171.0}), count=20),
    )
    assert not same(plain, dear)
    assert not np.isnan(list(dear.likely.values())).any()


def test_a_snapshot_is_stale_once_a_formula_comes_to_something_else(farm: Path, tmp_path: Path) -> None:
    source = typed(farm, tmp_path / "farm.xlsx", {("hay_price_entry", 0): f"={FREE}*2"}, 85.5)
    snap = tmp_path / "snap.xlsx"
    snapshot.write(outlook(source, count=20), snap)
    assert verify(snap, (DEFAULT,)).agrees
    place = opened(farm).places["hay_price_entry"]
    workbook = load_workbook(snap)
    workbook[place.sheet][FREE].value = 90
    workbook.save(snap)
    assert "stale" in verify(snap, (DEFAULT,)).snapshot


def test_an_error_and_a_date_filled_in_are_fingerprinted_too(farm: Path, tmp_path: Path) -> None:
    amiss: dict[tuple[str, int], Any] = {("own_rate_entry", 0): "=1/0", ("wind_entry", 0): datetime(2024, 1, 1)}
    snap = tmp_path / "snap.xlsx"
    snapshot.write(outlook(typed(farm, tmp_path / "farm.xlsx", amiss), count=20), snap)
    verdict = verify(snap, (DEFAULT,))
    assert verdict.snapshot == ""
    assert {slip.key for slip in verdict.slips} == {"own_rate_entry", "wind_entry"}
