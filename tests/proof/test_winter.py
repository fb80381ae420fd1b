"""What must be true of every winter: the balances of random farms, by the reference functions and in the workbook."""

from __future__ import annotations

from pathlib import Path

import pytest
from herds import GROUPS, MONTHS, Farm, Farms, at_most, drawn, near, poor_pods
from live import Live

FARMS = 200
SIDES = ("with", "without")
KG_PER_POUND = 0.45359237


@pytest.fixture(scope="module")
def farms(demo: Path) -> Farms:
    return Farms(Live(demo))


@pytest.fixture(scope="module", params=drawn(FARMS), ids=lambda which: f"{which[0]}-{which[1]}")
def any_farm(farms: Farms, request: pytest.FixtureRequest) -> Farm:
    return farms.farm(*request.param)


def test_pods_close_each_month(any_farm: Farm) -> None:
    left = 0.0
    for month in MONTHS:
        carried, dropped, wild, unfound, spoiled, eaten, out = (
            any_farm[f"winter.{each}"][month]
            for each in ("carried_in", "dropped", "to_wildlife", "unfound", "spoiled", "pods_eaten", "carried_out")
        )
        assert carried == left
        assert near(carried + dropped - wild - unfound - spoiled - eaten, out, carried + dropped)
        assert min(carried, dropped, wild, unfound, spoiled, eaten) >= 0
        assert at_most(0, out, carried + dropped)
        left = out
    assert any_farm.one("pods_left") == left
    assert near(sum(any_farm["winter.dropped"]), any_farm.one("pod_crop") * any_farm.one("drop_total"))


@pytest.mark.parametrize("side", SIDES)
def test_grass_closes_each_month(any_farm: Farm, side: str) -> None:
    left = any_farm.one("stockpile_start")
    for month in MONTHS:
        standing, lost, eaten, after = (
            any_farm[f"winter.{each}_{side}"][month] for each in ("standing", "lost", "grass_eaten", "grass_left")
        )
        assert standing == left
        assert near(standing - lost - eaten, after, standing)
        assert min(standing, lost, eaten) >= 0
        assert at_most(0, after, standing)
        left = after


@pytest.mark.parametrize("side", SIDES)
def test_hay_closes_each_month_and_is_used_up(any_farm: Farm, side: str) -> None:
    bought = left = any_farm.one(f"hay_bought_{side}")
    for month in MONTHS:
        store, fed, after = (
            any_farm[f"winter.{each}_{side}"][month] for each in ("hay_store", "hay_tons", "hay_after")
        )
        assert store == left
        assert fed >= 0
        assert near(store - fed, after, bought)
        left = after
    assert near(left, 0, bought)


@pytest.mark.parametrize("side", SIDES)
def test_what_is_fed_covers_the_need_and_no_more(any_farm: Farm, side: str) -> None:
    hay_me = any_farm.one("hay_me") * KG_PER_POUND
    for group in GROUPS:
        for month in MONTHS:
            ration = {
                each: any_farm[f"ration_{group}.{each}"][month]
                for each in (
                    "me_need",
                    "cp_need",
                    "room",
                    "pods_me",
                    "pods_cp",
                    f"grass_{side}",
                    f"hay_{side}",
                    f"extra_{side}",
                )
            }
            grass, hay, extra = (ration[f"{each}_{side}"] for each in ("grass", "hay", "extra"))
            pods_me, pods_cp = (ration[each] if side == "with" else 0.0 for each in ("pods_me", "pods_cp"))
            supplied = pods_me + grass * any_farm["winter.grass_me"][month] + hay * hay_me
            assert near(supplied, ration["me_need"])
            protein = pods_cp + grass * any_farm["months.grass_cp_used"][month] / 100
            protein += hay * any_farm.one("hay_cp") / 100 + extra * any_farm.one("supplement_cp") / 100
            assert at_most(ration["cp_need"], protein)
            assert extra == 0 or near(ration["cp_need"], protein)


def test_groups_add_up_to_the_herd(any_farm: Farm) -> None:
    herd = {
        "pods_eaten": ("ration", "pods"),
        "wish": ("ration", "wish"),
        "me_need": ("ration", "me_need"),
        "pods_me": ("ration", "pods_me"),
        "room_all": ("ration", "room"),
        "head_days": ("need", "head_days"),
        **{f"{each}_{side}": ("ration", f"{each}_{side}") for side in SIDES for each in ("hay", "extra")},
        **{f"grass_eaten_{side}": ("ration", f"grass_{side}") for side in SIDES},
    }
    for whole, (table, part) in herd.items():
        for month in MONTHS:
            assert near(sum(any_farm.of_groups(table, part, month)), any_farm[f"winter.{whole}"][month])


def test_months_and_groups_add_up_to_the_season(any_farm: Farm) -> None:
    by_group = {
        "pods": any_farm.one("pods_eaten_dry"),
        "need": any_farm.one("need_herd"),
        "animal_days": any_farm.one("herd_head_days"),
        "from_pods": any_farm.one("pods_energy"),
        "hay_with_pods": sum(any_farm["winter.hay_with"]),
        "hay_alone": sum(any_farm["winter.hay_without"]),
    }
    for field, whole in by_group.items():
        assert near(sum(any_farm[f"season.{field}"]), whole)
    assert near(sum(any_farm["winter.saved"]), any_farm.one("saving"), any_farm.one("cost_without"))
    assert any_farm.one("check_balance") == any_farm.one("check_season") == any_farm.one("check_errors") == 0


def test_pods_stay_under_their_caps(any_farm: Farm) -> None:
    for month in MONTHS:
        for group in GROUPS:
            eaten, room = (any_farm[f"ration_{group}.{each}"][month] for each in ("pods", "room"))
            assert at_most(eaten, any_farm["months.pod_share"][month] * room)
            assert at_most(any_farm[f"ration_{group}.pods_me"][month], any_farm[f"ration_{group}.me_need"][month])
        assert any_farm["months.pod_share"][month] <= any_farm.one("full_share") <= any_farm.one("share_cap")
        assert at_most(any_farm["winter.pods_eaten"][month], any_farm["winter.on_offer"][month])


def test_a_full_stomach_keeps_pods_under_their_share_of_the_diet(any_farm: Farm) -> None:
    """The cap is a share of what stock can eat. Of what they do eat it holds where that is no less."""
    for month in MONTHS:
        eaten = sum(
            any_farm[f"winter.{each}"][month] for each in ("pods_eaten", "grass_eaten_with", "hay_with", "extra_with")
        )
        if eaten >= any_farm["winter.room_all"][month]:
            assert at_most(any_farm["winter.diet_share"][month], any_farm.one("full_share"))


def test_pods_stay_under_their_share_of_the_diet(any_farm: Farm) -> None:
    """And the diet under its limit of sugar, where the hay alone is."""
    limit = max(any_farm.one("diet_sugar_limit"), any_farm.one("hay_sugar"))
    for month in MONTHS:
        assert any_farm["winter.diet_share"][month] <= any_farm.one("full_share") * (1 + 1e-9)
        assert any_farm["winter.diet_sugar"][month] <= limit * (1 + 1e-9)


def test_pods_save_hay_unless_they_displace_better_grass(any_farm: Farm) -> None:
    """They do where a group is full, as in ``test_more_pods``."""
    for month in MONTHS:
        if not poor_pods(any_farm, month):
            less, more = any_farm["winter.hay_with"][month], any_farm["winter.hay_without"][month]
            assert at_most(less, more, any_farm["winter.room_all"][month])
