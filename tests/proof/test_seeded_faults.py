"""Loops, changed figures and entries that can't be used: verification names the very cell."""

from __future__ import annotations

from collections import ChainMap
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from live import REGION, Live, below, unusable
from mutants import Mutant
from naming import complaint, named_first, through_the_file
from openpyxl import Workbook
from packages import Parts

from podbook import regions
from podbook.inputs.farm import filled
from podbook.proof.compare import compare
from podbook.proof.evaluate import end_to_end
from podbook.proof.here import OF_THE_FILE, Here
from podbook.proof.wiring import Where
from podbook.recalc import DEFAULT, Fault
from podbook.review.entries import slips
from podbook.review.verify import verify
from podbook.sheets import book_of
from podbook.sheets.farm import PARTS as LAB_PARTS


@pytest.fixture(scope="module")
def held(demo: Path) -> Live:
    return Live(demo)


def test_the_file_as_openpyxl_saves_it_agrees(workbook: Workbook, tmp_path: Path) -> None:
    workbook.save(tmp_path / "same.xlsx")
    assert verify(tmp_path / "same.xlsx", (DEFAULT,)).agrees


@pytest.mark.parametrize("number", range(4))
def test_a_formula_that_reads_its_own_cell_is_named(parts: Parts, held: Live, tmp_path: Path, number: int) -> None:
    where = held.formulas[(number * 2 + 1) * len(held.formulas) // 8]
    sheet, cell = held.address(where)
    found = through_the_file(parts, tmp_path / "round.xlsx", (sheet, cell), f"{held.cells[(sheet, cell)]}+{cell}")
    assert named_first(found, where), complaint(Mutant("own cell", where, cell), found)


@pytest.mark.parametrize("number", range(8))
def test_a_formula_that_reads_what_it_feeds_is_named(parts: Parts, held: Live, tmp_path: Path, number: int) -> None:
    feeding = sorted({source for where in held.formulas for source in held.wiring.feeds(where)} & set(held.formulas))
    where = feeding[(number * 2 + 1) * len(feeding) // 16]
    fed = sorted(below(held, frozenset((where,))) & set(held.formulas))
    sheet, cell = held.address(fed[number % len(fed)])
    stands = f"='{sheet}'!{cell}"
    found = through_the_file(parts, tmp_path / "round.xlsx", held.address(where), stands)
    assert named_first(found, where), complaint(Mutant("round", where, stands), found)


def instead_of(figure: Any) -> Iterator[Any]:
    """Yield what may stand instead of a given figure: also what says the same today, but is no plain figure."""
    if isinstance(figure, int | float):
        yield from (
            figure * 1.01 + (figure == 0),
            -figure - 1,
            figure * 1.000001 + (figure == 0),
            str(figure),
            f"={figure}",
            bool(figure),
        )
    elif figure is None:
        yield from (0.0, "a", False, '=""')
    else:
        yield from (figure.upper(), figure.lower(), f"{figure} ", f'="{figure}"', 0.0)
    yield None


def test_a_changed_figure_is_named(demo: Path) -> None:
    """Every coefficient, default, bound and other given figure, changed in every way."""
    live = Live(demo)
    expected = end_to_end(live.book, live.entries, live.wiring)
    missed, tried = [], 0
    for node in live.book.nodes.values():
        if node.role not in ("fixed", "coefficient") or node.key in OF_THE_FILE:
            continue
        for item, figure in enumerate(node.contents):
            where, address = (node.key, item), live.address((node.key, item))
            for stands in instead_of(figure):
                if stands == figure and not isinstance(stands, bool):
                    continue
                tried += 1
                formula = isinstance(stands, str) and stands.startswith("=")
                values = ChainMap({address: figure if formula else stands}, live.values)
                cells = ChainMap({address: stands}, live.cells)  # type: ignore[arg-type]
                here = Here(live.book, live.places, cells, values, live.wiring, expected, some_lost=False)
                found = here.fault(where)
                if found is None or not found.edited:
                    missed.append(f"{where}: {figure!r} -> {stands!r}")
    print(f"\n{tried} changed figures")
    assert tried > 1000
    assert not missed, "\n".join((f"{len(missed)} of {tried} missed", *missed[:60]))


def coefficients() -> list[str]:
    """Every sixth: the test above takes each of them, by its cell alone."""
    book = book_of(regions.load(REGION), filled())
    return [node.key for node in book.nodes.values() if node.role == "coefficient"][::6]


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
    assert named_first(found, (key, 0)), complaint(Mutant("coefficient", (key, 0), stands), found)


TABLES = ("months", "types", "tally", "by_type", "access", "lab", "mix", "groups", "order", "cases", "log")
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
    """Every entry in use, each spoiled in one of the ways in turn."""
    status = held.address(("status", 0))
    assert held.values[status] == "All checks hold"
    amiss, tried = [], 0
    for key, item in in_use(held):
        address = held.address((key, item))
        ways = unusable(held.book.nodes[key])
        stands = ways[tried % len(ways)]
        held.put(address, stands)
        values = held.read()
        held.restore(address)
        tried += 1
        errors = [each for each, value in values.items() if isinstance(value, Fault)]
        if errors:
            amiss.append(f"{key}[{item}] = {stands!r}: {len(errors)} error values, first in {errors[0]}")
        if not str(values[status]).startswith("LOOK"):
            amiss.append(f"{key}[{item}] = {stands!r}: the status says '{values[status]}'")
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
