"""Seeded faults: what may go wrong in one formula cell, and what verification says of it."""

from __future__ import annotations

import re
from collections import ChainMap
from collections.abc import Iterator, Sequence
from functools import cached_property
from typing import Any

import numpy as np
from live import Live
from openpyxl.formula import Tokenizer
from openpyxl.formula.tokenizer import Token
from openpyxl.utils import column_index_from_string, get_column_letter
from openpyxl.utils.cell import coordinate_to_tuple, range_boundaries

from podbook.book.node import Node
from podbook.proof.compare import Here, Wrong
from podbook.proof.evaluate import end_to_end
from podbook.proof.wiring import Where
from podbook.recalc import Address, Cell
from podbook.recalc.formualizer_engine import _cell

FREE_COLUMN = 600
APART = re.compile(r"\"[^\"]*\"|'[^']*'!")
"""What holds no operator and no reference: words in quotes, names of sheets."""
OPERATOR = re.compile(r"<=|>=|<>|[-+*/<>]")
REST = re.compile(r"[=^]")
WRONG = {
    "+": "-",
    "-": "+",
    "*": "/",
    "/": "*",
    "<": ">",
    ">": "<",
    "<=": ">=",
    ">=": "<=",
    "<>": "=",
    "=": "<>",
    "^": "*",
}
REFERENCE = re.compile(r"(?<![A-Za-z0-9_.$])(\$?)([A-Z]{1,3})(\$?)(\d+)(?![A-Za-z0-9_.(!])")
WORD = re.compile(r"(?<![A-Za-z0-9_.$!])[A-Za-z_][A-Za-z0-9_.]*(?![A-Za-z0-9_.(!])")
Mutant = tuple[str, Where, Any]
"""Its kind, the cell, and what stands there instead."""


def masked(formula: str) -> str:
    """Return a formula of the same length in which what stands in quotes is blotted out."""
    return APART.sub(lambda match: "\0" * len(match.group(0)), formula)


def wrong_operator(formula: str) -> str | None:
    """Return a formula with its first operator wrong; a comparison for equality only where there is no other."""
    bare = masked(formula)
    match = OPERATOR.search(bare, 1) or REST.search(bare, 1)
    return match and formula[: match.start()] + WRONG[match.group(0)] + formula[match.end() :]


class Neighbours:
    """Wrong references: the cell beside or below the right one, or another name of the same kind."""

    def __init__(self, live: Live, seed: int) -> None:
        self.live, self.random = live, np.random.default_rng(seed)

    @cached_property
    def kinds(self) -> dict[tuple[str, int, str], list[str]]:
        """Defined names by what they stand for: role, number of cells, and whether words or numbers."""
        found: dict[tuple[str, int, str], list[str]] = {}
        for node in self.live.book.nodes.values():
            found.setdefault(self._kind(node), []).append(node.name)
        return found

    @staticmethod
    def _kind(node: Node) -> tuple[str, int, str]:
        return node.role, node.count, "word" if node.unit == "text" else "number"

    def wrong_reference(self, address: Address, formula: str) -> str | None:
        """Return a formula with one of its references or names wrong."""
        bare = masked(formula)
        spots = list(REFERENCE.finditer(bare)) + [
            match for match in WORD.finditer(bare) if match.group(0) in self.live.book.by_name
        ]
        for number in self.random.permutation(len(spots)):
            match = spots[number]
            other = self._shifted(match) if match.re is REFERENCE else self._other_name(match.group(0))
            changed = formula[: match.start()] + (other or "") + formula[match.end() :]
            if other is not None and not self._reads_itself(address, changed):
                return changed
        return None

    def _reads_itself(self, address: Address, formula: str) -> bool:
        """No engine in memory works out a formula that reads its own cell; such faults go through the file."""
        sheet, cell = address
        row, column = coordinate_to_tuple(cell)
        for token in Tokenizer(formula).items:
            if token.type != Token.OPERAND or token.subtype != Token.RANGE:
                continue
            place = self.live.places.get(self._key(token.value))
            if place is not None:
                if place.sheet == sheet and cell in place.cells:
                    return True
                continue
            there, _, area = token.value.rpartition("!")
            if there.strip("'") in ("", sheet) and _holds(area, row, column):
                return True
        return False

    def _key(self, name: str) -> str:
        node = self.live.book.by_name.get(name)
        return node.key if node else ""

    def _shifted(self, match: re.Match[str]) -> str:
        letters, row = match.group(2), int(match.group(4))
        column = column_index_from_string(letters)
        step = int(self.random.choice((-1, 1)))
        if self.random.random() < 0.5:
            row += step
        else:
            column += step
        return f"{match.group(1)}{get_column_letter(column)}{match.group(3)}{row}"

    def _other_name(self, name: str) -> str | None:
        others = [each for each in self.kinds[self._kind(self.live.book.by_name[name])] if each != name]
        return others[int(self.random.integers(len(others)))] if others else None


def _holds(area: str, row: int, column: int) -> bool:
    """Return whether a cell lies in an area such as ``B2:D4``."""
    left, top, right, bottom = range_boundaries(area)
    return left <= column <= right and top <= row <= bottom


def mutants(live: Live) -> Iterator[Mutant]:
    """Yield every seeded fault of every formula cell."""
    neighbours = Neighbours(live, seed=11)
    for where in live.formulas:
        address = live.address(where)
        formula = live.cells[address]
        yield "own number", where, live.values[address]
        for kind, changed in (
            ("operator", wrong_operator(formula)),
            ("reference", neighbours.wrong_reference(address, formula)),
        ):
            if changed is not None:
                yield kind, where, changed


class Judge:
    """Says of a changed cell what verification says of it: the same words as for the whole book, for this cell alone.

    A cell is judged by what stands in it and by the cells that feed it, so no other cell need be calculated; and what
    is put in its place is worked out in a free column of its sheet, so that thousands are worked out at once.
    """

    def __init__(self, live: Live) -> None:
        self.live, self.wiring = live, live.wiring
        self.expected = end_to_end(live.book, live.entries, live.wiring)

    def findings(self, seeded: Sequence[Mutant]) -> list[Wrong | None]:
        """Return what is found wrong with each cell, were the fault the only one."""
        values = self._worked(seeded)
        cells = dict(self.live.cells)
        return [self._finding(where, stands, values[n], cells) for n, (_, where, stands) in enumerate(seeded)]

    def _finding(self, where: Where, stands: Any, value: Cell, cells: dict[Address, Any]) -> Wrong | None:
        live, address = self.live, self.live.address(where)
        faulty, values = ChainMap({address: stands}, cells), ChainMap({address: value}, live.values)
        return Here(live.book, live.places, faulty, values, self.wiring, self.expected).fault(where)

    def _worked(self, seeded: Sequence[Mutant]) -> dict[int, Cell]:
        """Return the value of what stands in each cell: a formula's, or what was typed over it."""
        live, spots = self.live, {}
        for number, (_, where, stands) in enumerate(seeded):
            if isinstance(stands, str) and stands.startswith("="):
                spots.setdefault(live.address(where)[0], []).append((number, stands))
        for sheet, ours in spots.items():
            live.put_beside(sheet, FREE_COLUMN, [stands for _, stands in ours])
        live.engine.evaluate_all()
        found = {number: stands for number, (_, _, stands) in enumerate(seeded)}
        for sheet, ours in spots.items():
            for row, (number, _) in enumerate(ours, 1):
                found[number] = _cell(live.engine.get_value(sheet, row, FREE_COLUMN))
        return found
