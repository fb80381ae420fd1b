"""The rules for formulas, told to a user as advice on formulas of their own: one remark a rule, no more."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any

from podbook.book.formula import QUOTED
from podbook.proof.rules import BRACKETS, TYPED, Rule, broken
from podbook.review.explaining.labels import Spots, plain
from podbook.review.find import Opened
from podbook.review.findings import Finding
from podbook.review.own import MOST_LOOKED_AT, formulas_to_judge

REACHED = re.compile(
    r"(?:(?P<sheet>'(?:[^']|'')+'|[A-Za-z_][A-Za-z0-9_.]*)!)?(?<![A-Za-z0-9_.:])"
    r"\$?(?P<column>[A-Z]{1,3})\$?(?P<row>\d+)(?![A-Za-z0-9_.(:!])"
)


def advice(found: Opened, cells: Mapping[str, Mapping[str, Any]]) -> Iterator[Finding]:
    """Yield a remark for each rule that the user's own formulas break: at its first place, with how many more."""
    spots = Spots(found.book, found.places)
    first: dict[Rule, tuple[str, str, str, str]] = {}
    places: dict[Rule, int] = {}
    for sheet, cell, formula in formulas_to_judge(found, cells)[:MOST_LOOKED_AT]:
        of_this = dict((*broken(formula), *_addressed(spots, sheet, formula)))
        of_this.pop(BRACKETS, None)  # no spreadsheet program lets one in
        for rule, what in of_this.items():
            first.setdefault(rule, (sheet, cell, formula, what))
            places[rule] = places.get(rule, 0) + 1
    for rule, (sheet, cell, formula, what) in first.items():
        more = places[rule] - 1
        rest = f"; {more} more of your own formulas {'does' if more == 1 else 'do'} so, too" if more else ""
        yield Finding(
            "own", False, sheet, cell, "your own", f"this formula {rule.told.format(what)}{rest}", plain(formula),
            advice=f"It is welcome as it is. Better: {rule.instead}; {rule.reason}.",
        )  # fmt: skip


def _addressed(spots: Spots, sheet: str, formula: str) -> Iterator[tuple[Rule, str]]:
    """Yield the first figure of the book with a name of its own that is reached by its address."""
    for match in REACHED.finditer(QUOTED.sub('""', formula)):
        title = (match["sheet"] or sheet).strip("'").replace("''", "'")
        where = spots.at(title, match["column"] + match["row"])
        if where is not None and spots.book.nodes[where[0]].size is None:
            yield TYPED, f"{match.group(0)} is {spots.book.nodes[where[0]].name}"
            return
