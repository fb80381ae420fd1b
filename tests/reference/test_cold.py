"""Cold: what wind, wet and degrees add, and what feed can still meet."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from podbook.errors import OutOfRange
from podbook.reference import cold


def increase(temperature: Any, wet: float = 0.0) -> Any:
    return cold.cold_increase(
        effective_temperature=temperature,
        critical_temperature=cold.critical_temperature(coat_wet=wet, dry_critical=18.0, wet_critical=59.0),
        per_degree=cold.per_degree(coat_wet=wet),
    )


def test_nothing_is_added_at_or_above_the_critical_temperature() -> None:
    assert np.all(increase(np.array([18.0, 19.0, 70.0])) == 0)


def test_every_degree_below_costs_more() -> None:
    assert np.all(np.diff(increase(np.arange(17.0, -40.0, -1.0))) > 0)


@pytest.mark.parametrize("temperature", [-20.0, 4.0, 17.0, 58.0])
def test_a_wet_coat_costs_more_than_a_dry_one(temperature: float) -> None:
    assert increase(temperature, wet=1.0) > increase(temperature)


def test_wind_makes_it_colder() -> None:
    felt = cold.effective_temperature(temperature=20.0, wind=np.array([0.0, 10.0, 25.0]))
    assert felt[0] == 20
    assert np.all(np.diff(felt) < 0)


def test_a_need_grows_by_the_increase() -> None:
    raised = cold.raised_by_cold(requirement=10.0, increase=np.array([0.0, 0.14, 1.1]))
    assert raised == pytest.approx([10.0, 11.4, 21.0], rel=1e-12)


@pytest.mark.parametrize(("share", "met"), [(0.0, 1.0), (0.30, 1.0), (0.31, 0.0), (1.10, 0.0)])
def test_feed_meets_cold_up_to_thirty_percent(share: float, met: float) -> None:
    assert cold.met_by_feed(increase=share) == met


def test_the_scales_of_temperature_meet_at_forty_below() -> None:
    assert cold.celsius(fahrenheit=np.array([-40.0, 32.0, 104.0])) == pytest.approx([-40.0, 0.0, 40.0])


def test_arrays_are_taken_element_by_element() -> None:
    degrees = np.array([30.0, 10.0, -15.0])
    assert increase(degrees) == pytest.approx([increase(float(degree)) for degree in degrees], rel=1e-15)


def test_a_temperature_or_wind_off_the_scale_is_refused() -> None:
    with pytest.raises(OutOfRange, match="temperature is -61 degF; allowed is -60 to 120"):
        cold.effective_temperature(temperature=-61.0, wind=0.0)
    with pytest.raises(OutOfRange, match="wind is -1 mph; allowed is 0 to 60"):
        cold.effective_temperature(temperature=20.0, wind=-1.0)
