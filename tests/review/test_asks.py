"""A workbook whose formulas are right and whose winter is not: verdict, report and season say so, and what to do."""

from __future__ import annotations

import csv
import json
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from openpyxl import load_workbook
from reports import section, tree, words

from podbook.cli import app
from podbook.reference.gates import status
from podbook.review.asks import HOLDS
from podbook.review.report import page as report
from podbook.review.season import LOGGED, LOOK, PAST_CAP, WATCH, WHO_DECIDES, read
from podbook.review.verify import Verdict, verify

DEMO = Path(__file__).parents[2] / "podbook" / "data" / "demo"
PAST = "Months in which more pods were fed than the plan allows"


@pytest.fixture(scope="module")
def past(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo farm on poor hay, with ten tons of pods logged as fed in January."""
    folder = tmp_path_factory.mktemp("past")
    farm = (DEMO / "farm.toml").read_text(encoding="utf-8")
    (folder / "farm.toml").write_text(farm.replace("hay_tdn = 60", "hay_tdn = 42"), encoding="utf-8")
    with (DEMO / "log.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    for row in rows:
        row["pods_fed_lb"] = "20000" if row["month"] == "Jan" else row["pods_fed_lb"]
    with (folder / "log.csv").open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)
    files = {"--farm": folder, "--trees": DEMO, "--lab": DEMO, "--log": folder}
    names = {"--farm": "farm.toml", "--trees": "tally.csv", "--lab": "lab.csv", "--log": "log.csv"}
    options = (word for each, where in files.items() for word in (each, str(where / names[each])))
    assert run("build", folder / "past.xlsx", *options).exit_code == 0
    return folder / "past.xlsx"


@pytest.fixture(scope="module")
def verdict(past: Path) -> Verdict:
    return verify(past, ["formualizer"])


def run(*arguments: str | Path) -> Any:
    return CliRunner().invoke(app, [str(each) for each in arguments])


def test_the_word_for_a_workbook_that_asks_for_nothing_is_that_of_the_book(right: Verdict, verdict: Verdict) -> None:
    assert status.function(entries_failed=0, results_failed=0) == HOLDS
    assert (right.status, right.asks, right.looks) == (HOLDS, (), False)
    assert verdict.agrees
    assert verdict.looks
    assert {each.label: each.count for each in verdict.asks}[PAST] == 1


def test_the_command_says_at_what_to_look_and_that_right_formulas_are_not_fine_results(past: Path, whole: Path) -> None:
    done = run("verify", past)
    assert done.exit_code == 0
    told = done.stdout.splitlines()
    at = next(number for number, line in enumerate(told) if line.startswith("The workbook's own status: LOOK"))
    assert told[at + 1].strip().startswith(f"{PAST}: 1. ")
    assert "call a veterinarian" in told[at + 1]
    assert told[-2] == "All agrees."
    assert "its formulas are right, its results may not be fine" in told[-1]
    fine = run("verify", whole).stdout
    assert fine.endswith("All agrees.\n")
    assert "may not be fine" not in fine
    plain = json.loads(run("verify", past, "--json").stdout)
    assert plain["agrees"] is True
    assert plain["asks_to_look_at"][0]["label"] == PAST


def test_of_many_files_those_that_ask_for_a_look_are_named(past: Path, whole: Path) -> None:
    lines = run("verify", past, whole).stdout.splitlines()
    assert [line for line in lines if "it says itself" in line] == [
        f"{past}: its formulas are right, but it says itself: LOOK: a result wants a look, see Checks"
    ]


def header(verdict: Verdict, folder: Path) -> Any:
    report.write(verdict, folder / "page.html", replace=True)
    return tree(folder / "page.html").find(".//header")


def test_the_report_says_so_beside_its_verdict(verdict: Verdict, right: Verdict, tmp_path: Path) -> None:
    told = header(verdict, tmp_path)
    first, second = told.findall("./p[@class='verdict']") + told.findall("./p[@class='verdict look']")
    assert words(first).startswith("● All agrees: ")
    assert words(second) == (
        "▲ LOOK: the workbook itself asks you to look: LOOK: a result wants a look, see Checks. "
        "Its formulas are right; its results may not be fine."
    )
    assert [words(each) for each in told.findall("./ul/li")] == [str(each) for each in verdict.asks]
    assert told.findall("./p").index(second) == told.findall("./p").index(first) + 1
    assert "asks you to look" not in words(header(right, tmp_path))


def test_a_workbook_that_is_wrong_besides_is_told_to_be_mended_first(
    verdict: Verdict, wrong: Verdict, tmp_path: Path
) -> None:
    both = words(header(replace(verdict, findings=wrong.findings), tmp_path))
    assert "mend what is wrong first" in both
    assert "Its formulas are right" not in both
    assert PAST in both


def test_the_season_says_how_far_past_the_plan_pods_were_fed(past: Path, verdict: Verdict, whole: Path) -> None:
    done = run("season", past)
    assert done.exit_code == 0
    (line,) = [each for each in done.stdout.splitlines() if each.startswith(LOOK)]
    season = read(past)
    month = season.figures[LOGGED[0]].index(1)
    fed, most = (season.figures[key][month] for key in (LOGGED[1], "winter.wish"))
    assert f"Jan {fed:,.0f} (at most {most:,.0f})" in line
    assert fed > most > 0
    assert "call a veterinarian" in line
    assert line in verdict.season.sentences()
    assert PAST in done.stdout
    assert not [each for each in run("season", whole).stdout.splitlines() if each.startswith(LOOK)]
    assert json.loads(run("season", past, "--json").stdout)["in_words"][0] == line


def test_every_word_of_the_months_is_explained_with_who_decides(past: Path, verdict: Verdict, tmp_path: Path) -> None:
    season = read(past)
    assert dict(season.watched()) == {"intake": WATCH["intake"]}
    told = run("season", past).stdout
    report.write(verdict, tmp_path / "page.html")
    page = words(section(tmp_path / "page.html", "winter"))
    for text in (told, page):
        assert f"intake: {WATCH['intake']}." in text
        assert WHO_DECIDES in text
        assert "shelter:" not in text
    every = replace(season, figures={**season.figures, "winter.watch": tuple(_every_word(len(season.months)))})
    assert [word for word, _ in every.watched()] == list(WATCH)


def _every_word(months: int) -> Iterator[str]:
    """The words that the book's own reference function gives, one a month of the demo's five."""
    from podbook.reference.winter import word_of_month

    in_turn = [
        {"unmet": 1, "uneaten": 1, "leans": 1}, {"unmet": 0, "uneaten": 1, "leans": 1},
        {"unmet": 0, "uneaten": 0, "leans": 1}, {"unmet": 0, "uneaten": 0, "leans": 0},
    ]  # fmt: skip
    assert months == 5
    given = [word_of_month.function(days=1, out_word="pods run out", **each) for each in in_turn]
    yield from ("-", "-", *map(str, given), "in order", "-")


def test_pods_that_are_planned_past_their_cap_are_told(past: Path) -> None:
    season = read(past)
    over = replace(season, figures={**season.figures, PAST_CAP: (0, 0, 1, 0, 1, 0, 0, 0)})
    assert over.sentences()[0].startswith("LOOK: pods pass their cap in the diet in Dec, Feb. Feed fewer")
    assert season.sentences()[0] not in over.sentences()[:1]


def test_a_winter_is_told_without_its_log(past: Path, tmp_path: Path) -> None:
    path = tmp_path / "no_log.xlsx"
    workbook = load_workbook(past)
    del workbook["Season log"]
    workbook.save(path)
    season = verify(path, ["formualizer"]).season
    assert not season.lacking
    assert "can't be told: the season log is damaged" in season.sentences()[0]
