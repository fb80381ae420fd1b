"""Every error that podbook raises on purpose.

PodbookError                 one sentence: the thing, what was found, what is allowed, what to do
├── OutOfRange               a reference function was given a number outside its range
├── BadInput                 a file of inputs has rows that cannot be used (carries one Complaint each)
├── NotOurWorkbook           a file that is no workbook, or not one that podbook built
├── Refused                  a file from outside that is not safe to open
├── EngineFailed             an engine is missing, gave no value, or ran out of its bounds
├── UnclearName              a word that names no cell of the book, or more than one
└── BookFault                the book's own description is wrong (a fault of podbook, not of the user)
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass


def listed(words: Iterable[object]) -> str:
    """Return words that one may choose from, each in quotation marks: a word may hold a comma itself."""
    return ", ".join(repr(str(word)) for word in words)


class PodbookError(Exception):
    """Base of every error raised on purpose."""


class OutOfRange(PodbookError, ValueError):
    """A reference function was given a number outside its range, or not finite."""


@dataclass(frozen=True)
class Complaint:
    """One place in a file of inputs that cannot be used: a cell, a line, or the whole file."""

    file: str
    line: int | None
    """Line of the file, counted from 1, the heading included; None for a file that is not read by lines."""
    column: str
    """An empty text where it is about the whole line, or the whole file."""
    found: str
    allowed: str
    """An empty text where ``found`` is a whole sentence."""

    def __str__(self) -> str:
        line = "" if self.line is None else f"line {self.line}"
        column = f"{'column ' if line else ''}'{self.column}'" if self.column else ""
        said = f"found {self.found}; allowed: {self.allowed}" if self.allowed else self.found
        return f"{', '.join(filter(None, (self.file, line, column)))}: {said}"


class BadInput(PodbookError):
    """A file of inputs has rows that cannot be used."""

    def __init__(self, complaints: Sequence[Complaint]) -> None:
        self.complaints = tuple(complaints)
        super().__init__("\n".join(str(complaint) for complaint in complaints))


class NotOurWorkbook(PodbookError):
    """A file that is no workbook, or not one that podbook built."""


class Refused(PodbookError):
    """A file from outside that is not safe to open."""


class EngineFailed(PodbookError):
    """An engine is missing, gave no value, or ran out of its bounds."""


class UnclearName(PodbookError):
    """A word that names no cell of the book, or more than one."""

    def __init__(self, words: str, close: Sequence[str] = ()) -> None:
        self.close = tuple(close)
        """Keys that may be meant."""
        super().__init__(words)


class BookFault(PodbookError):
    """The book's own description is wrong."""
