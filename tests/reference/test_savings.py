import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from podbook.errors import OutOfRange
from podbook.reference import savings

AMOUNT = st.just(0.0) | st.floats(1e-3, 1e6)
AMOUNTS = st.lists(AMOUNT, min_size=1, max_size=5).map(np.array)
GROUP = {"head": 40, "season_days": 100, "intake": 10, "pod_share": 0.2}


def test_stepping_up_lowers_the_mean_share():
    season = {"full_share": 0.2, "step_up_share": 0.5, "season_days": 70}
    weeks = np.array([0.0, 5.0, 10.0, 20.0])
    np.testing.assert_allclose(savings.mean_pod_share(step_up_weeks=weeks, **season), [0.2, 0.15, 0.1, 0.1])


# Limit 8 % of sugar on forage of 5 %, worked by hand for three sugar contents read in the sources.
@pytest.mark.parametrize(("pod_sugar", "share"), [(22, 0.18), (30, 0.12), (37, 0.09)])
def test_sugar_cap(pod_sugar, share):
    found = savings.sugar_cap(diet_sugar_limit=8, base_sugar=5, pod_sugar=pod_sugar)
    assert found == pytest.approx(share, abs=0.005)
    assert (1 - found) * 5 + found * pod_sugar == pytest.approx(8)


@pytest.mark.parametrize(
    ("base", "pod", "cap"), [(5, 8, 1), (5, 2, 1), (9, 22, 0), (8, 22, 0), (12, 10, 0), (10, 10, 0), (8, 8, 1)]
)
def test_sugar_cap_at_its_ends(base, pod, cap):
    assert savings.sugar_cap(diet_sugar_limit=8, base_sugar=base, pod_sugar=pod) == cap


def test_the_lower_cap_counts():
    np.testing.assert_array_equal(savings.pod_share_cap(share_cap=0.2, sugar_cap=np.array([0.1, 0.3])), [0.1, 0.2])


def test_pods_wanted_stop_at_the_cap_or_at_the_need():
    need = np.array([100.0, 4.0, 0.0])
    found = savings.pods_wanted(**GROUP, need=need, reachable_me=2.5)
    np.testing.assert_allclose(found, [40 * 100 * 2.0, 40 * 100 * 1.6, 0])


def test_need_sets_no_limit_where_no_energy_is_reached():
    np.testing.assert_allclose(savings.pods_wanted(**GROUP, need=np.array([4.0, 0.0]), reachable_me=0), 8000)


@given(wanted=AMOUNTS, on_offer=AMOUNT)
def test_pods_eaten_never_exceed_what_is_wanted_or_on_offer(wanted, on_offer):
    eaten = savings.pods_eaten(pods_wanted=wanted, total_wanted=wanted.sum(), on_offer=on_offer)
    assert (eaten <= wanted).all()
    assert eaten.sum() == pytest.approx(min(on_offer, wanted.sum()))


def test_energy_and_protein_in_a_feed():
    assert savings.energy_from(dry=200, me=2.2) == pytest.approx(440)
    assert savings.protein_from(dry=200, cp=9) == pytest.approx(18)


def test_stockpile_on_offer():
    field = {"area": 10, "stockpile_yield": 2000, "standing_loss": 0.25, "use_share": 0.6}
    assert savings.stockpile_on_offer(**field) == pytest.approx(9000)


def test_stockpile_eaten_is_the_least_of_need_offer_and_room():
    gaps = {"energy_gap": 100, "total_gap": 400, "stockpile_me": 2}
    assert savings.stockpile_eaten(**gaps, on_offer=1000, capacity_left=1000) == 50
    assert savings.stockpile_eaten(**gaps, on_offer=80, capacity_left=1000) == 20
    assert savings.stockpile_eaten(**gaps, on_offer=1000, capacity_left=7) == 7
    nothing = {**gaps, "energy_gap": 0, "total_gap": 0}
    assert savings.stockpile_eaten(**nothing, on_offer=1000, capacity_left=1000) == 0


@given(gaps=AMOUNTS, on_offer=AMOUNT)
def test_stockpile_eaten_never_exceeds_the_offer(gaps, on_offer):
    eaten = savings.stockpile_eaten(
        energy_gap=gaps, total_gap=gaps.sum(), on_offer=on_offer, stockpile_me=2, capacity_left=1e9
    )
    assert eaten.sum() <= on_offer * (1 + 1e-9)


def test_hay_fills_the_gap():
    found = savings.gap(need=500, supplied=np.array([300.0, 700.0]))
    np.testing.assert_array_equal(found, [200, 0])
    np.testing.assert_allclose(savings.energy_from(dry=savings.hay_fed(energy_gap=found, hay_me=2), me=2), found)


def test_bought_hay_less_its_losses_is_the_hay_fed():
    tons = savings.hay_bought(hay_fed=10000, hay_dry_matter=0.85, feeding_waste=0.2, storage_loss=0.1)
    assert tons * 2000 * 0.85 * 0.9 * 0.8 == pytest.approx(10000)


def test_supplement_fills_the_protein_gap():
    fed = savings.supplement_fed(protein_gap=19, supplement_cp=np.array([38.0, 0.0]))
    np.testing.assert_allclose(fed, [50, 0])
    tons = savings.supplement_bought(fed=fed, supplement_dry_matter=0.9)
    np.testing.assert_allclose(tons * 2000 * 0.9, fed)


def test_break_even_is_the_hay_price_at_which_nothing_is_saved():
    price = savings.break_even_hay_price(pod_cost=1000, supplement_saving=200, hay_saved=10)
    without = savings.cost(amount=10, price=price) + 200
    assert savings.saving(without=without, with_trees=1000) == pytest.approx(0)


@pytest.mark.parametrize(("pod_cost", "hay_saved"), [(1000, 0), (1000, -3), (100, 10)])
def test_break_even_is_never_below_nothing(pod_cost, hay_saved):
    assert savings.break_even_hay_price(pod_cost=pod_cost, supplement_saving=200, hay_saved=hay_saved) == 0


def test_nothing_is_divided_by_nothing():
    assert savings.share(part=5, whole=0) == 0
    assert savings.per(amount=5, number=0) == 0
    assert savings.head_days(energy=100, need=0) == 0
    assert savings.eaten_per_head_day(total_dry=100, head=0, season_days=90) == 0


# 18 oz and 34 oz a day on sheep of 70 lb, read in the source; worked by hand.
@pytest.mark.parametrize(("ounces", "share"), [(18, 0.0161), (34, 0.0304)])
def test_share_of_live_weight(ounces, share):
    assert savings.share(part=ounces / 16, whole=70) == pytest.approx(share, abs=0.00005)


def test_a_group_eats_what_it_was_given():
    eaten = savings.eaten_per_head_day(
        total_dry=savings.season_need(head=40, season_days=90, need=9), head=40, season_days=90
    )
    assert eaten == pytest.approx(9)
    np.testing.assert_array_equal(savings.fits(eaten=eaten, capacity=np.array([9.0, 8.9, 9.1])), [1, 0, 1])


def test_a_rounding_error_is_no_surplus():
    eaten = np.array([9 + 5e-10, 9 + 5e-9])
    np.testing.assert_array_equal(savings.fits(eaten=eaten, capacity=9.0), [1, 0])


def test_out_of_range_names_value_and_range():
    with pytest.raises(OutOfRange, match=r"season_days is 0 day; allowed is 1 to 366"):
        savings.season_need(head=4, season_days=0, need=9)
    with pytest.raises(OutOfRange, match=r"hay_me is 0 Mcal/lb_dry; allowed is 0.05 to 3"):
        savings.hay_fed(energy_gap=5, hay_me=0)
    with pytest.raises(OutOfRange, match=r"feeding_waste is 1 fraction; allowed is 0 to 0.95"):
        savings.hay_bought(hay_fed=5, hay_dry_matter=0.9, feeding_waste=1, storage_loss=0)
