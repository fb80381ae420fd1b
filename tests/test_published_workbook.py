"""Every value of tests/published through a built workbook: its inputs typed over the cells, its formula recalculated.

What a formula's reference function takes goes into the cells that the book binds to its parameters; coefficients stay
as the book prints them unless the row gives one. Each result of a chain is typed into the cell that feeds the next.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import formualizer
import numpy as np
import pytest
from openpyxl.utils.cell import coordinate_to_tuple
from published_rows import PublishedRow, rows

from podbook import regions
from podbook.book.node import Node
from podbook.book.writer import write
from podbook.inputs.farm import filled
from podbook.proof.wiring import Where, Wiring
from podbook.review.find import opened
from podbook.sheets import book_of

REGION = "us_midatl_appal"
LEAST_RUN = 296
Typed = dict[Where, Any]

NOT_RUN = {
    "energy.megajoules": "No cell of the book yet: the book counts in megacalories.",
}
"""Functions of published rows that can't be run through the workbook, and why."""

OPENED: dict[str, dict[str, float]] = {"need_1.milk": {"suckles": 1}}
"""What must stand in the cells that a formula looks at where its gate is worked out from them in another cell."""

PUBLISHED = [row for row in rows() if row.published]


def chain(row: PublishedRow) -> list[str]:
    return [name.strip() for name in row.function.split(">")]


RUN = [row for row in PUBLISHED if not NOT_RUN.keys() & set(chain(row))]
LEFT_OUT = [row for row in PUBLISHED if NOT_RUN.keys() & set(chain(row))]


class NoCell(Exception):
    """No formula of the book takes what a published row gives; its argument names the function."""


class Unbound(Exception):
    """A node's binding does not let a row's value in."""


class Bench:
    """A built workbook in which cells are typed over, read and put back."""

    def __init__(self, path: Path) -> None:
        found = opened(path)
        self.book, self.places, self.cells = found.book, found.places, found.cells
        self.wiring = Wiring(self.book)
        self.engine = formualizer.load_workbook(str(path))
        self.engine.evaluate_all()

    def result(self, row: PublishedRow) -> float:
        """Return what the last formula of a row's chain gives, in the printed unit."""
        return self.through(chain(row), row.inputs) * row.scale

    def through(self, functions: list[str], inputs: Mapping[str, Any]) -> float:
        passed: list[float] = []
        for function in functions:
            passed = [self.step(function, inputs, passed)]
        return passed[0]

    def step(self, function: str, inputs: Mapping[str, Any], passed: list[float]) -> float:
        """Return what the first formula that is bound to a function, and lets the values in, makes of them."""
        for node in self.book.worked:
            if node.ref is None or node.ref.function.name != function:
                continue
            parameters = node.ref.function.parameters
            values = {each.name: inputs[each.name] for each in parameters if each.name in inputs}
            lacking = [each.name for each in parameters if each.default is None and each.name not in inputs]
            values |= dict(zip(lacking, passed, strict=False))
            try:
                return self.recalculated(node, self.typed(node, values))
            except Unbound:
                continue
        raise NoCell(function)

    def typed(self, node: Node, values: Mapping[str, Any]) -> Typed:
        """Return what is typed over which cells, so that a cell of a node is fed with the values."""
        wired = self.wiring.of(self.tried(node))
        found: Typed = {}
        if wired.gate is not None:
            self.put(found, wired.gate, 1.0)
        for word, value in OPENED.get(node.key, {}).items():
            self.put(found, self.where(node, word), value)
        defaults = {each.name: each.default for each in wired.ref.function.parameters}
        for name, _, wire in wired.arguments:
            value = values.get(name, defaults[name])
            if wire.cells is not None:
                self.fill(found, list(wire.cells), value)
            elif wire.cell is None:
                if value != wire.given:
                    raise Unbound(f"{name} is fixed to {wire.given}")
            elif name in values or self.book.nodes[wire.cell[0]].role != "coefficient":
                self.put(found, wire.cell, value)
        if self.tried(node) in found:
            raise Unbound(f"{node.key} would be typed over")
        return found

    @staticmethod
    def tried(node: Node) -> Where:
        """Return the cell of a node that is tried: its first, or its second where the first has no item before it."""
        return node.key, 1 if node.first_ref else 0

    def where(self, node: Node, word: str) -> Where:
        word, _, number = word.partition("@")
        key = word if word in self.book.nodes else f"{node.table}.{word}"
        return key, int(number) - 1 if number else 0

    def fill(self, found: Typed, cells: list[Where], value: Any) -> None:
        """Type an array into the first of several cells; what is left holds 0, or nothing where they are words."""
        if not isinstance(value, np.ndarray) or len(value) > len(cells):
            raise Unbound(f"{value} does not fit {len(cells)} cells")
        rest = [None if value.dtype.kind == "U" else 0.0] * (len(cells) - len(value))
        for where, each in zip(cells, [*value.tolist(), *rest], strict=True):
            self.put(found, where, each)

    def put(self, found: Typed, where: Where, value: Any) -> None:
        if isinstance(value, np.ndarray) or self.book.nodes[where[0]].role == "span":
            raise Unbound(f"{where[0]} is not one cell for {value}")
        if found.setdefault(where, value) != value:
            raise Unbound(f"{where[0]} would have to hold {found[where]} and {value}")

    def recalculated(self, node: Node, typed: Typed) -> float:
        try:
            for where, value in typed.items():
                self.engine.set_value(*self.address(where), value)
            return float(self.engine.evaluate_cell(*self.address(self.tried(node))))
        finally:
            for where in typed:
                self.restore(where)

    def restore(self, where: Where) -> None:
        place = self.places[where[0]]
        stood = self.cells[place.sheet, place.cells[where[1]]]
        if isinstance(stood, str) and stood.startswith("="):
            self.engine.set_formula(*self.address(where), stood)
        else:
            self.engine.set_value(*self.address(where), stood)

    def address(self, where: Where) -> tuple[str, int, int]:
        place = self.places[where[0]]
        return (place.sheet, *coordinate_to_tuple(place.cells[where[1]]))


@pytest.fixture(scope="module")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Bench:
    path = tmp_path_factory.mktemp("bench") / "book.xlsx"
    write(book_of(regions.load(REGION), filled()), path)
    return Bench(path)


@pytest.mark.parametrize("row", RUN, ids=str)
def test_published_value_comes_out_of_the_workbook(bench: Bench, row: PublishedRow) -> None:
    found = bench.result(row)
    assert row.agrees(found), f"{found} is not {row.printed} within {row.tolerance}"


def test_enough_published_values_run_through_the_workbook() -> None:
    assert len(RUN) >= LEAST_RUN


def test_functions_left_out_are_those_that_no_formula_can_run(bench: Bench) -> None:
    stopped = set()
    for row in LEFT_OUT:
        with pytest.raises(NoCell) as caught:
            bench.result(row)
        stopped.add(str(caught.value))
    assert stopped == NOT_RUN.keys()


def test_a_wrong_coefficient_of_the_workbook_is_noticed(bench: Bench) -> None:
    row = next(row for row in RUN if row.function == "energy.digestible_energy" and row.inputs["tdn"] == 100)
    bench.engine.set_value(*bench.address(("de_per_tdn", 0)), 0.05)
    try:
        assert not row.agrees(bench.result(row))
    finally:
        bench.restore(("de_per_tdn", 0))
    assert row.agrees(bench.result(row))
