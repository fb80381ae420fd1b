"""The tally: single trees, weighed year by year."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from math import isnan
from pathlib import Path

from podbook.inputs.cells import Number, Share, Table, Whole
from podbook.systems import POUND

POUNDS, KILOGRAMS = "weight_lb", "weight_kg"
COLUMNS = ("tree", "type", "year", "age", POUNDS, "share_picked", "moisture")


@dataclass(frozen=True)
class TreeRecord:
    """One tree in one year."""

    tree: int
    """Number on the tree's tag."""
    kind: str
    year: int
    age: float
    """Years since the tree was set."""
    weight: float
    """Pounds picked up, as weighed."""
    picked: float
    """Share of the year's crop that had been picked up."""
    moisture: float
    """Share of water when weighed."""
    typed: str = field(default="", compare=False)
    """The weight as it was written, where that is in another unit."""


def read(path: Path, types: Sequence[str]) -> list[TreeRecord]:
    """Return the records of a tally, or raise BadInput with a complaint for every cell that cannot be used.

    Its weights are in pounds or, where the column says so, in kilograms.
    """
    table = Table(path, COLUMNS, {POUNDS: KILOGRAMS})
    weighed = KILOGRAMS if KILOGRAMS in table.columns else POUNDS
    unit, pound = (weighed.removeprefix("weight_"), POUND if weighed == KILOGRAMS else 1.0)
    drafts = []
    first_line: dict[tuple[float, float], int] = {}
    kind_of: dict[float, tuple[str, int]] = {}
    for row in table.rows:
        tree = table.number(row, "tree", Whole(1, 99999))
        kind = table.choice(row, "type", types)
        year = table.number(row, "year", Whole(1900, 2100))
        age = table.number(row, "age", Number(1, 200, "years"))
        weight = table.number(row, weighed, Number(0, 3000 * pound, unit)) / pound
        picked = table.number(row, "share_picked", Share(0.05, 1))
        moisture = table.number(row, "moisture", Share(0, 0.7))
        typed = "" if weighed == POUNDS else f"{row.cells[weighed]} {unit}"
        drafts.append((tree, kind, year, age, weight, picked, moisture, typed))
        if isnan(tree):
            continue
        if not isnan(year) and (line := first_line.setdefault((tree, year), row.line)) != row.line:
            found = f"tree {tree:.0f} in {year:.0f} again, as on line {line}"
            table.complain(row.line, "year", found, "one row for a tree in a year")
        if kind:
            known, line = kind_of.setdefault(tree, (kind, row.line))
            if known != kind:
                found = f"'{kind}' for tree {tree:.0f}, which is '{known}' on line {line}"
                table.complain(row.line, "type", found, "one type for a tree")
    table.settle()
    return [TreeRecord(int(tree), kind, int(year), *rest) for tree, kind, year, *rest in drafts]  # type: ignore[arg-type]
