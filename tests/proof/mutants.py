"""Seeded faults: what may go wrong in one formula cell, and what verification says of it."""

from __future__ import annotations

import re
from collections import ChainMap
from collections.abc import Iterator
from functools import cached_property
from typing import Any

import numpy as np
from live import Live
from openpyxl.utils import column_index_from_string, get_column_letter

from podbook.book.node import Node
from podbook.proof.compare import Finding, Here
from podbook.proof.evaluate import end_to_end
from podbook.proof.wiring import Where
from podbook.recalc import Address

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
        """The engine in memory refuses a formula that reads its own cell; such faults go through the file."""
        try:
            self.live.put(address, formula)
        except RuntimeError as refused:
            if "#CIRC!" not in str(refused):
                raise
            return True
        finally:
            self.live.restore(address)
        return False

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
    """Says of one changed cell what verification says of it: the same words as for the whole book, for this cell alone.

    A cell is judged by what stands in it and by the cells that feed it, so no other cell need be calculated.
    """

    def __init__(self, live: Live) -> None:
        self.live, self.wiring = live, live.wiring
        self.expected = end_to_end(live.book, live.entries, live.wiring)

    def finding(self, where: Where, stands: Any) -> Finding | None:
        """Put something in one formula cell, and return what is found wrong with it; then restore the cell."""
        live, address = self.live, self.live.address(where)
        live.put(address, stands)
        value = live.value(address)
        live.restore(address)
        cells, values = ChainMap({address: stands}, dict(live.cells)), ChainMap({address: value}, live.values)
        return Here(live.book, live.places, cells, values, self.wiring, self.expected).fault(where)
