"""The season log beside the plan: by the reference functions, and by the formulas of a workbook."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from live import Live

from podbook import regions
from podbook.book.layout import lay_out
from podbook.book.refill import refilled
from podbook.inputs.farm import filled
from podbook.proof.agreement import differs
from podbook.proof.evaluate import end_to_end
from podbook.proof.wiring import Wiring
from podbook.review.entries import slips
from podbook.sheets import book_of
from podbook.sheets.logged import QUANTITIES

HOME = regions.load("us_midatl_appal")
NAMES = tuple(each.name for each in QUANTITIES)
FIGURES = (
    "picked", "fed", "hay_tons", "hay_bales", "supplement",
    "hay_money", "supplement_money", "collecting_money", "days", "head",
)  # fmt: skip
BLANK = {f"log.{name}": (None,) * 8 for name in FIGURES}
DEMO = book_of(HOME, filled())
PLAIN_TREES = {
    "types.name": ("Plain", *(None,) * 5), "types.origin": ("seedling", *(None,) * 5), "mix.share": (1, *(None,) * 5),
    "mix.first_crop_age": (1, *(None,) * 5), "mix.full_crop_age": (1, *(None,) * 5), "by_type.own": (100, *(None,) * 5),
    "row_spacing_entry": (43.56,), "tree_spacing_entry": (20,), "area_entry": (10,),
    "seedling_bearing_share_entry": (0.5,), "establishment_loss_entry": (0,), "yearly_loss_entry": (0,),
    "frost_chance_entry": (0,),
    "log_moisture_entry": (0.2,), "log_share_picked_entry": (0.8,), "log_share_trees_entry": (0.5,),
    "log_bale_weight_entry": (800,),
}  # fmt: skip
"""Fifty trees an acre (43,560 square feet) on 10 acres, of which half bear 100 lb: 250 trees, 25,000 lb. A pound picked
up at 20 % moisture, of 80 % of what dropped, under half of the trees, stands for 0.8 / 0.8 / 0.5 = 2 lb."""


def row(*contents: float | str | None) -> tuple[Any, ...]:
    return (*contents, *(None,) * (8 - len(contents)))


ENTRIES = {node.key: node.contents for node in DEMO.nodes.values() if node.role == "entry"}
WIRING = Wiring(DEMO)


def by_reference(contents: Mapping[str, tuple[Any, ...]]) -> dict[str, Any]:
    return end_to_end(DEMO, {**ENTRIES, **contents}, WIRING)


@pytest.fixture(scope="module")
def live(demo: Path) -> Live:
    return Live(demo)


@pytest.fixture(params=["reference", "workbook"])
def worked(request: pytest.FixtureRequest, live: Live) -> Any:
    """Return what is made of entries, by the reference functions or by a workbook's formulas."""

    def work(*changes: Mapping[str, tuple[Any, ...]]) -> dict[str, Any]:
        contents = {**BLANK, **{key: each for change in changes for key, each in change.items()}}
        if request.param == "reference":
            return by_reference(contents)
        live.put_entries({**live.entries, **contents})
        values = live.read()
        return {
            node.key: tuple(values[live.address((node.key, item))] for item in range(node.count))
            for node in live.book.worked
        }

    return work


def as_planned(plan: Mapping[str, Any]) -> dict[str, tuple[Any, ...]]:
    """Return a log in which all went just as planned."""
    moisture, share, trees, store = (
        plan[key][0] for key in ("log_moisture", "log_share_picked", "log_share_trees", "storage_loss")
    )
    paid = [tuple(plan[f"against.{name}_paid_plan"]) for name in ("hay", "supplement", "collecting")]
    days = tuple(plan["winter.days"])
    return {
        "log.picked": tuple(dry * share * trees / (1 - moisture) for dry in plan["winter.dropped"]),
        "log.fed": tuple(dry / (1 - moisture) for dry in plan["winter.pods_eaten"]),
        "log.hay_tons": tuple(tons * (1 - store) for tons in plan["winter.hay_tons_with"]),
        "log.supplement": tuple(tons * 2000 for tons in plan["winter.extra_tons_with"]),
        "log.hay_money": paid[0],
        "log.supplement_money": paid[1],
        "log.collecting_money": paid[2],
        "log.days": days,
        "log.head": tuple(each / day if day else 0 for each, day in zip(plan["winter.head_days"], days, strict=True)),
    }


def test_an_empty_log_says_nothing_and_costs_nothing(worked: Any) -> None:
    found = worked()
    assert found["log.state"] == ("-",) * 8
    assert found["check_log"] == (0,)
    assert found["status"] == ("All checks hold",)
    assert found["log_months"] == (0,)
    assert found["log_last"] == ("none",)
    assert found["log_share_days"] == found["log_share_drop"] == (0,)
    for name in (*NAMES, "money"):
        assert [found[f"logged_{name}_{which}"][0] for which in ("plan", "seen", "gap", "part")] == [0, 0, 0, 0]
    assert found["log_next_factor"] == (1,)
    assert found["log_verdict"] == ("wait: not all months in which pods drop are logged",)
    assert found["next_year.yield"] == pytest.approx(found["next_year.plan"])
    assert sum(found["against.hay_plan"]) > 0
    assert found["against.watch"] == ("-",) * 8


def test_a_season_as_planned_differs_in_nothing(worked: Any) -> None:
    """Where no frost is taken off, the yield to plan with next year is this year's."""
    plan = by_reference({**BLANK, "frost_chance_entry": (0,), "pod_cost_entry": (30,)})
    found = worked({"frost_chance_entry": (0,), "pod_cost_entry": (30,)}, as_planned(plan))
    assert found["log.state"] == ("ok",) * 8
    assert found["log_months"] == (8,)
    assert found["log_share_days"] == found["log_share_drop"] == (pytest.approx(1),)
    for name in (*NAMES, "money"):
        (whole,), (seen,) = found[f"logged_{name}_plan"], found[f"logged_{name}_seen"]
        assert seen == pytest.approx(whole, rel=1e-12)
        assert whole > 0
        assert found[f"logged_{name}_gap"] == (pytest.approx(0, abs=1e-9 * whole),)
        assert found[f"logged_{name}_part"] == (pytest.approx(0, abs=1e-9),)
    for name in NAMES:
        assert found[f"against.{name}_seen"] == pytest.approx(found[f"against.{name}_plan"], rel=1e-12)
        assert found[f"against.{name}_part"] == pytest.approx((0,) * 8, abs=1e-9)
    assert found["log_ratio"] == found["log_next_factor"] == (pytest.approx(1),)
    assert found["next_year.yield"] == pytest.approx(found["by_type.plan"])
    assert found["against.past"] == (0,) * 8
    assert found["log_verdict"] == ("one year: move the plan with care",)


def test_part_of_a_season_is_compared_with_the_same_part_of_the_plan(worked: Any) -> None:
    """Hay in January and February, head-days in January alone; money in neither."""
    log = {
        "log.hay_tons": row(None, None, None, 2, 6), "log.hay_bales": row(None, None, None, 10),
        "log.days": row(None, None, None, 30), "log.head": row(None, None, None, 90), "log_bale_weight_entry": (800,),
    }  # fmt: skip
    found = worked(log)
    plan = found["against.hay_plan"]
    assert found["against.hay_seen"] == row_of(0, 0, 0, 2 + 10 * 800 / 2000, 6)
    assert found["logged_hay_plan"] == (pytest.approx(plan[3] + plan[4]),)
    assert found["logged_hay_seen"] == (pytest.approx(12),)
    assert found["logged_hay_gap"] == (pytest.approx(12 - plan[3] - plan[4]),)
    assert found["logged_hay_part"] == (pytest.approx(12 / (plan[3] + plan[4]) - 1),)
    assert found["against.hay_gap"] == row_of(0, 0, 0, 6 - plan[3], 6 - plan[4])
    assert found["logged_head_days_seen"] == (2700,)
    assert found["logged_head_days_plan"] == (pytest.approx(31 * 97),)
    assert found["logged_hay_paid_plan"] == found["logged_money_plan"] == (0,)
    assert found["log_months"] == (2,)
    assert found["log_last"] == ("Feb",)
    assert found["log_share_days"] == (pytest.approx((31 + 28) / 111),)
    assert found["log_share_drop"] == (0,)


def row_of(*numbers: float) -> Any:
    return pytest.approx((*numbers, *(0,) * (8 - len(numbers))))


def test_a_year_worked_by_hand(worked: Any) -> None:
    """25,000 lb are planned, 5, 35, 35, 18 and 7 % of it by month; 1,000 + 10,000 + 8,000 + 6,000 + 2,500 dropped.

    A tree of the 250 bore 110 lb, not 100. The plan rests on three years: (3 + 1.1) / 4 = 1.025.
    """
    found = worked(PLAIN_TREES, {"log.picked": row(500, 5000, 4000, 3000, 1250), "log_seasons_entry": (3,)})
    assert found["against.dropped_plan"] == row_of(1250, 8750, 8750, 4500, 1750)
    assert found["against.dropped_seen"] == row_of(1000, 10000, 8000, 6000, 2500)
    assert found["against.dropped_gap"] == row_of(-250, 1250, -750, 1500, 750)
    assert found["against.dropped_part"] == row_of(-0.2, 1 / 7, -3 / 35, 1 / 3, 3 / 7)
    assert found["logged_dropped_plan"] == (pytest.approx(25000),)
    assert found["logged_dropped_gap"] == (pytest.approx(2500),)
    assert found["logged_dropped_part"] == (pytest.approx(0.1),)
    assert found["log_trees"] == (pytest.approx(250),)
    assert found["log_tree_seen"] == (pytest.approx(110),)
    assert found["log_tree_plan"] == found["log_tree_expected"] == (pytest.approx(100),)
    assert found["log_ratio"] == (pytest.approx(1.1),)
    assert found["log_next_factor"] == (pytest.approx(1.025),)
    assert found["next_year.yield"] == pytest.approx((102.5, 0, 0, 0, 0, 0))
    assert found["log_kind_planned"] == ("mean of both",)


def test_a_year_without_frost_is_not_held_against_a_plan_with_frost_taken_off(worked: Any) -> None:
    """With frost in one year of five the plan is 80 lb a tree; 110 lb in a year without are still 1.1 of 100."""
    log = {"log.picked": row(500, 5000, 4000, 3000, 1250), "frost_chance_entry": (0.2,)}
    found = worked(PLAIN_TREES, log)
    assert found["log_tree_plan"] == (pytest.approx(80),)
    assert found["log_tree_expected"] == (pytest.approx(100),)
    assert found["logged_dropped_part"] == (pytest.approx(110 / 80 - 1),)
    assert found["log_next_factor"] == (pytest.approx(1.05),)


def test_a_frosted_year_leaves_the_plan_as_it_is(worked: Any) -> None:
    found = worked(PLAIN_TREES, {"log.picked": row(0, 0, 20, 0, 0), "log_frost_entry": ("Yes",)})
    assert found["log_ratio"] == (pytest.approx(40 / 25000),)
    assert found["log_year_counts"] == (0,)
    assert found["log_next_factor"] == (1,)
    assert found["log_verdict"] == ("frost took the crop: keep the plan",)


def test_a_drop_that_is_not_all_logged_leaves_the_plan_as_it_is(worked: Any) -> None:
    found = worked(PLAIN_TREES, {"log.picked": row(500, 5000, 4000, 3000)})
    assert found["log_share_drop"] == (pytest.approx(0.93),)
    assert found["log_ratio"] == (pytest.approx(25000 / 23250),)
    assert (found["log_complete"], found["log_next_factor"]) == ((0,), (1,))


@pytest.mark.parametrize(("kind", "factor"), [("as planned", 1.0), ("on-year", 4 / 3), ("off-year", 2 / 3)])
def test_an_on_year_is_held_against_an_on_year(worked: Any, kind: str, factor: float) -> None:
    """One tree bore 100 lb in one year and 50 in the next: an on-year is 2 / 1.5 of the mean, an off-year 1 / 1.5."""
    blank = [None] * (len(DEMO.nodes["tally.tree"].contents) - 2)
    tally = {"type": ("Plain",) * 2, "tree": (1, 1), "year": (2023, 2024), "age": (20, 21), "weight": (100, 50),
             "picked": (1, 1), "moisture": (0, 0)}  # fmt: skip
    trees = {f"tally.{key}": (*two, *blank) for key, two in tally.items()}
    log = {"log.picked": row(500, 5000, 4000, 3000, 1250), "log_year_entry": (kind,)}
    found = worked(PLAIN_TREES, trees, log)
    assert found["log_tree_expected"] == (pytest.approx(100 * factor),)
    assert found["log_ratio"] == (pytest.approx(1.1 / factor),)


@pytest.mark.parametrize(("age", "kind", "factor"), [(15, "on-year", 4 / 3), (16, "off-year", 2 / 3)])
def test_a_plan_that_shows_good_and_bad_years_is_taken_at_its_word(
    worked: Any, age: float, kind: str, factor: float
) -> None:
    blank = [None] * (len(DEMO.nodes["tally.tree"].contents) - 2)
    tally = {"type": ("Plain",) * 2, "tree": (1, 1), "year": (2023, 2024), "age": (20, 21), "weight": (100, 50),
             "picked": (1, 1), "moisture": (0, 0)}  # fmt: skip
    trees = {f"tally.{key}": (*two, *blank) for key, two in tally.items()}
    log = {"log.picked": row(500, 5000, 4000, 3000, 1250), "alternate_entry": ("yes",), "stand_age_entry": (age,)}
    found = worked(PLAIN_TREES, trees, log)
    assert found["log_kind_planned"] == (kind,)
    assert found["log_tree_plan"] == found["log_tree_expected"] == (pytest.approx(100 * factor),)


@pytest.mark.parametrize(
    ("field", "content"),
    [
        ("picked", "lots"), ("picked", -1), ("fed", 500001), ("hay_tons", "2 tons"), ("hay_bales", -2),
        ("supplement", "?"), ("hay_money", -1), ("supplement_money", "$20"), ("collecting_money", 1e9), ("days", 32),
        ("head", "all"), ("head", None),
    ],
)  # fmt: skip
def test_a_figure_that_cannot_be_used_leaves_its_month_out(worked: Any, field: str, content: Any) -> None:
    sound = {f"log.{name}": row(None, None, None, 3, 4) for name in FIGURES}
    amiss = {f"log.{field}": row(None, None, None, content, 4)}
    found = worked(sound, amiss)
    assert found["log.state"] == ("-", "-", "-", "mend", "ok", "-", "-", "-")
    assert found["check_log"] == (1,)
    assert found["status"] == ("LOOK: boxed cells to mend, see Checks",)
    for name in NAMES:
        assert found[f"log.{name}_counts"] == (0, 0, 0, 0, 1, 0, 0, 0)
        assert found[f"logged_{name}_plan"] == (pytest.approx(found[f"against.{name}_plan"][4]),)
        assert found[f"against.{name}_seen"][3] == 0
    assert found["log_months"] == (1,)


def test_what_cannot_be_used_is_told_with_its_cell() -> None:
    contents = {**BLANK, "log.hay_tons": row(None, "two"), "log.days": row(None, None, 17)}
    book = refilled(DEMO, contents, {})
    told = {
        (each.key, each.item): each for each in slips(book, lay_out(book).places, lambda key: book.nodes[key].contents)
    }
    assert set(told) == {("log.hay_tons", 1), ("log.state", 2)}
    assert told[("log.hay_tons", 1)].allowed == "a number from 0 to 5000 ton as fed"


def test_the_edges_of_a_range_can_be_used(worked: Any) -> None:
    low = {f"log.{name}": row(DEMO.nodes[f"log.{name}"].low) for name in FIGURES}
    high = {f"log.{name}": row(low[f"log.{name}"][0], DEMO.nodes[f"log.{name}"].high) for name in FIGURES}
    assert worked(low, high)["log.state"] == ("ok", "ok", "-", "-", "-", "-", "-", "-")


def test_more_pods_than_the_plan_allows_are_called_out(worked: Any) -> None:
    """In October no stock are fed; in January the herd may eat 2,551 lb."""
    wish = by_reference(BLANK)["winter.wish"]
    fed = row(100, None, None, wish[3] * 1.01 / 0.8, wish[4] * 0.99 / 0.8)
    found = worked({"log.fed": fed, "log_moisture_entry": (0.2,)})
    assert found["against.watch"][0] == "LOOK: no feeding in the plan"
    assert found["against.watch"][3:5] == ("LOOK: past the cap", "in order")
    assert found["check_fed"] == (2,)
    assert found["status"] == ("LOOK: a result wants a look, see Checks",)


def test_the_log_changes_nothing_of_the_plan() -> None:
    """Only the sheets Season log, Checks and Start may know of it."""
    empty, full = by_reference(BLANK), by_reference({})
    places = lay_out(DEMO).places
    moved = {places[key].sheet for key in full if any(map(apart, full[key], empty[key]))}
    assert moved == {"Season log"}


def apart(one: Any, other: Any) -> bool:
    return differs(one, other) is None


def test_months_that_the_book_does_not_have_are_left_out() -> None:
    demo = filled()
    log = (*demo.log[:1], replace(demo.log[1], month="Jul"))
    assert book_of(HOME, replace(demo, log=log)).nodes["log.picked"].contents == (88, *(None,) * 7)


def test_a_stand_that_bears_nothing_yet(worked: Any) -> None:
    found = worked(PLAIN_TREES, {"log.picked": row(0, 0, 0, 0, 0), "by_type.own": (0, *(None,) * 5)})
    assert found["log_verdict"] == ("no crop is planned to compare with",)
    assert (found["log_ratio"], found["log_next_factor"]) == ((0,), (1,))
