"""The inputs that come with the package and the worked examples can be read, and say what they claim."""

from __future__ import annotations

from pathlib import Path
from statistics import mean

import pytest

from podbook.inputs import lab, tally
from podbook.inputs.tally import TreeRecord

ROOT = Path(__file__).parents[2]
DEMO = ROOT / "podbook" / "data" / "demo"
EXAMPLES = ROOT / "worked_examples"
FOLDERS = (DEMO, EXAMPLES / "auburn_and_virginia", EXAMPLES / "demo_farm")


def records(folder: Path) -> list[TreeRecord]:
    return tally.read(folder / "tally.csv", [sheet.kind for sheet in lab.read(folder / "lab.csv")])


@pytest.mark.parametrize("folder", FOLDERS, ids=lambda folder: folder.name)
def test_every_type_has_trees(folder: Path) -> None:
    kinds = {sheet.kind for sheet in lab.read(folder / "lab.csv")}
    assert {record.kind for record in records(folder)} == kinds


@pytest.mark.parametrize("name", ["tally.csv", "lab.csv"])
def test_the_demonstration_farm_is_the_one_in_the_package(name: str) -> None:
    assert (EXAMPLES / "demo_farm" / name).read_bytes() == (DEMO / name).read_bytes()


def test_millwood_at_auburn_gives_the_published_bushels() -> None:
    """Published in moore-1948: 92 bushels of oats an acre, at 35 trees and 32 lb; the decimal is cut there."""
    weights = [r.weight for r in records(FOLDERS[1]) if r.kind == "Millwood Auburn" and r.year <= 1946]
    assert int(mean(weights) * 35 / 32) == 92


def test_millwood_in_virginia_gives_the_published_mean() -> None:
    """Published in johnson-2013: 15.8, 4.8 and 14.7 kg of dry matter a tree."""
    dry = [r.weight * (1 - r.moisture) * 0.45359237 for r in records(FOLDERS[1]) if r.kind == "Millwood Virginia"]
    assert [round(weight, 1) for weight in dry] == [15.8, 4.8, 14.7]


def test_the_demonstration_farm_has_the_sugars_and_crops_of_the_trade() -> None:
    sugars = []
    for sheet in lab.read(DEMO / "lab.csv"):
        dry = 1 - sheet.moisture / 100 if sheet.as_fed else 1
        seed = sheet.seed.sugar if sheet.seed else sheet.first.sugar
        sugars.append(((1 - sheet.seed_share) * sheet.first.sugar + sheet.seed_share * seed) / dry)
    assert [round(sugar) for sugar in sugars] == [17, 29, 37]
    crops = {
        tree: [r.weight / r.picked for r in records(DEMO) if r.tree == tree] for tree in (11, 12, 13, 21, 22, 23, 31)
    }
    means = {tree: mean(weights) for tree, weights in crops.items()}
    assert all(80 < means[tree] < 125 for tree in (11, 12, 13, 21, 22, 23))
    assert 390 < means[31] < 410
