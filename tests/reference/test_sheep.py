"""Ewes: the rows of the table, the lines between them, and the stages of the year."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from podbook.errors import OutOfRange
from podbook.reference import sheep

REQUIREMENTS = (sheep.dry_matter, sheep.energy, sheep.protein)


def test_the_table_has_every_weight_at_every_stage() -> None:
    assert {(row.stage, row.weight) for row in sheep.ROWS} == {
        (stage, weight) for stage in sheep.STAGES for weight in (50, 60, 70, 80, 90)
    }
    assert len(sheep.ROWS) == 20


def test_only_rows_seen_in_the_source_are_marked_read() -> None:
    read = {(row.stage, row.weight) for row in sheep.ROWS if row.mark == "read"}
    assert read == {(1, 50), (1, 60), (1, 70), (1, 80), (1, 90), (2, 50), (2, 60), (2, 70)}


@pytest.mark.parametrize("row", sheep.ROWS, ids=lambda row: f"{row.stage}-{row.weight}")
def test_a_weight_of_the_table_gives_its_row(row: sheep.Row) -> None:
    ewe = {"body_weight": float(row.weight), "stage": float(row.stage), "twin_share": 0.0}
    assert sheep.dry_matter(**ewe) == row.dm
    assert sheep.energy(**ewe) == row.me
    assert sheep.protein(**ewe) == pytest.approx(row.cp_g / 1000, rel=1e-15)


@pytest.mark.parametrize("row", sheep.ROWS, ids=lambda row: f"{row.stage}-{row.weight}")
def test_no_row_is_out_of_line(row: sheep.Row) -> None:
    """A slip of a digit in a row would show as a diet that no ewe is fed."""
    assert 1.9 <= row.me / row.dm <= 2.5
    assert 8 <= row.cp_g / row.dm / 10 <= 15


@pytest.mark.parametrize("function", REQUIREMENTS)
@pytest.mark.parametrize("stage", sheep.STAGES)
def test_halfway_between_two_rows_lies_their_mean(function: Any, stage: int) -> None:
    light, middle, heavy = function(body_weight=np.array([60.0, 65.0, 70.0]), stage=float(stage), twin_share=0.0)
    assert middle == pytest.approx((light + heavy) / 2, rel=1e-12)
    assert light < heavy


@pytest.mark.parametrize("function", REQUIREMENTS)
def test_every_later_stage_needs_more(function: Any) -> None:
    assert np.all(np.diff(function(body_weight=70.0, stage=np.array([1.0, 2.0, 3.0, 4.0]), twin_share=0.0)) > 0)


@pytest.mark.parametrize(
    ("days", "week", "stage"),
    [
        (0, 0, 1),
        (1, 0, 2),
        (118, 0, 2),
        (119, 0, 3),
        (147, 0, 3),
        (0, 1, 4),
        (130, 1, 4),
        (0, 8, 4),
        (0, 8.1, 3),
        (0, 14, 3),
    ],
)
def test_stages_follow_the_year_of_a_ewe(days: float, week: float, stage: float) -> None:
    assert sheep.stage(days_pregnant=float(days), week_in_milk=float(week)) == stage


def test_arrays_are_taken_element_by_element() -> None:
    weights, stages = np.array([50.0, 66.0, 83.0, 90.0]), np.array([4.0, 1.0, 3.0, 2.0])
    alone = [
        sheep.energy(body_weight=float(weight), stage=float(stage), twin_share=0.5)
        for weight, stage in zip(weights, stages, strict=True)
    ]
    assert sheep.energy(body_weight=weights, stage=stages, twin_share=0.5) == pytest.approx(alone, rel=1e-15)


@pytest.mark.parametrize("function", REQUIREMENTS)
@pytest.mark.parametrize("weight", [49.0, 91.0])
def test_a_ewe_off_the_table_is_refused(function: Any, weight: float) -> None:
    with pytest.raises(OutOfRange, match=f"body_weight is {weight:g} kg/head; allowed is 50 to 90"):
        function(body_weight=weight, stage=1.0, twin_share=0.0)


@pytest.mark.parametrize("function", REQUIREMENTS)
def test_twins_tell_in_the_last_weeks_and_in_milk_only(function: Any) -> None:
    stages = np.array([1.0, 2.0, 3.0, 4.0])
    one, both, two = (function(body_weight=60.0, stage=stages, twin_share=share) for share in (0.0, 0.5, 1.0))
    assert np.all(two[:2] == one[:2])
    assert np.all(two[2:] > one[2:] * 1.05)
    assert both == pytest.approx((one + two) / 2, rel=1e-12)
