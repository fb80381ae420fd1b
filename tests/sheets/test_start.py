"""The first page: what it says of now, of later, and of what is wrong."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pytest
from live import Live

from podbook.sheets.checks import ENTRY_CHECKS
from podbook.sheets.which import WHOLE

Worked = Callable[[Mapping[str, tuple[Any, ...]]], dict[str, Any]]
PLAIN_TREES = {
    "types.name": ("Plain", *(None,) * 5), "types.origin": ("grafted", *(None,) * 5), "types.kind": (None,) * 6,
    "mix.share": (1, *(None,) * 5), "mix.first_crop_age": (2, *(None,) * 5), "mix.full_crop_age": (8, *(None,) * 5),
    "by_type.own": (60, *(None,) * 5), "yearly_loss_entry": (0,), "stand_age_entry": (30,), "frost_chance_entry": (0,),
}  # fmt: skip
"""Trees of one type that are never lost once they stand: full-grown at 8, and those replanted two years later."""


@pytest.fixture(scope="module")
def live(demo: Path) -> Live:
    return Live(demo)


@pytest.fixture
def worked(live: Live) -> Worked:
    """Return what the formulas make of entries; the reference functions must make the same of them."""

    def work(changes: Mapping[str, tuple[Any, ...]]) -> dict[str, Any]:
        entries = {**live.entries, **changes}
        live.put_entries(entries)
        values = live.read()
        assert live.amiss(entries, values) == []
        return {
            node.key: tuple(values[live.address((node.key, item))] for item in range(node.count))
            for node in live.book.worked
        }

    return work


def test_it_says_what_trees_save_full_grown(live: Live, worked: Worked) -> None:
    found = worked({})
    (year,), (saving,) = found["first_grown"], found["first_grown_saving"]
    assert year == max(found["mix.full"]) + found["replant_delay"][0]
    feed = found["plan_2.feed"]
    spared = 1 - live.entries["frost_chance_entry"][0]
    assert saving == pytest.approx((feed[int(year)] + feed[int(year) + 1]) / 2 / spared)
    assert saving >= found["first_saving"][0] * (1 - 1e-9) > 0


def test_a_stand_that_is_full_grown_saves_this_winter_what_it_saves_full_grown(worked: Worked) -> None:
    found = worked(PLAIN_TREES)
    (now,), (grown,) = found["first_saving"], found["first_grown_saving"]
    assert found["first_grown"] == (10,)
    assert now > 100
    # The curve is read along straight lines, at most 0.6 % of its largest saving off.
    assert grown == pytest.approx(now, abs=0.006 * max(found["sizes.money"]))


def test_a_winter_lost_to_frost_saves_nothing_and_the_others_no_more_than_the_herd_can_use(worked: Worked) -> None:
    spared, frosted = (
        worked({**PLAIN_TREES, "area_entry": (40,), "frost_chance_entry": (chance,)}) for chance in (0, 0.3)
    )
    assert max(spared["plan_2.crop"]) > spared["largest_crop"][0]
    assert frosted["plan_2.feed"][20] == pytest.approx(0.7 * spared["plan_2.feed"][20])
    assert frosted["plan_2.hay"][20] == pytest.approx(0.7 * spared["plan_2.hay"][20])


def test_good_and_bad_years_do_not_move_it_by_more_than_the_curve_bends(worked: Worked) -> None:
    even, uneven = (worked({"alternate_entry": (word,), "area_entry": (4,)}) for word in ("no", "yes"))
    year, (saving,) = int(uneven["first_grown"][0]), uneven["first_grown_saving"]
    pair = uneven["plan_2.feed"][year : year + 2]
    assert min(pair) * 1.03 < saving < max(pair) * 0.97
    assert saving == pytest.approx(even["first_grown_saving"][0], rel=0.15)


def test_trees_too_young_for_a_full_crop_want_a_look(live: Live, worked: Worked) -> None:
    young = {"tally.age": tuple(age and 6 for age in live.entries["tally.age"])}
    found = worked(young)
    assert sum(found["by_type.young"]) == found["check_young"][0] == 25
    assert found["first_look"][0].startswith("Rows of trees not yet in full crop")
    assert worked({**young, "by_type.own": (60, 60, 60, None, None, None)})["check_young"] == (0,)


@pytest.mark.parametrize(("changes", "told", "priced"), [
    ({"hay_cp_entry": (25,)}, "at any price of hay", False),
    ({}, "where hay costs more than that", True),
    ({"pod_form_entry": ("ground",), "pod_cost_entry": (60,)}, "where hay costs more than that", True),
    ({"lab.basis": (None,) * 6}, "at none: no hay is saved", False),
])  # fmt: skip
def test_what_pods_break_even_at_is_said_in_words(
    worked: Worked, changes: Mapping[str, tuple[Any, ...]], told: str, priced: bool
) -> None:
    found = worked(changes)
    assert found["pays_from"] == (told,)
    assert (found["hay_break_even"][0] > 0) == priced


@pytest.mark.parametrize(("changes", "told"), [
    ({"groups.kind": "goat"}, "mend: kind"), ({"groups.head": None}, "mend: head"),
    ({"groups.head": 0.5}, "mend: head"),
    ({"groups.body_weight": 12000}, "mend: weight"), ({"groups.body_weight": 600}, "mend: weight"),
    ({"groups.condition": "fat"}, "mend: condition"), ({"groups.gain": -1}, "mend: gain"),
    ({"groups.gain": "x", "groups.calf_weight": None}, "mend: calf"),
    ({"groups.gain": "x", "groups.kind": None}, "mend: kind"), ({"groups.peak_milk": True}, "mend: milk"),
    ({}, "ok"),
])  # fmt: skip
def test_a_group_says_which_of_its_figures_is_amiss(
    live: Live, worked: Worked, changes: dict[str, Any], told: str
) -> None:
    ewes = live.entries["groups.kind"].index("ewe")
    found = worked({
        name: tuple(content if item == ewes else each for item, each in enumerate(live.entries[name]))
        for name, content in changes.items()
    })  # fmt: skip
    assert found["groups.state"][ewes] == told
    assert found["check_groups"] == (0 if told == "ok" else 1,)


def test_a_group_that_is_not_there_is_not_amiss(live: Live, worked: Worked) -> None:
    fields = [key for key in live.entries if key.startswith("groups.")]
    found = worked({key: (*live.entries[key][:4], None) for key in fields})
    assert found["groups.state"][4] == "-"
    assert found["check_groups"] == (0,)


def test_it_names_the_first_cell_to_mend_and_the_first_result_to_look_at(worked: Worked) -> None:
    found = worked({})
    assert (found["first_status"], found["first_mend"], found["first_look"]) == (
        ("All checks hold",), ("none",), ("none",),
    )  # fmt: skip
    broken = worked({"hay_price_entry": ("125 $",), "stand_age_entry": (0,)})
    assert broken["first_mend"] == ("Farm, The trees: Years since the trees were planted",)
    assert broken["first_status"][0].startswith("LOOK")
    odd = worked({"mix.share": (0.5, *(None,) * 5)})
    assert odd["first_look"][0].startswith("Shares of the types do not add up to 100 %. Stand: ")


@pytest.mark.parametrize(("key", "item", "content", "told"), [
    ("hay_dry_matter_entry", 0, 4, "Feeds, Hay: Dry matter"),
    ("types.name", 1, "a*", "Farm, Types of tree: Type 2, name"),
    ("access.ground", 2, -1, "Pods, How much of the seed's energy and protein stock reach: goats, ground"),
    ("tally.moisture", 3, "wet", "Trees, Trees weighed"),
    ("groups.head", 3, "many", "Herd, Groups: Group 4"),
    ("log_moisture_entry", 0, 9, "Season log, To read the log by: Moisture of the pods as weighed"),
    ("corn_dry_matter_entry", 0, 9, "Feeds, Supplement and corn: Dry matter (line 7)"),
    ("cases.yields", 2, "x", "Returns, Three cases: Good"),
])  # fmt: skip
def test_a_cell_to_mend_is_named_by_sheet_block_and_label(
    live: Live, worked: Worked, key: str, item: int, content: Any, told: str
) -> None:
    column = live.entries[key]
    found = worked({key: tuple(content if place == item else each for place, each in enumerate(column))})
    assert found["first_mend"] == (told,)
    assert found["entries_failed"][0] >= 1


def test_an_unusual_figure_is_named_by_sheet_block_and_label(worked: Worked) -> None:
    assert worked({})["first_unusual"] == ("none",)
    assert worked({"hay_price_entry": (600,)})["first_unusual"] == ("Feeds, Hay: Price of hay, delivered",)


def test_every_check_that_is_counted_has_a_name_for_each_of_its_cells(live: Live) -> None:
    nodes = live.book.nodes
    for _, _, spans in ENTRY_CHECKS:
        for span in spans:
            key = span.replace(".checks", "_checks")
            named = nodes[f"names_{key.replace('.', '_')}.what"].contents
            assert len(named) == (1 if span in WHOLE else nodes[key].count)
            assert len(set(named)) == len(named)


@pytest.mark.parametrize(("kinds", "begins"), [
    (("oak", "honey locust, wild"), "Acorns poison"),
    (("honey locust, wild", "oak"), "Acorns poison"),
    (("honey locust, grafted", None), "The pods are rich in sugar"),
    ((None, None), "-"),
])  # fmt: skip
def test_poison_comes_before_all_else(worked: Worked, kinds: tuple[str | None, ...], begins: str) -> None:
    found = worked({"types.kind": (*kinds, *(None,) * 4)})
    assert found["first_caution"][0].startswith(begins)
