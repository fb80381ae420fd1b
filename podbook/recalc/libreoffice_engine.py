"""The third engine: LibreOffice, which computes every formula anew and writes the values into another file."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from openpyxl import load_workbook
from openpyxl.utils.datetime import to_excel

from podbook.coordinates import row_and_column
from podbook.errors import EngineFailed
from podbook.recalc import office
from podbook.recalc.cell import Address, Cell, Fault, Wanted, lacking
from podbook.recalc.program import scratch


def values(path: Path, wanted: Wanted, seconds: float = office.SECONDS) -> dict[Address, Cell]:
    """The value of each wanted cell."""
    with scratch() as directory:
        return _read(path.name, office.converted(path, office.WORKBOOK, directory, seconds), wanted)


def _read(name: str, result: Path, wanted: Wanted) -> dict[Address, Cell]:
    book = load_workbook(result, read_only=True, data_only=True)
    try:
        if complaint := lacking(wanted, book.sheetnames):
            raise EngineFailed(f"{name}: {complaint}")
        found: dict[Address, Cell] = {}
        for sheet, coordinates in wanted.items():
            rows, columns = zip(*map(row_and_column, coordinates or ["A1"]), strict=True)
            # The stated extent of a sheet can be its last possible row.
            book[sheet].reset_dimensions()
            there = {
                cell.coordinate: _cell(cell)
                for row in book[sheet].iter_rows(max_row=max(rows), max_col=max(columns))
                for cell in row
                if cell.value is not None
            }
            found |= {(sheet, coordinate): there.get(coordinate) for coordinate in coordinates}
        return found
    finally:
        book.close()


def _cell(cell: Any) -> Cell:
    if cell.data_type == "e":
        return Fault(str(cell.value))
    if cell.value == "":
        return None
    if isinstance(cell.value, bool | str):
        return cell.value
    if isinstance(cell.value, int | float):
        return float(cell.value)
    return float(to_excel(cell.value))  # type: ignore[no-untyped-call]
