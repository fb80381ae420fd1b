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


# Worked by hand: 18.65 $ x 8 h / 500 lb = 0.2984 $/lb, 596.80 $ for 2,000 lb.
def test_a_ton_picked_by_hand():
    cost = feeds.hand_picking_cost(wage=18.65, day_weight=500, day_hours=8)
    assert cost == pytest.approx(596.80)
    assert cost / 2000 == pytest.approx(0.2984)


def test_a_ton_picked_by_hand_costs_more_than_by_machine_and_than_hay():
    hand = feeds.hand_picking_cost(wage=15.87)
    machine = collecting.hours_cost(hours=2, rate=15.87) + collecting.hours_cost(hours=1.5, rate=40)
    assert hand > 3 * machine
    reached = collecting.energy_of_ton(ton_dry=TON, ground=1, reached_me_whole=2.0, reached_me_ground=2.6)
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
    assert collecting.break_even_cost(worth_collected=100, worth_left=50, gathered=0) == 0
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


def test_protein_of_a_ton_goes_by_the_form():
    store = collecting.protein_of_ton(
        ton_dry=1700, ground=np.array([0.0, 1.0]), reached_cp_whole=5, reached_cp_ground=9
    )
    np.testing.assert_allclose(store, [85, 153])


def test_what_wildlife_leaves_is_collected_or_found():
    assert collecting.share_of_drop(collected=0.6, wildlife_loss=0.1) == pytest.approx(0.54)
    assert collecting.share_found(never_picked=0.2, collected=0, missed_found=0) == pytest.approx(0.8)
    assert collecting.share_found(never_picked=0.2, collected=0.6, missed_found=0.5) == pytest.approx(0.16)


@given(collected=SHARE, never=SHARE, missed=SHARE)
def test_no_more_is_found_than_is_left(collected, never, missed):
    found = collecting.share_found(never_picked=never, collected=collected, missed_found=missed)
    assert collected + found <= 1 + 1e-12


def test_pods_lie_and_spoil():
    month = {"crop": 1000.0, "drop": 0.5, "wildlife_loss": 0.1, "share": 0.8}
    assert collecting.lying(left=100.0, loss=0.1, **month) == pytest.approx((100 + 360) * 0.9)
    assert collecting.lying(left=100.0, loss=0.0, **month) == pytest.approx(460)


@given(stored=st.floats(0, 500), wish=st.floats(0, 500), share=SHARE)
def test_the_store_gives_no_more_than_it_holds_nor_than_they_may_still_eat(stored, wish, share):
    drawn = collecting.drawn(stored=stored, wish=wish, share=share)
    assert 0 <= drawn <= stored
    assert share * wish + drawn <= wish * (1 + 1e-12)


def test_energy_is_that_of_what_lay_and_of_what_was_stored():
    eaten = {"whole": 100.0, "milled": 160.0, "share": 0.25, "store_share": 0.5}
    np.testing.assert_allclose(collecting.content_eaten(ground=np.array([0.0, 1.0]), **eaten), [75, 105])


def test_a_ton_eaten_bears_the_cost_of_what_is_not():
    assert collecting.cost_of_ton_eaten(cost=120, tons=10, eaten=8) == pytest.approx(150)
    assert collecting.cost_of_ton_eaten(cost=120, tons=10, eaten=0) == 0


def test_a_break_even_cost_leaves_nothing_to_choose():
    cost = collecting.break_even_cost(worth_collected=147.0, worth_left=87.0, gathered=0.75)
    assert cost == pytest.approx(80)
    assert 147 - collecting.cost_of_drop(cost=cost, gathered=0.75) == pytest.approx(87)


@pytest.mark.parametrize(("per_me", "word"), [(0.2, "LOOK: dearer than hay"), (0.08, "no dearer than hay"), (0, "-")])
def test_picking_by_hand_is_compared_with_hay(per_me, word):
    assert collecting.word_on_picking(per_me=per_me, hay_cost_per_me=HAY) == word


def test_a_break_even_cost_may_lie_below_nothing():
    cost = collecting.break_even_cost(worth_collected=90, worth_left=111, gathered=0.6)
    assert cost == pytest.approx(-35)


@given(cost=COST, gathered=SHARE)
def test_a_ton_that_drops_costs_no_more_than_a_ton_collected(cost, gathered):
    assert collecting.cost_of_drop(cost=cost, gathered=gathered) <= cost


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
