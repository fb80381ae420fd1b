"""Values, cells and columns as they are printed for a person: rounded, with their units, as plain text."""

from __future__ import annotations

from typing import Any

from podbook.book.formula import sheet_prefix
from podbook.review.explaining.feeding import Column, Told
from podbook.review.explaining.labels import plain
from podbook.units import shown

MOST_LISTED = 12
DIGITS = 6
"""Significant digits of a value on the screen; --json has them all."""
CALENDAR = 1000
"""From here on a number of years is a year of the calendar."""


def figure(value: Any, unit: str = "") -> str:
    """Return a value with its unit, rounded for the eye."""
    if value is None or value == "":
        return "nothing"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if not isinstance(value, int | float):
        return f'"{plain(value)}"'
    if unit == "flag" and value in (0, 1):
        return f"{value:.0f} ({'yes' if value else 'no'})"
    if unit == "ordinal":
        return f"no. {value:g}"
    if unit == "year" and value >= CALENDAR:
        return f"{value:g}"
    return f"{_rounded(float(value))} {shown(unit)}".rstrip()


def _rounded(value: float) -> str:
    """Return a number with so many significant digits, and commas between thousands."""
    if abs(value) >= 10 ** (DIGITS - 1):
        return f"{value:,.0f}"
    number = f"{value:.{DIGITS}g}"
    whole, point, rest = number.partition(".")
    return number if "e" in number or abs(value) < 1 else f"{int(whole):,}" + point + rest


def address(cell: Told) -> str:
    return sheet_prefix(plain(cell.sheet)) + cell.cell if cell.cell else "gone"


def value_of(cell: Told) -> str:
    return f"no value ({plain(cell.error)})" if cell.error else figure(cell.value, cell.unit)


def column_told(column: Column, *, listed: bool = True) -> str:
    words = [f"{column.label}, {column.count} cells ({sheet_prefix(plain(column.sheet))}{column.cells})"]
    if column.numbers:
        words.append(f"sum {figure(column.total, column.unit)}")
        words.append(from_to(column.least, column.most, column.unit))
        words += [_not_zero(column)] if listed else []
    if column.words:
        words.append(", ".join(f'"{plain(word)}" {count} times' for word, count in column.words[:MOST_LISTED]))
    if column.errors:
        words.append(f"LOOK: {column.errors} without a value")
    if not column.numbers and not column.words and not column.errors:
        words.append("nothing in them")
    return "; ".join(words)


def from_to(least: float | None, most: float | None, unit: str) -> str:
    if least == most:
        return f"{figure(least, unit)} each"
    return f"from {figure(least, unit)} to {figure(most, unit)}"


def _not_zero(column: Column) -> str:
    if not column.not_zero:
        return "all zero"
    if len(column.not_zero) == column.numbers > MOST_LISTED:
        return "none is zero"
    told = [f"{plain(name)} {figure(value)}" for name, value in column.not_zero[:MOST_LISTED]]
    more = len(column.not_zero) - len(told)
    return "not zero: " + ", ".join([*told, *([f"and {more} more"] if more else [])])
