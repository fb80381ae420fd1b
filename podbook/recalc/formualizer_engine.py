"""The everyday engine: formualizer, in process.

One range written backwards, such as SUM(D5:D1), makes it refuse every IF, INDEX and CHOOSE of the book. Such a range
means the same written forwards, so it is turned round and the book is calculated again.
"""

from __future__ import annotations

import io
import re
import zipfile
from math import isfinite
from pathlib import Path
from typing import TYPE_CHECKING, Any

from podbook import files
from podbook.coordinates import row_and_column
from podbook.errors import EngineFailed
from podbook.recalc.cell import Address, Cell, Fault, Wanted, lacking

if TYPE_CHECKING:
    from formualizer import Workbook

SECONDS = 30
"""A book of 30,000 formulas takes 0.1 s."""

_FAULTS = {"Circ": "#CIRC!", "Div": "#DIV/0!", "NImpl": "#N/IMPL!", "Na": "#N/A", "Name": "#NAME?"}
_QUOTED_OR_RANGE = re.compile(
    r'"(?:[^"]|"")*"|\'(?:[^\']|\'\')*\'|(?<![\w.$])(\$?[A-Za-z]{1,3})(\$?\d{1,7}):(\$?[A-Za-z]{1,3})(\$?\d{1,7})(?![\w.(])'
)
_FORMULA_WITHOUT_VALUE = re.compile(
    rb"<c\s(?P<attributes>[^>]*)>\s*<f(?:\s[^>]*)?(?:/>|>[^<]*</f>)\s*(?:<v\s*/>|<v></v>)?\s*</c>"
)
"""An empty text is a value: its cell has t="str"."""


def values(path: Path, wanted: Wanted) -> dict[Address, Cell]:
    """The value of each wanted cell."""
    book = _calculated(path)
    if complaint := lacking(wanted, book.sheet_names):
        raise EngineFailed(f"{path.name}: {complaint}")
    return {
        (sheet, coordinate): _cell(book.get_value(sheet, *row_and_column(coordinate)))
        for sheet, coordinates in wanted.items()
        for coordinate in coordinates
    }


def fill(path: Path) -> None:
    """Store the computed value beside every formula of the file, which changes whole or not at all."""
    import formualizer

    try:
        done = formualizer.recalculate_xlsx_bytes(path.read_bytes(), external_links="refuse")
    except (OSError, RuntimeError, ValueError) as fault:
        raise EngineFailed(f"{path.name}: formualizer could not calculate the file: {fault}") from fault
    summary, filled = done["summary"], done["bytes"]
    if summary["unknown_functions"]:
        raise EngineFailed(f"{path.name}: formualizer lacks functions of this book: {summary['unknown_functions']}")
    if summary["evaluated"] != done["formula_cells"]:
        raise EngineFailed(f"{path.name}: {done['formula_cells']} formulas, but {summary['evaluated']} were calculated")
    _check_filled(path, filled)
    with files.drafted(path) as draft:
        draft.write_bytes(filled)


def _check_filled(path: Path, filled: bytes) -> None:
    with zipfile.ZipFile(path) as before, zipfile.ZipFile(io.BytesIO(filled)) as after:
        added = set(after.namelist()) ^ set(before.namelist())
        if added:
            raise EngineFailed(f"{path.name}: a formula spills over several cells ({', '.join(sorted(added))} changed)")
        for part in after.namelist():
            if part.startswith("xl/worksheets/") and part.endswith(".xml"):
                for bare in _FORMULA_WITHOUT_VALUE.finditer(after.read(part)):
                    if b't="str"' not in bare["attributes"]:
                        raise EngineFailed(f"{path.name}: a formula in {part} got no value ({bare[0][:80]!r})")


def _calculated(path: Path) -> Workbook:
    import formualizer

    bounds = formualizer.EvaluationConfig()
    bounds.max_eval_time_ms = SECONDS * 1000
    try:
        book = formualizer.Workbook.from_path(str(path), config=formualizer.WorkbookConfig(eval_config=bounds))
        book.set_temporal_egress("serial")
        try:
            book.evaluate_all()
        except formualizer.ExcelEvaluationError:
            if not _turn_ranges_round(book, path):
                raise
            book.evaluate_all()
    except (formualizer.ExcelEvaluationError, OSError, RuntimeError, ValueError) as fault:
        raise EngineFailed(f"{path.name}: formualizer could not calculate the file: {fault}") from fault
    return book


def _turn_ranges_round(book: Workbook, path: Path) -> int:
    """How many formulas were rewritten."""
    from openpyxl import load_workbook

    turned = 0
    source = load_workbook(path, read_only=True)
    try:
        for sheet in source.worksheets:
            sheet.reset_dimensions()
            for cell in (cell for row in sheet.iter_rows() for cell in row if cell.data_type == "f"):
                formula = str(cell.value)
                forward = _QUOTED_OR_RANGE.sub(_forward, formula)
                if forward != formula:
                    book.set_formula(sheet.title, *row_and_column(cell.coordinate), forward)
                    turned += 1
    finally:
        source.close()
    return turned


def _forward(match: re.Match[str]) -> str:
    if match[1] is None:
        return match[0]
    columns = sorted((match[1], match[3]), key=lambda column: (len(column.strip("$")), column.strip("$").upper()))
    rows = sorted((match[2], match[4]), key=lambda row: int(row.strip("$")))
    return f"{columns[0]}{rows[0]}:{columns[1]}{rows[1]}"


def _cell(value: Any) -> Cell:
    if type(value) is float and isfinite(value):
        return value
    if isinstance(value, dict):
        kind = str(value["kind"])
        return Fault(_FAULTS.get(kind, f"#{kind.upper()}!"))
    if value is None or value == "":
        return None
    if isinstance(value, bool | str):
        return value
    number = float(value)
    return number if abs(number) < float("inf") else Fault("#NUM!")
