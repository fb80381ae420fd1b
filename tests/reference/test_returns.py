import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from podbook.errors import OutOfRange
from podbook.reference import returns
from podbook.units import registry

RATE = st.just(0.0) | st.floats(0.001, 0.3)
FLOW = st.just(0.0) | st.floats(-1e5, -0.01) | st.floats(0.01, 1e5)
FLOWS = st.lists(FLOW, min_size=2, max_size=41).map(np.array)
SPENT_FIRST = st.tuples(
    st.lists(st.floats(1, 1e4), min_size=1, max_size=10), st.lists(st.floats(1, 1e4), min_size=1, max_size=31)
).map(lambda parts: np.concatenate([-np.array(parts[0]), parts[1]]))

SLOW = np.concatenate([[-1500, -100], [-50] * 3, [0] * 3, np.arange(40, 281, 40), [300] * 16]).astype(float)
"""A planting of 31 years: costs, three years of nothing, a ramp of income, sixteen full years."""
PUMP = np.array([-1600.0, 10000.0, -10000.0])


def worth(flows: np.ndarray, rate: float) -> float:
    """Present value by a plain loop over the years from 0."""
    return sum(flow / (1 + rate) ** year for year, flow in enumerate(flows.tolist()))


def npv(flows: np.ndarray, rate: float) -> float:
    return float(returns.net_present_value(first=flows[0], flows=flows[1:], rate=rate))


def irr(flows: np.ndarray, guess: float = 0.1) -> float:
    return float(returns.internal_rate(flows=flows, guess=guess))


def running_worths(flows: np.ndarray, rate: float) -> np.ndarray:
    """The running total of discounted flows, carried on from year to year as the book does."""
    found = [flows[0]]
    for year, flow in enumerate(flows[1:].tolist(), 1):
        found.append(float(returns.running_worth(before=found[-1], flow=flow, rate=rate, year=year)))
    return np.array(found)


def stands(flows: np.ndarray, highest: float = 1.0) -> bool:
    return bool(returns.irr_stands(flows=np.asarray(flows, dtype=float), irr_highest=highest))


def test_units_are_known():
    for function in (each for each in vars(returns).values() if hasattr(each, "returns")):
        for measured in (function.returns, *(each.measured for each in function.parameters)):
            assert measured.unit == "text" or registry().Unit(measured.unit)


# By hand: 2,055.38 with year 0 inside NPV is a year too early; times 1.065 it is 2,188.98.
def test_year_0_stands_outside():
    flows = np.array([-10000.0, 3000, 3400, 7700])
    inside = returns.net_present_value(first=0, flows=flows, rate=0.065)
    assert inside == pytest.approx(2055.381198828, abs=1e-8)
    assert npv(flows, 0.065) == pytest.approx(2188.98097675, abs=1e-8)
    assert npv(flows, 0.065) == pytest.approx(inside * 1.065)


def test_a_slow_planting():
    assert npv(SLOW, 0.04) == pytest.approx(990.286837, abs=5e-7)
    assert returns.net_present_value(first=0, flows=SLOW, rate=0.04) == pytest.approx(952.198882, abs=5e-7)
    assert returns.equal_annual_value(npv=npv(SLOW, 0.04), rate=0.04, years=30) == pytest.approx(57.268386, abs=5e-7)
    assert irr(SLOW) == pytest.approx(0.0658341144, abs=5e-11)
    assert stands(SLOW)


def test_years_left_blank_would_be_another_planting():
    blank = SLOW[SLOW != 0]
    assert npv(blank, 0.04) == pytest.approx(1329.8993, abs=5e-5)
    assert irr(blank) == pytest.approx(0.0796695, abs=5e-8)
    assert npv(SLOW, 0.04) < npv(blank, 0.04) - 300
    assert irr(SLOW) < irr(blank) - 0.01


@pytest.mark.parametrize("place", [0, 5, 30])
def test_a_year_that_is_no_number_is_refused(place):
    flows = SLOW.copy()
    flows[place] = np.nan
    with pytest.raises(OutOfRange):
        returns.internal_rate(flows=flows, guess=0.1)
    with pytest.raises(OutOfRange):
        returns.net_present_value(first=flows[0], flows=flows[1:], rate=0.04)


def test_two_roots_are_not_passed_off_as_one():
    assert npv(PUMP, 0.25) == pytest.approx(0)
    assert npv(PUMP, 4) == pytest.approx(0)
    assert npv(PUMP, 1) > 0
    assert irr(PUMP, 0.1) == pytest.approx(0.25)
    assert irr(PUMP, 5) == pytest.approx(4)
    assert not stands(PUMP, highest=10)


@pytest.mark.parametrize("flows", [[-100, -5, -5], [100, 5, 5], [0, 0, 0], [-100, 0, 0], [100, -150, 100]])
def test_no_root_is_no_rate(flows):
    flows = np.array(flows, dtype=float)
    assert irr(flows) == 0
    assert not stands(flows)
    assert npv(flows, 0.05) == pytest.approx(worth(flows, 0.05))


@pytest.mark.parametrize(
    ("flows", "one"),
    [
        ([-1, 0, 0, 1.1], True),
        ([0, -1, -1, 0, 3], True),
        ([-1, 1, 0, -1, 3], False),
        ([0, 0, 1, 0, -1], False),
        ([-1, -1], False),
        ([1, 1], False),
        ([0, 0], False),
    ],
)
def test_a_rate_stands_where_money_is_spent_first_and_earned_after(flows, one):
    assert stands(flows) == one


# -4 now and 5 next year are a rate of 25 %: 5 / 4 = 1.25. 4 for 4 is a rate of 0, 3 for 4 one below it.
@pytest.mark.parametrize(
    ("income", "highest", "one"),
    [(5, 1, True), (5, 0.26, True), (5, 0.25, False), (9, 1, False), (4, 1, False), (3, 1, False)],
)
def test_a_rate_stands_only_between_0_and_the_highest(income, highest, one):
    assert stands([-4, income], highest) == one


@given(FLOWS)
def test_at_rate_0_the_years_add_up(flows):
    assert npv(flows, 0) == pytest.approx(flows.sum(), abs=1e-6)
    assert returns.equal_annual_value(npv=120, rate=0, years=40) == 3


@given(FLOWS, st.floats(-0.5, 1))
def test_present_value_against_a_plain_loop(flows, rate):
    scale = worth(np.abs(flows), rate)
    assert npv(flows, rate) == pytest.approx(worth(flows, rate), abs=1e-12 * scale + 1e-12)
    assert running_worths(flows, rate)[-1] == pytest.approx(worth(flows, rate), abs=1e-12 * scale + 1e-12)


@given(SPENT_FIRST)
def test_the_internal_rate_against_another_root_finder(flows):
    low, high = -0.899, 9.9
    assert stands(flows) == (flows.sum() > 0 > worth(flows, 1.0))
    if worth(flows, low) * worth(flows, high) < 0:
        found = irr(flows)
        assert found == pytest.approx(brentq(lambda rate: worth(flows, rate), low, high, xtol=1e-14), abs=1e-9)
        assert worth(flows, found) == pytest.approx(0, abs=1e-9 * worth(np.abs(flows), found))
        assert irr(flows, guess=2) == pytest.approx(found, abs=1e-12)


@pytest.mark.parametrize("root", [-0.9 + 1e-9, -0.5, -0.02, 0.0, 1e-6, 0.07, 1.0, 9.999])
def test_a_known_root_is_found(root):
    assert irr(np.array([-1000.0, 0, 0, 1000 * (1 + root) ** 3])) == pytest.approx(root, abs=1e-12)


@given(SPENT_FIRST, RATE)
def test_benefits_exceed_costs_where_the_present_value_is_above_0(flows, rate):
    """What is earned is a benefit, what is spent a cost, each at its present value."""
    value, costs = npv(flows, rate), npv(np.maximum(0, -flows), rate)
    part = float(returns.benefit_cost(npv=value, costs=costs))
    assert part == pytest.approx(worth(np.maximum(0, flows), rate) / costs, abs=1e-9)
    if abs(value) > 1e-9 * costs:
        assert (part > 1) == (value > 0)


def test_nothing_spent_has_no_benefit_cost_ratio():
    assert returns.benefit_cost(npv=100, costs=0) == 0


# By hand: -100 + 60/1.2 = -50; -50 + 72/1.44 = 0.
def test_the_running_worth_by_hand():
    assert running_worths(np.array([-100.0, 60, 72]), 0.2) == pytest.approx([-100, -50, 0])


# By hand: after four years 210,000 of 250,000 are back; the fifth and sixth bring 30,000 each: 5 + 10/30.
def test_payback_by_hand():
    flows = 1000.0 * np.array([-250, 60, 50, 50, 50, 30, 30, 30, 30])
    assert returns.payback(cumulative=flows.cumsum(), never=99) == pytest.approx(5 + 1 / 3)


@pytest.mark.parametrize(
    ("totals", "years"), [([0, 5], 0), ([3, -5], 0), ([-5, 0], 1), ([-5, -5, 0], 2), ([-5, -6, -1], 99), ([-4, 4], 0.5)]
)
def test_payback_at_its_ends(totals, years):
    assert returns.payback(cumulative=np.array(totals), never=99) == years


@given(FLOWS, RATE)
def test_discounted_payback_is_never_before_payback(flows, rate):
    plain = returns.payback(cumulative=flows.cumsum(), never=99)
    later = returns.payback(cumulative=running_worths(flows, rate), never=99)
    assert later >= plain - 1e-6


@given(st.floats(-1e6, 1e6), RATE, st.integers(1, 60))
def test_the_equal_annual_value_is_worth_the_whole(value, rate, years):
    yearly = float(returns.equal_annual_value(npv=value, rate=rate, years=years))
    assert returns.net_present_value(first=0, flows=np.full(years, yearly), rate=rate) == pytest.approx(value)


@pytest.mark.parametrize("rate", [1e-12, 1e-9, 1e-6])
def test_the_recovery_factor_has_no_gap_at_rate_0(rate):
    assert returns.capital_recovery_factor(rate=rate, years=40) == pytest.approx(1 / 40, rel=1e-4)
    assert returns.capital_recovery_factor(rate=rate, years=40) >= 1 / 40


# By hand: 1.08^15 = 3.172169; 0.08 x 3.172169 / 2.172169 = 0.1168295.
def test_the_recovery_factor_by_hand():
    assert returns.capital_recovery_factor(rate=0.08, years=15) == pytest.approx(0.1168295, abs=5e-8)


# By hand, 925 $: 37 + 37 + 46.25 = 120.25, 9.1 cents a foot.
def test_a_fence():
    parts = {"price": 925, "life": 25, "rate": 0.08, "maintenance": 0.05}
    assert returns.ownership_average_investment(**parts) == pytest.approx(120.25)
    assert returns.ownership_average_investment(**parts | {"rate": 0, "maintenance": 0}) == pytest.approx(37)


@pytest.mark.parametrize(
    ("previous", "mean", "rate"),
    [(5, 5.0624, 5), (5, 5.0625, 5.125), (5, 5.25, 5.25), (5, 6, 5.25), (5, 4.9, 4.875), (5, 1, 4.75), (5, 5, 5)],
)
def test_the_plan_rate_moves_in_eighths_and_by_a_quarter_at_most(previous, mean, rate):
    assert returns.plan_rate(previous=previous, treasury_mean=mean) == rate


def test_a_real_rate():
    assert returns.real_rate(nominal=0.071, inflation=0.02) == pytest.approx(0.05)
    assert returns.real_rate(nominal=0.03, inflation=0.03) == 0


def test_many_draws_at_once_are_the_draws_one_by_one():
    draws = np.stack([SLOW, SLOW[::-1], 2 * SLOW, -SLOW, np.zeros(31), np.full(31, -5.0)], axis=1)
    rates = np.array([0.0, 0.03, 0.05, 0.07, 0.1, 0.2])
    together = {
        "npv": returns.net_present_value(first=draws[0], flows=draws[1:], rate=rates),
        "irr": returns.internal_rate(flows=draws, guess=0.1),
        "stands": returns.irr_stands(flows=draws),
        "payback": returns.payback(cumulative=draws.cumsum(axis=0), never=99),
    }
    for place, (flows, rate) in enumerate(zip(draws.T, rates, strict=True)):
        alone = {
            "npv": npv(flows, rate),
            "irr": irr(flows),
            "stands": returns.irr_stands(flows=flows),
            "payback": returns.payback(cumulative=flows.cumsum(), never=99),
        }
        for name, values in together.items():
            assert values[place] == pytest.approx(alone[name], rel=1e-12, abs=1e-12), name


def test_one_list_at_several_rates():
    rates = np.array([0.03, 0.05, 0.07])
    found = returns.net_present_value(first=SLOW[0], flows=SLOW[1:], rate=rates)
    np.testing.assert_allclose(found, [npv(SLOW, rate) for rate in rates])


def test_spending_after_earning_is_counted_in_years() -> None:
    flows = np.array([-10.0, 0, 4, -1, 5, 0, -2])
    begun: list[float] = []
    for each in flows:
        begun.append(float(returns.earning(before=begun[-1] if begun else 0.0, flow=each)))
    assert begun == [0, 0, 1, 1, 1, 1, 1]
    assert returns.turned_back(flows=flows, earning=np.array(begun)) == 2


@pytest.mark.parametrize(
    ("stands", "back", "total", "rate", "word"),
    [
        (1, 0, 5, 0.1, "one rate"),
        (1, 0, 5, 0.251, "LOOK: above 25 %"),
        (0, 2, -1, 0, "never earned back"),
        (0, 2, 5, 0, "spends again later"),
        (0, 0, 5, 0, "see the flows"),
    ],
)
def test_no_rate_of_return_without_its_reason(stands: float, back: float, total: float, rate: float, word: str) -> None:
    found = returns.word_of_rate(stands=stands, turned_back=back, total=total, rate=rate)
    assert found == word
