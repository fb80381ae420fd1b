"""Figures that can be used but are unusual: told beside the cell, on the sheet Checks, by verify and by build."""

from __future__ import annotations

from dataclasses import replace
from importlib.resources import files
from pathlib import Path

import pytest
from click.testing import CliRunner

from podbook import recalc
from podbook.book.layout import lay_out
from podbook.book.model import Book
from podbook.book.node import Content
from podbook.book.writer import write
from podbook.cli import app
from podbook.inputs.farm import filled
from podbook.inputs.filled import Filled
from podbook.regions import HOME, load
from podbook.review.before_building import refuse_slips
from podbook.review.entries import refusal
from podbook.review.verify import verify
from podbook.sheets import book_of
from podbook.sheets.season import months

WATCHED = (
    "hay_price_check",
    "tally.state",
    "unusual_hay",
    "unusual_tally",
    "unusual_figures",
    "first_unusual",
    "hay_price",
)

FARM = """[farm]
title = "Kilograms (invented)"
[[type]]
name = "Wild"
origin = "seedling"
share = 1
first_crop_age = 8
full_crop_age = 20
"""


@pytest.fixture(scope="module")
def farm() -> Filled:
    return filled(None, None, None, None, [month.name for month in months(load(HOME))], "us")


def odd(farm: Filled, *, hay: float, pods: float) -> Book:
    records = (replace(farm.records[0], weight=pods), *farm.records[1:])
    figures: dict[str, Content] = {**farm.figures, "hay_price": hay}
    return book_of(load(HOME), replace(farm, records=records, figures=figures), "us")


def said(book: Book, path: Path) -> dict[str, object]:
    """Return the first value of each watched cell, as the engine that runs everyday works it out."""
    write(book, path)
    places = {key: lay_out(book).places[key] for key in WATCHED}
    asked: dict[str, list[str]] = {}
    for place in places.values():
        asked.setdefault(place.sheet, []).append(place.cells[0])
    values = recalc.values(path, recalc.DEFAULT, asked)
    return {key: values[place.sheet, place.cells[0]] for key, place in places.items()}


def test_a_book_as_it_comes_has_nothing_unusual(farm: Filled) -> None:
    assert refuse_slips(book_of(load(HOME), farm, "us")) == []


def test_unusual_figures_are_told_beside_the_cell_and_used(farm: Filled, tmp_path: Path) -> None:
    path = tmp_path / "odd.xlsx"
    book = odd(farm, hay=12.5 * 50, pods=1380)
    assert said(book, path) == {
        "hay_price_check": "unusual",
        "tally.state": "unusual",
        "unusual_hay": 1,
        "unusual_tally": 1,
        "unusual_figures": 2,
        "first_unusual": "Feeds, Hay: Price of hay, delivered",
        "hay_price": 625,
    }
    advice = [each for each in verify(path, [recalc.DEFAULT]).findings if each.kind == "entry"]
    assert [(each.label, each.counts) for each in advice] == [
        ("Price of hay, delivered", False),
        ("Row 1: Picked up", False),
    ]
    hay, pods = refuse_slips(book)
    assert "found 625: it is far from the default 125" in hay
    assert "tally row 1" in pods


def test_a_figure_of_the_farms_own_is_never_unusual(farm: Filled) -> None:
    book = book_of(load(HOME), replace(farm, figures={**farm.figures, "area": 4000, "stand_age": 1}), "us")
    assert refuse_slips(book) == []


def test_build_says_so_and_builds(tmp_path: Path) -> None:
    path, figures = tmp_path / "odd.xlsx", tmp_path / "farm.toml"
    demo = (files("podbook") / "data" / "demo" / "farm.toml").read_text(encoding="utf-8")
    figures.write_text(demo.replace("[figures]\n", "[figures]\nhay_price = 26\n"), encoding="utf-8")
    done = CliRunner().invoke(app, ["build", str(path), "--farm", str(figures)])
    assert done.exit_code == 0
    assert path.is_file()
    assert "figures.hay_price (Price of hay, delivered): found 26: it is far from the default 125." in done.stderr


def test_what_is_missing_is_told_when_a_book_is_built(farm: Filled) -> None:
    shares = tuple(replace(each, share=0.4) for each in farm.types)
    book = book_of(load(HOME), replace(farm, types=shares, sheets=farm.sheets[:-1]), "us")
    lacking, added = refuse_slips(book)
    assert lacking.startswith(f"type 3 ({farm.types[2].name}): has no laboratory's sheet, so the book counts nothing")
    assert "add up to 120 %" in added


@pytest.mark.parametrize("found", [0.2000001, 1234567.25, 0.1 + 0.2])
def test_what_was_found_is_told_with_the_digits_that_tell_it_from_what_is_allowed(found: float) -> None:
    book = book_of(load(HOME), Filled("A farm", ()))
    node = next(each for each in book.nodes.values() if each.role == "entry" and each.high == 0.2)
    told = refusal(book, node, found, {})
    assert told.startswith(f"found {found:.15g}; allowed: a number from")


def test_a_type_without_a_crop_is_told_to_lack_that_alone(farm: Filled) -> None:
    name = farm.types[2].name
    records = tuple(each for each in farm.records if each.kind != name)
    (lacking,) = refuse_slips(book_of(load(HOME), replace(farm, records=records), "us"))
    assert lacking.startswith(f"type 3 ({name}): has no crop, so the book counts nothing that it bears; weigh its")
    assert "sheet" not in lacking


def test_a_heavy_tree_is_told_as_it_was_weighed(tmp_path: Path) -> None:
    tally = "tree,type,year,age,weight_kg,share_picked,moisture\n"
    trees = "".join(f"{tree},Wild,2024,20,{340 if tree == 3 else 20},1,0.1\n" for tree in range(1, 9))
    (tmp_path / "tally.csv").write_text(tally + trees, encoding="utf-8")
    (tmp_path / "farm.toml").write_text(FARM, encoding="utf-8")
    command = ["build", str(tmp_path / "new.xlsx"), "--farm", str(tmp_path / "farm.toml"), "--trees"]
    done = CliRunner().invoke(app, [*command, str(tmp_path / "tally.csv")])
    assert done.exit_code == 0, done.stderr
    assert "tally row 3, weight (Row 3: Picked up): found 340 kg: the tree's whole crop" in done.stderr
