"""Trees to order, costs by year and crops of a case, each by hand or as a property."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from podbook.reference import planting, stand
from podbook.reference.stand import bearing, standing

SHARE = st.just(0.0) | st.just(1.0) | st.floats(0.001, 0.999)
TREES = st.just(0.0) | st.floats(0.1, 1e5)
MONEY = st.just(0.0) | st.floats(0.01, 1e5)
YEARLY = {
    "cost_factor": 1.0, "care_yearly": 200.0, "care_years": 2.0, "upkeep_yearly": 50.0, "fence_life": 25.0,
    "fence_renewal": 30.0, "replant_delay": 3.0, "replanting": 400.0,
}  # fmt: skip


# 336.1 trees, 30 % of one type: 100.83, so 101. A tenth of these are pollinators: 10.1, so 11. Of 101, 15 % are lost
# and 80 % of these replanted: 12.12, so 13.
def test_an_order_by_hand() -> None:
    assert planting.trees_to_order(trees=336.1, share=0.3) == 101
    assert planting.pollinators(planted=101, grafted=1, pollinator_share=0.1) == 11
    assert planting.pollinators(planted=101, grafted=0, pollinator_share=0.1) == 0
    assert planting.trees_again(planted=101, loss=0.15, replanted_share=0.8) == 13


@given(TREES, SHARE)
def test_whole_trees_and_less_than_one_too_many(trees: float, share: float) -> None:
    found = float(planting.trees_to_order(trees=trees, share=share))
    assert found == round(found)
    assert -1e-9 * (1 + trees) <= found - trees * share < 1


@given(st.integers(0, 10000), st.integers(1, 20))
def test_no_tree_is_ordered_for_a_rounding(trees: int, parts: int) -> None:
    """A share that comes out whole stays so, though in binary 3 x 0.1 is a little above 0.3."""
    assert planting.trees_to_order(trees=float(trees * parts), share=1 / parts) == trees


# 9 minutes at 20 $/h: 3 $. With a guard of 8 $: 11 $ a tree; 100 trees of 1.50 $: 100 x 12.50 = 1,250 $; with 10 of
# 30 $ more: 10 x 41 = 410 $.
def test_the_cost_of_trees_by_hand() -> None:
    work = planting.worth_of_work(minutes=9, wage=20)
    assert work == pytest.approx(3)
    assert planting.cost_of_trees(count=100, price=1.5, setting=8 + work) == pytest.approx(1250)
    both = planting.cost_of_all_trees(counts=np.array([100.0, 10]), prices=np.array([1.5, 30]), setting=8 + work)
    assert both == pytest.approx(1250 + 410)


# 10 acres at 11.35 $ and 60 $ for the fence: 173.50 $.
def test_upkeep_by_hand() -> None:
    assert planting.upkeep(area=10, upkeep_cost=11.35, fence=60) == pytest.approx(173.5)


@pytest.mark.parametrize(
    ("year", "cost"),
    [
        (1, 200 + 50),
        (2, 200 + 50),
        (3, 50 + 400),
        (4, 50),
        (25, 50),
        (26, 50 + 30),
        (40, 50 + 30),
    ],
)
def test_each_cost_falls_in_its_years(year: float, cost: float) -> None:
    assert planting.cost_of_year(year=year, **YEARLY) == cost
    assert planting.cost_of_year(year=year, **YEARLY | {"cost_factor": 1.5}) == pytest.approx(1.5 * cost)


@given(st.floats(1, 40), MONEY)
def test_a_fence_is_renewed_for_the_years_past_its_life_in_equal_parts(life: float, price: float) -> None:
    parts = YEARLY | {"care_yearly": 0.0, "upkeep_yearly": 0.0, "replanting": 0.0}
    parts |= {"fence_life": life, "fence_renewal": price / life}
    paid = sum(float(planting.cost_of_year(year=float(year), **parts)) for year in range(1, 41))
    assert paid == pytest.approx(price / life * (40 - int(life)), abs=1e-9 * price)


@pytest.mark.parametrize(("share_year", "paid_in"), [(0, 0), (1, 1), (1.4, 1), (1.5, 2), (9.6, 10)])
def test_the_cost_share_is_paid_once(share_year: float, paid_in: int) -> None:
    paid = [
        float(planting.share_paid(year=float(year), share_year=share_year, cost_share=5000.0)) for year in range(41)
    ]
    assert paid[paid_in] == 5000
    assert sum(paid) == 5000


# Crop from year 4 on, full in year 8: five steps. A fifth in year 4, three fifths in year 6.
def test_the_ramp_by_hand() -> None:
    ages = np.array([3.0, 4, 6, 8, 30])
    found = planting.crop_by_age(age=ages, full_area=1000.0, first=4.0, ramp=5.0)
    assert found == pytest.approx([0, 200, 600, 1000, 1000])


@pytest.mark.parametrize(
    ("year", "later", "crop"), [(1, 0, 10), (3, 0, 30), (3, 2, 10), (3, 3, 0), (2, 4, 0), (3, -2, 30), (9, 0, 30)]
)
def test_a_crop_of_the_age_that_trees_have(year: float, later: float, crop: float) -> None:
    """Nothing before its first age, and past the last what the last says."""
    crops = np.array([10.0, 20, 30])
    assert planting.crop_at(year=year, later=later, crops=crops) == crop
    assert planting.crop_of_replanted(year=year + 2, later=later, replant_delay=2.0, crops=crops) == crop


@given(
    year=st.integers(1, 40), delay=st.integers(1, 5), first=st.integers(1, 15), ramp=st.integers(1, 20), loss=SHARE,
    replanted=SHARE, yearly=st.floats(0, 0.2), season=st.floats(0, 2),
)  # fmt: skip
def test_a_case_that_changes_nothing_bears_what_the_stand_bears(
    year: int, delay: int, first: int, ramp: int, loss: float, replanted: float, yearly: float, season: float
) -> None:
    """The sheet Stand multiplies shares of a full crop type by type; a case puts together crops by age."""
    full = first + ramp - 1
    crops = np.array(
        [float(planting.crop_by_age(age=a, full_area=800.0, first=first, ramp=ramp)) for a in range(1, 51)]
    )
    found = planting.crop_of_case(
        year=float(year), area=10.0, yield_factor=1.0, loss=loss, replanted_share=replanted, replant_delay=float(delay),
        yearly_loss=yearly, season_factors=np.full(40, season),
        first_trees=planting.crop_at(year=float(year), later=0.0, crops=crops),
        replanted=planting.crop_of_replanted(year=float(year), later=0.0, replant_delay=float(delay), crops=crops),
    )  # fmt: skip
    share = bearing(
        age=float(year), first_crop_age=first, full_crop_age=full, replanted_share=replanted,
        replant_delay=float(delay), establishment_loss=loss,
    )  # fmt: skip
    alive = standing(age=float(year), yearly_loss=yearly, replant_delay=float(delay))
    an_acre = stand.crop_per_area(full_area=800.0, bearing=share, standing=alive, season_factor=season)
    assert found == pytest.approx(10 * an_acre, rel=1e-12, abs=1e-9)


# 10 acres of 5,000 lb at 0.015 $: 750 $ all of it. Lost in a year without grazing; half the cover that grass stands
# well gives half of 10 % more; a cover of 70 % is 20 points past 50 %, and all of 10 % more.
@pytest.mark.parametrize(("year", "cover", "worth"), [(1, 0, -750), (2, 0.175, 37.5), (2, 0.7, 75 - 0.2 * 750)])
def test_grass_by_hand(year: float, cover: float, worth: float) -> None:
    found = planting.grass_worth(
        year=year, area=10, open_grass=5000, cover=cover, light_cover=0.35, light_gain=0.1, dense_cover=0.5,
        dense_loss=1.0, ungrazed_years=1.0, grass_price=0.015,
    )  # fmt: skip
    assert found == pytest.approx(worth)


# 770 $ of feed saved, with grass of -30 $, 500 $ of cost-share and 240 $ of costs: 1,000 $.
def test_a_flow_by_hand() -> None:
    assert planting.flow(feed=770, grass=-30, paid=500, cost=240) == 1000
    assert planting.yearly_mean(flows=np.array([0.0, 100, 200, 500])) == 200


def test_losses_of_a_case_stop_at_the_most() -> None:
    assert planting.loss_of_case(loss=0.15, factor=2.0, most=0.9) == pytest.approx(0.3)
    assert planting.loss_of_case(loss=0.6, factor=2.0, most=0.9) == 0.9


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("yields_used", 1.01),
        ("price", 126.0),
        ("young_lost", 0.14),
        ("yearly_lost", 0.006),
        ("years_later", 1.0),
        ("years_later", -1.0),
        ("costs_used", 0.99),
    ],
)
def test_any_change_makes_a_case_differ(key: str, value: float) -> None:
    plan = {
        "yields_used": 1.0, "price": 125.0, "hay_price": 125.0, "young_lost": 0.15, "establishment_loss": 0.15,
        "yearly_lost": 0.005, "yearly_loss": 0.005, "years_later": 0.0, "costs_used": 1.0,
    }  # fmt: skip
    assert planting.differs(**plan) == 0
    assert planting.differs(**plan | {key: value}) == 1


def test_the_last_type_and_its_replanted_trees_are_full_grown_last() -> None:
    ages = np.array([12.0, 20.0, 1.0])
    assert planting.full_grown(full_ages=ages, replant_delay=3, plan_years=40) == 23
    assert planting.full_grown(full_ages=ages + 25, replant_delay=3, plan_years=40) == 39


def test_a_good_and_a_bad_year_count_alike() -> None:
    flows = np.array([-9000.0, 0.0, 100.0, 40.0, 80.0])
    assert planting.mean_of_pair(flows=flows, year=2, frost_chance=0.0) == 70
    assert planting.mean_of_pair(flows=flows, year=3, frost_chance=0.2) == 75


def test_a_fence_round_a_square():
    assert planting.fence_round(area=10.0) == pytest.approx(2640, abs=0.5)  # four times 660 ft
    assert planting.fence_round(area=40.0) == pytest.approx(5280)


def test_a_year_that_frost_spares_bears_more_than_the_mean():
    assert planting.crop_without_frost(crop=83.0, frost_chance=0.17) == pytest.approx(100)
