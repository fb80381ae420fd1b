"""The rows of a sheet as they stand in its part of the file, with gaps where the values of its formulas belong.

And the names of a workbook: openpyxl asks of each of them fourteen things that a name of cells has not.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Any

from openpyxl.compat import safe_string
from openpyxl.worksheet.worksheet import Worksheet

from podbook.book.escaping import escaped
from podbook.coordinates import letters
from podbook.recalc import Cell, Fault

GAP = "\0"
"""No letter of any XML. A formula's cell has two gaps: for the type of its value, and for the value."""


def rows(page: Worksheet) -> tuple[str, list[str]]:
    """Return the rows of a sheet, and the cells of its formulas in the order of their gaps."""
    cells: dict[tuple[int, int], Any] = page._cells
    by_row: dict[int, list[str]] = {row: [] for row in page.row_dimensions}
    numbers: dict[int, str] = {}
    formulas = []
    for (row, column), cell in sorted(cells.items()):
        worn, content, kind = cell._style, cell._value, cell.data_type
        styled = numbers.get(id(worn))
        if styled is None:
            styled = numbers[id(worn)] = f' s="{cell.style_id}"' if cell.has_style else ""
        if content is None and not styled:
            continue
        name = f"{letters(column)}{row}"
        if kind == "f":
            formulas.append(name)
        line = by_row.get(row)
        if line is None:
            line = by_row[row] = []
        line.append(cell_text(name, styled, kind, content))
    return "".join(f"<row{_said(page, row)}>{''.join(by_row[row])}</row>" for row in sorted(by_row)), formulas


def _said(page: Worksheet, row: int) -> str:
    height = page.row_dimensions[row].height if row in page.row_dimensions else None
    return f' r="{row}"' if height is None else f' r="{row}" ht="{safe_string(height)}" customHeight="1"'


def cell_text(name: str, styled: str, kind: str, content: Any) -> str:
    """Return a cell as it stands in a row: of a kind 'f' for a formula, 's' for a text, 'n' for a number or nothing."""
    if kind == "f":
        return f'<c r="{name}"{styled}{GAP}><f>{escaped(content[1:])}</f><v>{GAP}</v></c>'
    if content is None:
        return f'<c r="{name}"{styled} t="n"></c>'
    if kind == "s":
        space = ' xml:space="preserve"' if content != content.strip() else ""
        return f'<c r="{name}"{styled} t="inlineStr"><is><t{space}>{escaped(content)}</t></is></c>'
    return f'<c r="{name}"{styled} t="n"><v>{safe_string(content)}</v></c>'


def names_text(names: Mapping[str, str]) -> str:
    """Return defined names and the cells that they stand for, as they stand in the workbook's own part."""
    return "".join(f'<definedName name="{name}">{escaped(cells)}</definedName>' for name, cells in names.items())


def without_values(text: str) -> str:
    """Return rows whose formulas have no values."""
    return text.replace(GAP, "")


def filled(text: str, values: Iterable[Cell]) -> str:
    """Return rows with the values of their formulas."""
    start, *parts = text.split(GAP)
    stored = (each for value in values for each in _stored(value))
    return start + "".join(each for pair in zip(stored, parts, strict=True) for each in pair)


def _stored(value: Cell) -> tuple[str, str]:
    """Return the type of a formula's value as its cell states it, and the value."""
    if isinstance(value, float):
        text = repr(value)
        return "", format(Decimal(text), "f") if "e" in text else text.removesuffix(".0")
    if isinstance(value, bool):
        return ' t="b"', str(int(value))
    if isinstance(value, Fault):
        return ' t="e"', value.text
    return ' t="str"', escaped(value or "")
