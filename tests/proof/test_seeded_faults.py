"""Whatever goes wrong in one cell, verification names that cell first."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from live import REGION, Draw, Live, below, unusable
from mutants import FREE_COLUMN, Judge, Mutant, masked, mutants
from openpyxl import Workbook, load_workbook

from podbook import regions
from podbook.inputs.farm import filled
from podbook.proof.compare import Disagreement, Here, compare, differs
from podbook.proof.evaluate import end_to_end
from podbook.proof.wiring import Where
from podbook.recalc import DEFAULT, Address, Fault
from podbook.recalc.formualizer_engine import _cell
from podbook.review.entries import slips
from podbook.review.verify import verify
from podbook.sheets import book_of
from podbook.sheets.farm import PARTS as LAB_PARTS

THROUGH_THE_FILE = 31
"""A file takes as long as a hundred faults judged in memory; every fault of every cell is judged there."""
COMPARED_WHOLE = 120
KINDS = ("own number", "operator", "reference")


@pytest.fixture(scope="module")
def held(demo: Path) -> Live:
    return Live(demo)


@pytest.fixture(scope="module")
def judge(demo: Path) -> Judge:
    return Judge(Live(demo))


@pytest.fixture(scope="module")
def seeded(held: Live) -> tuple[Mutant, ...]:
    return tuple(mutants(held))


def named_first(found: tuple[Disagreement, ...], where: Where) -> bool:
    """Return whether a cell is the first that is named, and the only one in which a fault is said to begin."""
    return [(each.key, each.item) for each in found if each.began_here] == [where] and found[0].began_here


def complaint(mutant: Mutant, found: tuple[Disagreement, ...]) -> str:
    kind, (key, item), stands = mutant
    began = [f"{each.key}[{each.item}] ({each.what})" for each in found if each.began_here]
    return f"{kind} in {key}[{item}], now {stands}: named {', '.join(began[:4]) or 'nothing'}"


def test_every_formula_cell_has_its_faults(held: Live, seeded: tuple[Mutant, ...]) -> None:
    count = Counter(kind for kind, _, _ in seeded)
    print(f"\n{len(held.formulas)} formula cells; faults: {dict(count)}")
    assert count["own number"] == len(held.formulas)
    assert count["reference"] >= 0.99 * len(held.formulas)
    having = {where for kind, where, _ in seeded if kind == "operator"}
    lacking = {where for where in held.formulas if where not in having}
    assert not [each for each in lacking if set("+-*/<>^") & set(masked(held.cells[held.address(each)]))]


def test_the_faulty_cell_is_named(judge: Judge, seeded: tuple[Mutant, ...]) -> None:
    """A cell whose content was changed is always one in which a fault begins, whatever else differs."""
    missed = [
        f"{kind} in {where[0]}[{where[1]}], now {stands}: {found}"
        for (kind, where, stands), found in zip(seeded, judge.findings(seeded), strict=True)
        if found is None or not found.edited
    ]
    assert not missed, "\n".join((f"{len(missed)} faults missed", *missed[:60]))


def test_an_unchanged_cell_is_not_named(judge: Judge) -> None:
    """What stands in the book anyway is no fault, worked out in its place or beside it."""
    untouched = [("none", where, judge.live.cells[judge.live.address(where)]) for where in judge.live.formulas]
    assert not [where for (_, where, _), found in zip(untouched, judge.findings(untouched), strict=True) if found]


@pytest.mark.parametrize("number", range(COMPARED_WHOLE))
def test_the_faulty_cell_is_named_first_in_the_whole_book(held: Live, seeded: tuple[Mutant, ...], number: int) -> None:
    mutant = seeded[number * len(seeded) // COMPARED_WHOLE + number % len(KINDS)]
    _, where, stands = mutant
    address = held.address(where)
    held.put(address, stands)
    values = held.read()
    held.restore(address)
    cells = {**held.cells, address: stands}
    found = compare(Here(held.book, held.places, cells, values, held.wiring), DEFAULT).disagreements
    assert named_first(found, where), complaint(mutant, found)


@pytest.fixture(scope="module")
def workbook(demo: Path) -> Workbook:
    return load_workbook(demo)


def through_the_file(workbook: Workbook, path: Path, where: Address, stands: object) -> tuple[Disagreement, ...]:
    """Write a workbook with one cell changed, and return what verification says of it."""
    cell = workbook[where[0]][where[1]]
    before, cell.value = cell.value, stands
    try:
        workbook.save(path)
    finally:
        cell.value = before
    verdict = verify(path, (DEFAULT,))
    assert not verdict.agrees
    return verdict.comparisons[0].disagreements


def test_the_file_as_openpyxl_saves_it_agrees(workbook: Workbook, tmp_path: Path) -> None:
    workbook.save(tmp_path / "same.xlsx")
    assert verify(tmp_path / "same.xlsx", (DEFAULT,)).agrees


@pytest.mark.parametrize("number", range(THROUGH_THE_FILE))
def test_through_the_file_too(
    workbook: Workbook, held: Live, seeded: tuple[Mutant, ...], tmp_path: Path, number: int
) -> None:
    mutant = seeded[number * len(seeded) // THROUGH_THE_FILE + number % len(KINDS)]
    found = through_the_file(workbook, tmp_path / "faulty.xlsx", held.address(mutant[1]), mutant[2])
    assert named_first(found, mutant[1]), complaint(mutant, found)


@pytest.mark.parametrize("number", range(4))
def test_a_formula_that_reads_its_own_cell_is_named(
    workbook: Workbook, held: Live, tmp_path: Path, number: int
) -> None:
    where = held.formulas[(number * 2 + 1) * len(held.formulas) // 8]
    sheet, cell = held.address(where)
    found = through_the_file(workbook, tmp_path / "round.xlsx", (sheet, cell), f"{held.cells[(sheet, cell)]}+{cell}")
    assert named_first(found, where), complaint(("own cell", where, cell), found)


@pytest.mark.parametrize("number", range(8))
def test_a_formula_that_reads_what_it_feeds_is_named(
    workbook: Workbook, held: Live, tmp_path: Path, number: int
) -> None:
    feeding = sorted({source for where in held.formulas for source in held.wiring.feeds(where)} & set(held.formulas))
    where = feeding[(number * 2 + 1) * len(feeding) // 16]
    fed = sorted(below(held, frozenset((where,))) & set(held.formulas))
    sheet, cell = held.address(fed[number % len(fed)])
    stands = f"='{sheet}'!{cell}"
    found = through_the_file(workbook, tmp_path / "round.xlsx", held.address(where), stands)
    assert named_first(found, where), complaint(("round", where, stands), found)


FARMS = {"demo": None, "draw 1": 101, "draw 2": 102, "draw 3": 103}
BLANKS_TOO = ("draw 3",)
BY_VALUE = {"operator": (0.45, 0.78), "reference": (0.33, 0.66)}
"""Least share caught by value alone: on the demo's figures, and on these or any of three random farms."""


def test_most_faults_show_in_the_value_alone(demo: Path, seeded: tuple[Mutant, ...]) -> None:
    """The rest say the same on those figures: times 1, plus 0, a gate that only a blank or a slip would close."""
    live = Live(demo)
    by_sheet: dict[str, list[Mutant]] = {}
    for mutant in seeded:
        if mutant[0] in BY_VALUE:
            by_sheet.setdefault(live.address(mutant[1])[0], []).append(mutant)
    beside: list[tuple[str, Where, tuple[str, int, int]]] = []
    for sheet, ours in by_sheet.items():
        live.put_beside(sheet, FREE_COLUMN, [stands for _, _, stands in ours])
        beside += [(kind, where, (sheet, row, FREE_COLUMN)) for row, (kind, where, _) in enumerate(ours, 1)]
    caught: dict[str, set[int]] = {}
    for farm, seed in FARMS.items():
        entries = live.entries if seed is None else Draw(live, seed, full=farm not in BLANKS_TOO).entries()
        live.put_entries(entries)
        live.read()
        expected = end_to_end(live.book, entries, live.wiring)
        caught[farm] = {
            number
            for number, (_, where, spot) in enumerate(beside)
            if differs(_cell(live.engine.get_value(*spot)), expected[where[0]][where[1]]) is None
        }
    caught["any"] = set().union(*caught.values())
    print(f"\n{'caught by value':18}" + "".join(f"{farm:>10}" for farm in caught))
    for kind, (least_demo, least_any) in BY_VALUE.items():
        all_of_kind = {number for number, each in enumerate(beside) if each[0] == kind}
        share = {farm: len(found & all_of_kind) / len(all_of_kind) for farm, found in caught.items()}
        print(f"{kind:10}{len(all_of_kind):8}" + "".join(f"{each:10.1%}" for each in share.values()))
        assert share["demo"] >= least_demo
        assert share["any"] >= least_any


def coefficients() -> list[str]:
    book = book_of(regions.load(REGION), filled())
    return [node.key for node in book.nodes.values() if node.role == "coefficient"]


@pytest.mark.parametrize("key", coefficients())
def test_a_changed_coefficient_is_named_first(held: Live, key: str) -> None:
    address = held.address((key, 0))
    stands = held.cells[address] * 1.01
    assert stands != held.cells[address]
    held.put(address, stands)
    values = held.read()
    held.restore(address)
    cells = {**held.cells, address: stands}
    found = compare(Here(held.book, held.places, cells, values, held.wiring), DEFAULT).disagreements
    assert named_first(found, (key, 0)), complaint(("coefficient", (key, 0), stands), found)


TABLES = ("months", "types", "tally", "by_type", "access", "lab", "mix", "groups", "order", "cases")
PARTS_APART = LAB_PARTS[1]
NAMED_BY = dict.fromkeys(("types", "by_type", "lab", "mix", "order"), "types.name")
"""For a table whose items are the types of tree: the field that says which are in use."""


def in_use(live: Live) -> Iterator[Where]:
    """Yield every entry cell in use: the single figures, and every figure of a row or column that the demo fills.

    The seed's figures are in use on a sheet that prints husk and seed apart.
    """
    fields = [node for node in live.book.nodes.values() if node.role == "entry"]
    first = {node.table: node.key for node in reversed(fields)}
    for node in fields:
        named = NAMED_BY.get(node.table, first[node.table]) if node.table else node.key
        for item in range(node.count):
            seed = node.table == "lab" and node.label.startswith("Seed:")
            if live.entries[named][item] is None or (seed and live.entries["lab.parts"][item] != PARTS_APART):
                continue
            yield node.key, item


def test_no_unusable_entry_spreads_and_the_book_says_so(held: Live) -> None:
    status = held.address(("status", 0))
    assert held.values[status] == "All checks hold"
    amiss, tried = [], 0
    for key, item in in_use(held):
        address = held.address((key, item))
        for stands in unusable(held.book.nodes[key]):
            held.put(address, stands)
            values = held.read()
            tried += 1
            errors = [each for each in held.formulas if isinstance(values[held.address(each)], Fault)]
            if errors:
                amiss.append(f"{key}[{item}] = {stands!r}: {len(errors)} error values, first in {errors[0]}")
            if not str(values[status]).startswith("LOOK"):
                amiss.append(f"{key}[{item}] = {stands!r}: the status says '{values[status]}'")
        held.restore(address)
    print(f"\n{tried} unusable entries tried")
    assert held.read() == held.values
    assert not amiss, "\n".join((f"{len(amiss)} of {tried} amiss", *amiss[:80]))


def not_named(held: Live, amiss: dict[Where, Any]) -> list[str]:
    """Return a line for each of these entries that verification does not name."""
    entries = {key: list(column) for key, column in held.entries.items()}
    for (key, item), stands in amiss.items():
        entries[key][item] = stands
    named = {(slip.sheet, slip.cell) for slip in slips(held.book, held.places, lambda key: tuple(entries[key]))}
    return [
        f"{where[0]}[{where[1]}] = {stands!r}: named {sorted(named)[:4]}"
        for where, stands in amiss.items()
        if held.address(where) not in named
    ]


@pytest.mark.parametrize("number", range(4))
def test_verification_names_unusable_single_figures(held: Live, number: int) -> None:
    """All of them at once: none feeds what another is judged by."""
    ways = {node.key: unusable(node) for node in held.book.nodes.values() if node.role == "entry" and not node.table}
    assert not not_named(held, {(key, 0): each[number % len(each)] for key, each in ways.items()})


@pytest.mark.parametrize("table", TABLES)
def test_verification_names_an_unusable_entry_of_a_table(held: Live, table: str) -> None:
    """Every field on the last item in use: what can't be used in all fields at once, a blank in one at a time."""
    last = {key: (key, item) for key, item in in_use(held) if held.book.nodes[key].table == table}
    ways = {where: unusable(held.book.nodes[where[0]]) for where in last.values()}
    assert ways
    amiss = []
    for number in range(3):
        filled_in = {where: [each for each in several if each is not None] for where, several in ways.items()}
        amiss += not_named(held, {where: several[number % len(several)] for where, several in filled_in.items()})
    for where, several in ways.items():
        if None in several:
            amiss += not_named(held, {where: None})
    assert not amiss, "\n".join((f"{len(amiss)} not named", *amiss[:80]))


def test_every_table_with_entries_is_tried(held: Live) -> None:
    tables = {node.table for node in held.book.nodes.values() if node.role == "entry"} - {""}
    assert tables == set(TABLES)


@pytest.mark.parametrize("key", ["wind", "hay_price", "groups.head", "tally.weight", "types.origin", "lab.cp"])
def test_verification_of_the_file_names_an_unusable_entry(
    workbook: Workbook, held: Live, tmp_path: Path, key: str
) -> None:
    where = (key if key in held.entries else f"{key}_entry", 0)
    sheet, coordinate = held.address(where)
    cell = workbook[sheet][coordinate]
    before, cell.value = cell.value, "a lot"
    workbook.save(tmp_path / "slip.xlsx")
    cell.value = before
    verdict = verify(tmp_path / "slip.xlsx", (DEFAULT,))
    assert not verdict.agrees
    assert (sheet, coordinate) in [(slip.sheet, slip.cell) for slip in verdict.slips]
    assert verdict.status.startswith("LOOK")
