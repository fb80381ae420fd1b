"""The regions that come with the package: complete, sourced, as published, and each gives a sound book."""

from __future__ import annotations

import csv
import re
from pathlib import Path

import pytest

from podbook import regions
from podbook.book.node import Node
from podbook.inputs.filled import Filled
from podbook.proof.evaluate import end_to_end
from podbook.regions.region import BY_MONTH, MONTHS, NUMBERS, Default, Monthly, Region
from podbook.review.before_building import refuse_slips
from podbook.sheets import book_of
from podbook.sources import FIGURE_MARKS, bibliography

NORMALS = Path(regions.__file__).parents[1] / "data" / "climate_normals_1991_2020.csv"
STATIONS = {
    "us_deep_south": "13895",
    "us_lower_midwest": "3945",
    "us_midatl_appal": "13741",
    "us_n_plains": "14939",
    "us_northeast": "14735",
    "us_ozarks": "13995",
    "us_s_plains": "13967",
    "us_upper_midwest": "14837",
}
SEPTEMBER_TO_MAY = {
    "us_deep_south": "77.8 67.4 56.6 50.2 48.1 52.6 59.2 65.7 73.6",
    "us_lower_midwest": "69.2 57.5 45.3 35.2 31.0 35.7 46.0 56.4 65.8",
    "us_midatl_appal": "69.6 58.9 48.4 40.9 37.9 40.8 48.3 58.0 66.1",
    "us_n_plains": "67.2 53.8 39.8 28.8 25.0 29.5 41.2 52.0 63.1",
    "us_northeast": "63.5 51.4 40.5 30.4 24.4 26.8 35.7 48.1 59.6",
    "us_ozarks": "70.3 58.6 46.7 37.4 34.3 38.7 47.6 57.0 66.0",
    "us_s_plains": "72.7 61.1 49.2 40.0 38.2 42.3 51.2 59.3 68.2",
    "us_upper_midwest": "62.0 49.7 36.7 25.3 19.4 23.0 34.4 46.3 58.1",
}
"""Published: NOAA NCEI, Comparative Climatic Data, normal daily mean temperature 1991-2020, °F."""
OF_1981_TO_2010 = {"us_deep_south": 46.6}
"""The same table of the period before, January."""


def figures(region: Region) -> list[Default | Monthly]:
    return [*region.numbers.values(), *region.monthly.values()]


@pytest.fixture(params=regions.names())
def region(request: pytest.FixtureRequest) -> Region:
    return regions.load(request.param)


def test_the_regions() -> None:
    assert set(regions.names()) == {*STATIONS, "eu_mediterranean", "nz"}
    of_books = {name: (regions.load(name).units, regions.load(name).currency) for name in regions.names()}
    assert of_books.pop("nz") == ("metric", "NZD")
    assert of_books.pop("eu_mediterranean") == ("metric", "EUR")
    assert set(of_books.values()) == {("us", "USD")}


def test_a_region_is_complete(region: Region) -> None:
    assert set(region.numbers) == set(NUMBERS)
    assert set(region.monthly) == set(BY_MONTH)
    assert region.notices
    assert any("before planting" in notice.text for notice in region.notices)
    assert any("seed in their dung" in notice.text for notice in region.notices)


def test_every_source_is_in_the_bibliography(region: Region) -> None:
    marked = [(each.source, each.mark) for each in (*figures(region), *region.notices)]
    assert all(source in bibliography() and mark in FIGURE_MARKS for source, mark in marked)
    assert all(source != "own" for source, _ in marked)
    assert all(mark != "published" or bibliography()[source].mark != "memory" for source, mark in marked)


def test_a_judgement_has_no_published_mark_and_a_note(region: Region) -> None:
    for each in figures(region):
        assert each.note.endswith((".", "!"))
        if each.source == "judgement":
            assert each.mark in ("judgement", "from memory"), each.name


@pytest.mark.parametrize("name", STATIONS)
def test_temperatures_are_the_normals_of_the_named_station(name: str) -> None:
    with NORMALS.open(encoding="utf-8", newline="") as file:
        (row,) = [row for row in csv.DictReader(file) if row["Station ID"] == STATIONS[name]]
    temperature = regions.load(name).monthly["temperature"]
    assert temperature.by_month == {month: float(row[MONTHS[month - 1].upper()]) for month in range(1, 13)}
    assert (temperature.source, temperature.mark) == ("noaa-normals-1991-2020", "published")
    assert f"station {row['Station ID']}," in temperature.place
    assert temperature.place.casefold().startswith(f"{row['City']} {row['State']},".casefold())


@pytest.mark.parametrize("name", STATIONS)
def test_temperatures_are_those_printed_for_1991_to_2020(name: str) -> None:
    by_month = regions.load(name).monthly["temperature"].by_month
    printed = [float(number) for number in SEPTEMBER_TO_MAY[name].split()]
    assert [by_month[month] for month in (9, 10, 11, 12, 1, 2, 3, 4, 5)] == printed
    assert by_month[1] != OF_1981_TO_2010.get(name)


def test_metric_temperatures_are_those_printed() -> None:
    """Published: NIWA, mean daily maximum and minimum of Palmerston North; estimate for Montpellier."""
    high = "22.4 22.9 21.1 18.4 15.3 13.1 12.6 13.3 14.9 16.7 18.5 20.7"
    low = "13.4 13.5 12.1 9.8 7.4 5.4 4.7 5.4 7.2 8.7 10.2 12.0"
    nz = regions.load("nz").monthly["temperature"]
    for month, (highest, lowest) in enumerate(zip(high.split(), low.split(), strict=True), 1):
        assert nz.stated.by_month[month] == pytest.approx((float(highest) + float(lowest)) / 2, abs=0.0501)
    assert nz.mark == "derived"
    older = dict(
        zip(
            (9, 10, 11, 12, 1, 2, 3, 4, 5),
            ["19.3", "14.6", "10.0", "6.5", "5.6", "6.7", "9.9", "12.8", "16.2"],
            strict=True,
        )
    )
    europe = regions.load("eu_mediterranean").monthly["temperature"]
    assert europe.stated.by_month == pytest.approx({month: float(value) + 1.8 for month, value in older.items()})
    assert (europe.mark, "estimate" in europe.note) == ("derived", True)


HAY_OF_THE_PLACE = {"us_s_plains": 89, "us_n_plains": 86, "us_midatl_appal": 125}
"""USDA NASS: Oklahoma and Nebraska, January 2020; West Virginia, marketing year 2021."""


@pytest.mark.parametrize("name", STATIONS)
def test_hay_is_of_the_place_or_says_that_it_is_not(name: str) -> None:
    hay = regions.load(name).numbers["hay_price"]
    assert hay.mark == "published"
    if name in HAY_OF_THE_PLACE:
        assert hay.value == HAY_OF_THE_PLACE[name]
        assert re.search(r"20(20|21)", hay.year)
    else:
        assert (hay.value, hay.year) == (140, "2024")
        assert hay.note.startswith("US average, not your state: ask for the local price.")


def book_entries(region: Region) -> dict[str, Node]:
    return dict(book_of(region, Filled("A farm", ())).nodes)


@pytest.mark.parametrize("name", NUMBERS)
def test_the_loader_takes_what_the_book_takes(name: str) -> None:
    """A default that the book would hold to be out of range is refused with the file, not found out later."""
    nodes = book_entries(regions.load("us_midatl_appal"))
    if f"{name}_low" not in nodes:
        assert name in {"season_start", "season_start_day", "season_days", "discount_rate"}
        return
    bounds = nodes[f"{name}_low"].contents[0], nodes[f"{name}_high"].contents[0]
    assert bounds == (NUMBERS[name].low, NUMBERS[name].high)
    assert nodes[f"{name}_low"].unit == NUMBERS[name].unit


@pytest.mark.parametrize("units", ["us", "metric"])
def test_a_book_of_a_region_has_all_its_defaults_in_range(region: Region, units: str) -> None:
    book = book_of(region, Filled("A farm", ()), units)
    refuse_slips(book)
    entries = [node for node in book.nodes.values() if node.role == "entry"]
    values = end_to_end(book, {node.key: node.contents for node in entries})
    singles = [key for key in values if key.endswith("_check") and f"{key.removesuffix('_check')}_entry" in values]
    assert len(singles) > 100
    assert {values[key][0] for key in singles} == {"ok"}
    assert {values[key][0] for key in values if key.startswith("mend_at_")} == {"-"}
    assert set(values["months.state"]) == {"ok"}
    for node in book.nodes.values():
        if node.key.endswith("_default") and f"{node.key.removesuffix('_default')}_low" in book.nodes:
            name = node.key.removesuffix("_default")
            low, high = (book.nodes[f"{name}_{end}"].contents[0] for end in ("low", "high"))
            assert low <= node.contents[0] <= high, name


def test_a_figure_lies_in_its_own_range_and_is_stated_in_units_of_its_region(region: Region) -> None:
    for name, number in region.numbers.items():
        stated = number.stated
        assert number.low <= number.value <= number.high
        assert stated.low <= stated.value <= stated.high
        assert stated.unit == NUMBERS[name].stated(region.units, region.currency)[0]
        if region.units == "us":
            assert (stated.value, stated.low, stated.high) == (number.value, number.low, number.high)
