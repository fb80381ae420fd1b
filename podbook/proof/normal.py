"""Whether two formulas are the same but for what a spreadsheet program may change in passing."""

from __future__ import annotations

import re
import string
from functools import cache

_QUOTED = re.compile(r"""("(?:[^"]|"")*"|'(?:[^']|'')*'(?=!))""")
_NEEDLESS_BLANK = re.compile(r"(?<=[-+*/^&=<>(,;:])[ \t\r\n]+(?![=>])|(?<![<>])[ \t\r\n]+(?=[-+*/^&=<>),;:])")
_FIXED = re.compile(r"(?<![\w.$])\$?([A-Z]{1,3})\$?([0-9]{1,7})(?![\w.$(])")
_WHOLE = re.compile(r"(?<![\w.])([0-9]+)\.0+(?![0-9.])")
_LOGICAL = re.compile(r"(?<![\w.])(TRUE|FALSE)\(\)")
_BARE_TITLE = re.compile(r"[A-Z_][A-Z0-9_]*")
_CAPITALS = str.maketrans(string.ascii_lowercase, string.ascii_uppercase)
"""Of ASCII alone: some letters of other scripts have an ASCII capital, but stand in names of their own."""


@cache
def normal(formula: str) -> str:
    """Return a formula without needless blanks and quotes, $, case, and forms of a number.

    A blank between two references is an operator and stays; so does all that is in double quotes.
    """
    pieces = _QUOTED.split(formula.strip())
    pieces[::2] = map(_plain, pieces[::2])
    pieces[1::2] = map(_quoted, pieces[1::2])
    return "".join(pieces)


def _plain(piece: str) -> str:
    piece = _LOGICAL.sub(r"\1", _NEEDLESS_BLANK.sub("", piece.translate(_CAPITALS)))
    return _WHOLE.sub(r"\1", _FIXED.sub(r"\1\2", piece))


def _quoted(piece: str) -> str:
    if piece.startswith('"'):
        return piece
    title = piece.translate(_CAPITALS)
    return title[1:-1] if _BARE_TITLE.fullmatch(title[1:-1]) else title
