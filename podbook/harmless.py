"""Texts from files as they may be shown: nothing in them steers a terminal, hides a part or runs in a spreadsheet."""

from __future__ import annotations

import re
from collections.abc import Sequence

_STEERING = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u061c\u200e\u200f\u2028\u2029\u202a-\u202e\u2066-\u2069]")
"""Control characters of both sets, and those that turn the direction of writing."""
_LONGEST = 1_000
"""Characters of one line: no text of the book is longer; a cell may hold 32,767."""
_FORMULA = re.compile(r"[=+\-@\t\r]")


def plain(text: str, *, one_line: bool = False) -> str:
    """Return a text with what steers a terminal spelled out; as one line, and cut if it is long, if it must be one."""
    if not one_line:
        return _STEERING.sub(_spelled, text)
    cut = text if len(text) <= _LONGEST else f"{text[:_LONGEST]} ... ({len(text):,} characters)"
    return _STEERING.sub(_spelled, cut).replace("\n", "\\n").replace("\t", " ")


def _spelled(match: re.Match[str]) -> str:
    return match[0].encode("unicode_escape").decode()


def for_csv(row: Sequence[object]) -> list[object]:
    """Return a row of a CSV file with an apostrophe before each text that a spreadsheet would calculate.

    What steers a terminal is spelled out, for the file may be shown on one.
    """
    return [_field(each) if isinstance(each, str) else each for each in row]


def _field(text: str) -> str:
    return ("'" if _FORMULA.match(text) else "") + plain(text)
