from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from podbook.errors import OutOfRange
from podbook.reference import collecting, feeds

SHARE = st.floats(0, 1)
COST = st.floats(0, 1000)
TON = 1700.0
HAY = 0.09
STOCK = {
    "ton_dry": TON,
    "reached_me_whole": 2.0,
    "reached_me_ground": 2.6,
    "hay_cost_per_me": HAY,
    "share_reaching": 0.77,
    "missed_found": 0.5,
    "pod_storage_loss": 0.05,
}


def worth(collected: float, ground: float, **farm: Any) -> float:
    """What a ton that drops is worth in hay, a share of it collected."""
    farm = STOCK | farm
    found = collecting.share_found(
        share_reaching=farm["share_reaching"], collected=collected, missed_found=farm["missed_found"]
    )
    whole = farm["reached_me_whole"]
    store_me = collecting.energy_of_ton(
        ton_dry=TON,
        ground=ground,
        reached_me_whole=whole,
        reached_me_ground=farm["reached_me_ground"],
        pod_storage_loss=farm["pod_storage_loss"],
    )
    energy = collecting.energy_of_drop(
        collected=collected, store_me=store_me, found=found, ton_dry=TON, reached_me_whole=whole
    )
    return float(collecting.worth_in_hay(energy=energy, hay_cost_per_me=farm["hay_cost_per_me"]))


# Worked by hand: 18.65 $ x 8 h / 500 lb = 0.2984 $/lb, 596.80 $ for 2,000 lb.
def test_a_ton_picked_by_hand():
    cost = feeds.hand_picking_cost(wage=18.65, day_weight=500, day_hours=8)
    assert cost == pytest.approx(596.80)
    assert cost / 2000 == pytest.approx(0.2984)


def test_a_ton_picked_by_hand_costs_more_than_by_machine_and_than_hay():
    hand = feeds.hand_picking_cost(wage=15.87)
    machine = collecting.hours_cost(hours=2, rate=15.87) + collecting.hours_cost(hours=1.5, rate=40)
    assert hand > 3 * machine
    reached = collecting.energy_of_ton(
        ton_dry=TON, ground=1, reached_me_whole=2.0, reached_me_ground=2.6, pod_storage_loss=0
    )
    assert collecting.cost_per_reached(cost=hand, reached=reached) > HAY


# Worked by hand from figures read: 450 $ an hour, 50 to 60 bales of 1,200 lb an hour.
@pytest.mark.parametrize(("bales", "cost"), [(50, 15), (60, 12.5)])
def test_grinding_before_travel(bales, cost):
    found = collecting.grinding_cost(grinder_rate=450, grinder_output=bales * 0.6, grinder_travel=0, tons=5)
    assert found == pytest.approx(cost)


def test_travel_is_spread_over_the_job_and_nothing_is_divided_by_nothing():
    job = {"grinder_rate": 0, "grinder_output": 30, "grinder_travel": 250}
    np.testing.assert_allclose(collecting.grinding_cost(**job, tons=np.array([0.0, 5.0, 50.0])), [0, 50, 5])
    assert collecting.cost_per_reached(cost=100, reached=0) == 0
    assert collecting.break_even_cost(worth_collected=100, worth_left=50, collected=0) == 0
    assert collecting.tons_dropped(area=10, dry=np.array([300.0, 0.0]), ton_dry=0) == 0


def test_the_stock_chosen_reach_their_own_share_of_the_mix():
    kinds = {"cattle": np.array([1.0, 2.0]), "sheep": np.array([3.0, 4.0]), "goats": np.array([5.0, 6.0])}
    shares = np.array([0.25, 0.75])
    found = [collecting.reached_of_mix(shares=shares, **kinds, stock_row=row) for row in (1, 2, 3)]
    assert found == pytest.approx([1.75, 3.75, 5.75])


def test_tons_dropped_weigh_their_water():
    ton = collecting.dry_of_ton(dry_matter=0.85)
    assert ton == pytest.approx(1700)
    assert collecting.tons_dropped(area=10, dry=np.array([340.0, 510.0]), ton_dry=ton) == pytest.approx(5)


def test_share_gathered_is_that_of_the_way():
    way = {"share_collected": 0.6, "share_picked": 0.9}
    found = collecting.share_gathered(machine=np.array([0, 1, 0]), hand=np.array([0, 0, 1]), **way)
    np.testing.assert_allclose(found, [0, 0.6, 0.9])


def test_protein_goes_the_way_of_energy():
    store = collecting.protein_of_ton(
        ton_dry=1700, ground=np.array([0.0, 1.0]), reached_cp_whole=5, reached_cp_ground=9, pod_storage_loss=0.1
    )
    np.testing.assert_allclose(store, [76.5, 137.7])
    found = collecting.protein_of_drop(collected=0.5, store_cp=store, found=0.2, ton_dry=1700, reached_cp_whole=5)
    np.testing.assert_allclose(found, [55.25, 85.85])


def test_pods_left_alone_all_reach_stock_as_the_stand_says():
    assert collecting.share_found(share_reaching=0.77, collected=0, missed_found=0) == pytest.approx(0.77)
    assert collecting.share_found(share_reaching=0.77, collected=0.6, missed_found=0.5) == pytest.approx(0.154)


@given(collected=SHARE, reaching=SHARE, missed=SHARE, loss=SHARE)
def test_no_more_reaches_the_animal_than_drops(collected, reaching, missed, loss):
    found = collecting.share_found(share_reaching=reaching, collected=collected, missed_found=missed)
    assert collecting.share_fed(collected=collected, pod_storage_loss=loss, found=found) <= 1 + 1e-12


@given(reaching=SHARE, whole=st.floats(0, 3), more=st.floats(0, 2))
def test_free_and_full_collection_is_never_worth_less_than_leaving(reaching, whole, more):
    farm = {
        "share_reaching": reaching,
        "pod_storage_loss": 0,
        "reached_me_whole": whole,
        "reached_me_ground": whole + more,
    }
    assert worth(1, 1, **farm) >= worth(0, 0, **farm) * (1 - 1e-12)


@given(collected=st.floats(0.01, 1), missed=SHARE, loss=SHARE, hay=st.floats(0, 1))
def test_at_the_break_even_cost_collecting_and_leaving_are_worth_the_same(collected, missed, loss, hay):
    farm = {"missed_found": missed, "pod_storage_loss": loss, "hay_cost_per_me": hay}
    ground, left = worth(collected, 1, **farm), worth(0, 0, **farm)
    cost = collecting.break_even_cost(worth_collected=ground, worth_left=left, collected=collected)
    assert ground - cost * collected == pytest.approx(left, abs=1e-9)


def test_a_break_even_cost_may_lie_below_nothing():
    cost = collecting.break_even_cost(worth_collected=90, worth_left=111, collected=0.6)
    assert cost == pytest.approx(-35)


@given(cost=COST, collected=SHARE)
def test_a_ton_that_drops_costs_no_more_than_a_ton_collected(cost, collected):
    assert collecting.cost_of_drop(cost=cost, collected=collected) <= cost


@pytest.mark.parametrize(
    ("net", "word"),
    [
        ((10, 9, 8, -300), "leave them to the stock"),
        ((10, 11, 8, -300), "collect, feed whole"),
        ((10, 11, 12, -300), "collect and grind"),
        ((10, 11, 12, 13), "pick by hand and grind"),
        ((0, 0, 0, 0), "leave them to the stock"),
    ],
)
def test_the_way_worth_most_is_named_and_leaving_wins_a_draw(net, word):
    assert collecting.verdict(net=np.array(net)) == word


def test_out_of_range_names_value_and_range():
    with pytest.raises(OutOfRange, match=r"share_collected is 60 fraction; allowed is 0 to 1"):
        collecting.share_gathered(machine=1, hand=0, share_collected=60, share_picked=0.9)
    with pytest.raises(OutOfRange, match=r"grinder_output is 0 short_ton_fed/hour"):
        collecting.grinding_cost(grinder_rate=450, grinder_output=0, grinder_travel=0, tons=5)
