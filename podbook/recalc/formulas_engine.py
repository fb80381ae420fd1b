"""The second engine: formulas, in a child process with bounds on time and memory.

It would open the files that a workbook links to, so the child sees nothing but a copy of the file, in a directory of
its own, and refuses a book that names another. It is silent about cells that it cannot compute: each of those comes
back as a Fault.
"""

from __future__ import annotations

import gc
import json
import os
import re
import shutil
import subprocess
import sys
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

from podbook.errors import EngineFailed
from podbook.limits import limit
from podbook.recalc.cell import Address, Cell, Fault, Wanted, lacking
from podbook.recalc.program import run, scratch

if TYPE_CHECKING:
    from openpyxl import Workbook

SECONDS = 300
"""A book of 14,000 formulas takes 15 s of processor time, or a minute if no two had one shape."""
COLLECTED = (500_000, 50, 100)
"""How seldom the child looks for garbage: it makes millions of objects that stay, and looks in vain."""
BYTES = 4 << 30
"""Address space. A book of 14,000 formulas takes 0.7 GB, or 1.8 GB if no two had one shape."""

_NAME = "book.xlsx"
_TEXT = re.compile(r'"(?:[^"]|"")*"')


def values(path: Path, wanted: Wanted, seconds: float = SECONDS) -> dict[Address, Cell]:
    """The value of each wanted cell."""
    with zipfile.ZipFile(path) as package:
        if any(part.lower().startswith("xl/externallinks/") for part in package.namelist()):
            raise EngineFailed(f"{path.name}: the book links to another, which formulas would open")
    with scratch() as directory:
        copy = directory / _NAME
        shutil.copyfile(path, copy)
        answer = _ask_child(path.name, copy, {sheet: list(cells) for sheet, cells in wanted.items()}, seconds)
    return {(sheet, coordinate): _cell(found) for sheet, coordinate, found in answer}


def _ask_child(name: str, copy: Path, wanted: dict[str, list[str]], seconds: float) -> list[Any]:
    package_root = str(Path(__file__).parents[2])
    search = os.pathsep.join(filter(None, [package_root, os.environ.get("PYTHONPATH")]))
    try:
        done = run(
            [sys.executable, "-m", __name__, str(copy)],
            seconds,
            json.dumps(wanted).encode(),
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            env={**os.environ, "TQDM_DISABLE": "1", "PYTHONPATH": search},
            cwd=copy.parent,
        )
    except subprocess.TimeoutExpired as late:
        raise EngineFailed(f"{name}: formulas was stopped after {seconds:g} s; use another engine") from late
    try:
        answer = json.loads(done.stdout)
    except ValueError as broken:
        last = done.stderr.decode(errors="replace").strip().splitlines()[-1:] or [f"exit code {done.returncode}"]
        raise EngineFailed(f"{name}: formulas could not calculate the file: {last[0].rstrip(': ')}") from broken
    if isinstance(answer, str):
        raise EngineFailed(f"{name}: {answer}")
    return list(answer)


def _cell(found: Any) -> Cell:
    return Fault(found["fault"]) if isinstance(found, dict) else found


def _child(path: Path, wanted: dict[str, list[str]]) -> list[Any] | str:
    from formulas.excel import BOOK  # type: ignore[import-untyped]
    from formulas.excel.xlreader import load_workbook  # type: ignore[import-untyped]

    from podbook.recalc.formulas_shapes import Model

    gc.set_threshold(*COLLECTED)
    book = load_workbook(path)
    if complaint := lacking(wanted, book.sheetnames):
        return complaint
    for formula in _formulas(book):
        if "[" in _TEXT.sub("", formula):
            return f"formulas cannot be given a reference in brackets: {formula[:80]}"
    model = Model()
    model.books[path.name.upper()] = {BOOK: book}  # which is not read again
    solution = model.loads(str(path)).finish(complete=False).calculate()
    answer = []
    for sheet, coordinates in wanted.items():
        for coordinate in coordinates:
            # The keys of the model keep the case of the file's name, those of its sheets do not.
            key = f"'[{path.name}]{sheet.upper()}'!{coordinate}"
            if key in solution:
                answer.append((sheet, coordinate, _plain(solution[key].value[0, 0])))
            else:
                answer.append((sheet, coordinate, {"fault": "no value"} if key in model.cells else None))
    return answer


def _formulas(book: Workbook) -> Iterator[str]:
    for names in (book.defined_names, *(sheet.defined_names for sheet in book.worksheets)):
        for name in names.values():
            yield str(name.attr_text)
    for sheet in book.worksheets:
        for row in sheet.iter_rows():
            for cell in row:
                if cell.data_type == "f":
                    yield str(getattr(cell.value, "text", cell.value))


def _plain(value: Any) -> Any:
    import numpy
    from formulas.functions import XlError  # type: ignore[import-untyped]
    from schedula import EMPTY  # type: ignore[import-untyped]

    if value is EMPTY or (isinstance(value, str) and not value):
        return None
    if isinstance(value, XlError):
        return {"fault": str(value)}
    if isinstance(value, bool | numpy.bool_):
        return bool(value)
    if isinstance(value, str):
        return str(value)
    if isinstance(value, int | float | numpy.number) and not isinstance(value, numpy.complexfloating):
        return float(value) if numpy.isfinite(float(value)) else {"fault": "#NUM!"}
    return {"fault": "#VALUE!"}


def _main() -> None:
    limit("AS", BYTES)
    answer_to = os.fdopen(os.dup(1), "w")
    os.dup2(2, 1)
    answer = _child(Path(sys.argv[1]), json.load(sys.stdin))
    json.dump(answer, answer_to)
    answer_to.flush()


if __name__ == "__main__":
    _main()
