"""Every seeded fault of units in the demo book is caught by the audit alone, without a value being compared."""

from __future__ import annotations

from functools import cache

import pytest
from unit_faults import FACTORS, REWRITES, SWAPS, UNDONE, Seeded, demo, leaves

from podbook.book.tree import Number, One, Pair, Tree, parts

ALWAYS_SEEN = (*REWRITES, UNDONE)
LEAST_SEEN = 0.8
"""Share of the faults of a kind that units tell at all: of the rest a formula asks only whether they are there."""


@cache
def seeded(units: str) -> Seeded:
    return Seeded(demo(units))


@pytest.mark.parametrize("kind", ALWAYS_SEEN)
@pytest.mark.parametrize("units", ["us", "metric"])
def test_a_factor_lost_or_turned_over_is_caught_everywhere(units: str, kind: str) -> None:
    tally = seeded(units).tally(kind)
    assert (tally.caught, tally.missed) == (tally.made, [])
    assert tally.made >= 8


@pytest.mark.parametrize("kind", SWAPS)
@pytest.mark.parametrize("units", ["us", "metric"])
def test_a_cell_of_another_unit_is_caught_wherever_its_size_counts(units: str, kind: str) -> None:
    tally = seeded(units).tally(kind)
    assert tally.missed == []
    assert tally.caught >= LEAST_SEEN * tally.made


def test_every_factor_is_tried_in_every_formula_that_names_it() -> None:
    tried = {(mutant.key, str(mutant.tree)) for mutant in seeded("us").of("factor dropped")}
    named = {key for key, tree in seeded("us").trees for _, leaf in leaves(tree) if _factor(leaf)}
    added = {"months.start"}  # to the days before it: no factor there
    assert named == {key for key, _ in tried} | added
    assert len(named) > 80


def _factor(tree: Tree) -> bool:
    return isinstance(tree, One) and tree.where[0] in FACTORS


def test_every_hundred_is_tried() -> None:
    def hundreds(tree: Tree) -> int:
        own = isinstance(tree, Pair) and any(each == Number("100") for each in (tree.left, tree.right))
        multiplied = isinstance(tree, Pair) and tree.sign in "*/"
        return int(own and multiplied) + sum(map(hundreds, parts(tree)))

    made = len(list(seeded("us").of("100 dropped")))
    assert made == sum(hundreds(tree) for _, tree in seeded("us").trees) > 50
