"""The season log: what was really picked up, fed and paid, month by month."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import isnan
from pathlib import Path

from podbook.inputs.cells import Number, Row, Table
from podbook.systems import POUND

SCALES: dict[str, Number] = {
    "pods_picked_lb": Number(0, 500000, "lb"),
    "pods_fed_lb": Number(0, 500000, "lb"),
    "hay_fed_ton": Number(0, 5000, "tons"),
    "hay_fed_bales": Number(0, 50000, "bales"),
    "supplement_fed_lb": Number(0, 500000, "lb"),
    "hay_money": Number(0, 500000),
    "supplement_money": Number(0, 500000),
    "collecting_money": Number(0, 500000),
    "days_fed": Number(0, 31, "days"),
    "head_fed": Number(0, 50000, "head"),
}
"""The figures of a month and their ranges; any may be blank."""
COLUMNS = ("month", *SCALES, "note")
IN_METRIC = {
    "pods_picked_lb": ("pods_picked_kg", "kg", POUND),
    "pods_fed_lb": ("pods_fed_kg", "kg", POUND),
    "hay_fed_ton": ("hay_fed_tonne", "tonnes", 2 * POUND),
    "supplement_fed_lb": ("supplement_fed_kg", "kg", POUND),
}
"""The column that may stand instead of one, its unit, and how many of it one of the other is."""
LONGEST = 60
"""Letters of a note."""


@dataclass(frozen=True)
class MonthLogged:
    """One month of the log; None for what was not logged."""

    month: str
    note: str = ""
    picked: float | None = None
    fed: float | None = None
    hay_tons: float | None = None
    hay_bales: float | None = None
    supplement: float | None = None
    hay_money: float | None = None
    supplement_money: float | None = None
    collecting_money: float | None = None
    days: float | None = None
    head: float | None = None


def read(path: Path, months: Sequence[str] | None = None) -> list[MonthLogged]:
    """Return the months of a log, or raise BadInput with a complaint for every cell that cannot be used.

    ``months`` are those of the book; where they are not known, any name passes for a month. Weights are in pounds and
    short tons or, where a column says so, in kilograms and tonnes.
    """
    table = Table(path, COLUMNS, {name: instead for name, (instead, *_) in IN_METRIC.items()})
    found = []
    first_line: dict[str, int] = {}
    for row in table.rows:
        month = row.cells["month"]
        if months is not None:
            month = table.choice(row, "month", months)
        elif not month:
            table.complain(row.line, "month", "a blank", "the name of a month, such as 'Oct'")
        if month and (line := first_line.setdefault(month, row.line)) != row.line:
            table.complain(row.line, "month", f"'{month}' again, as on line {line}", "one row for a month")
        figures = {name: _figure(table, row, name) for name in SCALES}
        days, head = figures["days_fed"], figures["head_fed"]
        if (days is None) != (head is None):
            lacking = "days_fed" if days is None else "head_fed"
            if not isnan(days if head is None else head):  # type: ignore[arg-type]  # one of them is a number
                table.complain(row.line, lacking, "a blank", "both days_fed and head_fed, or neither")
        note = row.cells["note"]
        if len(note) > LONGEST or not note.isprintable():
            table.complain(row.line, "note", f"{len(note)} letters", f"one line of at most {LONGEST} letters")
        found.append(MonthLogged(month, note, *figures.values()))
    table.settle()
    return found


def _figure(table: Table, row: Row, name: str) -> float | None:
    """Return a figure of a month in the units of ``SCALES``, from its own column or the one in metric units."""
    scale = SCALES[name]
    if name in table.columns:
        return table.optional(row, name, scale)
    column, unit, size = IN_METRIC[name]
    found = table.optional(row, column, Number(scale.low, scale.high * size, unit))
    return None if found is None else found / size
