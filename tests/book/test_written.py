"""How the file is written: past openpyxl's slow ways, but just what they would have made."""

from __future__ import annotations

import gc
import zipfile
from collections.abc import Iterator
from copy import copy
from dataclasses import replace
from io import BytesIO
from pathlib import Path
from xml.etree.ElementTree import canonicalize, fromstring

import pytest
from openpyxl import Workbook, load_workbook
from openpyxl.styles import Border, Side
from openpyxl.workbook.defined_name import DefinedName

from podbook import recalc, regions
from podbook.book import bare, look, rows
from podbook.book import writer as writing
from podbook.book.cells import PLAIN, Cells, Looks
from podbook.book.escaping import escaped, quoted
from podbook.book.formula import formulas, rendered
from podbook.book.layout import lay_out
from podbook.book.model import Block, Book, Single
from podbook.book.saving import Saved
from podbook.errors import EngineFailed
from podbook.inputs.farm import filled
from podbook.recalc import Fault
from podbook.sheets import book_of
from podbook.systems import METRIC
from podbook.unswept import unswept

SPACE = "{http://www.w3.org/XML/1998/namespace}space"
ODD = [
    "plain",
    " with spaces ",
    "a & b < c > d",
    "\"e\" 'f'",
    "two\nlines",
    "return\rhere",
    "café °F €",
    "=1+1",
    "#N/A",
]


@pytest.fixture(scope="module")
def book() -> Book:
    return book_of(regions.load("us_midatl_appal"), filled())


def canonical(content: bytes) -> str:
    return canonicalize(content.decode(), rewrite_prefixes=True, exclude_attrs=[SPACE])


def test_a_column_of_formulas_is_what_each_of_its_cells_would_be(book: Book) -> None:
    places = lay_out(book).places
    each = {node.key: [rendered(book, node, item, places) for item in range(node.count)] for node in book.worked}
    assert {node.key: formulas(book, node, places) for node in book.worked} == each
    assert sum(len(column) for column in each.values()) > 10_000


def test_the_parts_are_those_that_openpyxl_writes(book: Book) -> None:
    """Of the same workbook, but for the values, and the names of cells, which it is given here too."""
    layout = lay_out(book)
    typed = {node.key: formulas(book, node, layout.places) for node in book.worked}
    names = writing._names(book, layout)
    saved = Saved(writing._workbook(book, layout, typed), names)
    workbook = writing._workbook(book, layout, typed)
    for name, cells in names.items():
        workbook.defined_names.add(DefinedName(name, attr_text=cells))
    packed = BytesIO()
    workbook.save(packed)
    with zipfile.ZipFile(packed) as package:
        theirs = {part: canonical(package.read(part)) for part in package.namelist() if part != "docProps/core.xml"}
    ours = {part: canonical(content.replace(b"\0", b"")) for part, content in saved.parts.items() if part in theirs}
    assert [part for part in theirs if theirs[part] != ours.get(part)] == []
    assert len(saved.parts) == len(theirs) + 1


@pytest.mark.parametrize("text", ODD)
def test_a_text_comes_back_as_it_was(tmp_path: Path, text: str) -> None:
    cell = rows.cell_text("B2", "", "s", text)
    assert "".join(fromstring(cell.encode()).itertext()) == text
    assert fromstring(f"<c>{escaped(text)}</c>").text == text
    assert fromstring(f"<c name={quoted(text)}/>").get("name") == text
    workbook = Workbook()
    cells = Cells(workbook.active, Looks(workbook))  # type: ignore[arg-type]
    cells.stand("B2", text, PLAIN)
    workbook.save(tmp_path / "text.xlsx")
    found = load_workbook(tmp_path / "text.xlsx").active["B2"]  # type: ignore[index]
    assert (found.value, found.data_type) == (text, "s")


@pytest.mark.parametrize(
    ("value", "stored"),
    [
        (0.0, '<c r="A1"><f>X</f><v>0</v></c>'),
        (-1.5, '<c r="A1"><f>X</f><v>-1.5</v></c>'),
        (1e-9, '<c r="A1"><f>X</f><v>0.000000001</v></c>'),
        (1e22, '<c r="A1"><f>X</f><v>10000000000000000000000</v></c>'),
        (0.1 + 0.2, '<c r="A1"><f>X</f><v>0.30000000000000004</v></c>'),
        ("a < b", '<c r="A1" t="str"><f>X</f><v>a &lt; b</v></c>'),
        (None, '<c r="A1" t="str"><f>X</f><v></v></c>'),
        (True, '<c r="A1" t="b"><f>X</f><v>1</v></c>'),
        (Fault("#DIV/0!"), '<c r="A1" t="e"><f>X</f><v>#DIV/0!</v></c>'),
    ],
)
def test_a_value_is_stored_beside_its_formula(value: recalc.Cell, stored: str) -> None:
    assert rows.filled(rows.cell_text("A1", "", "f", "=X"), [value]) == stored


def test_every_gap_needs_its_value() -> None:
    text = rows.cell_text("A1", "", "f", "=X") + rows.cell_text("A2", "", "f", "=X")
    for count in (1, 3):
        with pytest.raises(ValueError, match="zip"):
            rows.filled(text, [1.0] * count)


def test_cells_and_names_alone_are_calculated(tmp_path: Path) -> None:
    path = tmp_path / "bare.xlsx"
    formulas_here = {"A2": ("f", "=two*3"), "B2": ("f", "='It''s'!A1&B1")}
    here: bare.Cells = {"A1": ("n", 2), "B1": ("s", "a & b"), "C1": ("n", None), **formulas_here}
    bare.write({"Here": here, "It's": {"A1": ("s", "<")}}, {"two": "Here!$A$1"}, path)
    assert recalc.values(path, wanted={"Here": ["A2", "B2"]}) == {("Here", "A2"): 6.0, ("Here", "B2"): "<a & b"}


def test_a_formula_that_no_engine_knows_is_refused_and_nothing_is_written(book: Book, tmp_path: Path) -> None:
    def broken(block: Block) -> Block:
        if isinstance(block, Single):
            return replace(
                block,
                rows=tuple(
                    replace(node, formula="=PLOUGH(1)") if node.key == "status" else node for node in block.rows
                ),
            )
        return block

    sheets = tuple(replace(sheet, blocks=tuple(map(broken, sheet.blocks))) for sheet in book.sheets)
    with pytest.raises(EngineFailed, match=r"PLOUGH|#NAME\?"):
        writing.write(replace(book, sheets=sheets), tmp_path / "book.xlsx")
    assert list(tmp_path.iterdir()) == []


def test_a_look_is_worked_out_once_and_never_changed_under_another_cell() -> None:
    workbook = Workbook()
    page = workbook.active
    cells = Cells(page, Looks(workbook))  # type: ignore[arg-type]
    for row in (1, 2):
        cells.put(row, 1, "label", look.PLAIN, border=look.UNDER_ROW)
    first, second = page["A1"], page["A2"]  # type: ignore[index]
    assert first._style is second._style
    cells.over(2, 1, alignment=look.WRAPPED)
    assert (first.alignment.wrap_text, second.alignment.wrap_text) == (None, True)
    assert second.border.bottom.style == "hair"


def test_merged_cells_look_as_openpyxl_draws_them() -> None:
    border = Border(left=Side(style="medium"), right=Side(style="medium"), bottom=Side(style="thin"))
    drawn = []
    for remembered in (True, False):
        workbook = Workbook()
        page = workbook.active
        cells = Cells(page, Looks(workbook))  # type: ignore[arg-type]
        for row in (1, 2):
            cells.put(row, 1, "words", look.PLAIN, border=border)
            if remembered:
                cells.merge(row, 1, 4)
            else:
                cell = page.cell(row, 1)  # type: ignore[union-attr]
                cell._style = copy(cell._style)  # type: ignore[union-attr]
                page.merge_cells(start_row=row, start_column=1, end_row=row, end_column=4)  # type: ignore[union-attr]
        drawn.append(
            [
                (cell.coordinate, type(cell).__name__, repr(cell.border), cell.protection.locked)
                for row in page.iter_rows(min_row=1)  # type: ignore[union-attr]
                for cell in row
            ]
        )
        assert sorted(str(each) for each in page.merged_cells.ranges) == ["A1:D1", "A2:D2"]  # type: ignore[union-attr]
    assert drawn[0] == drawn[1]
    assert len(drawn[0]) == 8


@pytest.fixture
def swept() -> Iterator[None]:
    assert gc.isenabled()
    yield
    gc.enable()


@pytest.mark.usefixtures("swept")
def test_rings_are_collected_again_afterwards_even_after_a_failure() -> None:
    with unswept(), unswept():
        assert not gc.isenabled()
    assert gc.isenabled()
    with pytest.raises(ZeroDivisionError), unswept():
        raise ZeroDivisionError
    assert gc.isenabled()
    gc.disable()
    with unswept():
        pass
    assert not gc.isenabled()


def test_a_metric_book_is_calculated_from_the_same_cells(tmp_path: Path) -> None:
    """The values are of a workbook of cells and names alone: they must be those of the file that is handed out."""
    book = book_of(regions.load("us_midatl_appal"), filled(), METRIC)
    path = tmp_path / "metric.xlsx"
    writing.write(book, path)
    wanted = writing._wanted(book, lay_out(book))
    values = recalc.values(path, wanted=wanted)
    stored = load_workbook(path, data_only=True)
    wrong = {
        (sheet, cell): (value, stored[sheet][cell].value)
        for (sheet, cell), value in values.items()
        if stored[sheet][cell].value != (value.text if isinstance(value, Fault) else value)
    }
    assert len(values) > 10_000
    assert wrong == {}


def test_margins_are_written_with_digits_on_which_every_python_agrees(demo: Path) -> None:
    for sheet in load_workbook(demo).worksheets:
        margins = sheet.page_margins
        for each in (margins.left, margins.right, margins.top, margins.bottom):
            assert each == round(each, 4)
