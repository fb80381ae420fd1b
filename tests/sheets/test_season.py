"""The eight months of a book: where they begin, what they hold, and that the year's end is no edge."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from podbook import regions
from podbook.inputs.farm import filled
from podbook.proof.evaluate import end_to_end
from podbook.regions import Region
from podbook.regions.region import MONTHS
from podbook.sheets import book_of
from podbook.sheets.season import COUNT, before, months

HOME = regions.load("us_midatl_appal")
LENGTHS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)


def place(
    start: int, day: int, days: int, drop: Mapping[int, float], temperature: Mapping[int, float] | None = None
) -> Region:
    """Return the home region with another season."""
    season = {"season_start": start, "season_start_day": day, "season_days": days}
    numbers = {**HOME.numbers, **{name: replace(HOME.numbers[name], value=value) for name, value in season.items()}}
    monthly = {
        "pod_drop": replace(HOME.monthly["pod_drop"], by_month=drop),
        "temperature": replace(
            HOME.monthly["temperature"], by_month=temperature or HOME.monthly["temperature"].by_month
        ),
    }
    return replace(HOME, numbers=numbers, monthly=monthly)


def half_a_year_on(by_month: Mapping[int, float]) -> dict[int, float]:
    return {(month + 5) % 12 + 1: value for month, value in by_month.items()}


def named(region: Region) -> list[str]:
    return [month.name for month in months(region)]


def days(region: Region) -> list[float]:
    return [month.days for month in months(region)]


def in_a_row(names: list[str]) -> bool:
    first = MONTHS.index(names[0])
    return names == [MONTHS[(first + step) % 12] for step in range(len(names))]


def test_the_home_region() -> None:
    """From 15 December to 5 April, pods from October on."""
    found = months(HOME)
    assert named(HOME) == ["Oct", "Nov", "Dec", "Jan", "Feb", "Mar", "Apr", "May"]
    assert days(HOME) == [0, 0, 17, 31, 28, 31, 4, 0]
    assert [month.drop for month in found] == [0.05, 0.35, 0.35, 0.18, 0.07, 0, 0, 0]
    assert [month.temperature for month in found] == [58.9, 48.4, 40.9, 37.9, 40.8, 48.3, 58.0, 66.1]
    assert before(HOME) == 69.6


@pytest.mark.parametrize("name", regions.names())
def test_a_shipped_region_has_all_its_days_and_pods_in_eight_months(name: str) -> None:
    region = regions.load(name)
    found = months(region)
    assert len(found) == COUNT == 8
    assert in_a_row(named(region))
    assert sum(month.days for month in found) == region["season_days"]
    assert sum(month.drop for month in found) == pytest.approx(1)
    assert found[0].days > 0 or found[0].drop > 0


@pytest.mark.parametrize("start", range(1, 13))
@pytest.mark.parametrize("lead", [-2, 0, 1, 3])
def test_it_begins_with_the_first_pods_or_the_first_feeding(start: int, lead: int) -> None:
    """Pods fall in three months, the first of them ``lead`` months before feeding begins."""
    pods = [(start - lead + step - 1) % 12 + 1 for step in range(3)]
    region = place(start, 10, 90, dict.fromkeys(pods, 1 / 3))
    first = pods[0] if lead > 0 else start
    assert named(region)[0] == MONTHS[first - 1]
    assert in_a_row(named(region))
    assert sum(days(region)) == 90
    assert max(days(region)) <= 31
    assert before(region) == HOME.monthly["temperature"].in_month((first - 2) % 12 + 1)


@pytest.mark.parametrize("start", range(1, 13))
def test_days_of_feeding_run_on_from_the_first_day(start: int) -> None:
    """Two whole months after the rest of the first, whichever month it is; a year without a leap day."""
    rest = LENGTHS[start - 1] - 10 + 1
    following = [LENGTHS[(start + step) % 12] for step in range(2)]
    region = place(start, 10, rest + sum(following) + 5, {start: 1.0})
    assert days(region) == [rest, *following, 5, 0, 0, 0, 0]


def test_over_the_end_of_the_year() -> None:
    region = place(12, 31, 2, {11: 1.0})
    assert named(region)[:3] == ["Nov", "Dec", "Jan"]
    assert days(region)[:3] == [0, 1, 1]


def test_a_first_day_that_the_month_does_not_have_is_the_first_of_the_next() -> None:
    region = place(2, 30, 10, {2: 1.0})
    assert days(region)[:2] == [0, 10]


def test_pods_alone_and_a_season_of_no_days() -> None:
    region = place(12, 1, 0, {9: 0.5, 10: 0.5})
    assert named(region)[0] == "Sep"
    assert days(region) == [0] * 8


def test_what_is_beyond_eight_months_is_left_out() -> None:
    region = place(10, 1, 273, {10: 1.0})
    assert named(region)[0] == "Oct"
    assert days(region) == [31, 30, 31, 31, 28, 31, 30, 31]


def test_south_of_the_equator() -> None:
    """The home region's winter half a year on; its months are longer or shorter by a day."""
    south = place(
        6,
        15,
        111,
        half_a_year_on(HOME.monthly["pod_drop"].by_month),
        half_a_year_on(HOME.monthly["temperature"].by_month),
    )
    assert named(south) == ["Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov"]
    assert days(south) == [0, 0, 16, 31, 31, 30, 3, 0]
    assert [month.drop for month in months(south)] == [month.drop for month in months(HOME)]
    assert [month.temperature for month in months(south)] == [month.temperature for month in months(HOME)]
    assert before(south) == before(HOME)


def test_a_southern_region_gives_the_same_winter(tmp_path: Path) -> None:
    """From a region's file to the book. Both seasons have 12, 31 and 17 days: no month's own length is met."""
    north, south = (_values(path) for path in _files(tmp_path))
    words = {"winter.label", "months.name", "log.month", "out_month", "first_out"}
    differing = {key for key in north if north[key] != south[key] and not key.endswith(".label")} - words
    assert all("region" in key for key in differing), differing
    assert north["months.name"] == ("Oct", "Nov", "Dec", "Jan", "Feb", "Mar", "Apr", "May")
    assert south["months.name"] == ("Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov")
    assert north["hay_saved"][0] > 0


def _values(path: Path) -> dict[str, tuple[Any, ...]]:
    book = book_of(regions.load(path), replace(filled(), log=()))  # a log goes by the names of its months
    return end_to_end(book, {node.key: node.contents for node in book.nodes.values() if node.role == "entry"})


def _files(folder: Path) -> tuple[Path, Path]:
    home = (Path(regions.__file__).parent / "us_midatl_appal.toml").read_text(encoding="utf-8")

    def with_season(name: str, text: str, month: int, day: int) -> Path:
        for entry, old, new in (
            ("season_start", 12, month),
            ("season_start_day", 15, day),
            ("season_days", 111, 60),
        ):
            heading = f"[{entry}]\nvalue = {old}\n"
            assert heading in text
            text = text.replace(heading, f"[{entry}]\nvalue = {new}\n")
        path = folder / f"{name}.toml"
        path.write_text(text, encoding="utf-8")
        return path

    shifted = home
    for old, new in zip(MONTHS, half_a_year_on(dict(enumerate(MONTHS, 1))), strict=True):
        shifted = shifted.replace(f" {old} = ", f" @{MONTHS[new - 1]} = ")
    return with_season("north", home, 12, 20), with_season("south", shifted.replace("@", ""), 6, 19)
