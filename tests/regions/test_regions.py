"""A region's file is taken whole or refused with every reason."""

from __future__ import annotations

import os
from importlib.resources import files
from pathlib import Path

import pytest

from podbook import regions
from podbook.errors import BadInput, Complaint
from podbook.regions.region import BY_MONTH, NUMBERS
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


def test_the_home_region() -> None:
    region = regions.load(HOME)
    assert region.currency == "USD"
    assert region["hay_price"] == 125
    assert (region.numbers["hay_price"].low, region.numbers["hay_price"].high) == (100, 175)
    assert region["season_start"] == 12
    assert region["season_days"] == 111
    drop = region.monthly["pod_drop"]
    assert [drop.in_month(month) for month in (9, 10, 11, 12, 1, 2, 3)] == [0, 0.05, 0.35, 0.35, 0.18, 0.07, 0]


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
        ("[wage]", "[wages]", "wages", "an unknown name", "perhaps [wage]"),
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
        ("value = 125", 'value = "125"', "hay_price.value", "'125'", "a number from 20 to 700 USD/short_ton_fed"),
        ("value = 125", "value = true", "hay_price.value", "True", "a number from 20 to 700 USD/short_ton_fed"),
        ("value = 125", "value = nan", "hay_price.value", "nan", "a number from 20 to 700 USD/short_ton_fed"),
        ("value = 125", "value = 99", "hay_price.value", "99", "from 100 to 175, its own range"),
        ("value = 125", "value = 125\nprice = 1", "hay_price.price", "an unknown field", "value"),
        ("value = 12\n", "value = 11.5\n", "season_start.value", "11.5", "a whole number from 1 to 12"),
        ("Dec = 0.35", "Dec = 0.36", "pod_drop.by_month", "months that add to 1.01", "shares that add to 1"),
        ("Dec = 0.35", "dec = 0.35", "pod_drop.by_month", "'dec'", "Dec"),
        ("Dec = 0.35", "Dec = -0.35", "pod_drop.by_month.Dec", "-0.35", "a number from 0 to 1"),
        ("Jan = 37.9, ", "", "temperature.by_month", "no Jan", "the eight months of the book, Oct to May, and the one"),
        ("May = 66.1, ", "", "temperature.by_month", "no May", "the eight months of the book"),
        ("Sep = 69.6, ", "", "temperature.by_month", "no Sep", "and the one before them"),
        ("May = 66.1", "May = 90.1", "temperature.by_month.May", "90.1", "a number from -40 to 90 degF"),
        ("May = 66.1", "May = 1e400", "temperature.by_month.May", "inf", "a number from -60 to 120 degF"),
        ("Dec = 0.35, Jan", "Dec = 0.25, Jul = 0.1, Jan", "season_days.value", "in Mar, Apr too", "Jul to Feb"),
        (
            "value = 111\nlow = 60\nhigh = 150",
            "value = 200\nlow = 60\nhigh = 240",
            "season_days.value",
            "in Jun, Jul too",
            "eight months of a book, Oct to May",
        ),
        ('currency = "USD"', 'currency = "CHF"', "region.currency", "'CHF'", "'USD', 'EUR', 'NZD'"),
        ('units = "us"', 'units = "imperial"', "region.units", "'imperial'", "'us', 'metric'"),
        ('units = "us"', "", "region.units", "nothing", "a text"),
        ('units = "us"', 'units = "metric"', "hay_price.unit", "'USD/short_ton_fed'", "USD/tonne_fed"),
        ('currency = "USD"', 'currency = "EUR"', "wage.unit", "'USD/hour'", "EUR/hour"),
        ('name = "us_', 'name = "US ', "region.name", "'US midatl_appal'", "small letters"),
        (
            'title = "Mid-Atlantic and southern Appalachia"',
            'title = "Queensland"',
            "region.title",
            "declared weed",
            "plant-health authority",
        ),
        (
            'source = "dol-aewr-2025"\n',
            'source = "own"\n',
            "wage.mark",
            "a figure of your own",
            "judgement",
        ),
        (
            'source = "dol-aewr-2025"',
            'source = "dol-aewr-2024"',
            "wage.source",
            "'dol-aewr-2024'",
            "dol-aewr-2025",
        ),
        ("[wage]\nvalue = 15.87", "[wage]\nvalue = -1", "wage.value", "-1", "a number from 0 to 200 USD/hour"),
        ("[wage]", "[hay_prise]", "hay_prise", "an unknown name", "perhaps [hay_price]"),
        (
            'place = "Kentucky; ',
            'place = "Kentucky\\u001b; ',
            "wage.place",
            "Kentucky\\x1b",
            "control characters",
        ),
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


def test_no_notice(tmp_path: Path) -> None:
    text = TEXT.replace("[[notice]]", "[[remark]]")
    (tmp_path / "place.toml").write_text(text, encoding="utf-8")
    with pytest.raises(BadInput) as caught:
        regions.load(tmp_path / "place.toml")
    told = {complaint.column: complaint for complaint in caught.value.complaints}
    assert (told["notice"].found, told["notice"].allowed) == ("nothing", "at least one [[notice]]")
    assert "remark" in told


def test_a_complaint_about_a_notice_names_the_line_of_that_notice(tmp_path: Path) -> None:
    heads = [number for number, line in enumerate(TEXT.splitlines(), 1) if line == "[[notice]]"]
    assert len(heads) == 3
    (last,) = complaints(tmp_path, 'source = "nsw-honey-locust"', 'source = "gossip"')
    assert (last.line, last.column) == (heads[2], "notice.source")


def test_a_metric_file_is_judged_in_its_own_units(tmp_path: Path) -> None:
    text = (files("podbook") / "regions" / "nz.toml").read_text(encoding="utf-8")
    path = tmp_path / "place.toml"
    for old, new, column, found, allowed in (
        ('unit = "degC"', 'unit = "degF"', "temperature.unit", "'degF'", "degC"),
        ("value = 300\n", "value = 800\n", "hay_price.value", "800", "a number from 22.0462 to 771.618 NZD/tonne_fed"),
        ("Jul = 8.7", "Jul = 33", "temperature.by_month.Jul", "33", "a number from -40 to 32.2222 degC"),
        ('unit = "NZD/hectoliter"', 'unit = "NZD/bushel"', "corn_price.unit", "'NZD/bushel'", "NZD/hectoliter"),
        ('unit = "NZD/hour"', 'unit = "USD/hour"', "wage.unit", "'USD/hour'", "NZD/hour"),
    ):
        assert text.count(old) == 1
        path.write_text(text.replace(old, new), encoding="utf-8")
        with pytest.raises(BadInput) as caught:
            regions.load(path)
        (told,) = [each for each in caught.value.complaints if each.column == column]
        assert found in told.found
        if column != "hay_price.value":
            assert allowed == told.allowed
        else:
            assert allowed.rpartition(" ")[0].rpartition(" to ")[0] in told.allowed


@pytest.mark.parametrize(
    ("content", "found", "allowed"),
    [
        (b"", "an empty file", "podbook regions --start place.toml"),
        (b"\n  \n", "an empty file", "podbook regions --start place.toml"),
        (b"a = 1\n\xff", "letters that are not UTF-8", "a region's file (TOML), saved as UTF-8"),
        (b"PK\x03\x04\x00\x00", "a workbook or another packed file", "which is plain text"),
        (b"# nothing yet", "nothing that a region's file has", "podbook regions --start mine.toml"),
        (b'[farm]\ntitle = "x"', "nothing that a region's file has", "a farm's own goes with --farm"),
        (b"#" * 300_000, "more than 200,000 bytes", "a region's file"),
        (b"a\0", "a binary file", "which is plain text"),
        (b"a = " + b"[" * 5000, "a number too long, or lists too deep in lists, to be read", "a region's file"),
        (b"a = " + b"9" * 5000, "a number too long, or lists too deep in lists, to be read", "a region's file"),
    ],
)
def test_a_file_that_is_none(tmp_path: Path, content: bytes, found: str, allowed: str) -> None:
    path = tmp_path / "place.toml"
    path.write_bytes(content)
    with pytest.raises(BadInput) as caught:
        regions.load(path)
    (told,) = caught.value.complaints
    assert told.column == ""
    assert told.found == found
    assert allowed in told.allowed
    assert "\n" not in str(caught.value)


def test_no_such_region(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match=f"found no such region; allowed: one of .*{HOME}.*path"):
        regions.load("us_nowhere")
    with pytest.raises(BadInput, match=r"found a folder; allowed: the path of a region's file"):
        regions.load(tmp_path)
    with pytest.raises(BadInput, match=r"found no such region"):
        regions.load("place" * 100)
    for gone in ("place.toml", "place\0.toml"):
        with pytest.raises(BadInput, match=r"found no such file; allowed: the path of a region's file"):
            regions.load(gone)


def test_a_file_that_is_no_plain_file(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "place.toml")
    with pytest.raises(BadInput, match=r"found no plain file"):
        regions.load(tmp_path / "place.toml")


def test_a_file_that_is_no_toml(tmp_path: Path) -> None:
    path = tmp_path / "place.toml"
    path.write_text("[region]\nname = \n")
    with pytest.raises(BadInput) as caught:
        regions.load(path)
    assert caught.value.complaints[0].line == 2
    assert "TOML" in caught.value.complaints[0].found
