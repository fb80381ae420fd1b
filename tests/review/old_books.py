"""Workbooks as they come back: copies of the demo farm's, changed as users and other editions change them."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from pathlib import Path
from typing import Any

from openpyxl import Workbook, load_workbook
from openpyxl.utils.cell import column_index_from_string, coordinate_from_string, get_column_letter
from openpyxl.workbook.defined_name import DefinedName

from podbook import recalc, regions
from podbook.book.writer import write
from podbook.inputs.farm import filled
from podbook.inputs.filled import Filled
from podbook.proof.agreement import differs
from podbook.recalc import DEFAULT
from podbook.review.carrying.fate import Fate
from podbook.review.carrying.moving import Moving
from podbook.review.carrying.old import Old
from podbook.review.find import Opened, entered, opened, wanted
from podbook.review.verify import verify
from podbook.sheets import book_of

REGION = "us_midatl_appal"
KILOGRAM = 1 / 0.45359237
"""Pounds in a kilogram; the international pound is exact."""
Change = Callable[[Workbook], Any]


def build(path: Path) -> Path:
    write(book_of(regions.load(REGION), filled()), path)
    return path


def alter(source: Path, path: Path, *changes: Change) -> Path:
    workbook = load_workbook(source)
    for change in changes:
        change(workbook)
    workbook.save(path)
    return path


def spot(workbook: Workbook, name: str, item: int = 0) -> Any:
    """The cell of an item of a name."""
    sheet, _, span = workbook.defined_names[name].attr_text.rpartition("!")
    cells = [cell for row in _rows(workbook[sheet.strip("'")][span.replace("$", "")]) for cell in row]
    return cells[item]


def _rows(found: Any) -> Any:
    return found if isinstance(found, tuple) else ((found,),)


def put(**contents: Any) -> Change:
    """Fill in cells by name, from the first item of a table on."""

    def change(workbook: Workbook) -> None:
        for name, content in contents.items():
            for item, each in enumerate(content if isinstance(content, list) else [content]):
                spot(workbook, name, item).value = each

    return change


def beside(name: str, unit: str, *, rows: int = 0, columns: int = 1) -> Change:
    """Put another unit beside a cell."""

    def change(workbook: Workbook) -> None:
        cell = spot(workbook, name)
        cell.parent.cell(cell.row + rows, cell.column + columns).value = unit

    return change


def edition(words: str) -> Change:
    return put(book_edition=words)


def rename(old: str, new: str | None) -> Change:
    def change(workbook: Workbook) -> None:
        name = workbook.defined_names.pop(old)
        if new is not None:
            workbook.defined_names[new] = DefinedName(new, attr_text=name.attr_text)

    return change


def insert(sheet: str, *, row: int = 0, column: int = 0) -> Change:
    """Insert a row or a column as a spreadsheet program does: names move with their cells, or grow around them."""

    def moved(coordinate: str) -> str:
        letters, number = coordinate_from_string(coordinate.replace("$", ""))
        place = column_index_from_string(letters)
        return f"${get_column_letter(place + (0 < column <= place))}${number + (0 < row <= number)}"

    def change(workbook: Workbook) -> None:
        for merged in list(workbook[sheet].merged_cells.ranges):
            workbook[sheet].unmerge_cells(str(merged))
        if row:
            workbook[sheet].insert_rows(row)
        else:
            workbook[sheet].insert_cols(column)
        for name in list(workbook.defined_names):
            title, _, span = workbook.defined_names[name].attr_text.rpartition("!")
            if title.strip("'") == sheet:
                words = f"{title}!{':'.join(map(moved, span.split(':')))}"
                workbook.defined_names[name] = DefinedName(name, attr_text=words)

    return change


def moving(path: Path, region: str = REGION) -> Moving:
    """Take the entries out of a workbook, without writing the new one."""
    bare = book_of(regions.load(region), Filled("", ()))
    return Moving(Old(path), bare, bare)


def fate(fates: Any, key: str, item: int = 0) -> Fate:
    (found,) = [each for each in fates if each.key == key and each.item == item]
    return found


def contents(path: Path, key: str) -> list[Any]:
    """What stands in the cells of a node of a workbook of today."""
    found = opened(path)
    place = found.places[key]
    return [found.cells[(place.sheet, cell)] for cell in place.cells]


def results(path: Path) -> tuple[Opened, dict[str, tuple[Any, ...]]]:
    """The value of every formula, by its node."""
    found = opened(path)
    values = recalc.values(path, DEFAULT, wanted(found))
    return found, {node.key: entered(found, values, node.key) for node in found.book.worked}


def assert_same_results(one: Path, other: Path) -> None:
    (_, wanted_values), (_, found) = results(one), results(other)
    assert found.keys() == wanted_values.keys()
    for key, column in wanted_values.items():
        assert all(differs(a, b) is not None for a, b in zip(column, found[key], strict=True)), key


def assert_verifies(path: Path) -> None:
    verdict = verify(path, (DEFAULT,))
    (comparison,) = verdict.comparisons
    assert comparison.agreeing == comparison.cells > 10_000
    assert verdict.agrees


def digest(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()


def assert_verifies_but_for_entries(path: Path) -> None:
    (comparison,) = verify(path, (DEFAULT,)).comparisons
    assert comparison.agreeing == comparison.cells > 10_000
