"""Recalculated values of the cells of a workbook file, from any of three engines.

A stored value is never returned: each engine computes every formula anew. The file is opened for reading only;
`fill` alone writes.
"""

from __future__ import annotations

import importlib.util
import shutil
from importlib import import_module
from pathlib import Path
from typing import cast

from podbook.errors import EngineFailed, listed
from podbook.recalc import office
from podbook.recalc.cell import Address, Cell, Fault, Wanted
from podbook.recalc.program import scratch

__all__ = ["DEFAULT", "ENGINES", "Address", "Cell", "Fault", "Wanted", "fill", "installed", "printed", "values"]

ENGINES = ("formualizer", "formulas", "libreoffice")
DEFAULT = ENGINES[0]


def installed() -> tuple[str, ...]:
    """Names of the engines that this machine can run."""
    return tuple(engine for engine in ENGINES if _present(engine))


def values(path: Path, engine: str = DEFAULT, wanted: Wanted | None = None) -> dict[Address, Cell]:
    """The recalculated value of each wanted cell (by default of every cell that is not empty).

    Whole numbers come as float, an empty cell or empty text as None, every error as a Fault. A lacking sheet is an
    EngineFailed. LibreOffice gives a boolean with a number format as 1.0 or 0.0.
    """
    _demand(engine)
    if wanted is None:
        wanted = _not_empty(path)
    module = import_module(f"podbook.recalc.{engine}_engine")
    return cast("dict[Address, Cell]", module.values(path, wanted))


def fill(path: Path) -> None:
    """Put the value of every formula into the file at `path`; every other part stays byte for byte as it was."""
    _demand(DEFAULT)
    from podbook.recalc import formualizer_engine

    formualizer_engine.fill(path)


def printed(path: Path, pdf: Path) -> None:
    """Print a workbook to a PDF, with LibreOffice."""
    _demand("libreoffice")
    with scratch() as directory:
        shutil.copyfile(office.converted(path, office.PDF, directory), pdf)


def _present(engine: str) -> bool:
    if engine == "libreoffice":
        return office.present()
    return importlib.util.find_spec(engine) is not None


def _demand(engine: str) -> None:
    if engine not in ENGINES:
        raise EngineFailed(f"engine '{engine}' is not known; there are {listed(ENGINES)}")
    if _present(engine):
        return
    if engine == "libreoffice":
        raise EngineFailed(
            "engine 'libreoffice' needs the program soffice, which is not on the path: install LibreOffice Calc"
        )
    raise EngineFailed(f"engine '{engine}' is not installed: run `pip install {engine}`")


def _not_empty(path: Path) -> dict[str, list[str]]:
    from openpyxl import load_workbook

    book = load_workbook(path, read_only=True)
    try:
        return {
            sheet.title: [cell.coordinate for row in sheet.iter_rows() for cell in row if cell.value is not None]
            for sheet in book.worksheets
        }
    finally:
        book.close()
