"""A month of the winter: what is offered, wanted, eaten and carried on."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from podbook.errors import OutOfRange
from podbook.reference import savings, stages, winter

AMOUNT = st.floats(0, 1e6)


@given(offered=AMOUNT, wanted=AMOUNT)
def test_what_is_eaten_is_the_wish_times_the_share_that_is_there(offered: float, wanted: float) -> None:
    eaten = winter.taken(offered=offered, wanted=wanted)
    assert eaten <= min(offered, wanted)
    assert wanted * winter.share_of_wish(offered=offered, wanted=wanted) == pytest.approx(eaten, abs=1e-9)


@given(carried=AMOUNT, dropped=AMOUNT, wildlife=st.floats(0, 1), found=st.floats(0, 1))
def test_no_pod_is_lost_twice(carried: float, dropped: float, wildlife: float, found: float) -> None:
    to_wildlife = dropped * wildlife
    unfound = winter.not_found(dropped=dropped, to_wildlife=to_wildlife, found_share=found)
    there = winter.on_ground(carried_in=carried, dropped=dropped, to_wildlife=to_wildlife, unfound=unfound)
    assert there == pytest.approx(carried + dropped * (1 - wildlife) * found, rel=1e-9, abs=1e-6)


def test_pods_keep_their_share_of_what_is_eaten() -> None:
    assert winter.pods_wish(room=1000, cap=0.2, need=5000, pod_me=1, best_me=1) == 200
    wish = winter.pods_wish(room=1000, cap=0.2, need=500, pod_me=0.9, best_me=1.1)
    rest = (500 - wish * 0.9) / 1.1
    assert wish / (wish + rest) == pytest.approx(0.2)
    assert winter.pods_wish(room=1000, cap=0.2, need=500, pod_me=0, best_me=1.1) < 200


def test_a_diet_past_its_cap_is_told() -> None:
    diet = {"diet_share": 0.1, "full_share": 0.1, "diet_sugar": 8, "diet_sugar_limit": 8, "hay_sugar": 5}
    assert winter.past_cap(**diet) == 0
    assert winter.past_cap(**{**diet, "diet_share": 0.101}) == 1
    assert winter.past_cap(**{**diet, "diet_sugar": 8.1}) == 1
    assert winter.past_cap(**{**diet, "diet_sugar": 9, "hay_sugar": 9}) == 0


def test_hay_fills_what_grass_leaves_and_never_less_than_nothing() -> None:
    hay = winter.hay_for(gap=1000, grass=400, grass_me=1.0, hay_me=2.0)
    assert hay * 2.0 * 0.45359237 == pytest.approx(600)
    assert winter.hay_for(gap=100, grass=400, grass_me=1.0, hay_me=2.0) == 0


def test_grass_is_grazed_for_the_need_as_far_as_there_is_room() -> None:
    assert winter.grass_wish(gap=500, grass_me=1, room=1000, eaten=700) == 300
    assert winter.grass_wish(gap=100, grass_me=1, room=1000, eaten=700) == 100
    assert winter.grass_wish(gap=100, grass_me=0, room=1000, eaten=0) == 0


def test_a_month_that_does_not_close_is_told() -> None:
    month = {"opening": 100, "come": 50, "gone": np.array([30.0, 40.0])}
    assert winter.does_not_close(**month, closing=80) == 0
    assert winter.does_not_close(**month, closing=80.001) == 1


def test_losses_of_hay_divide() -> None:
    tons = winter.hay_tons(eaten=1000, hay_dry_matter=0.85, storage_loss=0.1, feeding_waste=0.2)
    assert tons * 2000 * 0.85 * 0.9 * 0.8 == pytest.approx(1000)
    with pytest.raises(OutOfRange, match=r"feeding_waste is 1 fraction; allowed is 0 to 0.95"):
        winter.hay_tons(eaten=1000, hay_dry_matter=0.85, storage_loss=0.1, feeding_waste=1)


STEADY = {"pods_me": 900.0, "hay_me": 2.0, "step_up_share": 0.5, "full_share": 0.1, "pod_share": 0.08}


def test_what_is_put_out_makes_up_for_water_and_waste() -> None:
    out = winter.hay_put_out(dry=5100, head_days=300, dry_matter=0.85, waste=0.2, stepping=0, **STEADY)
    assert out * 300 * 0.85 * 0.8 == pytest.approx(5100)
    assert winter.hay_put_out(dry=0, head_days=0, dry_matter=0.85, waste=0, stepping=0, **STEADY) == 0
    assert winter.hay_put_out(dry=10, head_days=2, dry_matter=0, waste=0, stepping=0, **STEADY) == 0


def test_hay_of_the_first_days_makes_up_for_the_pods_not_yet_fed() -> None:
    """At a cap of 5 % of 8 %, three eighths of the month's 900 Mcal of pods are not yet fed: 337.5 Mcal."""
    out = winter.hay_put_out(dry=5100, head_days=300, dry_matter=0.85, waste=0.2, stepping=10, **STEADY)
    more = out * 300 * 0.85 * 0.8 - 5100
    assert more * 2.0 * 0.45359237 == pytest.approx(337.5)
    assert winter.hay_put_out(dry=0, head_days=300, dry_matter=0.85, waste=0.2, stepping=10, **STEADY) == 0
    capless = {**STEADY, "full_share": 0.0, "pod_share": 0.0, "pods_me": 0.0}
    again = winter.hay_put_out(dry=5100, head_days=300, dry_matter=0.85, waste=0.2, stepping=10, **capless)
    assert again * 300 * 0.85 * 0.8 == pytest.approx(5100)


def test_the_gravest_word_of_a_month_stands() -> None:
    month = {"days": 30, "unmet": 0, "uneaten": 0, "leans": 0, "out_word": "in order"}
    assert winter.word_of_month(**month) == "in order"
    assert winter.word_of_month(**{**month, "leans": 1}) == "LOOK: protein"
    assert winter.word_of_month(**{**month, "leans": 1, "uneaten": 2}) == "LOOK: intake"
    assert winter.word_of_month(**{**month, "unmet": 1, "uneaten": 2}) == "LOOK: shelter"
    assert winter.word_of_month(**{**month, "days": 0, "unmet": 1}) == "-"


def test_the_first_month_with_a_flag() -> None:
    names = np.array(["Dec", "Jan", "Feb"])
    assert winter.first_named(flags=np.array([0, 1, 1]), names=names) == "Jan"
    assert winter.first_named(flags=np.zeros(3), names=names) == "none"


def test_a_supplement_fills_the_protein_gap() -> None:
    fed = savings.supplement_fed(protein_gap=19, supplement_cp=np.array([38.0, 0.0]))
    np.testing.assert_allclose(fed, [50, 0])


def test_birth_ends_pregnancy_and_starts_milk() -> None:
    cow = {"days_pregnant": 270, "gestation": 283}
    assert stages.has_given_birth(mid=13, **cow) == 0
    assert stages.has_given_birth(mid=20, **cow) == 1
    assert stages.day_of_pregnancy(days_pregnant=270, mid=13, born=0) == 283
    assert stages.day_of_pregnancy(days_pregnant=270, mid=20, born=1) == 0
    assert stages.week_of_milk(week_in_milk=0, mid=20, born=1, **cow) == 1
    assert stages.week_of_milk(week_in_milk=8, mid=14, born=0, **cow) == 10


MONTH = 30.4375


def along(function: Callable[[float, float], float], days: tuple[float, ...]) -> list[float]:
    """Return a clock before each month, from the days of feeding of the months."""
    found, clock = [], 0.0
    for each in days:
        found.append(clock)
        clock = float(function(clock, each))
    return found


@pytest.mark.parametrize(("days", "since", "on_end"), [
    ((0, 18, 31, 28, 4), [0, 0, 18, 49, 77], [0, 0, 18, 49, 77]),
    ((31, 0, 0, 0, 28, 31), [0, 31, 31 + MONTH, 31 + 2 * MONTH, 31 + 3 * MONTH, 59 + 3 * MONTH], [0, 31, 0, 0, 0, 28]),
    ((10, 10, 30), [0, 10, 10 + MONTH], [0, 10, 0]),
])  # fmt: skip
def test_a_break_stops_the_feeding_and_nothing_else(
    days: tuple[float, ...], since: list[float], on_end: list[float]
) -> None:
    """She goes on being pregnant; her rumen is no longer used to pods."""
    assert along(lambda start, each: stages.days_since(start=start, days=each), days) == pytest.approx(since)
    assert along(lambda run, each: stages.days_on_end(on_end=run, days=each), days) == pytest.approx(on_end)


def test_stepping_up_lowers_the_cap_only_while_it_lasts() -> None:
    assert stages.days_stepping(on_end=0, days=17, step_up_weeks=3) == 17
    assert stages.days_stepping(on_end=17, days=31, step_up_weeks=3) == 4
    assert stages.days_stepping(on_end=48, days=28, step_up_weeks=3) == 0
    assert stages.share_in_month(full_share=0.2, step_up_share=0.5, stepping=10, days=20) == pytest.approx(0.15)
    assert stages.share_in_month(full_share=0.2, step_up_share=0.5, stepping=0, days=0) == 0


@given(on_end=st.floats(0, 60), days=st.floats(0.001, 31))
def test_stepping_up_from_nothing_is_nothing_to_the_last_digit(on_end: float, days: float) -> None:
    """A cap a rounding below 0 would turn the share of what is wished for into a number without end."""
    stepping = stages.days_stepping(on_end=on_end, days=days, step_up_weeks=8)
    share = stages.share_in_month(full_share=0.2, step_up_share=0.0, stepping=stepping, days=days)
    assert share >= 0
    if on_end + days <= 55:
        assert share == 0
