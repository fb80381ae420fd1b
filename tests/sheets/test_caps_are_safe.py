"""What is not known, or holds for a part of a month only, never loosens a cap: a lab sheet, stepping up, milk."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from live import Live

from podbook.reference import gates, stages, winter
from podbook.sheets.handout import HERD


@pytest.fixture(scope="module")
def live(demo: Path) -> Live:
    return Live(demo)


def without_sheet(live: Live, *types: int) -> tuple[Any, ...]:
    return tuple(None if number in types else each for number, each in enumerate(live.entries["lab.basis"]))


def test_a_type_without_a_lab_sheet_bears_nothing_and_loosens_no_cap(live: Live) -> None:
    whole = live.worked_out({})
    sweetest = max(range(3), key=lambda number: whole["lab.sugar_whole"][number])
    found = live.worked_out({"lab.basis": without_sheet(live, sweetest)})
    others = [whole["lab.sugar_whole"][number] for number in range(3) if number != sweetest]
    assert min(others) <= found["pods_sugar"][0] <= max(others)
    assert found["mix.full_crop"][sweetest] == 0
    assert found["mix.lacking"][sweetest] == 1
    assert 0 < found["pod_crop"][0] < whole["pod_crop"][0]
    assert found["status"][0].startswith("LOOK")


def test_without_any_lab_sheet_no_pods_are_planned(live: Live) -> None:
    found = live.worked_out({"lab.basis": (None,) * 6})
    assert found["pod_crop"][0] == 0
    assert sum(found["winter.pods_eaten"]) == 0
    assert found["status"][0].startswith("LOOK")


@pytest.mark.parametrize("weeks", [0.0, 2.0, 3.0, 6.0, 8.0])
def test_no_day_of_a_month_has_less_room_than_the_handout_says(live: Live, weeks: float) -> None:
    """The most a head is in proportion to the month's cap; on its first days the cap may be that of stepping up."""
    found = live.worked_out({"step_up_weeks_entry": (weeks,)})
    full, step = found["full_share"][0], found["step_up_share"][0]
    stepped = 0
    for month in range(8):
        mean, least = found["months.pod_share"][month], full * step if found["months.stepping"][month] else full
        stepped += 0 < found["months.stepping"][month] < found["months.days_used"][month]
        for group in HERD:
            days, most = found[f"need_{group}.head_days"][month], found[f"barn_pods.group_{group}"][month]
            if days and mean:
                planned = found[f"ration_{group}.wish"][month] / days / found["pods_dry_matter"][0]
                assert most <= planned * least / mean * (1 + 1e-9)
    assert stepped == (weeks > 0)


def test_the_most_a_head_on_the_first_days() -> None:
    """30 days of which 21 are stepped up at half: the month's mean is 0.65 of the cap, its first day has 0.5."""
    given = {"dry": 30.0, "head_days": 30.0, "dry_matter": 0.5, "step_up_share": 0.5, "full_share": 0.2}
    assert winter.most_a_head(**given, stepping=21.0, pod_share=0.13) == pytest.approx(2 * 0.1 / 0.13)
    assert winter.most_a_head(**given, stepping=0.0, pod_share=0.2) == pytest.approx(2)
    assert winter.most_a_head(**given, stepping=30.0, pod_share=0.0) == 0


@pytest.mark.parametrize(
    ("born", "suckled", "is_cattle", "is_ewe", "week", "milk", "flagged"),
    [
        (0, 1, 1, 0, 0, 0, 1),
        (0, 1, 1, 0, 8, 0, 1),
        (0, 1, 1, 0, 0, 9, 1),
        (0, 1, 1, 0, 8, 9, 0),
        (1, 0, 1, 0, 2, 0, 1),
        (1, 0, 1, 0, 2, 9, 0),
        (0, 1, 0, 0, 0, 0, 0),
        (1, 0, 0, 1, 2, 0, 0),
    ],
)
def test_young_at_foot_without_milk(
    born: int, suckled: int, is_cattle: int, is_ewe: int, week: float, milk: float, flagged: int
) -> None:
    given = {"born": born, "suckled": suckled, "is_cattle": is_cattle, "is_ewe": is_ewe}
    assert stages.young_without_milk(**given, week=week, milk_peak=milk, head_days=30) == flagged
    assert stages.young_without_milk(**given, week=week, milk_peak=milk, head_days=0) == 0


def test_a_cow_with_a_calf_and_no_milk_is_told(live: Live) -> None:
    kinds, milk = live.entries["groups.kind"], live.entries["groups.peak_milk"]
    dry = tuple(0.0 if kind == "cow with calf" else each for kind, each in zip(kinds, milk, strict=True))
    assert dry != milk
    found = live.worked_out({"groups.peak_milk": dry})
    assert found["check_birth"][0] > 0
    assert live.worked_out({})["check_birth"][0] == 0


@pytest.mark.parametrize(
    ("crops", "state"),
    [
        ((88, 104, 2500), "unusual"),
        ((88, 104, 300), "ok"),
        ((50, 250), "unusual"),
        ((88,), "ok"),
        ((0, 0, 9), "unusual"),
    ],
)
def test_a_slip_of_the_decimal_point_is_seen_in_a_small_tally(crops: tuple[float, ...], state: str) -> None:
    count = len(crops)
    told = gates.row_state(
        counted=1, entries=("a",), crop=crops[-1], kind="a", kinds=("a",) * count + ("b",),
        counts=(1.0,) * count + (1.0,),
        crops=(*crops, 1e6), far_times=4,
    )  # fmt: skip
    assert told == state
