"""The handout's figures against the winter that they are taken from, and the cautions that hold on a farm."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
from live import Live

from podbook.pod_trees import pod_trees
from podbook.sheets.cautions import OF_STOCK
from podbook.sheets.handout import HERD, LINES, LOOK
from podbook.sheets.herd import NUMBERS
from podbook.sheets.pod_trees import heading


@pytest.fixture(scope="module")
def live(demo: Path) -> Live:
    return Live(demo)


@pytest.mark.parametrize("form", ["whole", "ground"])
def test_what_each_head_gets_adds_up_to_the_winter(live: Live, form: str) -> None:
    found = live.worked_out({"pod_form_entry": (form,)})
    pods, hay = found["pods_dry_matter"][0], found["hay_dry_matter"][0] * (1 - found["feeding_waste"][0])
    for month in range(8):
        most, out = 0.0, 0.0
        for group in HERD:
            days = found[f"need_{group}.head_days"][month]
            most += found[f"barn_pods.group_{group}"][month] * days * pods
            put_out = found[f"barn_hay.group_{group}"][month] * days * hay
            out += put_out
            eaten = found[f"ration_{group}.hay_with"][month]
            if not eaten:
                assert put_out == 0
        stepping, cap = found["months.stepping"][month], found["months.pod_share"][month]
        first_days = found["full_share"][0] * found["step_up_share"][0] / cap if stepping else 1
        assert most == pytest.approx(found["winter.wish"][month] * first_days)
        fed = [group for group in HERD if found[f"ration_{group}.hay_with"][month]]
        later = sum(found[f"ration_{group}.pods_me"][month] for group in fed) * (1 - first_days)
        hay_me = found["hay_me"][0] * found["kg_per_weight"][0]
        assert out == pytest.approx(found["winter.hay_with"][month] + later / hay_me, abs=1e-6)
        assert found["barn.eaten"][month] * pods == pytest.approx(found["winter.pods_eaten"][month])
        assert found["barn.eaten"][month] * pods * first_days <= most * (1 + 1e-9)
    assert sum(found["winter.wish"]) > 1000
    assert sum(found["winter.hay_with"]) > 1000


@pytest.mark.parametrize(("group", "changes", "told"), [
    ("dry pregnant cow", {}, "dry pregnant cow"),
    ("ewe", {"days_pregnant": 60, "week_in_milk": 0}, "ewe, in lamb at the start"),
    ("ewe", {"days_pregnant": 60, "week_in_milk": 3}, "ewe, in milk at the start"),
    ("ewe", {"days_pregnant": 0, "week_in_milk": 0}, "ewe"),
    ("doe", {"days_pregnant": 60, "week_in_milk": 0}, "doe, in kid at the start"),
    ("doe", {"days_pregnant": 0, "week_in_milk": 2}, "doe, in milk at the start"),
    ("ewe", {"head": "many"}, "LOOK: mend (Herd)"),
    ("ewe", dict.fromkeys(("kind", *NUMBERS)), ""),
])  # fmt: skip
def test_a_row_says_whom_it_feeds_and_how_many(live: Live, group: str, changes: dict[str, Any], told: str) -> None:
    kinds = live.entries["groups.kind"]
    place = kinds.index(group)
    columns = {
        f"groups.{name}": tuple(
            content if item == place else each for item, each in enumerate(live.entries[f"groups.{name}"])
        )
        for name, content in changes.items()
    }
    found = live.worked_out(columns)
    fed = told != "" and not told.startswith("LOOK")
    head = live.entries["groups.head"][place] if fed else 0
    for table in ("barn_pods", "barn_hay"):
        assert found[f"{table}_kind_{place + 1}"] == (told,)
        assert found[f"{table}_head_{place + 1}"] == (head,)
    if not fed:
        assert sum(found[f"barn_pods.group_{place + 1}"]) == sum(found[f"barn_hay.group_{place + 1}"]) == 0


def test_it_says_what_to_look_at_where_the_book_says_look(live: Live) -> None:
    assert live.worked_out({})["barn_first"] == ("nothing",)
    broken = live.worked_out({"stand_age_entry": (0,), "mix.share": (0.5, *(None,) * 5)})
    assert broken["barn_first"] == broken["first_mend"] != ("none",)
    less = tuple(0.9 * each for each in live.entries["months.drop"])
    odd = live.worked_out({"months.drop": less})
    assert odd["barn_first"] == odd["first_look"] != ("none",)


def test_what_a_month_may_say_to_look_at_has_its_sentence(live: Live) -> None:
    assert set(re.findall(r'"LOOK: (\w+)"', live.book.nodes["winter.watch"].formula)) == {name for name, _ in LOOK}


@pytest.mark.parametrize("weeks", [3.0, 6.0])
def test_hay_of_the_first_days_covers_what_their_pods_do_not(live: Live, weeks: float) -> None:
    """On a day of stepping up a head has its need from fewer pods and the hay put out, or from the stockpile."""
    found = live.worked_out({"step_up_weeks_entry": (weeks,)})
    kilogram, hay_me = found["kg_per_weight"][0], found["hay_me"][0]
    hay_dry = found["hay_dry_matter"][0] * (1 - found["feeding_waste"][0])
    met = 0
    for month in range(8):
        stepping, cap = found["months.stepping"][month], found["months.pod_share"][month]
        for group in HERD:
            days, hay = found[f"need_{group}.head_days"][month], found[f"barn_hay.group_{group}"][month]
            if not (days and stepping and hay):
                continue
            first_days = found["full_share"][0] * found["step_up_share"][0] / cap
            pods = found[f"ration_{group}.pods_me"][month] / days * first_days
            grass = found[f"ration_{group}.grass_with"][month] * found["winter.grass_me"][month] / days
            supplied = pods + grass + hay * hay_dry * kilogram * hay_me
            assert supplied == pytest.approx(found[f"need_{group}.need_me"][month])
            met += first_days < 0.999
    assert met > 0


def test_pods_without_a_lab_sheet_are_not_fed(live: Live) -> None:
    found = live.worked_out({"lab.basis": (None,) * 6})
    assert all(each == 0 for group in HERD for each in found[f"barn_pods.group_{group}"])


def lines(found: Mapping[str, Any]) -> list[tuple[str, str]]:
    """What is printed of kinds of tree, up to the first empty line."""
    pairs = [(found[f"barn_about_{n}"][0], found[f"barn_caution_{n}"][0]) for n in range(1, LINES + 1)]
    held = [pair for pair in pairs if pair != ("", "")]
    assert pairs[: len(held)] == held
    return held


@pytest.mark.parametrize("species", [("honey locust",), ("oak", "honey locust"), ("carob", "mulberry"), ()], ids=str)
def test_all_cautions_of_the_kinds_on_the_farm_are_printed_and_no_others(live: Live, species: tuple[str, ...]) -> None:
    kinds = [next(kind.name for kind in pod_trees().kinds if kind.species == each) for each in species]
    found = live.worked_out({"types.kind": (*kinds, *(None,) * (6 - len(kinds)))})
    wanted = {(heading(each), each.text) for each in pod_trees().cautions if each.species in species}
    printed = lines(found)
    assert set(printed) == wanted
    assert len(printed) == len(wanted)
    assert found["barn_all"] == ("yes",)
    if "oak" in species:
        assert printed[0][0] == "Oak: poison"


def test_cautions_beyond_the_lines_are_told_of_and_the_gravest_are_printed(live: Live) -> None:
    kinds = ("honey locust, wild", "mesquite", "carob", "oak", "chestnut", "persimmon")
    names = ("A", "B", "C", "D", "E", "F")
    found = live.worked_out({"types.name": names, "types.kind": kinds, "types.origin": ("seedling",) * 6})
    printed = lines(found)
    assert len(printed) == LINES
    assert found["barn_all"][0].startswith("LOOK")
    assert printed[0][0] == "Oak: poison"
    first = {next(each.text for each in pod_trees().cautions if each.species == kind.split(",")[0]) for kind in kinds}
    assert first <= {words for _, words in printed}


@pytest.mark.parametrize(("kind", "about"), [
    ("dry pregnant cow", {"Cattle"}), ("growing cattle", {"Cattle"}), ("ewe", {"Ewes"}), ("doe", {"Does"}),
])  # fmt: skip
def test_cautions_of_stock_hold_where_that_stock_is(live: Live, kind: str, about: set[str]) -> None:
    place = live.entries["groups.kind"].index(kind)
    found = live.worked_out(
        {"groups.kind": tuple(each if n == place else None for n, each in enumerate(live.entries["groups.kind"]))}
    )
    told = {label.split(":")[0] for name, label, _, words in OF_STOCK if found[f"barn_{name}"] == (words,)}
    assert told == about
    for name, label, _, words in OF_STOCK:
        wanted = ((label,), (words,)) if label.split(":")[0] in about else (("",), ("",))
        assert (found[f"barn_about_{name}"], found[f"barn_{name}"]) == wanted
