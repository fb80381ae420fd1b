"""Goats: what raises the need of a doe, and where the functions refuse."""

from __future__ import annotations

import numpy as np
import pytest

from podbook.errors import OutOfRange
from podbook.reference import goats


@pytest.mark.parametrize("activity", [0.25, 0.50, 0.75])
def test_activity_is_a_share_on_top_of_maintenance(activity: float) -> None:
    at_rest = goats.maintenance(body_weight=50.0, activity=0.0)
    assert goats.maintenance(body_weight=50.0, activity=activity) == pytest.approx((1 + activity) * at_rest, rel=1e-12)


def test_maintenance_follows_the_three_quarter_power_of_weight() -> None:
    small, large = goats.maintenance(body_weight=np.array([10.0, 10.0 * 2 ** (4 / 3)]), activity=0.0)
    assert large == pytest.approx(2 * small, rel=1e-12)


def test_late_pregnancy_is_worth_the_tdn_of_the_table() -> None:
    """0.87 lb TDN, 4.409 Mcal DE a kilogram and 62 parts ME of 76 DE, all read."""
    assert goats.pregnancy(late_pregnancy=1.0) == pytest.approx(0.87 * 0.45359237 * 4.409 * 62 / 76, abs=0.005)
    assert goats.pregnancy(late_pregnancy=0.0) == 0


def test_gain_and_milk_cost_in_proportion() -> None:
    for function, name in ((goats.growth, "gain"), (goats.milk, "milk_yield")):
        none, some, twice = function(**{name: np.array([0.0, 0.2, 0.4])})
        assert none == 0
        assert twice == pytest.approx(2 * some, rel=1e-12)
        assert some > 0


def test_protein_follows_digestible_energy() -> None:
    """62 Mcal ME are 76 Mcal DE, at 32 g each."""
    assert goats.protein(me=62.0) == pytest.approx(76 * 0.032, rel=1e-4)


@pytest.mark.parametrize(("days", "late"), [(0.0, 0.0), (99.0, 0.0), (100.0, 1.0), (150.0, 1.0)])
def test_late_pregnancy_starts_at_day_100(days: float, late: float) -> None:
    assert goats.late_pregnancy(days_pregnant=days) == late


def test_arrays_are_taken_element_by_element() -> None:
    weights, activities = np.array([20.0, 45.0, 90.0]), np.array([0.0, 0.5, 0.25])
    alone = [
        goats.maintenance(body_weight=float(weight), activity=float(activity))
        for weight, activity in zip(weights, activities, strict=True)
    ]
    assert goats.maintenance(body_weight=weights, activity=activities) == pytest.approx(alone, rel=1e-15)


@pytest.mark.parametrize("weight", [9.0, 131.0])
def test_a_goat_off_the_table_is_refused(weight: float) -> None:
    with pytest.raises(OutOfRange, match=f"body_weight is {weight:g} kg/head; allowed is 10 to 130"):
        goats.maintenance(body_weight=weight, activity=0.0)
