"""The slow engine over books of the same formulas: one model is made, and given the figures of each other book.

Making a model takes two thirds of the engine's time. All templates have the same formulas in the words of the book,
though a line of text more may move some of them down; that their cells hold them is what the comparison looks at.
"""

from __future__ import annotations

import gc
import os
import shutil
from collections.abc import Mapping
from pathlib import Path

from podbook.book.model import Book
from podbook.recalc import Cell, formulas_engine
from podbook.review.find import Opened, opened
from podbook.review.gate.read import is_formula

NAME = "book.xlsx"


def _typed(book: Book) -> dict[str, list[str]]:
    return {node.key: [node.formula_of(item) for item in range(node.count)] for node in book.worked}


class Alike:
    """The model of one workbook, for all that have its formulas."""

    def __init__(self, path: Path, folder: Path) -> None:
        os.environ["TQDM_DISABLE"] = "1"
        import formulas

        formulas_engine._hand_over_only_what_is_named()
        gc.set_threshold(*formulas_engine.COLLECTED)
        self.base = opened(path)
        self.typed = _typed(self.base.book)
        shutil.copyfile(path, folder / NAME)
        self.model = formulas.ExcelModel().loads(str(folder / NAME)).finish(complete=False)

    def values(self, found: Opened) -> Mapping[tuple[str, str], Cell]:
        """Return what the engine makes of every formula of a workbook."""
        assert _typed(found.book) == self.typed
        inputs, wanted = {}, {}
        for node in found.book.nodes.values():
            if node.role == "span":
                continue
            for here, there in zip(self._cells(found, node.key), self._cells(self.base, node.key), strict=True):
                stands, stood = found.cells[here], self.base.cells[there]
                if node.role == "worked":
                    assert is_formula(stands)
                    wanted[here] = self._key(*there)
                elif stands != stood:
                    assert None not in (stands, stood), f"{node.key} is blank in one book and not in the other"
                    inputs[self._key(*there)] = stands
        inputs = {key: figure for key, figure in inputs.items() if key in self.model.cells}
        solution = self.model.calculate(inputs=inputs)
        values = {
            here: formulas_engine._cell(formulas_engine._plain(solution[key].value[0, 0]))
            for here, key in wanted.items()
        }
        del solution
        gc.collect()  # a solution holds itself, and some 200 MB
        return values

    @staticmethod
    def _cells(found: Opened, key: str) -> list[tuple[str, str]]:
        place = found.places[key]
        return [(place.sheet, cell) for cell in place.cells]

    @staticmethod
    def _key(sheet: str, cell: str) -> str:
        return f"'[{NAME}]{sheet.upper()}'!{cell}"
