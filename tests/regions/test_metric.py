"""A metric region's figures, turned into the units in which books are described, against pint's factors."""

from __future__ import annotations

import pytest

from podbook import regions
from podbook.regions.region import BY_MONTH, NUMBERS
from podbook.units import registry

METRIC = [name for name in regions.names() if regions.load(name).units == "metric"]


def turned(value: float, stated: str, wanted: str, currency: str) -> float:
    """Return a stated figure in the unit of the US book; a unit of its money is one of the book's."""
    units = registry()
    return units.Quantity(value, stated.replace(currency, "USD")).to(wanted).magnitude


@pytest.mark.parametrize("name", METRIC)
@pytest.mark.parametrize(
    "entry", [entry for entry in NUMBERS if NUMBERS[entry].unit not in ("month", "percent", "day")]
)
def test_a_figure_is_turned_exactly(name: str, entry: str) -> None:
    region = regions.load(name)
    number, stated = region.numbers[entry], region.numbers[entry].stated
    for figure, said in ((number.value, stated.value), (number.low, stated.low), (number.high, stated.high)):
        assert figure == pytest.approx(turned(said, stated.unit, number.unit, region.currency), rel=1e-13)


@pytest.mark.parametrize("name", METRIC)
def test_temperatures_are_turned_exactly(name: str) -> None:
    temperature = regions.load(name).monthly["temperature"]
    assert temperature.unit == BY_MONTH["temperature"].unit == "degF"
    assert temperature.stated.unit == "degC"
    for month, said in temperature.stated.by_month.items():
        assert temperature.by_month[month] == pytest.approx(said * 9 / 5 + 32, abs=1e-12)


@pytest.mark.parametrize("name", METRIC)
def test_what_has_no_unit_to_turn_stays_to_the_last_digit(name: str) -> None:
    region = regions.load(name)
    for entry in ("season_start", "season_days", "hay_tdn", "hay_dry_matter", "discount_rate"):
        assert region.numbers[entry].value == region.numbers[entry].stated.value
    assert region.monthly["pod_drop"].by_month == region.monthly["pod_drop"].stated.by_month


@pytest.mark.parametrize("name", METRIC)
def test_turned_and_turned_again_a_figure_is_what_the_file_states(name: str) -> None:
    region = regions.load(name)
    for entry, number in region.numbers.items():
        turn = NUMBERS[entry].stated(region.units, region.currency)[1]
        assert turn.of(number.value) == pytest.approx(number.stated.value, rel=1e-14)


@pytest.mark.parametrize(("name", "by_tonne"), [("eu_mediterranean", 200), ("nz", 370)])
def test_corn_by_the_hectoliter_is_the_price_of_a_tonne(name: str, by_tonne: float) -> None:
    """56 lb of 0.45359237 kg in a bushel of 2150.42 cubic inches; rounded in the file to a tenth."""
    kg_per_hectoliter = 56 * 0.45359237 / (2150.42 * 2.54**3 / 100_000)
    assert kg_per_hectoliter == pytest.approx(72.08, abs=0.005)
    corn = regions.load(name).numbers["corn_price"]
    assert corn.stated.value == pytest.approx(by_tonne * kg_per_hectoliter / 1000, abs=0.051)
    assert "0.07208" in corn.note
    assert str(by_tonne) in corn.note
    assert corn.value == pytest.approx(by_tonne * 56 * 0.45359237 / 1000, rel=0.003)
