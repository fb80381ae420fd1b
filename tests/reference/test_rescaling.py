"""Every reference function says the same in other units, but for those that are listed with their reason."""

from __future__ import annotations

from functools import cache
from typing import Annotated

import numpy as np
import pytest
from rescaling import Called, Calls, change, drawn

from podbook.proof.units.found import Of
from podbook.proof.units.measure import measure
from podbook.reference.catalogue import catalogue
from podbook.reference.contract import Reference, Value, reference
from podbook.units import In

SEEDS = range(4)
BY_NAME = {function.name: function for function in catalogue()}
INSIDE = {
    "cold.celsius": "32 and 5/9 are inside",
    "stages.month_celsius": "32 and 5/9 are inside",
    "log.pods_dropped_dry": "what is not water is dry matter: as fed less water is dry",
    "log.pods_fed_dry": "as above",
    "pods.dry_matter_share": "as above",
    "trees.dry_weight": "as above",
    "planting.pollinators": "counted up to a whole tree",
    "planting.trees_again": "counted up to a whole tree",
    "planting.trees_to_order": "counted up to a whole tree",
    "trees.trees": "rows of one tree count as one tree",
    "quick.square_spacing": "the side of the square that one tree has",
    "stand.crown_cover": "crowns are counted, one a tree",
    "sheep.dry_matter": "the table of weights and needs is inside",
    "sheep.energy": "the table of weights and needs is inside",
    "sheep.protein": "the table of weights and needs is inside",
}
"""Functions that hold something of a unit in themselves."""
OF_ONE_ANIMAL = (
    "cattle.gain_energy",
    "cattle.maintenance",
    "cattle.protein_requirement",
    "cold.rise_by_acclimatisation",
    "goats.maintenance",
    "intake.goat",
    "intake.nrc_cow",
    "intake.nrc_growing",
)
"""Laws with a power of the weight of one animal: they hold of a head, and of no other number of heads."""


@cache
def calls() -> Calls:
    return Calls()


@cache
def made(name: str) -> tuple[Called, ...]:
    """Return calls of a function: as the book calls it, and with figures drawn where none of those tells."""
    found = tuple(calls().of(BY_NAME[name]))
    if any(map(_tells, found)) or (found and not _has_unit(BY_NAME[name])):
        return found
    return found + tuple(call for seed in range(12) if (call := drawn(BY_NAME[name], seed)) is not None)


@pytest.mark.parametrize("name", [name for name in BY_NAME if name not in INSIDE])
def test_a_function_says_the_same_in_other_units(name: str) -> None:
    assert made(name), "the function is never called"
    for seed in SEEDS:
        how = change(seed, heads=name not in OF_ONE_ANIMAL)
        assert [call.arguments for call in made(name) if call.differs(how)] == []


@pytest.mark.parametrize("name", [*INSIDE, *OF_ONE_ANIMAL])
def test_only_functions_that_do_not_are_left_out(name: str) -> None:
    assert any(call.differs(change(seed, heads=True)) for seed in SEEDS for call in made(name))


def test_every_function_that_gives_a_unit_is_called_with_figures_that_tell() -> None:
    mute = {name for name in BY_NAME if _has_unit(BY_NAME[name]) and not any(map(_tells, made(name)))}
    assert mute == {"planting.share_paid", "stages.none_before", "winter.nothing", "winter.nothing_paid"}


def _has_unit(function: Reference) -> bool:
    unit = function.returns.unit
    return unit not in ("text", "any") and not measure(unit).is_plain


def _tells(call: Called) -> bool:
    """Return whether a call gives a number that is not 0."""
    result = np.asarray(call.function.function(**call.arguments))
    return result.dtype.kind in "fi" and bool(result.any())


@reference("arithmetic", "a factor lost")
def lost(
    *, price: Annotated[Value, In("USD/short_ton_fed")], dry_matter: Annotated[Value, In("lb_dry/lb_fed")]
) -> Annotated[Value, In("USD/lb_dry")]:
    """Return the price of dry matter, without the pounds of a ton."""
    return price / dry_matter


@reference("arithmetic", "a factor inside")
def inside(
    *, price: Annotated[Value, In("USD/short_ton_fed")], dry_matter: Annotated[Value, In("lb_dry/lb_fed")]
) -> Annotated[Value, In("USD/lb_dry")]:
    """Return the price of dry matter, by a figure of the function's own."""
    return price / (dry_matter * 2000)


@reference("arithmetic", "two sizes added")
def added(
    *, picked: Annotated[Value, In("lb_fed")], bought: Annotated[Value, In("short_ton_fed")]
) -> Annotated[Value, In("lb_fed")]:
    """Return pounds and tons taken together."""
    return picked + bought


@reference("arithmetic", "dry taken for as fed")
def taken(*, dry: Annotated[Value, In("lb_dry")]) -> Annotated[Value, In("lb_fed")]:
    """Return dry matter for a weight as fed."""
    return dry


@pytest.mark.parametrize("function", [lost, inside, added, taken], ids=lambda each: each.name)
def test_a_lost_factor_is_heard(function: Reference) -> None:
    units = {each.name: (Of(measure(each.measured.unit)),) for each in function.parameters}
    call = Called(function, dict.fromkeys(units, 3.0), units, Of(measure(function.returns.unit)))
    assert all(call.differs(change(seed)) for seed in SEEDS)
