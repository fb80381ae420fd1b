"""A winter of the south is the same winter: shifted by half a year, a region's book gives the same figures."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from typing import Any

import pytest

from podbook import regions
from podbook.inputs.farm import filled
from podbook.proof.evaluate import end_to_end
from podbook.regions import Region
from podbook.regions.region import MONTHS
from podbook.sheets import book_of

NAMES = {"months.name", "winter.label", "months.label", "out_month", "first_out"}
"""Cells that name months."""


def half_a_year_on(by_month: Mapping[int, float]) -> dict[int, float]:
    return {(month + 5) % 12 + 1: value for month, value in by_month.items()}


def with_season(region: Region, month: int, day: int) -> Region:
    """Return the region fed for 60 days from a day on: the rest of a month, one of 31 days, and 17 days."""
    season = {"season_start": month, "season_start_day": day, "season_days": 60}
    numbers = {name: replace(region.numbers[name], value=value) for name, value in season.items()}
    return replace(region, numbers={**region.numbers, **numbers})


def twin(region: Region) -> Region:
    """Return the region with every month half a year on."""
    monthly = {name: replace(each, by_month=half_a_year_on(each.by_month)) for name, each in region.monthly.items()}
    return replace(region, monthly=monthly)


def figures(region: Region) -> dict[str, tuple[Any, ...]]:
    book = book_of(region, filled())
    return end_to_end(book, {node.key: node.contents for node in book.nodes.values() if node.role == "entry"})


@cache
def twins(name: str) -> tuple[dict[str, tuple[Any, ...]], dict[str, tuple[Any, ...]]]:
    """A northern winter from 20 December and a southern one from 19 June, each with 12, 31 and 17 days of feeding."""
    region = regions.load(name)
    southern = name == "nz"
    north, south = (twin(region), region) if southern else (region, twin(region))
    return figures(with_season(north, 12, 20)), figures(with_season(south, 6, 19))


@pytest.mark.parametrize("name", ["us_upper_midwest", "us_deep_south", "eu_mediterranean", "nz"])
def test_the_twins_differ_in_the_names_of_months_only(name: str) -> None:
    north, south = twins(name)
    differing = {key for key in north if north[key] != south[key]}
    assert differing <= NAMES | {key for key in north if key.endswith(".label")}
    assert "months.name" in differing
    first = MONTHS.index(north["months.name"][0])
    assert south["months.name"] == tuple(MONTHS[(first + 6 + step) % 12] for step in range(8))
    assert len(north) == len(south) > 1000
    assert north["hay_saved"][0] > 0


def test_the_months_of_new_zealand() -> None:
    """Pods from April, feeding in June, July and August; the month before is March, 16.6 °C."""
    book = book_of(regions.load("nz"), filled())
    assert book.nodes["months.name"].contents == ("Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov")
    assert book.nodes["months.days"].contents == (0, 0, 30, 31, 30, 0, 0, 0)
    assert book.nodes["months.drop"].contents == (0.3, 0.4, 0.2, 0.1, 0, 0, 0, 0)
    assert book.nodes["months.temperature"].contents == pytest.approx(
        [celsius * 1.8 + 32 for celsius in (14.1, 11.4, 9.3, 8.7, 9.4, 11.1, 12.7, 14.4)]
    )
    assert book.nodes["temperature_before_default"].contents == (pytest.approx(16.6 * 1.8 + 32),)
