"""Cells to fill in: what is offered, what is allowed, and what is said of it while one types."""

from __future__ import annotations

from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.worksheet import Worksheet

from podbook.book.formula import Place
from podbook.book.node import Node, defined_name
from podbook.units import shown


def add(page: Worksheet, node: Node, place: Place) -> None:
    """Say what belongs in the cells of an entry, and refuse what can't be used."""
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
        rule.error = f"A number from {_bounds(node)}, without commas or words."
    else:
        rule = DataValidation()  # any text
    if rule.type is not None:
        rule.errorTitle = "Not a figure the book can use"
        rule.showErrorMessage = True
    if prompt := prompt_of(node):
        rule.prompt, rule.showInputMessage = prompt, True
    if rule.type is None and not prompt:
        return
    rule.add(f"{place.cells[0]}:{place.cells[-1]}" if len(place.cells) > 1 else place.cells[0])
    page.add_data_validation(rule)


def prompt_of(node: Node) -> str:
    """Return what is shown when the cell of an entry is chosen: what it is, where to get it, and its range."""
    label = node.label.removesuffix(" (as filled in)")
    bounds = f"From {_bounds(node)}." if node.low is not None and not node.choices else ""
    return " ".join(filter(None, (f"{label}.", node.note, bounds))) if node.note or bounds else ""


def _bounds(node: Node) -> str:
    return f"{node.low:g} to {node.high:g} {shown(node.unit)}".rstrip()
