"""The cells of a sheet in the making: what stands in them and how they look.

openpyxl's own ways to a cell judge anew at every one what kind of content it is given and which styles it has. Here a
set of styles is worked out once for a workbook, by openpyxl, and shared by all cells that have it.
"""

from __future__ import annotations

from collections.abc import Callable
from copy import copy
from typing import Any, cast

from openpyxl.cell import Cell, MergedCell
from openpyxl.styles import Font
from openpyxl.styles.cell_style import StyleArray
from openpyxl.workbook import Workbook
from openpyxl.worksheet.cell_range import CellRange
from openpyxl.worksheet.worksheet import Worksheet

from podbook.book import look
from podbook.book.node import Content
from podbook.coordinates import row_and_column

Key = tuple[object, ...]
PLAIN = StyleArray()
NUMBERS = {
    "font": "fontId", "fill": "fillId", "border": "borderId", "alignment": "alignmentId",
    "protection": "protectionId", "number_format": "numFmtId",
}  # fmt: skip
"""Where a look keeps the number of a style, by the name of the style."""


class Looks:
    """How the cells of a workbook look. What is given out is shared: a cell's look is replaced, never changed."""

    def __init__(self, workbook: Workbook) -> None:
        self.workbook = workbook
        self.merged: dict[Key, list[StyleArray]] = {}
        """Of cells that were merged: how all of them look, by the look of the first and their number."""
        self._known: dict[Key, tuple[StyleArray, object]] = {}
        """Looks, and by what each is told: nothing else may take the identity of that."""
        self._numbers: dict[tuple[str, int], tuple[int, object]] = {}
        """Numbers of styles, and the styles."""

    def over(self, worn: StyleArray, **styles: object) -> StyleArray:
        """Return a look with some styles put over it, each a constant of the palette or a number format."""
        key = (id(worn), *styles, *map(id, styles.values()))
        known = self._known.get(key)
        if known is None:
            dressed = copy(worn)
            for name, style in styles.items():
                setattr(dressed, NUMBERS[name], self._number(name, style))
            self._known[key] = known = dressed, (worn, styles)
        return known[0]

    def lettered(self, worn: StyleArray, *, face: str | None = None, larger: float = 1.0) -> StyleArray:
        """Return a look in another face, and in letters as much larger."""

        def dress(cell: Any) -> None:
            font = copy(cast("Font", cell.font))
            font.name, font.size = face or font.name, font.size * larger
            cell.font = font

        key = (id(worn), face, larger)
        if key not in self._known:
            self._known[key] = self._worn(worn, dress), worn
        return self._known[key][0]

    def size(self, worn: StyleArray) -> float:
        """Return the size of a look's letters, in points."""
        return float(self.workbook._fonts[worn.fontId].size)  # type: ignore[attr-defined]  # not in openpyxl's stubs

    def _number(self, name: str, style: object) -> int:
        """Return the number under which the workbook keeps a style."""
        if (name, id(style)) not in self._numbers:
            found = getattr(self._worn(PLAIN, lambda cell: setattr(cell, name, style)), NUMBERS[name])
            self._numbers[name, id(style)] = found, style
        return self._numbers[name, id(style)][0]

    def _worn(self, worn: StyleArray, dress: Callable[[Any], None]) -> StyleArray:
        """Return a look after a change."""
        cell: Any = Cell(self.workbook.worksheets[0], 1, 1)
        cell._style = copy(worn)
        dress(cell)
        return cast("StyleArray", cell._style)


class Cells:
    """The cells of one sheet."""

    def __init__(self, page: Worksheet, looks: Looks) -> None:
        self.page, self.looks = page, looks
        self._cells: dict[tuple[int, int], Any] = page._cells

    def look_of(self, **styles: object) -> StyleArray:
        """Return the look of some styles, each a constant of the palette or a number format."""
        return self.looks.over(PLAIN, **styles)

    def put(self, row: int, column: int, text: str, font: Font, **styles: object) -> None:
        """Put a text in a cell, in a look."""
        styles.setdefault("alignment", look.LEFT)
        self._fill(row, column, text or None, self.looks.over(PLAIN, font=font, **styles))

    def stand(self, cell: str, content: Content, worn: StyleArray, *, is_formula: bool = False) -> None:
        """Let a figure, a text or a formula stand in a cell; a text that looks like a formula stays a text."""
        self._fill(*row_and_column(cell), content, worn, is_formula=is_formula)

    def over(self, row: int, column: int, **styles: object) -> None:
        """Put styles over those that a cell has."""
        cell = self._cell(row, column)
        cell._style = self.looks.over(cell._style or PLAIN, **styles)

    def merge(self, row: int, first: int, last: int) -> None:
        """Merge cells of a row. How openpyxl draws borders and locks of cells that were bare is found out once."""
        cells = self._cells
        key = (cells[row, first]._style.tobytes(), last - first)
        bare = not any((row, column) in cells for column in range(first + 1, last + 1))
        if bare and key in self.looks.merged:
            start, *others = self.looks.merged[key]
            cells[row, first]._style = start
            for column, worn in enumerate(others, first + 1):
                cells[row, column] = merged = cast("Any", MergedCell(self.page, row, column))
                merged._style = worn
            self.page.merged_cells.ranges.add(CellRange(min_col=first, min_row=row, max_col=last, max_row=row))
            return
        cells[row, first]._style = copy(cells[row, first]._style)  # openpyxl changes it
        self.page.merge_cells(start_row=row, start_column=first, end_row=row, end_column=last)
        if bare:
            self.looks.merged[key] = [cells[row, column]._style for column in range(first, last + 1)]

    def _fill(self, row: int, column: int, content: Content, worn: StyleArray, *, is_formula: bool = False) -> None:
        cell = self._cell(row, column)
        if isinstance(content, str):
            cell._value, cell.data_type = (content, "f") if is_formula else (cell.check_string(content), "s")
        else:
            cell._value, cell.data_type = content, "n"
        cell._style = worn

    def _cell(self, row: int, column: int) -> Any:
        cell = self._cells.get((row, column))
        if cell is None:
            self._cells[row, column] = cell = Cell(self.page, row, column)
        return cell
