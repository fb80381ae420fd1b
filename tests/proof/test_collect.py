"""Leave or collect: the four ways go through the same winter as the sheet Winter, and none feeds what is not there."""

from __future__ import annotations

from pathlib import Path

import pytest
from herds import GROUPS, MONTHS, Farm, Farms, at_most, drawn, near
from live import Live

FARMS = 12
FIRST = 700
LEFT, WHOLE, GROUND, HAND = range(4)
"""Places of the ways."""


@pytest.fixture(scope="module")
def farms(demo: Path) -> Farms:
    return Farms(Live(demo))


@pytest.fixture(scope="module", params=drawn(FARMS, FIRST), ids=lambda which: f"{which[0]}-{which[1]}")
def farm(farms: Farms, request: pytest.FixtureRequest) -> Farm:
    return farms.farm(*request.param)


def of_way(farm: Farm, field: str, way: int) -> list[float]:
    """Return a field of a way, month by month."""
    return [farm[f"way_{month + 1}.{field}"][way] for month in MONTHS]


@pytest.mark.parametrize(("form", "way", "field"), [("whole", LEFT, "taken"), ("ground", GROUND, "drawn")])
def test_the_way_that_is_gone_is_the_winter(farm: Farm, form: str, way: int, field: str) -> None:
    """With what a machine misses left to no one, as on the sheet Winter; one that collects nothing leaves all."""
    share = max(0.1, farm.one("share_collected"))
    found = farm.but({"pod_form_entry": (form,), "missed_found_entry": (0.0,), "share_collected_entry": (share,)})
    size = found.one("pod_crop")
    for month, eaten in enumerate(of_way(found, field, way)):
        assert near(eaten, found["winter.pods_eaten"][month], size)
    energy = sum(found[f"ration_{group}.pods_me"][month] for group in GROUPS for month in MONTHS)
    protein = sum(found[f"ration_{group}.pods_cp"][month] for group in GROUPS for month in MONTHS)
    assert near(found["ways.energy"][way] * found.one("drop_tons"), energy, size)
    assert near(found["ways.protein"][way] * found.one("drop_tons"), protein, size)
    assert near(found["ways.eaten"][way], found.one("eaten_share"), 1.0)


def test_no_way_feeds_more_than_there_is_or_than_they_may_eat(farm: Farm) -> None:
    there = farm.one("pod_crop") * (1 - farm.one("wildlife_loss"))
    for way in (LEFT, WHOLE, GROUND, HAND):
        share = farm["ways.collected"][way] + farm["ways.found"][way]
        assert at_most(share, 1.0)
        eaten = sum(of_way(farm, "taken", way)) + sum(of_way(farm, "drawn", way))
        assert at_most(eaten, there * share)
        for month in MONTHS:
            parts = farm[f"way_{month + 1}.share"][way] + farm[f"way_{month + 1}.store_share"][way]
            assert at_most(parts, 1.0)


def test_a_ton_eaten_bears_the_cost_of_all_that_is_collected(farm: Farm) -> None:
    for way in (WHOLE, GROUND, HAND):
        tons, eaten = farm["ways.tons"][way], farm["ways.tons_eaten"][way]
        assert at_most(eaten, tons)
        if eaten > 0:
            assert near(farm["ways.cost_eaten"][way] * eaten, farm["ways.cost"][way] * tons)


def test_the_cost_that_the_sheet_tells_makes_the_winter_lose_what_it_says(farms: Farms) -> None:
    """Ground pods at the cost of a ton eaten: the pods on the sheet Savings cost what collecting all of them costs."""
    farm = farms.demo("workbook").but({"missed_found_entry": (0.0,)})
    ground = farm.but({"pod_form_entry": ("ground",), "pod_cost_entry": (farm.one("collect_cost_eaten"),)})
    paid = farm["ways.cost"][GROUND] * farm["ways.tons"][GROUND]
    assert paid > 100
    assert ground.one("pods_money") == pytest.approx(paid)


def test_pods_left_lying_spoil_and_pods_in_store_wait(farms: Farms) -> None:
    """The more spoils on the ground, the less leaving is worth; collecting that leaves nothing is worth the same."""
    demo = farms.demo("reference").but({"area_entry": (3.0,), "share_collected_entry": (1.0,)})
    dry, wet = (demo.but({"months.ground_loss": (loss,) * 8}) for loss in (0.02, 0.3))
    assert wet["ways.worth"][LEFT] < 0.8 * dry["ways.worth"][LEFT]
    assert wet["ways.worth"][GROUND] == dry["ways.worth"][GROUND]
    assert wet.one("collect_break_even") > dry.one("collect_break_even") + 10


def test_more_trees_than_the_herd_can_use_gain_nothing_by_collecting(farms: Farms) -> None:
    demo = farms.demo("reference")
    many, more = (demo.but({"area_entry": (acres,)}) for acres in (500.0, 1000.0))
    worth = [each["ways.worth"][GROUND] * each.one("drop_tons") for each in (many, more)]
    assert worth[1] == pytest.approx(worth[0])
    assert more.one("collect_gain") < many.one("collect_gain") < 0


def test_without_pods_there_is_nothing_to_pick(farms: Farms) -> None:
    bare = farms.demo("workbook").but({"by_type.own": (0.0,) * 6})
    assert bare.one("hand_trap") == "-"
    assert bare.one("collect_verdict") == "leave them to the stock"
    assert bare.one("collect_cost_eaten") == bare.one("collect_break_even") == 0
