"""Columns and cells by number: what a workbook is checked with, without the library that writes it, slow to load."""

from __future__ import annotations

from functools import cache, lru_cache


@cache
def letters(column: int) -> str:
    """Return the letters of a column by its number from 1: ``AB`` for 28."""
    text = ""
    while column:
        column, place = divmod(column - 1, 26)
        text = chr(65 + place) + text
    return text


@cache
def number(column: str) -> int:
    """Return the number of a column from its letters: 28 for ``AB``."""
    found = 0
    for letter in column:
        found = found * 26 + ord(letter) - 64
    return found


@lru_cache(maxsize=20_000)
def row_and_column(cell: str) -> tuple[int, int]:
    """Return the row and the column of a cell such as ``B12`` or ``$B$12``, from 1."""
    plain = cell.replace("$", "")
    column = plain.rstrip("0123456789")
    return int(plain[len(column) :]), number(column)
