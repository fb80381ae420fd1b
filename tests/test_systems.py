"""The metric book's units and factors, against pint's."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from podbook.systems import metric
from podbook.units import registry, shown, spelled

UNITS = (
    "lb_dry/acre", "foot**2/acre", "lb_fed/short_ton_fed", "kg/lb", "degF", "delta_degC/delta_degF",
    "delta_degF/mph", "USD/bushel", "lb_fed/bushel", "Mcal/kg**0.75/day", "kg_dry**2/Mcal**2", "kcal/Mcal",
    "USD/short_ton_fed", "lb_dry**2/tree**2", "lb_fed/foot**3", "head*day/acre", "1/delta_degF", "percent", "1/day",
    "USD/foot", "megajoule/Mcal",
)  # fmt: skip


@pytest.mark.parametrize("unit", UNITS)
@settings(deadline=None)
@given(figure=st.floats(-1e6, 1e6))
def test_a_figure_is_turned_as_pint_turns_it(unit: str, figure: float) -> None:
    turned, turn = metric(unit)
    expected = registry().Quantity(figure, registry().parse_units(unit)).to(registry().parse_units(turned)).magnitude
    assert turn.of(figure) == pytest.approx(expected, rel=1e-13, abs=1e-9)
    assert turn.back(turn.of(figure)) == pytest.approx(figure, rel=1e-13, abs=1e-9)


@pytest.mark.parametrize("unit", UNITS)
def test_no_unit_of_the_us_book_is_left(unit: str) -> None:
    assert not set(metric(unit)[0].replace("/", " ").split()) & {"lb", "acre", "foot", "mph", "degF", "bushel", "Mcal"}


@pytest.mark.parametrize("unit", [metric(unit)[0] for unit in UNITS if "0.75" not in unit])
def test_what_is_printed_is_read_again(unit: str) -> None:
    printed = spelled(shown(unit))
    assert printed is not None
    assert registry().parse_units(printed) == registry().parse_units(unit)
