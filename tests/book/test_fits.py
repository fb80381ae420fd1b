"""Nothing that stands in a cell is cut off: measured by the widths of letters, on three books."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import letters
import pytest
from openpyxl import Workbook, load_workbook
from openpyxl.cell import Cell
from openpyxl.utils import get_column_letter, range_boundaries
from openpyxl.worksheet.worksheet import Worksheet

from podbook import regions
from podbook.book import look
from podbook.book.model import Book
from podbook.book.page import QUOTED
from podbook.book.writer import write
from podbook.inputs.farm import filled
from podbook.sheets import book_of
from podbook.systems import METRIC
from podbook.templates import template

PIXELS_A_DIGIT = 7.0
"""Width of a digit of the usual type, in which columns are measured."""
MARGIN, INDENT = 4.0, 9.0
"""Room that a cell keeps free beside its words, and for each step of indent, in pixels."""
LINE = 1.22
"""Height of a line, of the size of its letters."""
USUAL_HEIGHT = look.ROW_HEIGHT
SMALLEST = 0.7
"""How far words may be shrunk to fit: 10 points to 7."""
USUAL_COLUMN = 8.43


@dataclass(frozen=True)
class Made:
    book: Book
    shown: Workbook


@pytest.fixture(scope="module", params=["demo", METRIC, "eu_mediterranean"])
def made(request: pytest.FixtureRequest, demo: Path, tmp_path_factory: pytest.TempPathFactory) -> Made:
    if request.param == "eu_mediterranean":
        book = template(request.param)
    else:
        book = book_of(regions.load("us_midatl_appal"), filled(), METRIC if request.param == METRIC else "us")
    path = demo
    if request.param != "demo":
        path = tmp_path_factory.mktemp("fits") / "farm.xlsx"
        write(book, path)
    return Made(book, load_workbook(path, data_only=True))


@pytest.fixture(scope="module")
def said(made: Made) -> dict[tuple[str, str], set[str]]:
    """Every word that a formula may say, by its cell."""
    found: dict[tuple[str, str], set[str]] = {}
    for node in made.book.worked:
        if node.unit == "text":
            sheet, _, area = str(made.shown.defined_names[node.name].attr_text).partition("!")
            left, top, right, bottom = range_boundaries(area.replace("$", ""))
            words = {word for formula in (node.formula, node.first_formula) for word in QUOTED.findall(formula)}
            for row in range(top, bottom + 1):
                for column in range(left, right + 1):
                    found[sheet.strip("'"), f"{get_column_letter(column)}{row}"] = words
    return found


class Sheet:
    """A worksheet with what is asked of it again and again."""

    def __init__(self, page: Worksheet) -> None:
        self.page = page
        last = page.max_column
        wide = [page.column_dimensions[get_column_letter(each)].width for each in range(1, last + 1)]
        self.widths = [0.0, *(PIXELS_A_DIGIT * each for each in (*wide, *[USUAL_COLUMN] * 40))]
        _, _, *self.printed = range_boundaries(str(page.print_area).rpartition("!")[2].replace("$", ""))
        self.merged = {(each.min_row, each.min_col): each.max_col for each in page.merged_cells.ranges}
        self.rows = {row[0].row: [cell.value for cell in row] for row in page.iter_rows()}
        self._styles: dict[int, tuple[Any, float, bool]] = {}

    def style(self, cell: Cell) -> tuple[Any, float, bool]:
        """Return a cell's alignment, and its letters' size and weight."""
        if cell.style_id not in self._styles:
            self._styles[cell.style_id] = (cell.alignment, cell.font.sz, bool(cell.font.b))
        return self._styles[cell.style_id]

    def room(self, first: int, last: int) -> float:
        """Return how wide some columns are together, in pixels."""
        return sum(self.widths[first : last + 1])

    def free(self, cell: Cell) -> float:
        """Return how much room there is right of a cell: up to the next that holds something, or the edge in print."""
        beside = self.rows[cell.row][cell.column :]
        empty = next((place for place, value in enumerate(beside) if value not in (None, "")), len(beside) + 20)
        last, (edge, bottom) = cell.column + empty, self.printed
        if cell.row <= bottom and cell.column <= edge:
            last = min(last, edge)
        return self.room(cell.column + 1, last)


def printed(value: float, look: str) -> str:
    """Return a number as a number format of the book shows it."""
    if look == "0E+00":
        return f"{value:.0E}"
    if look == "General":
        return f"{value:.10g}"
    sections = look.split(";")
    section = sections[0] if value > 0 or len(sections) < 2 else sections[1] if value < 0 else sections[-1]
    if len(sections) > 1 and value < 0:
        value = -value
    found = re.fullmatch(r'(-?)(#,##0|0|)(?:\.([0#]+))?(%?)|"([^"]*)"', section)
    assert found is not None, look
    if found[5] is not None or not section.strip("-"):
        return found[5] or section
    value *= 100 if found[4] else 1
    places, needed = len(found[3] or ""), (found[3] or "").count("0")
    whole, _, digits = f"{value:{',' if ',' in found[2] else ''}.{places}f}".partition(".")
    digits = digits[:needed] + digits[needed:].rstrip("0")
    return f"{found[1]}{whole}{'.' if found[3] else ''}{digits}{found[4]}"


def faults(page: Worksheet, said: dict[tuple[str, str], set[str]]) -> Iterator[tuple[str, str, str, str]]:
    """Yield every cell that shows less than it holds, or shows it too small."""
    sheet = Sheet(page)
    for row in page.iter_rows():
        for cell in row:
            if not isinstance(cell, Cell) or cell.value in (None, ""):
                continue
            if isinstance(cell.value, str):
                for words in {cell.value} | said.get((page.title, cell.coordinate), set()):
                    fault = _of_words(sheet, cell, words)
                    if fault:
                        yield page.title, cell.coordinate, fault, words
            elif not isinstance(cell.value, bool):
                words = printed(float(cell.value), cell.number_format)
                _, size, bold = sheet.style(cell)
                if letters.width(words, size, bold=bold) > sheet.room(cell.column, cell.column) - MARGIN:
                    yield page.title, cell.coordinate, "###", words


def _of_words(sheet: Sheet, cell: Cell, words: str) -> str:
    how, size, bold = sheet.style(cell)
    last = sheet.merged.get((cell.row, cell.column))
    room = sheet.room(cell.column, last or cell.column) - MARGIN - INDENT * (how.indent or 0)
    need = letters.width(words, size, bold=bold)
    if how.wrap_text:
        if max(letters.width(word, size, bold=bold) for word in words.split(" ")) > room:
            return "a word is broken"
        height = sheet.page.row_dimensions[cell.row].height
        tall = letters.lines(words, room, size, bold=bold) * size * LINE
        return "lines are cut off" if tall > (height or USUAL_HEIGHT) else ""
    if how.shrink_to_fit:
        return "too small" if need * SMALLEST > room else ""
    if how.horizontal in (None, "general", "left") and last is None:
        room += sheet.free(cell)
    return "cut off" if need > room else ""


# The width of a word as a typesetter's program gives it for this type: 'pods' at 10 points.
def test_the_width_of_a_word_is_the_sum_of_its_letters() -> None:
    assert letters.width("pods", 10) == pytest.approx((1076 + 1080 + 1076 + 801) / 2048 * 10 * 96 / 72)
    assert letters.lines("pods and hay", letters.width("pods and", 10), 10) == 2


@pytest.mark.parametrize(
    ("value", "look", "shown"),
    [
        (1234.5, "#,##0", "1,234"),
        (0.125, "0.0%", "12.5%"),
        (0, '0.0;-0.0;"-"', "-"),
        (-2.5, "0.0;-0.0;", "-2.5"),
        (0.25, "0.0###", "0.25"),
        (0, "#,##0;-#,##0;", ""),
    ],
)
def test_numbers_are_shown_by_their_format(value: float, look: str, shown: str) -> None:
    assert printed(value, look) == shown


def test_nothing_is_cut_off_or_too_small(made: Made, said: dict[tuple[str, str], set[str]]) -> None:
    assert len(said) > 500
    assert [fault for page in made.shown.worksheets for fault in faults(page, said)] == []


def test_a_column_that_is_too_narrow_is_found(demo: Path) -> None:
    page = load_workbook(demo, data_only=True)["Winter"]
    page.column_dimensions["A"].width, page.column_dimensions["C"].width = 9.0, 3.0
    found = {fault for _, _, fault, _ in faults(page, {})}
    assert found == {"###", "cut off", "too small", "a word is broken"}
    page = load_workbook(demo, data_only=True)["Cautions"]
    for row in page.row_dimensions.values():
        row.height = None
    assert {fault for _, _, fault, _ in faults(page, {})} == {"lines are cut off"}
