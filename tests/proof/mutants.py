"""Mutants: formula cells with one change each, and what verification says of them."""

from __future__ import annotations

import re
from collections import ChainMap
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from random import Random
from typing import Any, NamedTuple

from changes import APART, CHANGES, Spot
from live import Live
from openpyxl.formula import Tokenizer
from openpyxl.formula.tokenizer import Token
from openpyxl.utils.cell import coordinate_to_tuple

from podbook.proof.agreement import differs
from podbook.proof.here import Here
from podbook.proof.wiring import Where
from podbook.proof.wrong import Wrong
from podbook.recalc import Cell
from podbook.recalc.formualizer_engine import _cell

FREE_COLUMN = 600
AREA = re.compile(
    r"(?:(?:'([^']+)'|(?<![A-Za-z0-9_.])([A-Za-z]\w*))!)?"
    r"(?<![A-Za-z0-9_.$])\$?([A-Z]{1,3})\$?(\d+)(?::\$?([A-Z]{1,3})\$?(\d+))?(?![A-Za-z0-9_.(!])"
)
NAME = re.compile(r"(?<![A-Za-z0-9_.$!])[a-z_][a-z0-9_]*(?![A-Za-z0-9_.(!])")


class Mutant(NamedTuple):
    """A kind of change, a cell, and what stands there instead."""

    kind: str
    where: Where
    stands: Any


class Mutants:
    """Makes the mutants of a book: the same ones whichever cells and kinds are asked for, and in whichever order."""

    def __init__(self, live: Live) -> None:
        self.live = live
        self.same = dict.fromkeys(CHANGES, 0)
        """How many changes of a kind left a formula as it was; they are no mutants."""

    def of(self, kinds: Iterable[str] = tuple(CHANGES), cells: Sequence[Where] = ()) -> Iterator[Mutant]:
        """Yield a mutant of each kind for each cell that has one."""
        spots = [Spot(self.live, where) for where in cells or self.live.formulas]
        for kind in kinds:
            for spot in spots:
                yield from self._first(kind, spot)

    def _first(self, kind: str, spot: Spot) -> Iterator[Mutant]:
        for stands in CHANGES[kind](spot, Random(f"{kind} {spot.where}")):
            if isinstance(stands, str) and stands.startswith("="):
                if alike(stands, spot.formula):
                    self.same[kind] += 1
                    continue
                if self._reads_itself(spot, stands):
                    continue
            yield Mutant(kind, spot.where, stands)
            return

    def _reads_itself(self, spot: Spot, formula: str) -> bool:
        """No engine in memory works out a formula that reads its own cell; such faults go through the file."""
        sheet, cell = spot.address
        row, column = coordinate_to_tuple(cell)
        text = re.sub(r'"[^"]*"', '""', formula)
        for quoted, plain, left, top, right, bottom in AREA.findall(text):
            if (quoted or plain or sheet) == sheet and _holds(left, top, right or left, bottom or top, row, column):
                return True
        nodes, places = self.live.book.by_name, self.live.places
        for name in NAME.findall(text):
            place = places.get(nodes[name].key) if name in nodes else None
            if place is not None and place.sheet == sheet and cell in place.cells:
                return True
        return False


def _holds(left: str, top: str, right: str, bottom: str, row: int, column: int) -> bool:
    """Return whether a cell lies in an area, from whichever corner it is written."""
    rows, columns = zip(coordinate_to_tuple(left + top), coordinate_to_tuple(right + bottom), strict=True)
    return min(rows) <= row <= max(rows) and min(columns) <= column <= max(columns)


def alike(one: str, other: str) -> bool:
    """Return whether two formulas are the same piece by piece, by another reading than the proof's own."""
    roughly = (re.sub(r"[\s$]", "", APART.sub("", each)).upper() for each in (one, other))
    return len(set(roughly)) == 1 and pieces(one) == pieces(other)


def pieces(formula: str) -> list[tuple[str, str]]:
    """Return the pieces of a formula: words in quotes as they stand, the rest without $ and case."""
    found = []
    for token in Tokenizer(formula).items:
        text = token.value
        if token.type == Token.OPERAND and token.subtype == Token.TEXT:
            found.append((token.type, text))
        elif token.type != Token.WSPACE:
            sheet, _, rest = text.rpartition("!")
            found.append((token.type, f"{sheet}!{rest.replace('$', '')}".upper()))
    return found


@dataclass(frozen=True)
class Judged:
    """What verification says of one mutant."""

    found: Wrong | None
    """What is wrong with the cell in itself."""
    by_value: bool
    """Whether its value alone, on the figures of this book, is not what its reference function says."""

    @property
    def named(self) -> bool:
        """Whether the cell itself is named as one in which a fault begins."""
        return self.found is not None and self.found.edited


class Judge:
    """Says of a changed cell what verification says of it: the same words as for the whole book, for this cell alone.

    A cell is judged by what stands in it and by the cells that feed it, so no other cell need be calculated; and what
    is put in its place is worked out in a free column of its sheet, so that thousands are worked out at once.
    """

    def __init__(self, live: Live) -> None:
        self.live, self.wiring = live, live.wiring
        self.whole = Here(live.book, live.places, live.cells, live.values, live.wiring)

    def judged(self, mutants: Sequence[Mutant]) -> list[Judged]:
        """Return what is found of each mutant, were it the only one."""
        values = self._worked(mutants)
        return [self._judged(*mutant, values[number]) for number, mutant in enumerate(mutants)]

    def _judged(self, _kind: str, where: Where, stands: Any, value: Cell) -> Judged:
        live, address = self.live, self.live.address(where)
        faulty, values = ChainMap({address: stands}, live.cells), ChainMap({address: value}, live.values)  # type: ignore[arg-type]
        expected, lost = self.whole.expected, self.whole.some_lost
        here = Here(live.book, live.places, faulty, values, self.wiring, expected, some_lost=lost)
        by_value = differs(value, expected[where[0]][where[1]], here.scale(where)) is None
        return Judged(here.fault(where), by_value)

    def _worked(self, mutants: Sequence[Mutant]) -> dict[int, Cell]:
        """Return the value of what stands in each cell: a formula's, or what was typed over it."""
        live, spots = self.live, {}
        for number, (_, where, stands) in enumerate(mutants):
            if isinstance(stands, str) and stands.startswith("="):
                spots.setdefault(live.address(where)[0], []).append((number, stands))
        for sheet, ours in spots.items():
            live.put_beside(sheet, FREE_COLUMN, [stands for _, stands in ours])
        live.engine.evaluate_all()
        found = {number: stands for number, (_, _, stands) in enumerate(mutants)}
        for sheet, ours in spots.items():
            for row, (number, _) in enumerate(ours, 1):
                found[number] = _cell(live.engine.get_value(sheet, row, FREE_COLUMN))
        return found
