"""A list of farms: a row for each workbook that an adviser wants to build."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Collection
from dataclasses import dataclass
from pathlib import Path

from podbook.inputs.cells import Row, Table, plain, shown
from podbook.inputs.filled import Content

NAME = "farm"
WORDS = ("file", "region", "units", "station")
KINDS = {"inputs": "a farm's file (TOML)", "trees": "a CSV file", "lab": "a CSV file", "log": "a CSV file"}
FILES = tuple(KINDS)
LONGEST = 60
"""Letters of a farm's name."""
PLAIN_NAME = re.compile(r"[\w][\w .()-]{0,99}\.xlsx")


@dataclass(frozen=True)
class Client:
    """One row of the list; an empty text and None stand for what was left blank."""

    line: int
    name: str
    file: str
    """Name of the workbook to build."""
    region: str
    units: str
    station: str
    inputs: Path | None
    trees: Path | None
    lab: Path | None
    log: Path | None
    figures: dict[str, Content]
    """Single figures of the book, by name."""


def read(path: Path, figures: Collection[str]) -> tuple[Table, list[Client]]:
    """Return a list's table, to complain to, and its rows.

    ``figures`` are the names of the single figures that a column may be called after. Raises BadInput where the heading
    can't be used.
    """
    words = f"{NAME}, and any of {','.join((*WORDS, *FILES))}, or a figure's name ('podbook figures' lists them)"
    table = Table(path, (NAME,), optional=(*WORDS, *FILES, *figures), wanted=words, whole=True)
    first_line: dict[str, int] = {}
    return table, [_client(table, row, path.parent, figures, first_line) for row in table.rows]


def _client(table: Table, row: Row, folder: Path, figures: Collection[str], first_line: dict[str, int]) -> Client:
    name = row.cells[NAME]
    if not 0 < len(name) <= LONGEST or not name.isprintable():
        table.complain(row.line, NAME, shown(name), f"a name of 1 to {LONGEST} letters")
    file = row.cells.get("file") or f"{_slug(name)}.xlsx"
    if not PLAIN_NAME.fullmatch(file):
        table.complain(row.line, "file", shown(file), "the name of a workbook such as hill-farm.xlsx, without a folder")
    elif (line := first_line.setdefault(file.casefold(), row.line)) != row.line:
        table.complain(row.line, "file", f"'{file}' again, as on line {line}", "a name of its own in the column file")
    paths = {each: folder / row.cells[each] if row.cells.get(each) else None for each in FILES}
    if not paths["inputs"] and any(paths.values()):
        table.complain(row.line, "inputs", "a blank", "a farm's file (TOML), which names the types of tree")
    given = {each: _content(row.cells[each]) for each in figures if row.cells.get(each)}
    region, units, station = (row.cells.get(each, "") for each in ("region", "units", "station"))
    if region and (folder / region).is_file():
        region = str(folder / region)
    return Client(row.line, name, file, region, units, station, **paths, figures=given)


def _content(text: str) -> Content:
    number = plain(text)
    return text if number is None else number


def _slug(name: str) -> str:
    """Return a name in plain letters, as a file is called."""
    ascii_only = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode()
    return re.sub(r"[^a-z0-9]+", "-", ascii_only.lower()).strip("-") or "farm"
