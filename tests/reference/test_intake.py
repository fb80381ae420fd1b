"""What animals can eat: how it moves with the diet and the animal, and where the functions refuse."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from podbook.errors import OutOfRange
from podbook.reference import intake


def cow(**changes: Any) -> Any:
    dry = {"shrunk_weight": 520.0, "diet_nem": 1.2, "late_pregnancy": 0.0, "milk_yield": 0.0}
    return intake.nrc_cow(**{**dry, **changes})


def by_weight(**changes: Any) -> Any:
    dry = {"body_weight": 500.0, "tdn": 56.0, "lactating": 0.0, "growing": 0.0}
    return intake.body_weight_rule(**{**dry, **changes})


def test_a_cow_eats_a_fifth_of_her_milk_more() -> None:
    assert cow(milk_yield=8.0) - cow() == pytest.approx(1.6, rel=1e-12)


def test_a_cow_by_hand() -> None:
    """256 kg have a metabolic weight of 64; below an NEm of 0.95 the divisor stays at 0.95."""
    assert cow(shrunk_weight=256.0, diet_nem=1.2) == pytest.approx(64 * (0.0719568 + 0.0384) / 1.2, rel=1e-12)
    assert cow(shrunk_weight=256.0, diet_nem=0.8) == pytest.approx(64 * (0.0319808 + 0.0384) / 0.95, rel=1e-12)


def test_late_pregnancy_and_weight_raise_a_cows_intake() -> None:
    assert cow(late_pregnancy=1.0) > cow()
    assert cow(shrunk_weight=600.0) > cow()


def test_below_the_floor_a_poorer_diet_is_eaten_less() -> None:
    """Without the floor the divisor would let intake rise as the diet gets worse."""
    poor, poorer = cow(diet_nem=0.8), cow(diet_nem=0.6)
    assert poorer < poor
    assert cow(diet_nem=0.6, intake_nem_floor=0.1) > cow(diet_nem=0.8, intake_nem_floor=0.1)


def test_the_floor_does_not_touch_a_diet_above_it() -> None:
    assert cow(diet_nem=0.95) == cow(diet_nem=0.95, intake_nem_floor=0.1)


def test_growing_cattle_eat_more_of_a_better_roughage_and_never_less_than_nothing() -> None:
    eaten = intake.nrc_growing(shrunk_weight=260.0, diet_nem=np.array([0.2, 0.8, 1.0, 1.2]))
    assert eaten[0] == 0
    assert np.all(np.diff(eaten) > 0)


def test_growing_cattle_by_hand() -> None:
    """256 kg have a metabolic weight of 64; 0.2922 - 0.067104 - 0.1128 = 0.112296 of NEm 1.2."""
    assert intake.nrc_growing(shrunk_weight=256.0, diet_nem=1.2) == pytest.approx(64 * 0.112296 / 1.2, rel=1e-12)


def test_the_share_of_body_weight_steps_at_53_and_59_percent_tdn() -> None:
    tdn = np.array([52.9, 53.0, 59.0, 59.1])
    assert by_weight(tdn=tdn) == pytest.approx([9.0, 11.0, 11.0, 12.5])
    assert by_weight(tdn=tdn, lactating=1.0) == pytest.approx([11.0, 12.5, 12.5, 13.5])


def test_growing_cattle_eat_the_same_share_of_any_forage() -> None:
    assert by_weight(growing=1.0, tdn=np.array([45.0, 56.0, 65.0])) == pytest.approx(12.5)


def test_late_pregnancy_raises_a_does_dry_matter_by_one_amount() -> None:
    small, large = (
        intake.goat(body_weight=weight, late_pregnancy=1.0, activity=0.25, milk_and_gain=0.0)
        - intake.goat(body_weight=weight, late_pregnancy=0.0, activity=0.25, milk_and_gain=0.0)
        for weight in (30.0, 80.0)
    )
    assert small == pytest.approx(large, rel=1e-12)
    assert small > 0


def test_arrays_are_taken_element_by_element() -> None:
    nem, pregnant = np.array([0.7, 1.1, 1.5]), np.array([0.0, 1.0, 0.0])
    alone = [cow(diet_nem=float(one), late_pregnancy=float(flag)) for one, flag in zip(nem, pregnant, strict=True)]
    assert cow(diet_nem=nem, late_pregnancy=pregnant) == pytest.approx(alone, rel=1e-15)


def test_a_share_where_percent_is_meant_or_too_heavy_a_beast_is_refused() -> None:
    with pytest.raises(OutOfRange, match="tdn is 101 percent; allowed is 0 to 100"):
        by_weight(tdn=101.0)
    with pytest.raises(OutOfRange, match="shrunk_weight is 1300 kg/head; allowed is 20 to 1250"):
        cow(shrunk_weight=1300.0)
