"""What stands in a workbook from outside."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from podbook.recalc import Address, Cell


@dataclass(frozen=True)
class Contents:
    """What stands in a file."""

    sheets: Mapping[str, Mapping[str, Any]]
    """By title, in their order, and by coordinate, what stands in each cell that is not empty: a formula as text that
    begins with '=', a number, a truth value, or a text. A text that begins with '=' has an apostrophe before it."""
    stored: Mapping[Address, Cell]
    """The value that is stored beside each formula; a formula without one is left out."""
    names: Mapping[str, str]
    """What each defined name of the whole book stands for."""
    own_names: Mapping[str, frozenset[str]]
    """The names that hold on one sheet only, by its title."""
    notes: tuple[tuple[str, str, str], ...]
    """Sheet, cell and text of every note."""


def is_formula(content: Any) -> bool:
    """Return whether what stands in a cell is a formula."""
    return isinstance(content, str) and content.startswith("=")


def formulas(contents: Contents) -> dict[str, list[str]]:
    """Return the cells that hold formulas, by sheet."""
    cells = {
        sheet: [cell for cell, stands in held.items() if is_formula(stands)] for sheet, held in contents.sheets.items()
    }
    return {sheet: found for sheet, found in cells.items() if found}
