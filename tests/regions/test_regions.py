"""A region's file is taken whole or refused with every reason."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

import pytest

from podbook import regions
from podbook.errors import BadInput, Complaint
from podbook.regions.region import BY_MONTH, MARKS, NUMBERS
from podbook.sources import bibliography
from podbook.units import registry

HOME = "us_midatl_appal"
TEXT = (files("podbook") / "regions" / f"{HOME}.toml").read_text(encoding="utf-8")


def complaints(folder: Path, old: str, new: str) -> tuple[Complaint, ...]:
    assert TEXT.count(old) >= 1
    path = folder / "place.toml"
    path.write_text(TEXT.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(BadInput) as caught:
        regions.load(path)
    return caught.value.complaints


@pytest.mark.parametrize("name", regions.names())
def test_a_shipped_region_is_complete(name: str) -> None:
    region = regions.load(name)
    assert region.name == name
    assert set(region.numbers) == set(NUMBERS)
    assert set(region.monthly) == set(BY_MONTH)
    entries = [*region.numbers.values(), *region.monthly.values()]
    marked = [(entry.source, entry.mark) for entry in entries] + [(line.source, line.mark) for line in region.notices]
    assert all(source in bibliography() and mark in MARKS for source, mark in marked)


def test_the_home_region() -> None:
    region = regions.load(HOME)
    assert region.currency == "USD"
    assert region["hay_price"] == 125
    assert (region.numbers["hay_price"].low, region.numbers["hay_price"].high) == (100, 175)
    assert region["season_start"] == 12
    assert region["season_days"] == 111
    drop = region.monthly["pod_drop"]
    assert [drop.in_month(month) for month in (9, 10, 11, 12, 1, 2, 3)] == [0, 0.05, 0.35, 0.35, 0.18, 0.07, 0]


def test_the_temperatures_are_the_normals_of_roanoke() -> None:
    """Published: NOAA NCEI 1991-2020."""
    printed = "37.9 40.8 48.3 58.0 66.1 73.8 77.8 76.2 69.6 58.9 48.4 40.9"
    temperature = regions.load(HOME).monthly["temperature"]
    assert [temperature.by_month[month] for month in range(1, 13)] == [float(number) for number in printed.split()]


@pytest.mark.parametrize("unit", sorted({wanted.unit for wanted in (*NUMBERS.values(), *BY_MONTH.values())}))
def test_the_registry_knows_every_unit(unit: str) -> None:
    assert registry().Unit(unit)


def test_a_region_from_a_file(tmp_path: Path) -> None:
    path = tmp_path / "place.toml"
    path.write_text(TEXT, encoding="utf-8")
    assert regions.load(path) == regions.load(str(path)) == regions.load(HOME)


@pytest.mark.parametrize(
    ("old", "new", "column", "found", "allowed"),
    [
        ("[wage]", "[wages]", "wages", "an unknown name", "wage"),
        ("[wage]", "[wages]", "wage", "nothing", "a table [wage]"),
        ('unit = "USD/hour"', 'unit = "USD/day"', "wage.unit", "'USD/day'", "USD/hour"),
        ('unit = "degF"', 'unit = "degC"', "temperature.unit", "'degC'", "degF"),
        ('source = "dol-aewr-2025"\n', "", "wage.source", "nothing", "a text"),
        ('source = "dol-aewr-2025"', 'source = "hearsay"', "wage.source", "'hearsay'", "a key of the bibliography"),
        ('source = "dol-aewr-2025"', 'source = "mercer-2014"', "wage.mark", "which was not read", "from memory"),
        ('mark = "from memory"\n', "", "hay_dry_matter.mark", "nothing", "a text"),
        ('mark = "from memory"', 'mark = "certain"', "hay_dry_matter.mark", "'certain'", "published"),
        ('year = "2021"', "year = 2021", "hay_price.year", "2021", "a text in quotation marks"),
        ("value = 125\n", "", "hay_price.value", "nothing", "a value"),
        ("value = 125", 'value = "125"', "hay_price.value", "'125'", "a number from 1 to 2000"),
        ("value = 125", "value = true", "hay_price.value", "True", "a number from 1 to 2000"),
        ("value = 125", "value = nan", "hay_price.value", "nan", "a number from 1 to 2000"),
        ("value = 125", "value = 99", "hay_price.value", "99", "from 100 to 175, its own range"),
        ("value = 125", "value = 125\nprice = 1", "hay_price.price", "an unknown field", "value"),
        ("value = 12\n", "value = 11.5\n", "season_start.value", "11.5", "a whole number from 1 to 12"),
        ("Dec = 0.35", "Dec = 0.36", "pod_drop.by_month", "months that add to 1.01", "shares that add to 1"),
        ("Dec = 0.35", "dec = 0.35", "pod_drop.by_month", "'dec'", "Dec"),
        ("Dec = 0.35", "Dec = -0.35", "pod_drop.by_month.Dec", "-0.35", "a number from 0 to 1"),
        ("Jan = 37.9, ", "", "temperature.by_month", "no Jan", "every month of the season"),
        ('currency = "USD"', 'currency = "EUR"', "region.currency", "'EUR'", "USD"),
        ('title = "Mid', 'tilte = "Mid', "region.title", "nothing", "a text"),
        ("[[notice]]\ntext", "[[notice]]\nwords", "notice.text", "nothing", "a text"),
    ],
)
def test_a_bad_region(tmp_path: Path, old: str, new: str, column: str, found: str, allowed: str) -> None:
    matching = [complaint for complaint in complaints(tmp_path, old, new) if complaint.column == column]
    assert matching
    assert found in matching[0].found
    assert allowed in matching[0].allowed
    heading = column.partition(".")[0]
    lines = (tmp_path / "place.toml").read_text(encoding="utf-8").splitlines()
    assert lines[matching[0].line - 1].strip("[]") == heading or matching[0].line == 1


def test_every_reason_is_given_at_once(tmp_path: Path) -> None:
    path = tmp_path / "place.toml"
    broken = (
        TEXT.replace("USD/hour", "USD/day").replace("value = 125", "value = -1").replace("[hay_cp]", "[hay_protein]")
    )
    path.write_text(broken, encoding="utf-8")
    with pytest.raises(BadInput) as caught:
        regions.load(path)
    assert {complaint.column for complaint in caught.value.complaints} == {
        "hay_cp",
        "hay_price.value",
        "hay_protein",
        "wage.unit",
    }


@pytest.mark.parametrize("text", ["", "temperature = 3", "notice = 1\npod_drop = {}", "[region]\nname = [1]"])
def test_a_region_with_hardly_anything(tmp_path: Path, text: str) -> None:
    path = tmp_path / "place.toml"
    path.write_text(text)
    with pytest.raises(BadInput):
        regions.load(path)


def test_no_such_region(tmp_path: Path) -> None:
    for name in ("us_nowhere", tmp_path):
        with pytest.raises(BadInput, match=f"no such region.*{HOME}"):
            regions.load(name)


def test_a_file_that_is_no_toml(tmp_path: Path) -> None:
    path = tmp_path / "place.toml"
    path.write_text("[region]\nname = \n")
    with pytest.raises(BadInput) as caught:
        regions.load(path)
    assert caught.value.complaints[0].line == 2
    path.write_bytes(b"\xff")
    with pytest.raises(BadInput, match="UTF-8"):
        regions.load(path)
