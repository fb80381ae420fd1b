import numpy as np
import pytest

from podbook.errors import OutOfRange
from podbook.reference import feeds


@pytest.mark.parametrize("content", [1, 30, 58, 100])
def test_a_pound_of_nutrient_costs_no_less_than_a_pound_of_feed(content):
    assert feeds.price_per_nutrient(price_per_dry=0.575, content=content) >= 0.575


def test_nothing_bought_costs_nothing():
    assert feeds.price_per_nutrient(price_per_dry=0.5, content=0) == 0
    assert feeds.price_per_energy(price_per_dry=0.5, me=0) == 0


def test_price_per_dry_rises_with_water():
    prices = feeds.price_per_dry(price=140, dry_matter=np.array([1.0, 0.875, 0.35]))
    np.testing.assert_allclose(prices, [0.07, 0.08, 0.2])


def test_price_per_energy_times_the_energy_of_a_pound_is_the_price_of_a_pound():
    assert feeds.price_per_energy(price_per_dry=0.1, me=2.0) * 2.0 * 0.45359237 == pytest.approx(0.1)


@pytest.mark.parametrize(("price", "weight", "ton"), [(4.10, 56, 146.43), (1, 32, 62.5), (1, 56, 35.714286)])
def test_bushel_to_ton(price, weight, ton):
    found = feeds.price_per_ton_from_bushel(bushel_price=price, bushel_weight=weight)
    assert found == pytest.approx(ton, rel=2e-5)
    assert feeds.bale_price(price=found, bale_weight=weight) == pytest.approx(price)


def test_feeds_of_equal_tdn_are_worth_the_same_and_back():
    assert feeds.adjusted_price(price=70, tdn=59, other_tdn=59) == 70
    there = feeds.adjusted_price(price=70, tdn=59, other_tdn=38)
    assert feeds.adjusted_price(price=there, tdn=38, other_tdn=59) == pytest.approx(70)


def test_picking_by_hand_costs_more_than_hay():
    assert feeds.hand_picking_cost(wage=18.65) == pytest.approx(18.65 * 8 * 4)


def test_loss_in_money_is_for_one_bale_unless_told():
    one = feeds.loss_in_money(bale_price=70, waste=0.205)
    assert feeds.loss_in_money(bale_price=70, waste=0.205, bales=180) == pytest.approx(180 * one)
    assert feeds.loss_in_money(bale_price=70, waste=0) == 0


def test_out_of_range_names_value_and_range():
    with pytest.raises(OutOfRange, match=r"dry_matter is 88 lb_dry/lb_fed; allowed is 0.05 to 1"):
        feeds.price_per_dry(price=140, dry_matter=88)
    with pytest.raises(OutOfRange, match=r"bushel_weight is 0 lb_fed/bushel; allowed is 1 to 120"):
        feeds.price_per_ton_from_bushel(bushel_price=4, bushel_weight=0)
