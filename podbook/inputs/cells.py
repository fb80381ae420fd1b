"""A CSV file of inputs as rows of text, and the complaints about its cells.

Every cell is read as text and judged here, so that nothing is guessed: ``1,200``, ``35 %`` and ``nan``
are complaints, never numbers. A cell that cannot be read is NaN from then on, and no comparison with it holds.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from io import StringIO
from itertools import chain
from math import nan
from pathlib import Path

from podbook import own_files
from podbook.errors import BadInput, Complaint, listed

PLAIN = re.compile(r"-?([0-9]+\.?[0-9]*|\.[0-9]+)")
END = "\0"
"""No letter of a table. Two cells of it are put last: where a quotation mark is never closed, they are one."""
MOST_NAMED = 8
"""Columns that one complaint names."""
SPARE = 20
"""Cells beyond the heading that a line may have and still be read, to be named in a complaint."""


def plain(text: str) -> float | None:
    """Return a plain decimal with a point as a number, anything else as None."""
    return float(text) if PLAIN.fullmatch(text) else None


def shown(text: str) -> str:
    """Return the text of a cell as a complaint shows it."""
    return repr(text if len(text) <= 40 else text[:39] + "…") if text else "a blank"


@dataclass(frozen=True)
class Number:
    """A number within a range."""

    low: float
    high: float
    unit: str = ""

    @property
    def range(self) -> str:
        return f"from {self.low:g} to {self.high:g} {self.unit}".rstrip()

    def holds(self, value: float) -> bool:
        return self.low <= value <= self.high

    def value(self, text: str) -> float | None:
        """Return the number in a cell, None where it cannot be used."""
        value = plain(text)
        return value if value is not None and self.holds(value) else None

    def allowed(self, text: str) -> str:
        """Say what a cell may hold, in the words that help with what was typed."""
        if text and plain(text) is None:
            return f"a plain number, without commas or units, {self.range}"
        return f"a number {self.range}"


@dataclass(frozen=True)
class Whole(Number):
    """A whole number within a range."""

    def holds(self, value: float) -> bool:
        return super().holds(value) and value.is_integer()

    def allowed(self, text: str) -> str:
        return f"a whole number, digits only, {self.range}"


@dataclass(frozen=True)
class Share(Number):
    """A share of one; a typed percentage is recognised."""

    def allowed(self, text: str) -> str:
        percent = plain(text.removesuffix("%").rstrip())
        if percent is not None and self.holds(percent / 100):
            return f"a share {self.range}; for {percent:g} % write {percent / 100:g}"
        return f"a share {self.range}" if not text or plain(text) is not None else super().allowed(text)


@dataclass(frozen=True)
class Percent(Number):
    """A percentage as a laboratory prints it; a typed fraction is recognised."""

    unit: str = "%"

    def allowed(self, text: str) -> str:
        fraction = plain(text)
        if fraction is not None and 0 < fraction < 1 and self.holds(fraction * 100):
            return f"percent as printed, e.g. {fraction * 100:g}"
        return f"percent as printed, {self.range}" if not text or fraction is not None else super().allowed(text)


@dataclass(frozen=True)
class Row:
    """One line of a table below its heading."""

    line: int
    cells: dict[str, str]


class Table:
    """A CSV file with a known heading. Complaints are collected until ``settle`` is called.

    ``instead`` names, for a column, the one that may stand in its place: the same in another unit. ``optional`` columns
    may stand there too; ``wanted`` says in words which heading is. Where lines are ``whole``, each has a cell for every
    column, blank or not: where the last columns may be blank, nothing else tells a line that was cut short.
    """

    def __init__(
        self,
        path: Path,
        columns: Sequence[str],
        instead: Mapping[str, str] | None = None,
        optional: Collection[str] = (),
        wanted: str = "",
        *,
        whole: bool = False,
    ) -> None:
        self.file = str(path)
        self.columns = (*columns, *optional)
        self.complaints: list[Complaint] = []
        lines = list(self._lines(own_files.text(path, "a CSV file")))
        heading = _trimmed(lines[0][1]) if lines else []
        other = {column: name for column, name in (instead or {}).items() if name in heading and column not in heading}
        self.columns = (
            *(other.get(column, column) for column in columns),
            *dict.fromkeys(column for column in heading if column in optional),
        )
        self._judge_heading(heading, (wanted or ",".join(self.columns)) + _alternatives(instead or {}, heading))
        self.settle()
        self.rows = [Row(line, dict(zip(heading, cells, strict=True))) for line, cells in self._whole(lines, whole)]
        if not self.rows and not self.complaints:
            self.complain(None, "", "no rows", "at least one row below the heading")

    def complain(self, line: int | None, column: str, found: str, allowed: str) -> None:
        self.complaints.append(Complaint(self.file, line, column, found, allowed))

    def settle(self) -> None:
        """Raise every complaint so far, in the order of the lines, if there is one."""
        if self.complaints:
            raise BadInput(sorted(self.complaints, key=lambda complaint: complaint.line or 0))

    def number(self, row: Row, column: str, scale: Number) -> float:
        """Return the number in a cell, or NaN and a complaint."""
        text = row.cells[column]
        value = scale.value(text)
        if value is None:
            self.complain(row.line, column, shown(text), scale.allowed(text))
            return nan
        return value

    def optional(self, row: Row, column: str, scale: Number) -> float | None:
        """Return the number in a cell that may be blank."""
        return self.number(row, column, scale) if row.cells[column] else None

    def choice(self, row: Row, column: str, choices: Sequence[str]) -> str:
        """Return the word in a cell, or a blank and a complaint."""
        text = row.cells[column]
        if text in choices:
            return text
        self.complain(row.line, column, shown(text), f"one of {listed(choices)}")
        return ""

    def _lines(self, text: str) -> Iterator[tuple[int, list[str]]]:
        reader = csv.reader(chain(StringIO(text.replace(END, "\1"), newline=""), [f"{END},{END}"]))
        line = 1
        with suppress(csv.Error):
            for cells in reader:
                if cells == [END, END]:
                    return
                if (cells and END in cells[-1]) or len(cells) > len(self.columns) + SPARE:
                    break
                yield line, [cell.strip() for cell in cells]
                line = reader.line_num + 1
        allowed = f"{len(self.columns)} cells in every line, and every quotation mark closed"
        raise own_files.refused(self.file, "a line that cannot be split into cells", allowed, line)

    def _judge_heading(self, heading: list[str], wanted: str) -> None:
        if len(heading) <= 1 and set(";\t") & set("".join(heading)):
            self.complain(1, "", "semicolons or tabs between the cells", f"commas, as in {wanted}")
            return
        if not heading:
            self.complain(1, "", "no heading", f"the heading {wanted}")
            return
        missing = [column for column in self.columns if column not in heading]
        unknown = [column for column in dict.fromkeys(heading) if column and column not in self.columns]
        if told := " and ".join((*_columns("no", missing), *_columns("unknown", unknown))):
            self.complain(1, "", told, f"the heading {wanted}")
        if "" in heading:
            self.complain(1, "", "a blank heading", f"the heading {wanted}")
        for column in self.columns:
            if heading.count(column) > 1:
                self.complain(1, column, f"the column {heading.count(column)} times", "every column once")

    def _whole(self, lines: list[tuple[int, list[str]]], whole: bool) -> Iterator[tuple[int, list[str]]]:
        """Yield the lines below the heading, without the empty ones and those with a cell too many, or too few."""
        width = len(self.columns)
        for line, written in lines[1:]:
            cells = _trimmed(written)
            if len(cells) > width:
                self.complain(line, "", f"{len(cells)} cells", f"{width} cells, and no comma within a number")
            elif cells and whole and len(written) < width:
                number = f"{len(written)} cell{'s' if len(written) > 1 else ''}"
                self.complain(line, "", number, f"{width} cells, blank or not, with a comma between each two")
            elif cells:
                yield line, cells + [""] * (width - len(cells))


def _alternatives(instead: Mapping[str, str], heading: Sequence[str]) -> str:
    """Return in words what may stand in the place of a missing column, if a heading seems to be in its unit."""
    words = [word for name in heading for word in re.findall(r"[a-z]+", name.casefold())]
    meant = [
        f"'{other}' for '{column}'"
        for column, other in instead.items()
        if not {column, other} & set(heading) and other.rpartition("_")[2] in words
    ]
    return f", or {', '.join(meant)}" if meant else ""


def _columns(word: str, columns: Sequence[str]) -> Iterator[str]:
    """Yield in words that there are no such columns, or unknown ones, if there are any to tell of."""
    if columns:
        more = f" and {len(columns) - MOST_NAMED} more" if len(columns) > MOST_NAMED else ""
        yield f"{word} column{'s' if len(columns) > 1 else ''} {listed(columns[:MOST_NAMED])}{more}"


def _trimmed(cells: Sequence[str]) -> list[str]:
    """Return the cells without blanks at the end."""
    cells = list(cells)
    while cells and not cells[-1]:
        cells.pop()
    return cells
