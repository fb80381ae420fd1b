"""What of a file can be found out before the book is known: what stands in it, and what an engine makes of that.

A child process may do so while this one still imports modules; whatever it does not deliver is found out when asked.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from functools import partial
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any, cast

from podbook import recalc
from podbook.recalc import Address, Cell
from podbook.review import bounded
from podbook.review.gate.contents import Contents, formulas


class Early:
    """One file: ``contents`` first, then ``values`` may be asked for, each once."""

    def __init__(self, path: Path, engine: str, line: Connection | None = None) -> None:
        self.path, self.engine, self.line = path, engine, line

    def contents(self) -> Contents:
        """Return what stands in the file. Raises NotOurWorkbook or Refused where it can't be read."""
        found = self._delivered()
        return cast(Contents, next(_steps(self.path, self.engine)) if found is None else found)

    def values(self, contents: Contents) -> Mapping[Address, Cell]:
        """Return the values of the formula cells. Raises EngineFailed where the engine can't work them out."""
        asked = formulas(contents)
        found = self._delivered()
        if found is None:
            return recalc.values(self.path, self.engine, asked)
        addresses = ((sheet, cell) for sheet, cells in asked.items() for cell in cells)
        return dict(zip(addresses, found, strict=True))

    def _delivered(self) -> Any:
        return None if self.line is None else bounded.delivered(self.line)


@contextmanager
def begun(path: Path, engine: str) -> Iterator[Early]:
    """Begin with a file in a bounded child, which ends with the block."""
    with bounded.ahead(path, partial(_steps, engine=engine)) as line:
        yield Early(path, engine, line)


def _steps(path: Path, engine: str) -> Iterator[Any]:
    from podbook.review.gate.read import read

    contents = read(path)
    yield contents
    yield list(recalc.values(path, engine, formulas(contents)).values())
