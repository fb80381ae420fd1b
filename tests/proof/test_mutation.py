"""Whatever is changed in one formula cell, verification names that cell, and names it first."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest
from changes import CHANGES
from live import Draw, Live
from mutants import FREE_COLUMN, Judge, Mutant, Mutants
from mutation import HEADING, Mutation, told
from naming import complaint, named_first, through_the_file
from packages import Parts

from podbook.proof.agreement import differs
from podbook.proof.compare import compare
from podbook.proof.evaluate import end_to_end
from podbook.proof.here import Here
from podbook.proof.wiring import Where
from podbook.recalc import DEFAULT
from podbook.recalc.formualizer_engine import _cell

KINDS_AT_LEAST = 10
WHOLE = 1
"""How many mutants of each kind are judged in the whole book too, not by their cell alone."""
A_LITTLE_OFF = "a little off"
UNREADABLE = "blank in a reference"
"""No engine takes such a formula in memory; in a file they all do."""


def one_of_every_node(live: Live) -> tuple[Where, ...]:
    """A cell of every node, from its first to its last in turn; ``mutation.py`` takes all of them."""
    return tuple((node.key, number % node.count) for number, node in enumerate(live.book.worked))


@pytest.fixture(scope="module")
def held(demo: Path) -> Live:
    return Live(demo)


@pytest.fixture(scope="module")
def mutation(demo: Path, held: Live) -> Mutation:
    return Mutation(demo, one_of_every_node(held))


@pytest.mark.parametrize("kind", CHANGES)
def test_the_changed_cell_is_named(mutation: Mutation, kind: str) -> None:
    tally = mutation.tally(kind)
    print(f"\n{HEADING}\n{tally.row()}")
    assert tally.made > 100
    assert not tally.survivors, "\n".join(told(mutation.live, each) for each in tally.survivors[:60])
    assert not tally.unnamed, "\n".join(told(mutation.live, each) for each in tally.unnamed[:60])


def test_every_formula_cell_has_its_mutants(held: Live) -> None:
    everywhere = (kind for kind in CHANGES if kind in ("own number", "cleared", "one added") or "slip" in kind)
    count = Counter(mutant.where for mutant in Mutants(held).of(everywhere))
    assert set(count) == set(held.formulas)
    assert min(count.values()) >= KINDS_AT_LEAST


def test_an_unchanged_cell_is_not_named(demo: Path) -> None:
    """What stands in the book anyway is no fault, worked out in its place or beside it."""
    live = Live(demo)
    untouched = [Mutant("none", where, live.cells[live.address(where)]) for where in live.formulas]
    judged = Judge(live).judged(untouched)
    assert not [one.where for one, each in zip(untouched, judged, strict=True) if each.found or each.by_value]


def one_of(live: Live, kind: str, number: int) -> Mutant:
    """Return the mutant of a kind that comes first from some place in the book on."""
    start = (1 + 7 * list(CHANGES).index(kind) + 101 * number) * 97 % len(live.formulas)
    return next(Mutants(live).of((kind,), live.formulas[start:] + live.formulas[:start]))


@pytest.mark.parametrize("number", range(WHOLE))
@pytest.mark.parametrize("kind", [kind for kind in CHANGES if kind != UNREADABLE])
def test_it_is_named_first_in_the_whole_book(held: Live, kind: str, number: int) -> None:
    mutant = one_of(held, kind, number)
    address = held.address(mutant.where)
    held.put(address, mutant.stands)
    values = held.read()
    held.restore(address)
    cells = {**held.cells, address: mutant.stands}
    found = compare(Here(held.book, held.places, cells, values, held.wiring), DEFAULT).disagreements
    assert named_first(found, mutant.where), complaint(mutant, found)


THROUGH_THE_FILE = [kind for kind in CHANGES if "slip" not in kind or "2.2046" in kind][::3]
"""Each takes a whole verification; the rest are named in the same way without the file."""


@pytest.mark.parametrize("kind", THROUGH_THE_FILE)
def test_through_the_file_too(parts: Parts, held: Live, tmp_path: Path, kind: str) -> None:
    mutant = one_of(held, kind, WHOLE)
    found = through_the_file(parts, tmp_path / "faulty.xlsx", held.address(mutant.where), mutant.stands)
    if kind == A_LITTLE_OFF:  # what follows lies on either side of the tolerance: it may seem to begin there too
        assert mutant.where in [(each.key, each.item) for each in found if each.began_here], complaint(mutant, found)
    else:
        assert named_first(found, mutant.where), complaint(mutant, found)


FARMS = {"demo": None, "draw 1": 101, "draw 2": 102, "draw 3": 103}
BLANKS_TOO = ("draw 3",)
BY_VALUE = {"operator": (0.42, 0.72), "reference: next row": (0.3, 0.55), "constant": (0.35, 0.6)}
"""Least share caught by value alone: on the demo's figures, and on these or any of three random farms."""


def test_most_faults_show_in_the_value_alone(demo: Path) -> None:
    """The rest say the same on those figures: times 1, plus 0, a gate that only a blank or a slip would close."""
    live = Live(demo)
    beside: list[tuple[Mutant, tuple[str, int, int]]] = []
    by_sheet: dict[str, list[Mutant]] = {}
    for mutant in Mutants(live).of(BY_VALUE):
        by_sheet.setdefault(live.address(mutant.where)[0], []).append(mutant)
    for sheet, ours in by_sheet.items():
        live.put_beside(sheet, FREE_COLUMN, [mutant.stands for mutant in ours])
        beside += [(mutant, (sheet, row, FREE_COLUMN)) for row, mutant in enumerate(ours, 1)]
    caught: dict[str, set[int]] = {}
    for farm, seed in FARMS.items():
        entries = live.entries if seed is None else Draw(live, seed, full=farm not in BLANKS_TOO).entries()
        live.put_entries(entries)
        live.read()
        expected = end_to_end(live.book, entries, live.wiring)
        caught[farm] = {
            number
            for number, (mutant, spot) in enumerate(beside)
            if differs(_cell(live.engine.get_value(*spot)), expected[mutant.where[0]][mutant.where[1]]) is None
        }
    caught["any"] = set().union(*caught.values())
    print(f"\n{'caught by value':28}" + "".join(f"{farm:>10}" for farm in caught))
    for kind, (least_demo, least_any) in BY_VALUE.items():
        all_of_kind = {number for number, (mutant, _) in enumerate(beside) if mutant.kind == kind}
        share = {farm: len(found & all_of_kind) / len(all_of_kind) for farm, found in caught.items()}
        print(f"{kind:20}{len(all_of_kind):8}" + "".join(f"{each:10.1%}" for each in share.values()))
        assert share["demo"] >= least_demo
        assert share["any"] >= least_any
