"""The sheet Crop sizes says of a crop what the sheet Savings says of it, from the first pod to more than can be eaten.

With all types in full crop this winter's pods are those of the full-grown stand, so that the two must agree; the land
under trees is made such that it drops the crop that is asked for.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from herds import Farm, Farms, at_most, near
from live import Live

LAST = 12
OLD = {"stand_age_entry": (40.0,)}
DEMO = {
    "whole": {},
    "ground": {"pod_form_entry": ("ground",), "pod_cost_entry": (30.0,)},
    "poor hay": {"hay_cp_entry": (3.0,), "hay_tdn_entry": (52.0,)},
    "ground, poor hay": {"pod_form_entry": ("ground",), "pod_cost_entry": (30.0,), "hay_cp_entry": (3.0,)},
    "no stockpile": {"stockpile_area_entry": (0.0,)},
    "much stockpile": {"stockpile_area_entry": (60.0,), "standing_loss_entry": (0.2,)},
    "many pods": {"share_cap_entry": (0.5,), "diet_sugar_limit_entry": (20.0,)},
    "one drop": {"months.drop": (1.0, *(0.0,) * 7), "months.ground_loss": (0.15,) * 8},
}
"""Variants of the demo farm: what pods cost and displace, when they fall, and what runs short first."""
FIRST, RANDOM = 300, 12
EMPTY_HERDS = 3
"""Random farms at most whose trees bear nothing or whose stock may eat no pods."""


@pytest.fixture(scope="module")
def farms(demo: Path) -> Farms:
    return Farms(Live(demo))


def old(farms: Farms, engine: str, variant: str) -> Farm:
    return farms.demo(engine).but({**OLD, **DEMO[variant]})


def with_crop(farm: Farm, crop: float) -> Farm:
    """Return the farm with as much land under trees as drops a crop this winter."""
    acres = crop / farm["years.dry"][-1]
    assert 0.1 <= acres <= 5000
    found = farm.but({"area_entry": (acres,)})
    assert near(found.one("pod_crop"), crop)
    return found


def agree(farm: Farm, crop: float, number: int) -> None:
    """What the sheet Savings says of a crop is what the sheet Crop sizes says of a size."""
    winter = with_crop(farm, crop)
    assert near(winter.one("saving"), farm["sizes.money"][number], farm.one("cost_without"))
    assert near(winter.one("hay_bought_with"), farm["sizes.hay"][number], farm.one("hay_bought_without"))
    assert near(winter.one("supplement_bought_with"), farm["sizes.extra"][number], farm.one("hay_bought_without"))
    assert near(winter.one("pods_eaten_fed"), farm["sizes.fed"][number])


@pytest.mark.parametrize("variant", DEMO)
def test_a_size_saves_what_the_winter_saves(farms: Farms, variant: str) -> None:
    farm = old(farms, "reference", variant)
    assert min(farm["sizes.crop"][1:]) > 0
    for number in range(1, LAST + 1):
        agree(farm, farm["sizes.crop"][number], number)


@pytest.mark.parametrize("variant", ["whole", "ground, poor hay", "one drop"])
@pytest.mark.parametrize("number", [1, 5, LAST])
def test_a_size_saves_what_the_winter_saves_in_the_workbook(farms: Farms, variant: str, number: int) -> None:
    farm = old(farms, "workbook", variant)
    agree(farm, farm["sizes.crop"][number], number)


@pytest.mark.parametrize("variant", DEMO)
def test_beyond_the_largest_crop_nothing_changes(farms: Farms, variant: str) -> None:
    """And just below it something does: it is the smallest of these."""
    farm = old(farms, "reference", variant)
    largest = farm.one("largest_crop")
    for times in (1.001, 1.5, 4.0):
        agree(farm, times * largest, LAST)
    fed = with_crop(farm, 0.999 * largest).one("pods_eaten_fed")
    assert fed < farm["sizes.fed"][LAST] * (1 - 1e-6)


def random_farm(farms: Farms, seed: int) -> Farm | None:
    farm = farms.farm("reference", seed).but(OLD)
    return farm if farm.one("largest_crop") > 0 and farm["years.dry"][-1] > 0 else None


@pytest.mark.parametrize("seed", range(FIRST, FIRST + RANDOM))
def test_a_size_saves_what_the_winter_saves_on_a_random_farm(farms: Farms, seed: int) -> None:
    farm = random_farm(farms, seed)
    if farm is None:
        return
    for number in (1, 4, 8, LAST):
        crop = farm["sizes.crop"][number]
        if 0.1 <= crop / farm["years.dry"][-1] <= 5000:
            agree(farm, crop, number)


def test_most_random_farms_have_pods_and_mouths_for_them(farms: Farms) -> None:
    """So that the test above passes over few."""
    empty = [seed for seed in range(FIRST, FIRST + RANDOM) if random_farm(farms, seed) is None]
    assert len(empty) <= EMPTY_HERDS


def test_between_sizes_a_straight_line_is_near_enough(farms: Farms) -> None:
    """Halfway between two sizes the line is furthest off where a month's pods or grass run out: 1 % at most."""
    worst: dict[str, float] = {}
    for variant in DEMO:
        farm = old(farms, "reference", variant)
        crops, money = farm["sizes.crop"], farm["sizes.money"]
        most = max(abs(each) for each in money)
        for number in range(LAST):
            winter = with_crop(farm, (crops[number] + crops[number + 1]) / 2)
            off = abs(winter.one("saving") - (money[number] + money[number + 1]) / 2) / most
            worst[variant] = max(off, worst.get(variant, 0.0))
    print("\n" + "\n".join(f"{variant:20}{off:8.2%} of the largest saving" for variant, off in worst.items()))
    assert max(worst.values()) <= 0.01


RICH = {
    "access.whole": (1.0,) * 3, "access.ground": (1.0,) * 3, "hay_tdn_entry": (45.0,), "months.grass_tdn": (45.0,) * 8,
}  # fmt: skip
"""All seed within reach, and feeds beside pods that hold less energy than any pod drawn."""


@pytest.mark.parametrize("seed", range(FIRST, FIRST + RANDOM))
def test_more_pods_richer_than_all_else_never_cost_hay(farms: Farms, seed: int) -> None:
    """Poorer ones may (see ``test_more_pods``), and any may cost supplement: they hold little protein."""
    farm = farms.farm("reference", seed).but({**OLD, **RICH})
    used = zip(farm["grown_served.me"], farm["groups.in_order"], strict=True)
    if sum(farm["mix.full_area"]) > 0:
        assert all(me > max(farm["winter.best_me"]) for me, in_order in used if in_order)
    hay = farm["sizes.hay"]
    assert all(at_most(hay[number + 1], hay[number], farm.one("hay_bought_without")) for number in range(LAST))
