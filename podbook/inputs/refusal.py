"""The complaint about a place in a farm's own file."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from podbook.errors import BadInput, Complaint


def refused(path: Path, where: str, found: str, allowed: str) -> BadInput:
    """Return the error that names a place in a file, what was found there and what is allowed."""
    return BadInput([Complaint(str(path), None, where, found, allowed)])


class Gathering:
    """Gathers complaints of a file's parts, to be told all at once."""

    def __init__(self) -> None:
        self.complaints: list[Complaint] = []

    @contextmanager
    def part(self) -> Iterator[None]:
        """Go on after this part, whatever is complained of in it."""
        try:
            yield
        except BadInput as problem:
            self.complaints += problem.complaints

    def settle(self) -> None:
        """Raise every complaint so far, if there is one."""
        if self.complaints:
            raise BadInput(self.complaints)


def quoted(value: Any) -> str:
    """Return a value as a complaint shows it, cut if it is long."""
    text = "nothing" if value is None else repr(value)
    return text if len(text) <= 40 else text[:39] + "…"
