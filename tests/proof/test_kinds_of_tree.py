"""Cautions follow the kinds of tree that a farm fills in, in the workbook and in the reference functions alike."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from live import Live
from openpyxl import load_workbook

from podbook import regions
from podbook.book.writer import write
from podbook.inputs.filled import Filled, TypeOfTree
from podbook.pod_trees import pod_trees
from podbook.proof.evaluate import end_to_end
from podbook.sheets import book_of
from podbook.sheets.pod_trees import caution_key


@pytest.fixture(scope="module")
def farm(tmp_path_factory: pytest.TempPathFactory) -> Live:
    types = tuple(
        TypeOfTree(name, "seedling", 0.25, 5, 10, kind=kind)
        for name, kind in (("Ridge", "carob"), ("Lane", "mulberry"), ("Wood", "Oak"), ("Old", ""))
    )
    path = tmp_path_factory.mktemp("kinds") / "farm.xlsx"
    write(book_of(regions.load("us_midatl_appal"), Filled("Kinds", types)), path)
    return Live(path)


def said(live: Live, key: str, kinds: tuple[Any, ...] | None = None) -> tuple[Any, ...]:
    """What the workbook says in the cells of a node; the reference functions must say the same."""
    entries = dict(live.entries)
    if kinds is not None:
        entries["types.kind"] = kinds
    live.put_entries({"types.kind": entries["types.kind"]})
    values = live.read()
    assert live.amiss(entries, values) == []
    should = end_to_end(live.book, entries, live.wiring)
    found = tuple(values[live.address((key, item))] for item in range(live.book.nodes[key].count))
    assert found == tuple(should[key])
    return found


def told(live: Live, kinds: tuple[Any, ...] | None = None) -> set[str]:
    """The species of which cautions are told; of each all or none."""
    species: dict[str, set[bool]] = {}
    for number, caution in enumerate(pod_trees().cautions, 1):
        (words,) = said(live, f"told_{caution_key(number)}", kinds) if number == 1 else one(live, number)
        assert words in (caution.text, "-")
        species.setdefault(caution.species, set()).add(words == caution.text)
    assert all(len(answers) == 1 for answers in species.values())
    return {name for name, answers in species.items() if answers == {True}}


def one(live: Live, number: int) -> tuple[Any]:
    return (live.value(live.address((f"told_{caution_key(number)}", 0))),)


def test_cautions_stand_for_kinds_in_use_and_for_no_others(farm: Live) -> None:
    assert told(farm) == {"carob", "mulberry", "oak"}


@pytest.mark.parametrize("kind", pod_trees().kinds, ids=lambda kind: kind.key)
def test_each_kind_has_its_cautions_in_the_workbook(farm: Live, kind: Any) -> None:
    assert told(farm, (None, kind.name.upper(), None, None, None, None)) == {kind.species}


@pytest.mark.parametrize("kind", [None, 7.0, "elm", "carob, wild"])
def test_no_kind_of_the_list_has_no_cautions(farm: Live, kind: Any) -> None:
    assert told(farm, (kind, None, None, None, None, None)) == set()
    state = said(farm, "types.kind_check", (kind, None, None, None, None, None))
    assert state == ("-" if kind is None else "mend", "-", "-", "-", "-", "-")


def test_a_kind_of_a_type_without_a_name_counts_for_nothing(farm: Live) -> None:
    assert told(farm, (None, None, None, None, "carob", None)) == set()


def test_types_are_counted_by_kind(farm: Live) -> None:
    grown = said(farm, "pod_trees.grown", ("oak", "oak", "honey locust, good", "OAK", "oak", None))
    assert dict(zip(pod_trees().names, grown, strict=True)) == {
        **dict.fromkeys(pod_trees().names, 0), "oak": 3, "honey locust, good": 1,
    }  # fmt: skip


def test_what_does_not_keep_is_warned_of_beside_the_type_and_on_checks(farm: Live) -> None:
    kinds = ("carob", "mulberry", "Persimmon", None, None, None)
    assert said(farm, "types.beware", kinds) == (
        "no lab sheet yet", "LOOK: does not keep", "LOOK: does not keep", "no lab sheet yet", "-", "-",
    )  # fmt: skip
    assert said(farm, "check_spoils", kinds) == (2,)
    assert said(farm, "check_spoils", ("carob", None, None, None, None, None)) == (0,)
    assert said(farm, "check_types", ("elm", None, None, None, None, None)) == (1,)


def test_a_type_with_its_lab_sheet_is_not_warned_of(live: Live) -> None:
    assert said(live, "types.beware") == ("-", "-", "-", "-", "-", "-")


def test_the_handbook_page_shows_every_figure_with_mark_and_source(demo: Path) -> None:
    page = load_workbook(demo)["Pod trees"]
    rows = [tuple(cell.value for cell in row) for row in page.iter_rows(max_col=8)]
    for kind in pod_trees().kinds:
        start = next(
            number for number, row in enumerate(rows) if row[0] == f"{kind.name.capitalize()} ({kind.botanical})"
        )
        shown = {row[0]: row for row in rows[start : start + len(kind.figures) + 5]}
        for figure in kind.figures.values():
            row = shown[figure.label]
            assert row[1] == pytest.approx(figure.value, rel=1e-14, abs=0)
            assert row[3] == figure.mark
            assert row[4] == f"{figure.source}: {figure.where}"
    texts = {row[1] for row in rows}
    assert all(caution.text in texts for caution in pod_trees().cautions)


def test_nothing_but_cautions_and_what_keeps_is_taken_from_the_handbook_page(live: Live) -> None:
    page = {key for key, place in live.places.items() if place.sheet == "Pod trees"}
    fixed = {key for key in page if live.book.nodes[key].role == "fixed" and not key.endswith(tuple("0123456789"))}
    feeding = {where[0] for each in live.formulas for where in live.wiring.feeds(each) if where[0] in fixed}
    assert feeding == {"pod_trees.keeps"}
