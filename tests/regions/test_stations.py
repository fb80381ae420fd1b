"""Weather stations: found by what a person types, never guessed; a region at one keeps all else."""

from __future__ import annotations

import csv
from dataclasses import replace
from pathlib import Path

import pytest

from podbook import regions
from podbook.errors import PodbookError
from podbook.regions.region import MONTHS
from podbook.sheets.season import before, months, temperatures

TABLE = Path(regions.__file__).parents[1] / "data" / "climate_normals_1991_2020.csv"


def test_every_row_of_the_table_is_a_station() -> None:
    with TABLE.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert len(regions.stations()) == len(rows) == 253
    for station, row in zip(regions.stations(), rows, strict=True):
        assert (station.id, station.name, station.state) == (row["Station ID"], row["City"], row["State"])
        assert station.temperatures == {number: float(row[month.upper()]) for number, month in enumerate(MONTHS, 1)}
        assert sum(station.temperatures.values()) / 12 == pytest.approx(float(row["ANN"]), abs=0.3)


@pytest.mark.parametrize(
    ("words", "id"),
    [
        ("13741", "13741"), ("USW00013741", "13741"), ("ROANOKE", "13741"), ("roanoke va", "13741"),
        ("Roanoke, VA", "13741"), ("  roan ", "13741"), ("03945", "3945"), ("columbia mo", "3945"),
        ("Springfield, MO", "13995"), ("st louis", "13994"), ("washington natl", "13743"), ("montgomery", "13895"),
        ("columbus oh", "14821"), ("LINCOLN", "14939"), ("minneapolis st paul", "14922"),
    ],
)  # fmt: skip
def test_a_station_is_found(words: str, id: str) -> None:
    assert regions.station(words).id == id


def test_every_station_is_found_by_its_id_and_by_name_and_state() -> None:
    for each in regions.stations():
        assert regions.station(each.id) is each
        assert regions.station(each.title.title()) is each


def test_an_exact_name_beats_a_part_of_another() -> None:
    """Lewiston and Huntington hold other words; a whole name is meant as such."""
    assert regions.station("salem").title == "SALEM OR"
    assert regions.station("houston").title == "HOUSTON TX"


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ("springfield", r"found 2: SPRINGFIELD IL \(93822\), SPRINGFIELD MO \(13995\); name one of them by"),
        ("colum", r"found 4: COLUMBUS GA .*COLUMBIA MO .*COLUMBUS OH .*COLUMBIA SC"),
        ("a", r"found \d+: .* and \d+ more; name one"),
        ("Montgomary", r"none of this name; the nearest names: .*MONTGOMERY AL \(13895\).*; 'podbook"),
        ("Pariss", r"'podbook regions --stations' lists them all"),
        ("99999", r"found none of this name; 'podbook regions --stations' lists them all"),
        ("", r"found no letters; allowed: an id or a name"),
        ("?!", r"found no letters; allowed: an id or a name"),
    ],
)  # fmt: skip
def test_an_unclear_one_is_never_guessed(words: str, told: str) -> None:
    with pytest.raises(PodbookError, match=told) as caught:
        regions.station(words)
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize("name", [name for name in regions.names() if name != "nz"])
def test_a_region_at_a_station(name: str) -> None:
    region, station = regions.load(name), regions.station("wichita ks")
    there = region.at_station(station)
    temperature = there.monthly["temperature"]
    assert temperature.by_month == station.temperatures
    assert (temperature.source, temperature.mark) == ("noaa-normals-1991-2020", "published")
    assert (temperature.place, temperature.year) == ("WICHITA KS, station 3928, normal daily mean", "1991-2020")
    assert replace(there, monthly=region.monthly) == region
    assert there.monthly["pod_drop"] == region.monthly["pod_drop"]
    assert region.monthly["temperature"].by_month != station.temperatures, "the region itself is not changed"
    first = MONTHS.index(months(there)[0].name) + 1
    assert temperatures(there)["months.temperature"][0] == station.temperatures[first]
    assert temperatures(there)["temperature_before_entry"] == (before(there),) == (station.temperatures[first - 1],)


def test_at_a_station_a_metric_region_states_degrees_celsius() -> None:
    """Published: Wichita 33.2 °F in January, 50.0 would be 10 °C."""
    stated = regions.load("eu_mediterranean").at_station(regions.station("wichita ks")).monthly["temperature"].stated
    assert stated.unit == "degC"
    assert stated.by_month[1] == pytest.approx((33.2 - 32) / 1.8, abs=1e-12)


def test_a_station_whose_summer_is_the_winter_of_the_region_is_refused() -> None:
    for station in ("roanoke", "barrow", "hilo"):
        with pytest.raises(PodbookError, match=r"found Jun to Aug, the winter of nz, among its warm months"):
            regions.load("nz").at_station(regions.station(station))


TOO_HOT = {"PHOENIX AZ", "LAS VEGAS NV"}
"""Their Augusts are above 90 °F; a book whose pods fall from September on asks for August."""


@pytest.mark.parametrize("name", [name for name in regions.names() if name != "nz"])
def test_a_region_at_any_station_has_temperatures_that_its_book_takes(name: str) -> None:
    region = regions.load(name)
    for station in regions.stations():
        if station.title in TOO_HOT and months(region)[0].name == "Sep":
            with pytest.raises(PodbookError, match=r"in Aug; allowed: -40 to 90 °F in the months of"):
                region.at_station(station)
            continue
        there = region.at_station(station)
        assert all(-40 <= each <= 90 for each in (before(there), *(month.temperature for month in months(there))))
