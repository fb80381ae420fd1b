"""The slow engine over books of the same formulas: one model is made, and given the figures of each other book.

Making a model takes two thirds of the engine's time; the formulas of all books of one edition are the same, which is
looked at cell by cell before a model is used again. What is blank must be blank in both.
"""

from __future__ import annotations

import gc
import os
import shutil
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from openpyxl import load_workbook

from podbook.recalc import Cell, formulas_engine

NAME = "book.xlsx"


def _contents(path: Path) -> tuple[dict[tuple[str, str], str], dict[tuple[str, str], Any]]:
    """Return the formulas and the figures of a workbook, by sheet and cell."""
    formulas: dict[tuple[str, str], str] = {}
    figures: dict[tuple[str, str], Any] = {}
    for sheet in load_workbook(path).worksheets:
        for row in sheet.iter_rows():
            for cell in row:
                if cell.data_type == "f":
                    formulas[(sheet.title, cell.coordinate)] = cell.value
                elif cell.value is not None:
                    figures[(sheet.title, cell.coordinate)] = cell.value
    return formulas, figures


class Alike:
    """The model of one workbook, for all that have its formulas."""

    def __init__(self, path: Path, folder: Path) -> None:
        os.environ["TQDM_DISABLE"] = "1"
        import formulas

        formulas_engine._hand_over_only_what_is_named()
        gc.set_threshold(*formulas_engine.COLLECTED)
        self.formulas, self.figures = _contents(path)
        copy = folder / NAME
        shutil.copyfile(path, copy)
        self.model = formulas.ExcelModel().loads(str(copy)).finish(complete=False)

    def values(self, path: Path) -> Mapping[tuple[str, str], Cell]:
        """Return what the engine makes of every formula of a workbook."""
        theirs, figures = _contents(path)
        assert theirs == self.formulas
        assert figures.keys() == self.figures.keys(), "a cell is blank in one book and not in the other"
        inputs = {self._key(*where): figure for where, figure in figures.items() if figure != self.figures[where]}
        inputs = {key: figure for key, figure in inputs.items() if key in self.model.cells}
        solution = self.model.calculate(inputs=inputs)
        found = {
            where: formulas_engine._cell(formulas_engine._plain(solution[self._key(*where)].value[0, 0]))
            for where in self.formulas
        }
        del solution
        gc.collect()  # a solution holds itself, and some 200 MB
        return found

    @staticmethod
    def _key(sheet: str, cell: str) -> str:
        return f"'[{NAME}]{sheet.upper()}'!{cell}"
