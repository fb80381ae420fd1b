"""Cells written plainly, as programs write them: taken by their text, without calling Python for each XML element.

What is plain is a narrow grammar inside XML 1.0 and ECMA-376 (part 1, 18.3.1): rows of cells in order, in the namespace
of their part, without a comment, a processing instruction, or an attribute that matters here. In it a text means what
an XML parser says it means. From a part that holds anything else nothing is taken.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from itertools import compress
from typing import NamedTuple

from podbook.coordinates import number

MOST = 150_000
"""Cells and rows of one part that are taken at once; a book of 1,000 trees has half as many. More are streamed."""

_OPEN, _CLOSE = "<sheetData>", "</sheetData>"
_HEAD = re.compile(
    r'(?:<\?xml version="1\.0"(?: encoding="(?:UTF|utf)-8")?(?: standalone="(?:yes|no)")? ?\?>\s*)?<worksheet [^<>&]*>'
)
_SPACE = ' xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"'
_TOKEN = re.compile(
    r"""(                                                     # 0: all of it
        (?:<row\ r="([1-9][0-9]{0,6})"                         # 1: a row begins
          (?:\ [A-Za-z0-9:]+="[^"<>&]*")*(/?)>                 # 2: and ends at once
        | (</row>)                                             # 3: a row ends
        | <c\ r="(([A-Z]{1,3})([1-9][0-9]{0,6}))"              # 4, 5, 6: a cell, its letters, its row
          (?:\ s="[0-9]{1,6}")?(?:\ t="([A-Za-z]{1,9})")?      # 7: its kind
          (?:/>
          | >[ \n]*(?:(<f)(?:\ aca="(?:false|true)")?>([^<]*)</f>[ \n]*)?   # 8, 9: its formula
            (?:<v>([^<]*)</v>[ \n]*|<v\ ?/>[ \n]*)?           # 10: its value
            (?:(<is)>[ \n]*<t(?:\ xml:space="preserve")?>([^<]*)</t>[ \n]*</is>[ \n]*)?  # 11, 12: its text
            </c>)
        )[ \n]*)""",
    re.VERBOSE,
)
_CONTROLS = bytes(set(range(0x20)) - {0x09, 0x0A})
"""Of what XML does not allow in a text, what UTF-8 may hold, and the returns that a parser makes new lines of."""
_NO_LETTERS = ("\ufffe", "\uffff")
"""The rest of it."""
_REFERENCE = re.compile("&[^;&]{0,8};?")
_KNOWN_REFERENCE = re.compile("&(?:amp|lt|gt|quot|apos|#1[6-9][0-9]|#[2-9][0-9]{2}|#[1-9][0-9]{3});")
_BY_NUMBER = re.compile(r"&#([0-9]+);")


class Plain(NamedTuple):
    """A part whose cells are all written plainly: column by column what is written in them, in their order."""

    coordinates: list[str]
    kinds: list[str]
    formulas: list[str | None]
    values: list[str]
    texts: list[str | None]
    """The texts that stand in the cells outright."""
    elements: int
    """Elements that were taken."""
    farthest: tuple[int, int]
    """The last row and the last column with a cell."""
    rest: bytes
    """The part without its cells; the rows stand in it, empty."""


def plain(content: bytes) -> Plain | None:
    """Return the cells of a worksheet's part and what is left of it; None if they are not all written plainly."""
    if content.count(b"<c ") + content.count(b"<row ") > MOST:
        return None
    try:
        part = content.decode("utf-8")
    except UnicodeDecodeError:
        return None
    begin, end = part.find(_OPEN) + len(_OPEN), part.find(_CLOSE)
    head = _HEAD.match(part)
    if head is None or _SPACE not in head[0] or not head.end() <= begin - len(_OPEN) < end:
        return None
    data = part[begin:end]
    if "<!" in part or part.find("<?", 1) >= 0 or part.count(_OPEN) + part.count(_CLOSE) > 2 or not _is_text(data):
        return None
    return _taken(part, data, begin, end)


def _is_text(data: str) -> bool:
    """Return whether a parser finds only texts between the elements, and each as it stands."""
    if "]]>" in data or any(sign in data for sign in _NO_LETTERS):
        return False
    written = data.encode("utf-8")
    if len(written.translate(None, _CONTROLS)) < len(written):
        return False
    return all(_KNOWN_REFERENCE.fullmatch(each) for each in set(_REFERENCE.findall(data)))


def _taken(part: str, data: str, begin: int, end: int) -> Plain | None:
    blank = len(data) - len(data.lstrip(" \n"))
    found = _TOKEN.findall(data, blank)
    columns = tuple(zip(*found, strict=True)) if found else ((),) * _TOKEN.groups
    wholes, begun, closed, ended, names, letters, below, kinds, formulas, said, values, texts, written = columns
    numbers = list(map(number, letters))
    rows: list[str] = []
    row, at = "", 0
    for whole, starts, ends_at_once, ends, column, there in zip(
        wholes, begun, closed, ended, numbers, below, strict=True
    ):
        if column:
            if there != row or column <= at:
                return None
            at = column
            continue
        if "xmlns" in whole or bool(row) != bool(ends):
            return None
        rows.append(whole)
        row, at = "" if ends_at_once else starts, 0
    if blank + sum(map(len, wholes)) != len(data) or row:
        return None
    coordinates = list(compress(names, names))
    holds = [bool(formula or text) for formula, text in zip(formulas, texts, strict=True)]
    last = int(coordinates[-1].lstrip("ABCDEFGHIJKLMNOPQRSTUVWXYZ")) if coordinates else 0
    return Plain(
        coordinates,
        [kind or "n" for kind in compress(kinds, names)],
        _where(compress(formulas, names), compress(said, names)),
        [_meant(value) if "&" in value else value for value in compress(values, names)],
        _where(compress(texts, names), compress(written, names)),
        2 * len(coordinates) + sum(holds),
        (last, max(numbers, default=0)),
        "".join((part[:begin], *rows, part[end:])).encode("utf-8"),
    )


def _where(there: Iterable[str], said: Iterable[str]) -> list[str | None]:
    """Return what is said where something is there, as it is meant."""
    return [(_meant(each) if "&" in each else each) if mark else None for mark, each in zip(there, said, strict=True)]


def _meant(text: str) -> str:
    """Return what a text with references means."""
    text = _BY_NUMBER.sub(lambda found: chr(int(found[1])), text)
    for written, sign in (("&lt;", "<"), ("&gt;", ">"), ("&quot;", '"'), ("&apos;", "'"), ("&amp;", "&")):
        text = text.replace(written, sign)
    return text
