"""A region's file to begin with: it loads as it stands, tells what belongs there, and takes figures of one's own."""

from __future__ import annotations

import re
import tomllib
from dataclasses import replace
from pathlib import Path

import pytest

from podbook import regions
from podbook.regions.region import BY_MONTH, NUMBERS
from podbook.regions.starter import name_of, starter


@pytest.mark.parametrize("like", regions.names())
def test_it_loads_as_it_stands_and_is_the_region_under_another_name(like: str, tmp_path: Path) -> None:
    region, path = regions.load(like), tmp_path / "mine.toml"
    path.write_text(starter(region, "mine"), encoding="utf-8")
    mine = regions.load(path)
    assert (mine.name, mine.title) == ("mine", f"My place, after {region.title}")
    assert replace(mine, name=region.name, title=region.title) == region
    again = tmp_path / "again.toml"
    again.write_text(starter(mine, "again"), encoding="utf-8")
    assert replace(regions.load(again), name=region.name, title=region.title) == region


@pytest.mark.parametrize("like", ["us_midatl_appal", "nz"])
def test_every_entry_has_a_comment_with_its_unit_and_bounds(like: str) -> None:
    region = regions.load(like)
    text = starter(region, "mine")
    for name, wanted in {**NUMBERS, **BY_MONTH}.items():
        found = re.search(rf"((?:^#.*\n)+)\[{name}\]$", text, re.MULTILINE)
        assert found is not None, name
        comment = found[1]
        unit, turn = wanted.stated(region.units, region.currency)
        assert comment.startswith(f"# {wanted.what}: ")
        assert f'unit = "{unit}"' in comment
        assert f"from {turn.of(wanted.low):g} to {turn.of(wanted.high):g}" in comment
        assert len(comment.splitlines()) >= 2, "where to get it"
    assert max(map(len, (line for line in text.splitlines() if line.startswith("#")))) <= 120


def test_a_figure_of_ones_own(tmp_path: Path) -> None:
    text = starter(regions.load("us_ozarks"), "mine")
    old = re.search(r"\[hay_price\]\n(?:.+\n)+", text)
    assert old is not None
    own = (
        '[hay_price]\nvalue = 90\nlow = 70\nhigh = 120\nunit = "USD/short_ton_fed"\nsource = "own"\n'
        'place = "my dealer"\nyear = "2026"\nmark = "judgement"\nnote = "Delivered."\n'
    )
    path = tmp_path / "mine.toml"
    path.write_text(text.replace(old[0], own), encoding="utf-8")
    hay = regions.load(path).numbers["hay_price"]
    assert (hay.value, hay.source, hay.mark, hay.place) == (90, "own", "judgement", "my dealer")


def test_texts_with_quotation_marks_and_backslashes_come_back(tmp_path: Path) -> None:
    region = regions.load("nz")
    wage = replace(region.numbers["wage"], place='the "old" yard \\ back \u20ac', note="it's = [x] # no comment")
    path = tmp_path / "mine.toml"
    path.write_text(starter(replace(region, numbers={**region.numbers, "wage": wage}), "mine"), encoding="utf-8")
    assert regions.load(path).numbers["wage"] == wage


@pytest.mark.parametrize(
    ("stem", "name"),
    [
        ("mine", "mine"),
        ("My Farm-2", "my_farm_2"),
        ("2nd place", "place_2nd_place"),
        ("___", "place"),
        ("x" * 60, "x" * 40),
    ],
)
def test_a_name_from_that_of_the_file(stem: str, name: str) -> None:
    assert name_of(stem) == name
    text = starter(regions.load("nz"), name_of(stem))
    assert tomllib.loads(text)["region"]["name"] == name
