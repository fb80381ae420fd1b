"""Two formulas compared as texts: whether they are the same, and what was changed in one."""

from __future__ import annotations

import re
import string
from functools import lru_cache

_TOKEN = re.compile(
    r'(?P<text>"(?:[^"]|"")*")|(?P<reference>(?:\'(?:[^\']|\'\')+\'!|[A-Za-z_][\w.]*!)?\$?[A-Za-z]{1,3}\$?\d+(?![\w(]))'
    r"|(?P<error>#[A-Z/0]+[!?]?)|(?P<function>[A-Za-z_][\w.]*(?=\())|(?P<name>[A-Za-z_][\w.]*)"
    r"|(?P<number>\d+\.?\d*|\.\d+)|(?P<operator><=|>=|<>|[-+*/^<>=&%])"
)
OTHER_REFERENCE, LOST_REFERENCE = "it points to another cell", "it lost a reference (#REF!)"
REFERENCES = (OTHER_REFERENCE, LOST_REFERENCE)
_WORDS = {
    "reference": OTHER_REFERENCE,
    "name": "it names another figure",
    "number": "a number in it is another",
    "operator": "an operator in it is another",
    "function": "a function in it is another",
    "text": "a word in it is another",
}
_QUOTED = re.compile(r"""("(?:[^"]|"")*"|'(?:[^']|'')*'(?=!))""")
_NEEDLESS_BLANK = re.compile(r"(?<=[-+*/^&=<>(,;:])[ \t\r\n]+(?![=>])|(?<![<>])[ \t\r\n]+(?=[-+*/^&=<>),;:])")
_FIXED = re.compile(r"(?<![\w.$])\$?([A-Z]{1,3})\$?([0-9]{1,7})(?![\w.$(])")
_WHOLE = re.compile(r"(?<![\w.])([0-9]+)\.0+(?![0-9.])")
_LOGICAL = re.compile(r"(?<![\w.])(TRUE|FALSE)\(\)")
_BARE_TITLE = re.compile(r"[A-Z_][A-Z0-9_]*")
KEPT = 50_000
"""Formulas that are kept in that form: those of three books."""
_CAPITALS = str.maketrans(string.ascii_lowercase, string.ascii_uppercase)
"""Of ASCII alone: some letters of other scripts have an ASCII capital, but stand in names of their own."""


@lru_cache(maxsize=KEPT)
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


def change(stands: str, should: str) -> str:
    """Return in words what was changed in a formula."""
    found, wanted = _tokens(stands), _tokens(should)
    if any(kind == "error" for kind, _ in found):
        return LOST_REFERENCE
    if len(found) != len(wanted):
        return "it is longer" if len(found) > len(wanted) else "it is shorter"
    kinds = {kind for (kind, text), (other, right) in zip(found, wanted, strict=True)
             if kind != other or text.upper() != right.upper() for kind in (kind, other)}  # fmt: skip
    return _WORDS[kinds.pop()] if len(kinds) == 1 else "it is another"


def _tokens(formula: str) -> list[tuple[str, str]]:
    return [(str(match.lastgroup), match[0].replace("$", "")) for match in _TOKEN.finditer(formula)]
