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
from podbook.review.find import opened
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


@pytest.mark.parametrize(
    ("key", "item", "formula", "value"),
    [
        ("hay_price_entry", 0, f"={FREE}*2", 171.0),
        ("cases.yields", 0, f"=MIN({FREE}/100,1)", 0.855),
        ("cases.yields", 2, "=1/0.8", 1.25),
        ("alternate_entry", 0, '=IF(1>0,"yes","no")', "yes"),
        ("own_rate_entry", 0, "=1/0", 0.05),
        ("own_rate_entry", 0, '="dear"', 0.05),
    ],
)
def test_a_formula_is_what_it_comes_to(
    farm: Path, tmp_path: Path, key: str, item: int, formula: str, value: Any
) -> None:
    by_formula = outlook(typed(farm, tmp_path / "formula.xlsx", {(key, item): formula}, 85.5), count=20)
    by_value = outlook(typed(farm, tmp_path / "value.xlsx", {(key, item): value}), count=20)
    assert same(by_formula, by_value)


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


@pytest.mark.parametrize("content", ["=1/0", datetime(2024, 1, 1)])
def test_an_error_or_a_date_filled_in_is_fingerprinted_too(farm: Path, tmp_path: Path, content: Any) -> None:
    source = typed(farm, tmp_path / "farm.xlsx", {("own_rate_entry", 0): content})
    snap = tmp_path / "snap.xlsx"
    snapshot.write(outlook(source, count=20), snap)
    verdict = verify(snap, (DEFAULT,))
    assert verdict.snapshot == ""
    assert [slip.key for slip in verdict.slips] == ["own_rate_entry"]
