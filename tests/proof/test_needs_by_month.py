"""What a head needs moves with the months: pregnancy advances, milk rises and falls, young stock grow."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest
from herds import Farm, Farms
from live import Live

from podbook.reference import sheep

POUNDS = 1 / 0.45359237
BOTH = pytest.mark.parametrize("engine", ["reference", "workbook"])


@pytest.fixture(scope="module")
def farms(demo: Path) -> Farms:
    return Farms(Live(demo))


def winter(farms: Farms, engine: str, first_group: Mapping[str, object]) -> Farm:
    """Return the demo with another first group, warm and fed 28 days in each of eight months."""
    demo = farms.demo(engine)
    changes = {f"groups.{field}": (value, *demo.entries[f"groups.{field}"][1:]) for field, value in first_group.items()}
    return demo.but({**changes, "months.days": (28.0,) * 8, "months.temperature": (60.0,) * 8})


@BOTH
def test_a_ewe_falls_to_the_row_of_late_milk_after_eight_weeks(farms: Farms, engine: str) -> None:
    ewe = {"kind": "ewe", "head": 10.0, "body_weight": 70 * POUNDS, "days_pregnant": 0.0, "week_in_milk": 1.0}
    need = winter(farms, engine, ewe)["need_1.need_me"]
    full, late = (next(row.me for row in sheep.ROWS if (row.stage, row.weight) == (stage, 70)) for stage in (4, 3))
    assert need == pytest.approx([full] * 2 + [late] * 6)


@BOTH
def test_a_cow_gives_most_milk_at_her_peak_and_less_every_month_after(farms: Farms, engine: str) -> None:
    cow = {"kind": "cow with calf", "head": 10.0, "days_pregnant": 0.0, "week_in_milk": 6.0, "peak_milk": 20.0}
    months = winter(farms, engine, cow)
    assert months["need_1.milk"][0] == pytest.approx(20 / POUNDS, rel=0.02)
    for each in ("milk", "need_me", "need_cp"):
        column = months[f"need_1.{each}"]
        assert list(column) == sorted(column, reverse=True)
        assert len(set(column)) == 8


@BOTH
def test_a_dry_cow_needs_more_every_month_of_pregnancy(farms: Farms, engine: str) -> None:
    cow = {"kind": "dry pregnant cow", "head": 10.0, "days_pregnant": 60.0, "week_in_milk": 0.0, "peak_milk": 20.0}
    months = winter(farms, engine, cow)
    assert list(months["need_1.born"]) == [0] * 8
    for each in ("need_me", "need_cp"):
        column = months[f"need_1.{each}"]
        assert list(column) == sorted(column)
        assert len(set(column)) == 8


@BOTH
def test_growing_cattle_grow(farms: Farms, engine: str) -> None:
    steer = {"kind": "growing cattle", "head": 10.0, "body_weight": 500.0, "gain": 1.0, "days_pregnant": 0.0}
    months = winter(farms, engine, steer)
    assert months["need_1.weight"][7] * POUNDS == pytest.approx(500 + 7.5 * 28)
    need = months["need_1.need_me"]
    assert list(need) == sorted(need)
    assert len(set(need)) == 8
