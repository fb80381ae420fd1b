"""Cells to fill in: what is offered, what is allowed, and what is said of it while one types."""

from __future__ import annotations

from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.worksheet import Worksheet

from podbook.book.formula import Place
from podbook.book.node import Node, defined_name
from podbook.units import shown

LONGEST_PROMPT = 255
"""Letters that a program shows of a help text."""


def add(page: Worksheet, node: Node, place: Place) -> None:
    """Let only what is allowed be typed into the cells of an entry, and say what that is."""
    if node.choices:
        rule = DataValidation(type="list", formula1=defined_name(node.choices), allow_blank=bool(node.table))
        rule.error = "Choose one of the words in the list."
    elif node.low is not None:
        rule = DataValidation(
            type="decimal",
            operator="between",
            formula1=f"{node.low:.12g}",
            formula2=f"{node.high:.12g}",
            allow_blank=bool(node.table),
        )
        rule.error = f"A number from {node.low:g} to {node.high:g} {shown(node.unit)}, without commas or words."
    else:
        return
    rule.errorTitle = "Not a figure the book can use"
    if node.note:
        rule.prompt = f"{node.label.removesuffix(' (as filled in)')}. {node.note}"[:LONGEST_PROMPT]
        rule.showInputMessage = True
    rule.showErrorMessage = True
    rule.add(f"{place.cells[0]}:{place.cells[-1]}" if len(place.cells) > 1 else place.cells[0])
    page.add_data_validation(rule)
