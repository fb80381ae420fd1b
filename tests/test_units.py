"""Units as they are printed beside a number, and back."""

from __future__ import annotations

import pytest

from podbook import regions
from podbook.inputs.filled import Filled
from podbook.sheets import book_of
from podbook.units import LONGEST, converted, registry, shown, spelled

ENTRIES = sorted(
    {
        node.unit
        for node in book_of(regions.load("us_midatl_appal"), Filled("A farm", ())).nodes.values()
        if node.role == "entry" and node.unit != "text"
    }
)


@pytest.mark.parametrize("unit", ENTRIES)
def test_a_printed_unit_of_an_entry_is_read_back(unit: str) -> None:
    found = spelled(shown(unit))
    assert found is not None
    assert registry().parse_units(found) == registry().parse_units(unit.replace("delta_", ""))
    assert converted(0.3, shown(unit), unit) == 0.3


@pytest.mark.parametrize(
    ("number", "words", "unit", "wanted"),
    [
        (45.359237, "kg", "lb", 100),  # the international pound
        (
            0.40468564224,
            "ha",
            "acre",
            1,
        ),  # 43,560 square feet of the international foot; that of survey feet was retired
        (-40, "°C", "degF", -40),
        (37.7777777777778, "°C", "degF", 100),
        (0.018, "share/°C", "fraction/delta_degF", 0.01),
        (35, "%", "fraction", 0.35),
        (0.35, "share", "percent", 35),
        (45.359237, "kg DM", "lb_dry", 100),
        (45.359237, "kg as fed/tree", "lb_fed/tree", 100),
        (1, "$/kg DM", "USD/lb_dry", 0.45359237),
        (1, "lb as fed/ft^3", "lb_fed/foot**3", 1),
        (2, "hour", "minute", 120),
        (1, "m", "foot", 3.28083989501),
    ],
)
def test_a_number_is_turned_into_the_unit_of_the_book(number: float, words: str, unit: str, wanted: float) -> None:
    assert converted(number, words, unit) == pytest.approx(wanted, rel=1e-11)


@pytest.mark.parametrize(
    ("words", "unit"),
    [
        ("kg", "lb_fed"),  # as fed or dry is not said
        ("lb DM", "lb_fed"),
        ("lb as fed", "lb_dry"),
        ("score", "fraction"),
        ("no.", "percent"),
        ("$", "USD/bale"),
        ("", "lb"),
        ("furlong per fortnight", "lb"),
        ("9**9**9**9", "lb"),
        ("lb/", "lb"),
        ("/lb", "lb"),
        ("lb^99", "lb"),
        ("lambda: 1", "lb"),
        ("__import__('os')", "lb"),
        ("lb " * LONGEST, "lb"),
    ],
)
def test_what_is_no_such_unit_is_not_turned(words: str, unit: str) -> None:
    assert converted(1.0, words, unit) is None
