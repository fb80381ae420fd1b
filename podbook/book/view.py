"""A sheet on the screen: what stays in view, where one begins, what may be changed and what catches the eye."""

from __future__ import annotations

from openpyxl.formatting.rule import CellIsRule, FormulaRule
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from podbook.book import look
from podbook.book.heights import set_heights
from podbook.book.layout import Layout
from podbook.book.model import Sheet, Table, nodes_of

BEGIN, BESIDE_LABELS = "A4", "B4"
"""First cell that moves when a sheet is scrolled: below its titles; beside the labels too."""


def set_view(page: Worksheet, sheet: Sheet, layout: Layout) -> None:
    """Set a finished sheet's widths, what stays in view, the cell to begin at, the locks and the warnings."""
    page.sheet_view.showGridLines = False
    page.column_dimensions["A"].width = sheet.label_width
    last = page.max_column
    for column in range(2, last + 1):
        letter = get_column_letter(column)
        page.column_dimensions[letter].width = sheet.wider.get(letter, sheet.width)
    set_heights(page, layout.blocks[sheet.title])
    # Labels stay beside tables only: on a phone they take the whole screen.
    tables = any(isinstance(block, Table) for block in sheet.blocks)
    page.freeze_panes = BESIDE_LABELS if tables else BEGIN
    entries = (node for block in sheet.blocks for node in nodes_of(block) if node.role == "entry")
    first = next((layout.places[node.key].cells[0] for node in entries), None)
    if first is not None:
        chosen = page.sheet_view.selection[-1]
        chosen.activeCell = chosen.sqref = first
    page.protection.sheet = True
    page.protection.formatCells = False
    page.protection.formatColumns = False
    page.protection.formatRows = False
    _warn(page, f"B5:{get_column_letter(last)}{page.max_row}")


def _warn(page: Worksheet, area: str) -> None:
    doubt = CellIsRule(operator="equal", formula=['"unusual"'], font=look.DOUBTED, fill=look.DOUBT_FILL)  # type: ignore[no-untyped-call]  # not in openpyxl's stubs
    alarm = FormulaRule(formula=['LEFT(B5,4)="mend"'], font=look.ALARMED, fill=look.ALARM_FILL)  # type: ignore[no-untyped-call]  # not in openpyxl's stubs
    look_out = FormulaRule(formula=['LEFT(B5,4)="LOOK"'], font=look.ALARMED, fill=look.ALARM_FILL)  # type: ignore[no-untyped-call]  # not in openpyxl's stubs
    page.conditional_formatting.add(area, alarm)
    page.conditional_formatting.add(area, look_out)
    page.conditional_formatting.add(area, doubt)
