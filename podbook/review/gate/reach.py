"""What in a workbook reaches outside it: parts, elements and formulas."""

from __future__ import annotations

import re
from collections.abc import Sequence

LONGEST = 8192
"""Characters: what spreadsheet programs themselves allow."""
DEEPEST = 256
"""Open brackets: programs allow 64 nested functions; plain brackets come on top."""

_FUNCTIONS = (
    "CALL",
    "COPILOT",
    "CUBEKPIMEMBER",
    "CUBEMEMBER",
    "CUBEMEMBERPROPERTY",
    "CUBERANKEDMEMBER",
    "CUBESET",
    "CUBESETCOUNT",
    "CUBEVALUE",
    "DDE",
    "EVALUATE",
    "EXEC",
    "FILTERXML",
    "HYPERLINK",
    "IMAGE",
    "IMPORTDATA",
    "IMPORTFEED",
    "IMPORTHTML",
    "IMPORTRANGE",
    "IMPORTXML",
    "INDIRECT",
    "PY",
    "REGISTER",
    "REGISTER.ID",
    "RTD",
    "SQL.REQUEST",
    "STOCKHISTORY",
    "WEBSERVICE",
)
_TEXT = re.compile(r'"(?:[^"]|"")*"')
_QUOTED = re.compile(r"'(?:[^']|'')*'")
_CALL = re.compile(
    r"(?<![\w.])(?:_\w+\.)*(" + "|".join(re.escape(name) for name in _FUNCTIONS) + r")\s*\(", re.IGNORECASE
)
_LONGEST_NAME = max(map(len, _FUNCTIONS))
_ALIKE = ("\u0130", "\u212a")
"""Letters that regular expressions take for I and K, and that upper case leaves as they are."""
_IN_OTHER_BOOK = re.compile(r"\[[^\[\]]*\][^\[\](),;{}+\-*/^&=<>\s]*!")
"""A bracket before a sheet's name or a bare '!'; in a reference to a table, nothing of the kind follows."""
_NOT_IN_A_TITLE = re.compile(r"[\[\]/\\*?]")


_PARTS = {
    "vbaproject": "macros",
    "macroenabled": "macros",
    "macrosheet": "macros",
    "dialogsheet": "macros",
    "customui": "macros",
    "activex": "a program embedded in it",
    "oleobject": "a document embedded in it",
    "embeddings/": "a document embedded in it",
    "externallink": "a link to another workbook",
    "querytable": "a query of outside data",
    "connections": "a connection to outside data",
    "webextension": "an add-in from the web",
    "xl/model/": "a data model",
}
ELEMENTS_OUTSIDE = {
    "ddeLink": "a call of another program (DDE)",
    "oleLink": "a link to another document",
    "oleObject": "a document embedded in it",
    "externalReference": "a link to another workbook",
    "externalBook": "a link to another workbook",
    "macrosheet": "macros",
}


def reaching(label: str) -> str | None:
    """What the name, the content type or the relation of a part says about its reach, if it reaches outside."""
    lowered = label.lower()
    return next((what for sign, what in _PARTS.items() if sign in lowered), None)


def outside(formula: str) -> str | None:
    """What in the formula reaches outside its workbook, or what bound it passes; None when nothing does."""
    if len(formula) > LONGEST:
        return f"{len(formula)} characters, more than {LONGEST}"
    bare = _TEXT.sub('""', formula) if '"' in formula else formula
    if bare.count("(") > DEEPEST and _depth(bare) > DEEPEST:
        return f"more than {DEEPEST} brackets inside one another"
    if "(" in bare and (call := _CALL.search(bare)):
        return f"the function {call[1].upper()}"
    unquoted = _QUOTED.sub("''", bare) if "'" in bare else bare
    if "|" in unquoted:
        return "a call of another program (DDE)"
    for quoted in _QUOTED.findall(bare) if "'" in bare else ():
        if _NOT_IN_A_TITLE.search(quoted):
            return f"a reference to another file, {quoted[:60]}"
    if "://" in unquoted:
        return "a web or file address"
    if "[" in unquoted and (reference := _IN_OTHER_BOOK.search(unquoted)):
        return f"a reference to another workbook, {reference[0][:60]}"
    return None


def all_inside(formulas: Sequence[str]) -> bool:
    """Return whether it is plain at a glance that none of the formulas reaches outside their workbook."""
    text = "\n".join(formulas)
    if any(sign in text for sign in ("|", "[", "://")) or max(map(len, formulas), default=0) > LONGEST:
        return False
    text = text.upper()
    before_brackets = {each.rstrip()[-_LONGEST_NAME:] for each in text.split("(")}
    if any(each.endswith(_FUNCTIONS) for each in before_brackets) or any(sign in text for sign in _ALIKE):
        return False
    doubtful = (each for each in formulas if "'" in each or each.count("(") > DEEPEST)
    return not any(outside(each) for each in doubtful)


def _depth(text: str) -> int:
    depth = deepest = 0
    for sign in text:
        if sign == "(":
            depth += 1
            deepest = max(deepest, depth)
        elif sign == ")":
            depth -= 1
    return deepest
