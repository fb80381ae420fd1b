"""How cells look: kinds told by their shape, and every letter dark enough on its ground."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from contrast import GRAPHICS, TEXT, contrast
from openpyxl import Workbook, load_workbook
from openpyxl.cell import Cell
from openpyxl.utils import get_column_letter, range_boundaries
from openpyxl.worksheet.worksheet import Worksheet

from podbook import regions
from podbook.book import look
from podbook.book.model import Book, Entries, Single, Table, nodes_of
from podbook.inputs.farm import filled
from podbook.review.report.chart import HATCHES
from podbook.review.report.style import STYLE
from podbook.sheets import book_of

SIDES = ("left", "right", "top", "bottom")


@pytest.fixture(scope="module")
def workbook(demo: Path) -> Workbook:
    return load_workbook(demo)


@pytest.fixture(scope="module")
def book() -> Book:
    return book_of(regions.load("us_midatl_appal"), filled())


@pytest.fixture(scope="module")
def cells(workbook: Workbook) -> list[Cell]:
    """Two cells of every style that there is, one that holds something and one that does not, if there are such."""
    found = {
        (cell.style_id, cell.value is None): cell
        for page in workbook.worksheets
        for row in page.iter_rows()
        for cell in row
        if isinstance(cell, Cell)
    }
    return list(found.values())


def boxed(cell: Cell) -> bool:
    sides = (getattr(cell.border, side) for side in SIDES)
    return all(side is not None and side.style == "medium" for side in sides)


def ground(cell: Cell) -> str:
    return cell.fill.fgColor.rgb if cell.fill.fill_type == "solid" else look.PAPER


# Two pairs whose ratios the guidelines' working group prints in its techniques and its understanding of 1.4.3.
@pytest.mark.parametrize(("one", "other", "ratio"), [("000000", "FFFFFF", "21.00"), ("777777", "FFFFFF", "4.48")])
def test_contrast_is_reckoned_as_published(one: str, other: str, ratio: str) -> None:
    assert f"{contrast(one, other):.2f}" == f"{contrast(other, one):.2f}" == ratio


def test_kinds_of_cell_differ_in_box_and_slant(book: Book, workbook: Workbook) -> None:
    """To fill in: boxed. Computed: upright, no box. From a source: slanted, no box. The colour of no cell is asked.

    Whole sentences, such as cautions, are no figures: they stand upright, to be read.
    """
    blocks = [block for sheet in book.sheets for block in sheet.blocks]
    wide = [block for block in blocks if isinstance(block, Single) and block.wide]
    sentences = {node.key for block in wide for node in nodes_of(block) if node.role != "span"}
    assert {book.nodes[key].unit for key in sentences} == {"text"}
    shapes: dict[str, dict[int, Cell]] = {"entry": {}, "worked": {}, "sourced": {}}
    for node in book.nodes.values():
        if node.role == "span" or node.key in sentences:
            continue
        kind = node.role if node.role in shapes else "sourced"
        sheet, _, area = str(workbook.defined_names[node.name].attr_text).partition("!")
        left, top, right, bottom = range_boundaries(area.replace("$", ""))
        for row in workbook[sheet.strip("'")].iter_rows(top, bottom, left, right):
            shapes[kind].update((cell.style_id, cell) for cell in row)
    told = {kind: {(boxed(cell), bool(cell.font.i)) for cell in found.values()} for kind, found in shapes.items()}
    assert told == {"entry": {(True, False)}, "worked": {(False, False)}, "sourced": {(False, True)}}


def test_a_cell_is_boxed_where_it_may_be_typed_in_and_nowhere_else(cells: list[Cell]) -> None:
    assert sum(boxed(cell) for cell in cells) >= 5
    assert [cell for cell in cells if boxed(cell) == cell.protection.locked] == []
    assert [cell for cell in cells if (ground(cell) != look.PAPER) == cell.protection.locked] == []


def test_every_letter_stands_out_from_its_ground(workbook: Workbook, cells: list[Cell]) -> None:
    pairs = {(cell.font.color.rgb[-6:], ground(cell)[-6:]) for cell in cells if cell.value is not None}
    for page in workbook.worksheets:
        for area in page.conditional_formatting:
            for rule in area.rules:
                pairs.add((rule.dxf.font.color.rgb[-6:], rule.dxf.fill.bgColor.rgb[-6:]))
    assert len(pairs) >= 5
    assert (look.ALARM, look.ALARM_GROUND) in pairs
    assert {pair: contrast(*pair) for pair in pairs if contrast(*pair) < TEXT} == {}


def test_the_box_of_a_cell_to_fill_in_stands_out(cells: list[Cell]) -> None:
    sides = {
        (getattr(cell.border, side).color.rgb[-6:], ground(cell)[-6:])
        for cell in cells
        if boxed(cell)
        for side in SIDES
    }
    assert sides
    assert [box for box, inside in sides if min(contrast(box, inside), contrast(box, look.PAPER)) < GRAPHICS] == []


def test_a_warning_is_told_by_its_word_and_its_weight(workbook: Workbook) -> None:
    rules = [rule for page in workbook.worksheets for area in page.conditional_formatting for rule in area.rules]
    assert rules
    assert [
        rule for rule in rules if not rule.dxf.font.b or not re.search("mend|unusual|LOOK", str(rule.formula))
    ] == []


def test_every_letter_of_the_report_stands_out_from_every_ground() -> None:
    inks = set(re.findall(r"(?<![-\w])(?:color|fill): #(\w{6})", STYLE))
    grounds = set(re.findall(r"background: #(\w{6})", STYLE))
    assert len(inks) >= 4
    assert grounds >= {look.PAPER, look.POD}
    assert {(a, b): contrast(a, b) for a in inks for b in grounds if contrast(a, b) < TEXT} == {}


def test_the_feeds_in_the_reports_chart_are_told_apart_by_their_hatching() -> None:
    assert len({strokes for _, strokes in HATCHES.values()}) == len(HATCHES)
    assert contrast(look.INK, look.PAPER) >= GRAPHICS
    hatched = [shade for shade, strokes in HATCHES.values() if strokes]
    assert [shade for shade in hatched if contrast(shade, look.INK) < GRAPHICS] == []


def reading(page: Worksheet) -> list[Cell]:
    """Return the cells that may be typed in, in the order in which a keyboard goes from one to the next."""
    return [cell for row in page.iter_rows() for cell in row if isinstance(cell, Cell) and not cell.protection.locked]


def test_a_keyboard_goes_through_the_inputs_in_their_order(book: Book, workbook: Workbook) -> None:
    """Block by block as the book lists them, and within a block of single figures one after the other."""
    walked = 0
    for sheet in book.sheets:
        places: dict[str, tuple[int, int]] = {}
        for number, block in enumerate(sheet.blocks):
            singles = isinstance(block, Entries)
            entries = [node for node in nodes_of(block) if node.role == "entry"]
            for place, node in enumerate(entries):
                area = str(workbook.defined_names[node.name].attr_text).partition("!")[2].replace("$", "")
                left, top, right, bottom = range_boundaries(area)
                cells = (f"{get_column_letter(x)}{y}" for y in range(top, bottom + 1) for x in range(left, right + 1))
                places.update((cell, (number, place if singles else 0)) for cell in cells)
        order = [places[cell.coordinate] for cell in reading(workbook[sheet.title]) if cell.coordinate in places]
        assert order == sorted(order), sheet.title
        assert len(order) == len(places)
        walked += len(order)
    assert walked > 900


def test_a_sheet_opens_at_its_first_cell_to_fill_in(workbook: Workbook) -> None:
    asking = [page for page in workbook.worksheets if reading(page)]
    assert len(asking) > 8
    for page in asking:
        first = next(cell for cell in reading(page) if cell.column > 1)
        assert page.sheet_view.selection[-1].activeCell == first.coordinate, page.title
        assert page.sheet_view.selection[-1].pane == page.sheet_view.pane.activePane, page.title


def test_titles_stay_in_view_and_labels_beside_tables(book: Book, workbook: Workbook) -> None:
    for sheet in book.sheets:
        tables = any(isinstance(block, Table) for block in sheet.blocks)
        assert workbook[sheet.title].freeze_panes == ("B4" if tables else "A4"), sheet.title
        assert not workbook[sheet.title].sheet_view.showGridLines
