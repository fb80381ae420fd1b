"""Usual figures of a kind of tree, where a farm's file names the kind and leaves a figure out."""

from __future__ import annotations

from pathlib import Path

import pytest
from test_farm import FARM, complaint, farm_file, lab_file, tally_file

from podbook.errors import BadInput
from podbook.inputs.farm import filled

CAROB = '[[type]]\nname = "Ridge"\nkind = "carob"\nshare = 1\n'
WILD = '[[type]]\nname = "Lane"\nkind = "honey locust, wild"\nshare = 1\n'


def test_what_a_type_does_not_say_is_as_usual_of_its_kind(tmp_path: Path) -> None:
    found = filled(farm=farm_file(tmp_path, FARM + CAROB))
    (ridge,) = found.types
    assert (ridge.kind, ridge.origin, ridge.first_crop_age, ridge.full_crop_age) == ("carob", "grafted", 4, 10)
    assert ridge.own_yield == pytest.approx(80 / 0.45359237 * 0.86)
    assert found.sheets == ()
    (told,) = found.usual
    for words in (
        "Ridge: taken as usual of carob: origin grafted (published: carobs-australia)",
        "first_crop_age 4 (published: carobs-australia)",
        "full_crop_age 10 (derived: carobs-australia)",
        "own_yield 151.7 lb DM/tree (as picked published: carobs-australia; dry matter from memory: common-practice)",
    ):
        assert words in told


def test_a_metric_farm_is_told_in_its_own_units(tmp_path: Path) -> None:
    metric = FARM.replace('"Ridge"', '"Ridge"\nunits = "metric"')
    found = filled(farm=farm_file(tmp_path, metric + CAROB))
    assert found.types[0].own_yield == pytest.approx(80 / 0.45359237 * 0.86)
    assert "own_yield 68.8 kg DM/tree (" in found.usual[0]


def test_what_a_type_says_stands(tmp_path: Path) -> None:
    said = 'origin = "seedling"\nfirst_crop_age = 6\nfull_crop_age = 15\nown_yield = 33\n'
    found = filled(farm=farm_file(tmp_path, FARM + CAROB + said))
    (ridge,) = found.types
    assert (ridge.origin, ridge.first_crop_age, ridge.full_crop_age, ridge.own_yield) == ("seedling", 6, 15, 33)
    assert found.usual == ()


def test_trees_that_were_weighed_come_before_the_usual_crop(tmp_path: Path) -> None:
    farm = farm_file(tmp_path, FARM + CAROB + WILD)
    ridge, lane = filled(farm=farm, trees=tally_file(tmp_path, "Ridge")).types
    assert ridge.own_yield is None
    assert lane.own_yield == pytest.approx(62.5 * 0.8753)


def test_a_type_without_a_kind_has_nothing_filled_in(tmp_path: Path) -> None:
    column, found, _ = complaint(farm_file(tmp_path, FARM + CAROB.replace('kind = "carob"\n', "")))
    assert (column, found) == ("type 1", "no origin, first_crop_age, full_crop_age")


def test_the_demo_farm_says_its_kinds_and_takes_nothing() -> None:
    found = filled()
    assert found.kinds[:3] == ("honey locust, wild", "honey locust, good", "honey locust, grafted")
    assert found.usual == ()
    assert [each.own_yield for each in found.types] == [None] * 3


def test_trees_alone_do_not_fill_the_demo_farm_with_usual_crops(tmp_path: Path) -> None:
    assert [each.own_yield for each in filled(trees=tally_file(tmp_path, "Good")).types] == [None] * 3


def test_an_analysis_as_usual_is_a_sheet_where_all_of_it_is_known(tmp_path: Path) -> None:
    found = filled(farm=farm_file(tmp_path, FARM + WILD + 'analysis = "usual"\n'))
    (sheet,) = found.sheets
    assert (sheet.kind, sheet.basis, sheet.parts, sheet.seed_share) == ("Lane", "dry", "whole", 0.275)
    assert sheet.moisture == pytest.approx(12.47)
    assert (sheet.first.cp, sheet.first.ndf, sheet.first.fat, sheet.first.ash) == (9.8, 35, 2.42, 3.59)
    assert sheet.first.sugar == 17
    assert (sheet.first.ndicp, sheet.first.lignin, sheet.seed) == (None, None, None)
    assert "analysis of its lab sheet" in found.usual[0]
    assert filled(farm=farm_file(tmp_path, FARM + WILD)).sheets == ()


def test_an_analysis_as_usual_stands_beside_sheets_of_other_types(tmp_path: Path) -> None:
    farm = farm_file(tmp_path, FARM + WILD + 'analysis = "usual"\n' + CAROB)
    assert [each.kind for each in filled(farm=farm, lab=lab_file(tmp_path, "Ridge")).sheets] == ["Ridge", "Lane"]


def test_an_analysis_as_usual_and_a_sheet_of_ones_own_are_refused(tmp_path: Path) -> None:
    farm = farm_file(tmp_path, FARM + WILD + 'analysis = "usual"\n')
    with pytest.raises(BadInput, match=r"'type 1\.analysis': found 'usual' and a laboratory's sheet of Lane"):
        filled(farm=farm, lab=lab_file(tmp_path, "Lane"))


NAMES = (
    "'honey locust, wild', 'honey locust, good', 'honey locust, grafted', 'mesquite', 'carob', 'oak', 'chestnut',"
    " 'mulberry', 'persimmon'"
)
REFUSED = {
    "an unknown kind": (CAROB.replace('"carob"', '"elm"'), "type 1.kind", "'elm'", f"one of {NAMES}"),
    "a number for a kind": (CAROB.replace('"carob"', "3"), "type 1.kind", "3", "a word in quotes"),
    "a blank kind": (CAROB.replace('"carob"', '""'), "type 1.kind", "''", "a word in quotes"),
    "another analysis": (CAROB + 'analysis = "mine"\n', "type 1.analysis", "'mine'", "'usual', or no such line"),
    "an analysis without a kind": (
        CAROB.replace('kind = "carob"\n', 'analysis = "usual"\n'),
        "type 1.analysis",
        "'usual' of a type without a kind",
        "a line kind = ...",
    ),
    "an analysis not all known": (
        CAROB + 'analysis = "usual"\n',
        "type 1.analysis",
        "no usual fat, ash of carob",
        "a laboratory's sheet (--lab)",
    ),
    "an age that is not known": (
        CAROB.replace("carob", "mesquite"),
        "type 1",
        "no full_crop_age, and none is known of mesquite",
        "full_crop_age of your own trees",
    ),
}


@pytest.mark.parametrize(("text", "column", "found", "allowed"), REFUSED.values(), ids=REFUSED)
def test_what_cannot_be_taken_is_named_in_one_line(
    tmp_path: Path, text: str, column: str, found: str, allowed: str
) -> None:
    assert complaint(farm_file(tmp_path, FARM + text)) == (column, found, allowed)


@pytest.mark.parametrize(("said", "told"), [
    ('kind = "ewe"', True), ('kind = "doe"', True), ('kind = "dry pregnant cow"', True),
    ('kind = "ewe"\ndays_pregnant = 60', False), ('kind = "ewe"\nweek_in_milk = 2', False),
    ('kind = "growing cattle"', False),
])  # fmt: skip
def test_a_group_that_may_be_bred_but_does_not_say_is_told_of(tmp_path: Path, said: str, told: bool) -> None:
    group = f"[[group]]\n{said}\nhead = 40\nbody_weight = 150\n"
    found = filled(
        farm=farm_file(
            tmp_path,
            FARM + WILD + "origin = 'seedling'\nfirst_crop_age = 8\nfull_crop_age = 20\nown_yield = 60\n" + group,
        )
    )
    assert any("fed at maintenance all winter" in each for each in found.usual) == told
