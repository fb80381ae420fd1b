"""Two formulas compared as texts: whether they are the same, and what was changed in one."""

from __future__ import annotations

import re
from functools import cache

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


@cache
def normal(formula: str) -> str:
    """Return a formula without what a spreadsheet program may change in passing: blanks, $, case, forms of a number."""
    pieces = re.split(r'("[^"]*")', formula.strip())
    for position in range(0, len(pieces), 2):
        plain = pieces[position].replace("$", "").replace(" ", "").upper()
        plain = plain.replace("TRUE()", "TRUE").replace("FALSE()", "FALSE")
        pieces[position] = re.sub(r"(?<![A-Z0-9_.])(\d+)\.0+(?![0-9])", r"\1", plain)
    return "".join(pieces)


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
