"""Values printed in published sources, and the reference functions that must reproduce them.

A row of ``published/*.csv`` names a function as ``cattle.condition_factor``, or a chain as
``cattle.pregnancy_me > cattle.pregnancy_nem``: each result goes to the first required parameter of the
next function that the row's inputs leave open. The function's result times ``scale`` is in the printed unit.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from importlib import import_module
from pathlib import Path
from typing import Any

import numpy as np

from podbook.reference.contract import Reference

FOLDER = Path(__file__).parent / "published"
MARKS = ("read", "read-secondary", "memory")
COLUMNS = ("function", "inputs", "printed", "scale", "tolerance", "why", "unit", "source", "place", "mark")


@dataclass(frozen=True)
class PublishedRow:
    """One printed value with the inputs that it was printed for."""

    file: str
    line: int
    function: str
    inputs: Mapping[str, Any]
    printed: str
    scale: float
    tolerance: float
    """Half of the last printed digit, unless the row gives a tolerance and says why."""
    why: str
    unit: str
    source: str
    place: str
    mark: str

    def __str__(self) -> str:
        return f"{self.file}:{self.line} {self.function} = {self.printed} {self.unit}"

    @property
    def published(self) -> bool:
        """Whether the value was read in a source: a value from memory does not count as published."""
        return self.mark != "memory"

    def result(self) -> float:
        """Return what the function gives, in the printed unit."""
        return run_chain(self.function, self.inputs) * self.scale

    def agrees(self, result: float) -> bool:
        """Return whether a result is the printed value within the tolerance."""
        return abs(result - float(self.printed)) <= self.tolerance + 1e-9


def rows(*files: str) -> list[PublishedRow]:
    """Return the rows of the named files of the folder, or of all but the published slips, which have other columns."""
    names = files or sorted(path.name for path in FOLDER.glob("*.csv") if path.name != "slips.csv")
    return [row for name in names for row in _rows_of(name)]


def run_chain(text: str, inputs: Mapping[str, Any]) -> float:
    """Return the result of a function, or of a chain of functions, of podbook.reference."""
    functions = [_function(name.strip()) for name in text.split(">")]
    unknown = set(inputs) - {parameter.name for function in functions for parameter in function.parameters}
    if unknown:
        raise ValueError(f"{text}: no function of the chain takes {sorted(unknown)}")
    result = _call(functions[0], inputs)
    for function in functions[1:]:
        result = _call(function, {_first_open(function, inputs): result, **inputs})
    return float(result)


def _function(name: str) -> Reference:
    module, _, function = name.partition(".")
    found = getattr(import_module(f"podbook.reference.{module}"), function)
    if not isinstance(found, Reference):
        raise TypeError(f"{name} is not a reference function")
    return found


def _first_open(function: Reference, inputs: Mapping[str, Any]) -> str:
    for parameter in function.parameters:
        if parameter.default is None and parameter.name not in inputs:
            return parameter.name
    raise ValueError(f"{function.name}: the inputs leave no parameter open for the result passed on")


def _call(function: Reference, inputs: Mapping[str, Any]) -> Any:
    names = {parameter.name for parameter in function.parameters}
    return function(**{name: value for name, value in inputs.items() if name in names})


def _rows_of(name: str) -> Iterator[PublishedRow]:
    with (FOLDER / name).open(encoding="utf-8", newline="") as lines:
        table = csv.DictReader(lines)
        if tuple(table.fieldnames or ()) != COLUMNS:
            raise ValueError(f"{name}: the columns are {table.fieldnames}, not {COLUMNS}")
        for cells in table:
            try:
                yield _row(name, table.line_num, {column: text.strip() for column, text in cells.items()})
            except (ValueError, ArithmeticError, AttributeError) as fault:
                raise ValueError(f"{name}, line {table.line_num}: {fault}") from fault


def _row(name: str, line: int, cells: Mapping[str, str]) -> PublishedRow:
    if cells["mark"] not in MARKS:
        raise ValueError(f"the mark is '{cells['mark']}', not one of {MARKS}")
    if cells["tolerance"] and not cells["why"]:
        raise ValueError("a tolerance needs a reason")
    return PublishedRow(
        file=name,
        line=line,
        function=cells["function"],
        inputs=inputs_of(cells["inputs"]),
        printed=cells["printed"],
        scale=float(cells["scale"] or 1),
        tolerance=float(cells["tolerance"] or _half_last_digit(cells["printed"])),
        why=cells["why"],
        unit=cells["unit"],
        source=cells["source"],
        place=cells["place"],
        mark=cells["mark"],
    )


def _half_last_digit(printed: str) -> Decimal:
    exponent = Decimal(printed).as_tuple().exponent
    if not isinstance(exponent, int):
        raise ValueError(f"'{printed}' is not a number")
    return Decimal(5).scaleb(exponent - 1)


def inputs_of(text: str) -> dict[str, Any]:
    """Return the inputs of a row by their names."""
    pairs = [pair.partition("=") for pair in text.split(";") if pair.strip()]
    return {name.strip(): _value(value.strip()) for name, _, value in pairs}


def _value(text: str) -> Any:
    """Return a number or a word; an array of them where bars separate them (``5|`` is an array of one)."""
    parts = [part.strip() for part in text.rstrip("|").split("|")]
    try:
        values: list[Any] = [float(part) for part in parts]
    except ValueError:
        values = list(parts)
    return np.array(values) if "|" in text else values[0]
