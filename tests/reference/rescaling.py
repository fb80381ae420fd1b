"""A change of units that is drawn at random: what is right stays right when every unit is another.

Each reference function is called as the demo book calls it, and again with every argument in other units. If its
result is not the first one in those other units, a factor is lost, or one is inside that belongs to a unit.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from random import Random
from typing import Any, get_origin, get_type_hints

import numpy as np

from podbook import regions
from podbook.book.model import Book
from podbook.inputs.farm import filled
from podbook.proof.evaluate import Column, end_to_end
from podbook.proof.units import Audit
from podbook.proof.units.found import Found, Kind, Of
from podbook.proof.units.measure import HEAD, PERCENT, SIZES, Measure, measure
from podbook.proof.wiring import Where, Wire, Wiring
from podbook.reference.catalogue import catalogue
from podbook.reference.contract import Parameter, Reference
from podbook.sheets import book_of

REGION = "us_midatl_appal"
SAME = 1e-9
LINES = 6
"""Figures in a column that is drawn."""
KEPT = (PERCENT, "year")
"""Units that are never another: 100 percent are the whole by their name, and lines of tables are years."""
_WORD_SIZES = {"lb_dry": "lb", "lb_fed": "lb", "kg_dry": "kg", "kg_fed": "kg", "short_ton_dry": "short_ton",
               "short_ton_fed": "short_ton", "tonne_dry": "tonne", "tonne_fed": "tonne",
               "degF": "delta_degF", "degC": "delta_degC"}  # fmt: skip
"""Units of one size: a pound is a pound, of dry matter or as fed."""


@dataclass(frozen=True)
class Change:
    """How much larger or smaller every unit is, and where temperatures begin."""

    random: Mapping[str, float]
    start: float

    def size(self, found: Measure) -> float:
        """Return what a figure in a unit is multiplied by."""
        size = 1.0
        for word, power in found.words:
            if word not in KEPT:
                size *= (self.random[_WORD_SIZES.get(word, word)] * self.random[SIZES[word][0]]) ** power
        return size

    def of(self, figure: Any, found: Found) -> Any:
        """Return a figure, a word or an array in the other units."""
        if not isinstance(found, Of) or isinstance(figure, str) or figure is None:
            return figure
        if isinstance(figure, np.ndarray) and figure.dtype == object:
            return np.array([self.of(each, found) for each in figure], dtype=object)
        if isinstance(figure, np.ndarray) and figure.dtype.kind not in "fi":
            return figure
        if found.measure.is_point:
            return figure * self.size(found.measure) + self.start * self.size(found.measure)
        return figure * self.size(found.measure)


def change(seed: int, *, heads: bool = False) -> Change:
    """Return a change of units drawn at random; of heads only where that is asked for."""
    draw = Random(seed)
    words = dict.fromkeys([*SIZES, *(kind for kind, _, _ in SIZES.values()), "short_ton", "tonne"])
    drawn = {word: math.exp(draw.uniform(-1, 1)) for word in words}
    if not heads:
        drawn[HEAD] = 1.0
    return Change(drawn, draw.uniform(5, 50))


@dataclass(frozen=True)
class Called:
    """A call of a reference function: its arguments, the unit of each, and that of the result."""

    function: Reference
    arguments: Mapping[str, Any]
    units: Mapping[str, tuple[Found, ...]]
    """A unit for each cell that feeds an argument, or a single one for all."""
    result: Found

    def differs(self, how: Change) -> tuple[Any, Any] | None:
        """Return the result and what it should be, in other units, where they differ."""
        with np.errstate(all="ignore"):
            first = self.function.function(**self.arguments)
            again = self.function.function(**{name: self._turned(name, how) for name in self.arguments})
        wanted = how.of(first, self.result)
        least = how.size(self.result.measure) if isinstance(self.result, Of) else 1.0
        return None if _alike(again, wanted, SAME * least) else (again, wanted)

    def _turned(self, name: str, how: Change) -> Any:
        argument, units = self.arguments[name], self.units[name]
        if len(units) == 1:
            return how.of(argument, units[0])
        return np.array([how.of(each, unit) for each, unit in zip(argument, units, strict=True)], dtype=argument.dtype)


def _alike(one: Any, other: Any, least: float) -> bool:
    first, second = np.asarray(one), np.asarray(other)
    if first.dtype.kind in "fiub" and second.dtype.kind in "fiub":
        return bool(np.allclose(first, second, rtol=SAME, atol=least, equal_nan=True))
    return bool((first == second).all())


class Calls:
    """The calls of reference functions that the demo book makes."""

    def __init__(self) -> None:
        self.book: Book = book_of(regions.load(REGION), filled())
        self.audit = Audit(self.book)
        self.wiring = Wiring(self.book)
        entries = {node.key: node.contents for node in self.book.nodes.values() if node.role == "entry"}
        self.values: dict[str, Column] = end_to_end(self.book, entries, self.wiring)

    @cached_property
    def bound(self) -> dict[str, list[Where]]:
        """The cells that each function works, by its name."""
        found: dict[str, list[Where]] = {}
        for node in self.book.worked:
            for item in range(node.count):
                ref = node.ref_of(item)
                assert ref is not None
                found.setdefault(ref.function.name, []).append((node.key, item))
        return found

    def of(self, function: Reference, most: int = 12) -> Iterator[Called]:
        """Yield calls of a function: those in which the result is not 0 first."""
        cells = self.bound.get(function.name, [])
        telling = sorted(cells, key=lambda where: self._value(where) in (0.0, None, "-"))
        for where in telling[:: max(1, len(telling) // most)][:most] + telling[:2]:
            if (made := self._call(where)) is not None:
                yield made

    def _value(self, where: Where) -> Any:
        return self.values[where[0]][where[1]]

    def _call(self, where: Where) -> Called | None:
        wired = self.wiring.of(where)
        if wired.gate is not None and not self._value(wired.gate):
            return None
        measured = {parameter.name: parameter for parameter in wired.ref.function.parameters}
        arguments = {name: self._fed(wire, as_is) for name, as_is, wire in wired.arguments}
        units = {name: self._units(measured[name], wire) for name, _, wire in wired.arguments}
        returns = wired.ref.function.returns.unit
        result = Of(measure(returns)) if returns not in ("any", "text") else self.audit.wanted(where[0])
        return Called(wired.ref.function, arguments, units, result)

    def _fed(self, wire: Wire, as_is: bool) -> Any:
        if wire.cell is not None:
            return self._value(wire.cell)
        if wire.cells is None:
            return wire.given
        several = [self._value(each) for each in wire.cells]
        return np.array(several, dtype=object) if as_is else np.array(several, dtype=float)

    def _units(self, parameter: Parameter, wire: Wire) -> tuple[Found, ...]:
        """Return the unit of an argument: as it is annotated, or that of the cell that feeds it."""
        if parameter.measured.unit not in ("any", "text"):
            return (Of(measure(parameter.measured.unit)),)
        cells = wire.cells or ((wire.cell,) if wire.cell is not None else ())
        found = [self._unit(cell) for cell in cells] or [Kind.ZERO]
        return tuple(found) if len(set(found)) > 1 else (found[0],)

    def _unit(self, cell: Where) -> Found:
        node = self.book.nodes[cell[0]]
        return self.audit.unit_of(node.members[cell[1]] if node.role == "span" else node.key)


def drawn(function: Reference, seed: int) -> Called | None:
    """Return a call of a function with figures drawn from its ranges; None where its units are not stated."""
    draw = Random(f"{function.name} {seed}")
    units = {each.name: each.measured.unit for each in function.parameters}
    if {"any", "text"} & {*units.values(), function.returns.unit}:
        return None
    hints = get_type_hints(function.function)
    arguments = {
        each.name: np.array([_drawn(each, draw) for _ in range(LINES)])
        if get_origin(hints[each.name]) is np.ndarray
        else _drawn(each, draw)
        for each in function.parameters
    }
    return Called(
        function,
        arguments,
        {name: (Of(measure(unit)),) for name, unit in units.items()},
        Of(measure(function.returns.unit)),
    )


def _drawn(parameter: Parameter, draw: Random) -> float:
    if parameter.default is not None:
        return float(parameter.default)
    low = parameter.measured.low if math.isfinite(parameter.measured.low) else -100.0
    high = parameter.measured.high if math.isfinite(parameter.measured.high) else low + 200
    return draw.uniform(low, high)


def functions() -> tuple[Reference, ...]:
    return catalogue()
