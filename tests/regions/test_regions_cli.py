"""A newcomer asks for regions, stations and a file of their own: what is printed, where, and the exit code."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from packages import contents_of as cells

from podbook import regions
from podbook.regions.region import BY_MONTH, NUMBERS
from podbook.sources import NO_DOCUMENT, bibliography
from podbook.units import shown

ROOT = Path(__file__).parents[2]
Done = subprocess.CompletedProcess[str]


def podbook(*words: str | Path, columns: int | None = None, folder: Path | None = None) -> Done:
    """Run a command; whatever it prints must not be a traceback."""
    surroundings = {name: value for name, value in os.environ.items() if name not in ("FORCE_COLOR", "COLUMNS")}
    width = {} if columns is None else {"COLUMNS": str(columns)}
    done = subprocess.run(
        [sys.executable, "-m", "podbook", *map(str, words)],
        capture_output=True,
        check=False,
        cwd=folder,
        encoding="utf-8",
        env={**surroundings, **width, "PYTHONPATH": str(ROOT), "PYTHONUTF8": "1", "NO_COLOR": "1"},
        timeout=200,
    )
    assert "Traceback" not in done.stderr + done.stdout, done.stderr
    return done


def widest(text: str) -> int:
    return max(map(len, text.splitlines()))


def flat(text: str) -> str:
    """Return what stands in the cells of a table, its folds and frames taken out."""
    return " ".join("".join(letter if letter not in "┃│┏┓└┘├┤─━┡┩╇┳┴┬┼" else " " for letter in text).split())


def column(text: str, number: int) -> str:
    """Return what stands in one column of a table."""
    rows = (line.replace("┃", "│").split("│") for line in text.splitlines() if line[:1] in "│┃")
    return " ".join(" ".join(row[number + 1] for row in rows if len(row) > number + 2).split())


def test_the_list_names_every_region_and_every_declared_place() -> None:
    done = podbook("regions")
    assert (done.returncode, done.stderr) == (0, "")
    assert widest(done.stdout) <= 80
    listed = column(done.stdout, 0).split()
    assert [name for name in listed if name != "region"] == list(regions.names())
    for words in ("Roanoke VA", "metric, NZD", "91 days from 1 Jun", "Palmerston North"):
        assert all(word in flat(done.stdout) for word in words.split())
    for place in regions.declared_weeds():
        assert f"- {place.title}: " in done.stdout
        assert place.reason in flat(done.stdout)


def test_the_list_as_one_object() -> None:
    told = json.loads(podbook("regions", "--json").stdout)
    assert [each["name"] for each in told["regions"]] == list(regions.names())
    assert {each["name"] for each in told["declared_weed"]} == {place.name for place in regions.declared_weeds()}
    assert all(each["source"] in bibliography() for each in told["declared_weed"])
    assert {each["currency"] for each in told["regions"]} == {"USD", "EUR", "NZD"}


@pytest.mark.parametrize("name", ["us_midatl_appal", "nz"])
def test_one_region_shows_every_figure_with_its_origin(name: str) -> None:
    region = regions.load(name)
    done = podbook("regions", name, columns=200)
    assert (done.returncode, done.stderr) == (0, "")
    assert widest(done.stdout) <= 80
    what, figure, origin = (column(done.stdout, number) for number in range(3))
    for entry, number in region.numbers.items():
        stated = number.stated
        assert f"{NUMBERS[entry].what} {entry}" in what
        assert f"{stated.low:g} to {stated.high:g}" in figure
        if stated.unit != "month":
            assert f"{stated.value:g} {shown(stated.unit)}" in figure
    for entry, monthly in region.monthly.items():
        assert f"{BY_MONTH[entry].what} {entry}" in what
        assert all(f"{value:g}" in figure for value in monthly.stated.by_month.values())
    unfolded = origin.replace(" ", "")
    for each in (*region.numbers.values(), *region.monthly.values()):
        assert all(text.replace(" ", "") in unfolded for text in (each.place, each.year, each.mark, each.note))
        if each.source not in NO_DOCUMENT:
            assert f"{each.mark}:{each.source}".replace(" ", "") in unfolded
            assert f"- {each.source}: " in done.stdout
    assert all(notice.text in flat(done.stdout) for notice in region.notices)


def test_one_region_as_one_object() -> None:
    told = json.loads(podbook("regions", "eu_mediterranean", "--json").stdout)
    region = regions.load("eu_mediterranean")
    assert (told["units"], told["currency"]) == ("metric", "EUR")
    hay = region.numbers["hay_price"]
    assert told["numbers"]["hay_price"] == {
        "value": 150, "low": 100, "high": 200, "unit": "EUR/tonne_fed", "source": hay.source, "place": hay.place,
        "year": hay.year, "mark": hay.mark, "note": hay.note,
    }  # fmt: skip
    assert told["by_month"]["temperature"]["values"]["Jan"] == 7.4
    assert told["by_month"]["temperature"]["unit"] == "degC"
    assert set(told["numbers"]) == set(NUMBERS)
    assert len(told["notices"]) == len(region.notices)


def test_stations_are_listed_and_found() -> None:
    every = podbook("regions", "--stations")
    assert every.returncode == 0
    assert widest(every.stdout) <= 80
    assert all(station.title in every.stdout for station in regions.stations())
    assert "253 stations" in every.stdout
    some = podbook("regions", "--stations", "north", "platte")
    assert "24023" in some.stdout
    assert "1 station;" in some.stdout
    (one,) = json.loads(podbook("regions", "--stations", "columbia, mo", "--json").stdout)["stations"]
    assert (one["id"], one["unit"], one["temperature"]["Jan"]) == ("3945", "degF", 31.0)


def test_a_file_to_begin_with_loads_builds_and_is_not_overwritten(tmp_path: Path) -> None:
    path = tmp_path / "My place.toml"
    made = podbook("regions", "--start", path, "--like", "us_ozarks")
    assert (made.returncode, made.stdout) == (0, "")
    assert made.stderr == (
        f"{path}: written, with the figures of us_ozarks. Next: put in your own, and see it: podbook regions '{path}'\n"
    )
    assert [each.name for each in tmp_path.iterdir()] == ["My place.toml"]
    assert json.loads(podbook("regions", path, "--json").stdout)["name"] == "my_place"
    path.write_text(path.read_text(encoding="utf-8").replace("value = 140", "value = 141"), encoding="utf-8")
    mine = path.read_bytes()
    again = podbook("regions", "--start", path)
    assert (again.returncode, again.stdout) == (2, "")
    assert "is already there; nothing was written. Name another file, or add --replace" in again.stderr
    assert path.read_bytes() == mine
    book = tmp_path / "farm.xlsx"
    built = podbook("build", book, "--region", path)
    assert built.returncode == 0
    assert f"podbook verify {book} --region" in built.stderr
    assert podbook("verify", book).returncode == 3
    assert podbook("verify", book, "--region", path).returncode == 0
    assert cells(book, "hay_price_default") == [141]
    assert podbook("regions", "--start", path, "--replace").returncode == 0
    assert regions.load(path)["hay_price"] == 125


def test_a_workbook_with_the_temperatures_of_a_station(tmp_path: Path) -> None:
    """Published: Madison WI, September to May, 1991-2020."""
    path = tmp_path / "farm.xlsx"
    done = podbook("build", path, "--station", "madison")
    assert done.returncode == 0
    assert done.stderr.splitlines()[0] == "temperatures: normals of MADISON WI, station 14837, 1991-2020"
    assert cells(path, "months_temperature") == [49.7, 36.7, 25.3, 19.4, 23.0, 34.4, 46.3, 58.1]
    assert cells(path, "temperature_before_entry") == [62.0]
    assert cells(path, "temperature_before_default") == [69.6], "the region's own, Roanoke"
    verified = podbook("verify", path)
    assert verified.returncode == 0, verified.stdout
    assert "All agrees." in verified.stdout


def test_a_farms_own_temperature_is_left_where_a_station_is_named(tmp_path: Path) -> None:
    farm = tmp_path / "farm.toml"
    demo = (ROOT / "podbook" / "data" / "demo" / "farm.toml").read_text(encoding="utf-8")
    assert "[figures]\n" in demo
    farm.write_text(demo.replace("[figures]\n", "[figures]\ntemperature_before = 55\n"), encoding="utf-8")
    path = tmp_path / "farm.xlsx"
    assert podbook("build", path, "--farm", farm, "--station", "14837").returncode == 0
    assert cells(path, "temperature_before_entry") == [55]


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("regions", "moon"), "moon: found no such region; allowed: one of 'eu_mediterranean', "),
        (("regions", "{folder}"), "found a folder; allowed: the path of a region's file"),
        (("regions", "queensland"), "queensland: no workbook is made for Queensland. Honey locust is a category 3"),
        (("build", "{folder}/farm.xlsx", "--region", "NSW"), "NSW: no workbook is made for New South Wales."),
        (("regions", "nz", "us_ozarks"), "regions: found 2 names; allowed: one region at a time, by its name or file"),
        (("regions", "--stations", "montgomary"), "station 'montgomary': found none of this name; the nearest names: "),
        (("regions", "--stations", "?"), "station: found no letters; allowed: an id or a name"),
        (("build", "{folder}/farm.xlsx", "--station", "springfield"), "station 'springfield': found 2: SPRINGFIELD IL"),
        (("build", "{folder}/farm.xlsx", "--station", ""), "station: found no letters; allowed: an id or a name"),
        (
            ("build", "{folder}/farm.xlsx", "--region", "nz", "--station", "roanoke"),
            "found Jun to Aug, the winter of nz",
        ),
        (("regions", "--start", "{folder}/mine.txt"), "a file's name must end in .toml here; name it so"),
        (("regions", "--start", "{folder}/none/mine.toml"), "there is no folder"),
        (("regions", "--start", "{folder}/mine.toml", "--like", "moon"), "moon: found no such region"),
        (
            ("regions", "--start", "{folder}/mine.toml", "nz"),
            "--start: found 'nz' beside it; allowed: --like and --replace",
        ),
        (("regions", "--start", "{folder}/mine.toml", "--json"), "--start: found --json beside it"),
        (("regions", "--like", "nz"), "--like: found no --start beside it; allowed: with --start FILE only"),
        (("regions", "--replace"), "--replace: found no --start beside it"),
        (("regions", "--colour"), "No such option '--colour'"),
        (("regions", "--start"), "requires an argument"),
    ],
    ids=lambda value: " ".join(value).replace("{folder}", ".") if isinstance(value, tuple) else "",
)
def test_wrong_usage_is_exit_code_2_and_writes_nothing(tmp_path: Path, words: tuple[str, ...], told: str) -> None:
    done = podbook(*(word.format(folder=tmp_path) for word in words))
    assert (done.returncode, done.stdout) == (2, "")
    assert told in done.stderr
    if not done.stderr.startswith("Usage"):
        assert len(done.stderr.splitlines()) == 1
    assert list(tmp_path.iterdir()) == []


def test_every_reason_against_a_file_is_given_line_by_line(tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    assert podbook("regions", "--start", path, "--like", "nz").returncode == 0
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace('"NZD/hour"', '"$/h"').replace("Jul = 0.1", "July = 0.1"), encoding="utf-8")
    for words in (("regions", path), ("build", tmp_path / "farm.xlsx", "--region", path)):
        done = podbook(*words)
        assert (done.returncode, done.stdout) == (2, "")
        first, second, count = done.stderr.splitlines()
        assert first.endswith("column 'wage.unit': found '$/h'; allowed: NZD/hour")
        assert second.endswith(
            "column 'pod_drop.by_month': found 'July'; allowed: "
            "'Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'"
        )
        assert count == "2 places to mend; nothing was written"


def test_what_a_file_says_steers_no_terminal(tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    assert podbook("regions", "--start", path).returncode == 0
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace('place = "Kentucky;', 'place = "[red]Kentucky[/red];'), encoding="utf-8")
    assert "[red]Kentucky[/red]" in flat(podbook("regions", path).stdout).replace("] ;", "];")
    path.write_text(text.replace('source = "dol-aewr-2025"', 'source = "\\u001b[31m"'), encoding="utf-8")
    done = podbook("regions", path)
    assert done.returncode == 2
    assert "\x1b" not in done.stderr


def test_a_workbook_is_in_the_units_of_its_region_and_a_station_is_turned_into_them(tmp_path: Path) -> None:
    """Published: Wichita KS, 59.0 °F in October (15 °C); Palmerston North, 14.1 °C in April."""
    path = tmp_path / "nz.xlsx"
    assert podbook("build", path, "--region", "nz").returncode == 0
    assert cells(path, "book_units") == ["metric"]
    assert cells(path, "months_temperature")[0] == 14.1
    assert cells(path, "hay_price_default") == [300]
    assert "All agrees." in podbook("verify", path).stdout
    path = tmp_path / "south.xlsx"
    words = ("--region", "eu_mediterranean", "--station", "wichita ks")
    assert podbook("build", path, *words).returncode == 0
    assert cells(path, "months_temperature")[0] == 15
    assert cells(path, "hay_price_default") == [150]
    assert "All agrees." in podbook("verify", path).stdout
    assert podbook("build", path, *words, "--units", "us", "--replace").returncode == 0
    assert cells(path, "months_temperature")[0] == 59
