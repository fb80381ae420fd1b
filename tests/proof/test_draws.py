"""Random farms: the whole book agrees with the reference functions, and no cell turns into an error."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path

import pytest
from live import Draw, Live, below

from podbook.proof.agreement import told
from podbook.proof.evaluate import Column
from podbook.proof.wiring import Wiring
from podbook.recalc import Cell

FARMS = 50
NEVER_AMISS = {
    *("winter.pods_open", "winter.grass_open_with", "winter.grass_open_without", "winter.hay_open", "months_differ"),
    *("winter.past_cap", "check_cap", "check_balance", "check_season", "check_errors", "sizes_off", "check_sizes"),
}
"""Alarms that only a damaged formula can raise."""
ODD_NAMES = ("Wild*", "W?ld", "<5", "~x", "TRUE", "12", " Good ", "a,b;c", "#N/A", "0", "-", "mend")


@pytest.fixture(scope="module")
def held(demo: Path) -> Live:
    return Live(demo)


Values = dict[tuple[str, str], Cell]


@pytest.fixture(scope="module")
def farms(held: Live) -> Callable[[int], Values]:
    """What the workbook makes of a random farm, by its seed: worked out once for all tests."""

    @cache
    def values(seed: int) -> Values:
        held.put_entries(drawn(held, seed))
        return dict(held.read())

    return values


def complaints(live: Live, entries: dict[str, Column], values: Values) -> list[str]:
    """Return a line for every cell that differs; first those that are fed by agreeing cells only."""
    found = live.amiss(entries, values)
    if not found:
        return []
    differing = {where for where, _, _ in found}

    wiring = Wiring(live.book)

    def lines() -> Iterator[tuple[bool, str]]:
        for where, value, wanted in found:
            address = live.address(where)
            fed = any(each in differing for each in wiring.feeds(where))
            line = f"{where[0]}[{where[1]}] {address[0]}!{address[1]}: {told(value)}, reference {told(wanted)}"
            yield fed, f"{'follows' if fed else 'BEGINS'} {line}; {live.cells[address]}"

    return [line for _, line in sorted(lines(), key=lambda each: each[0])]


def said(found: list[str]) -> str:
    return "\n".join((f"{len(found)} cells differ", *found[:40]))


def drawn(held: Live, seed: int) -> dict[str, Column]:
    """Every second farm has figures that can't be used."""
    return Draw(held, seed, amiss=0.06 * (seed % 2)).entries()


@pytest.mark.parametrize("seed", range(FARMS))
def test_a_random_farm_agrees_in_every_cell(held: Live, farms: Callable[[int], Values], seed: int) -> None:
    found = complaints(held, drawn(held, seed), farms(seed))
    assert not found, said(found)


def _of_any_group(key: str) -> str:
    return re.sub(r"^need_\d+\.", "need_N.", key)


def test_draws_move_every_formula(held: Live, farms: Callable[[int], Values]) -> None:
    """A formula that says the same on every farm would be tested on one value only; groups of stock share formulas."""
    seen: dict[str, set[str]] = {_of_any_group(node.key): set() for node in held.book.worked}
    without_stock = {**held.entries, "groups.kind": (None,) * len(held.entries["groups.kind"])}
    short_of_protein = {
        **held.entries,
        "hay_cp_entry": (3.0,),
        "stockpile_area_entry": (0.0,),
        "months.days": (30.0,) * 8,
    }
    short_of_protein["groups.kind"] = ("cow with calf",) * len(held.entries["groups.kind"])
    collected = {**held.entries, "pod_form_entry": ("ground",), "pod_cost_entry": (40.0,)}
    found = [farms(seed) for seed in range(FARMS)]
    for entries in (held.entries, without_stock, short_of_protein, collected):
        held.put_entries(entries)
        found.append(dict(held.read()))
    for values in found:
        for where in held.formulas:
            seen[_of_any_group(where[0])].add(told(values[held.address(where)]))
    filled_in = frozenset(
        (node.key, item) for node in held.book.nodes.values() if node.role == "entry" for item in range(node.count)
    )
    fed = {_of_any_group(key) for key, _ in below(held, filled_in)}
    assert {key for key, values in seen.items() if len(values) == 1 and key in fed} == NEVER_AMISS


@pytest.mark.parametrize("name", ODD_NAMES)
def test_a_type_may_bear_any_name(held: Live, name: str) -> None:
    entries = dict(Draw(held, 1).entries())
    names = (
        ("Wild", name, "Good", None, None, None)
        if name not in ("Wild", "Good")
        else (name, "Other", None, None, None, None)
    )
    entries["types.name"] = names
    known = [each for each in names if each]
    entries["tally.type"] = tuple(known[row % len(known)] for row in range(len(entries["tally.type"])))
    held.put_entries(entries)
    found = complaints(held, entries, held.read())
    assert not found, said(found)
