"""The winter for crops of different sizes: by hand, and that nothing more is gained beyond the largest."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from podbook import regions
from podbook.inputs.farm import filled
from podbook.reference import sizes, winter
from podbook.sheets import book_of

MONTHS = 8
SHARE = st.just(0.0) | st.floats(0.001, 0.9)
WISHES = st.lists(st.just(0.0) | st.floats(1, 1e4), min_size=MONTHS, max_size=MONTHS)
SHARES = st.lists(SHARE, min_size=MONTHS, max_size=MONTHS)
ARRIVING = SHARES.map(lambda shares: [share / MONTHS for share in shares])


def fills(wishes: list[float], arriving: list[float], spoiling: list[float]) -> np.ndarray:
    """The crop from which on each month has enough, carried on from month to month as the book does."""
    held = owed = held_before = wish_before = 0.0
    found = []
    for wish, comes, spoils in zip(wishes, arriving, spoiling, strict=True):
        owed = float(sizes.owed(before=owed, held_before=held_before, wish_before=wish_before, spoiling=spoils))
        held = float(sizes.held(before=held, arriving=comes, spoiling=spoils))
        found.append(float(sizes.crop_that_fills(wish=wish, owed=owed, held=held)))
        held_before, wish_before = held, wish
    return np.array(found)


def offers(crop: float, wishes: list[float], arriving: list[float], spoiling: list[float]) -> list[float]:
    """What is on offer in each month of a winter in which the herd eats what it may, as far as it is there."""
    left, found = 0.0, []
    for wish, comes, spoils in zip(wishes, arriving, spoiling, strict=True):
        offer = float(sizes.on_offer(left=left, crop=crop, arriving=comes, spoiling=spoils))
        left = offer - min(offer, wish)
        found.append(offer)
    return found


# Half the crop comes in the first month, half in the second, a tenth of what lies there spoils; the herd may eat 90 lb,
# then 180. First month: 0.45 of the crop, so 200 lb fill it. Second: (0.45 + 0.5) x 0.9 = 0.855 of it, less 90 x 0.9 =
# 81 lb eaten before: (180 + 81) / 0.855 = 305.26 lb.
def test_the_largest_crop_by_hand() -> None:
    found = fills([90, 180], [0.5, 0.5], [0.1, 0.1])
    assert found == pytest.approx([200, 261 / 0.855])
    assert sizes.largest_crop(fills=found) == pytest.approx(305.263, abs=5e-4)


def test_before_the_first_pods_the_herd_eats_none() -> None:
    assert fills([90, 90], [0.0, 0.5], [0.0, 0.0]) == pytest.approx([0, 180])


# A whole year's pods may be filled in for each of eight months. After n of them n crops have come, and 90 lb were eaten
# in each month before: (90 + 90 (n - 1)) / n = 90 lb fill every month.
def test_shares_of_the_drop_may_add_up_to_more_than_the_year() -> None:
    drop = book_of(regions.load("us_midatl_appal"), filled()).nodes["months.drop"]
    comes = float(sizes.arriving(drop=drop.high, wildlife_loss=0.0, found_share=1.0))
    assert comes * drop.count == MONTHS
    assert fills([90.0] * MONTHS, [comes] * MONTHS, [0.0] * MONTHS) == pytest.approx([90.0] * MONTHS)


@given(WISHES, ARRIVING, SHARES)
def test_the_largest_crop_fills_every_month_and_none_below_does(
    wishes: list[float], arriving: list[float], spoiling: list[float]
) -> None:
    largest = float(sizes.largest_crop(fills=fills(wishes, arriving, spoiling)))
    first = next((month for month in range(MONTHS) if arriving[month] > 0), MONTHS)
    after = range(first, MONTHS)
    enough = offers(largest, wishes, arriving, spoiling)
    assert all(enough[month] >= wishes[month] * (1 - 1e-9) - 1e-9 * largest for month in after)
    if largest > 0:
        fewer = offers(0.999 * largest, wishes, arriving, spoiling)
        assert any(fewer[month] < wishes[month] for month in after)


@pytest.mark.parametrize(("collected", "spoils"), [(0, 0.3), (1, 0.01)])
def test_pods_spoil_on_the_ground_or_in_store(collected: float, spoils: float) -> None:
    assert sizes.spoiling(collected=collected, stored_loss=0.01, ground_loss=0.3) == spoils


# A third of 3,000 lb drops; wildlife takes a tenth of it, a twentieth of the rest is never found: 855 lb.
def test_what_arrives_by_hand() -> None:
    arriving = sizes.arriving(drop=1 / 3, wildlife_loss=0.1, found_share=0.95)
    assert 3000 * arriving == pytest.approx(855)
    assert sizes.on_offer(left=145, crop=3000, arriving=arriving, spoiling=0.2) == pytest.approx(800)


# A need of 1,000 Mcal, half of 400 lb of pods at 0.9 Mcal: 180; of the 820 left, grass at 0.82 gives 1,000 lb, but
# there is room for 900 - 200 = 700 lb only.
def test_what_would_be_grazed_by_hand() -> None:
    parts = {"need": 1000.0, "share": 0.5, "wish": 400.0, "pod_me": 0.9, "grass_me": 0.82}
    assert sizes.would_graze(room=5000.0, **parts) == pytest.approx(1000)
    assert sizes.would_graze(room=900.0, **parts) == pytest.approx(700)
    assert sizes.would_graze(room=900.0, **parts | {"grass_me": 0.0}) == 0
    assert sizes.would_graze(room=150.0, **parts) == 0


# Standing 2,000 lb, 7 % lost in a whole month, half a month fed: 1,930 lb.
def test_grass_still_standing_by_hand() -> None:
    assert sizes.still_standing(standing=2000, standing_loss=0.07, share_fed=0.5) == pytest.approx(1930)


# 1,000 Mcal, half of pods that hold 360 Mcal, 200 lb of grass at 0.82: 656 Mcal are left, in hay of 2 Mcal a kilogram
# (0.90718 a pound) 723.1 lb. Protein: 100 lb needed; 200 lb of pods at 9 %, 200 of grass at 13 %, that hay at 5 %:
# 18 + 26 + 36.16 = 80.16, so 19.84 lb short.
def test_hay_and_protein_by_hand() -> None:
    parts = {"share": 0.5, "grass_me": 0.82, "hay_me": 2.0}
    hay = sizes.hay_of_herd(need=1000.0, wishes_me=360.0, grazed=200.0, **parts)
    assert hay == pytest.approx(656 / (2 * 0.45359237))
    short = sizes.protein_short(
        cp_need=100.0, me_need=1000.0, wish=400.0, pod_me=0.9, pod_cp=9.0, ask=250.0, grass_share=0.8, grass_cp=13.0,
        hay_cp=5.0, **parts,
    )  # fmt: skip
    assert short == pytest.approx(100 - (18 + 26 + hay * 0.05))
    assert short == pytest.approx(19.84, abs=5e-3)
    assert sizes.hay_of_herd(need=100.0, wishes_me=360.0, grazed=0.0, **parts) == 0


# 9,000 lb of dry hay at 90 %: 10,000 lb; 10 % lost in store and 20 % at the feeder: / 0.72; 6.944 tons. 360 lb of
# protein short, of 40 % and 90 %: 1,000 lb, half a ton. Pods of 85 %: 1,700 lb are a ton.
def test_tons_by_hand() -> None:
    months = np.array([4000.0, 5000])
    found = winter.hay_tons(eaten=months, hay_dry_matter=0.9, storage_loss=0.1, feeding_waste=0.2)
    assert found == pytest.approx(5 / 0.72)
    protein = np.array([300.0, 60])
    assert sizes.supplement_tons(short=protein, supplement_cp=40, supplement_dry_matter=0.9) == pytest.approx(0.5)
    assert sizes.pods_tons(eaten=np.array([700.0, 1000]), dry_matter=0.85) == pytest.approx(1)
    assert sizes.pods_tons(eaten=np.zeros(2), dry_matter=0) == 0


# Two types, three quarters and a quarter of the dry pods; a pound of dry ones weighs 1.25 and 2 lb as picked: 0.9375
# and 0.5 lb together for one dry.
def test_dry_matter_of_a_mix_by_hand() -> None:
    found = sizes.dry_of_mix(shares=np.array([0.75, 0.25]), fed=np.array([0.9375, 0.5]))
    assert found == pytest.approx(1 / 1.4375)
    assert sizes.dry_of_mix(shares=np.zeros(2), fed=np.zeros(2)) == 0


# A ton and a half of supplement less at 350 $, four tons of pods at 30 $: 525 - 120 = 405 $; six tons of hay at 125 $.
def test_what_a_size_saves_by_hand() -> None:
    other = sizes.other_saved(supplement_before=2, supplement=0.5, supplement_price=350, pods=4, pod_cost=30)
    assert other == 405
    assert sizes.feed_worth(hay_saved=6, price=125, other=other) == 1155


def test_acres_by_the_best_year() -> None:
    assert sizes.acres_for(crop=3000, borne=np.array([0.0, 500, 1500, 1200])) == 2
    assert sizes.acres_for(crop=3000, borne=np.zeros(3)) == 0


CROPS = np.array([0.0, 100, 200, 300, 400])
SAVED = np.array([0.0, 10, 30, 35, 20])
SLOPES = np.array([0.0, 0.1, 0.2, 0.05, -0.15])


def read(crop: float, frost_chance: float = 0.0) -> float:
    place = sizes.place_of_crop(crop=crop, largest=400.0, last=4.0)
    return float(
        sizes.expected_at(
            crop=crop, largest=400.0, place=place, crops=CROPS, values=SAVED, slopes=SLOPES, frost_chance=frost_chance
        )
    )


def test_slopes_lead_from_one_size_to_the_next() -> None:
    found = sizes.slope(value=SAVED[1:], before=SAVED[:-1], crop=CROPS[1:], crop_before=CROPS[:-1])
    assert found == pytest.approx(SLOPES[1:])
    assert sizes.slope(value=0.0, before=0.0, crop=0.0, crop_before=0.0) == 0
    assert sizes.crop_of_size(largest=400.0, number=np.arange(5), last=4.0) == pytest.approx(CROPS)


@given(st.just(0.0) | st.floats(1e-9, 1e3))
def test_between_sizes_along_a_straight_line(crop: float) -> None:
    assert read(crop) == pytest.approx(float(np.interp(crop, CROPS, SAVED)), rel=1e-9, abs=1e-15)


@pytest.mark.parametrize("number", range(5))
def test_at_a_size_what_that_size_saves(number: int) -> None:
    assert read(CROPS[number]) == pytest.approx(SAVED[number], rel=1e-12)
    assert read(9999.0) == pytest.approx(SAVED[-1])
    assert read(CROPS[number], 0.25) == pytest.approx(0.75 * SAVED[number], rel=1e-12)


def test_no_crop_saves_nothing_and_a_small_one_keeps_its_digits() -> None:
    """Read back from a large size, 1e-9 lb would be lost in the rounding of it."""
    assert read(0.0) == 0
    assert read(1e-9) == pytest.approx(1e-10, rel=1e-12)


def test_a_stand_that_bears_nothing_or_feeds_nobody() -> None:
    place = sizes.place_of_crop(crop=np.array([0.0, 50.0]), largest=0.0, last=4.0)
    nothing = np.zeros(5)
    found = sizes.expected_at(
        crop=50.0, largest=0.0, place=place, crops=nothing, values=nothing, slopes=nothing, frost_chance=0.1
    )
    assert np.all(found == 0)


@given(st.floats(0, 4), st.floats(0, 600), st.floats(20, 700))
def test_another_yield_is_another_crop(share: float, crop: float, price: float) -> None:
    place = sizes.place_of_yield(share=share, crop=crop, largest=400.0, last=4.0)
    found = sizes.feed_at_yield(
        share=share, crop=crop, largest=400.0, place=place, crops=CROPS, hay=SAVED, hay_slopes=SLOPES, price=price,
        other=-SAVED / 2, other_slopes=-SLOPES / 2, frost_chance=0.2,
    )  # fmt: skip
    tons = float(np.interp(share * crop, CROPS, SAVED))
    assert found == pytest.approx(0.8 * (tons * price - tons / 2), rel=1e-9, abs=1e-9)


@pytest.mark.parametrize(("smallest", "off"), [(57.0, 0), (57.0 + 1e-9, 0), (57.001, 1), (56.999, 1), (0.0, 1)])
def test_a_crop_of_nothing_must_be_the_winter_without_pods(smallest: float, off: float) -> None:
    assert sizes.sizes_off(smallest=smallest, without_pods=57.0) == off
