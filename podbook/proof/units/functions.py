"""What each function of the common ground makes of units."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence

from podbook.book.tree import Quoted, Tree
from podbook.proof.units.found import (
    PLAIN,
    Clash,
    Found,
    Kind,
    Of,
    fit,
    literal,
    multiplied,
    one,
    plain,
    said,
    together,
)
from podbook.proof.units.measure import measure, raised, times

Rule = Callable[[Sequence[Found], Sequence[Tree]], Found]
YEAR = measure("year")
_NUMBER = re.compile(r"(?:<=|>=|<>|=|<|>)?([0-9.]+)")


def _same(words: str) -> Rule:
    """All that is given shares one unit, and so does what comes of it."""
    return lambda found, given: together(found, words)


def _no_temperatures(words: str) -> Rule:
    """The same, but nothing of it is a temperature."""

    def rule(found: Sequence[Found], given: Sequence[Tree]) -> Found:
        shared = together(found, words)
        if isinstance(shared, Of) and shared.measure.is_point:
            raise Clash(f"adds up temperatures in {shared}")
        return shared

    return rule


def _counted(found: Sequence[Found], given: Sequence[Tree]) -> Found:
    """A count of what is given, of whatever unit that is."""
    return PLAIN


def _asked(found: Sequence[Found], given: Sequence[Tree]) -> Found:
    return Kind.TRUTH


def _all(found: Sequence[Found], given: Sequence[Tree]) -> Found:
    for each in found:
        _condition(each)
    return Kind.TRUTH


def _condition(found: Found) -> None:
    if found is not Kind.TRUTH:
        plain(found, "a condition")


def _if(found: Sequence[Found], given: Sequence[Tree]) -> Found:
    _condition(found[0])
    return together(found[1:], "gives {} or {}, as the case is")


def _of_number(words: str) -> Rule:
    def rule(found: Sequence[Found], given: Sequence[Tree]) -> Found:
        plain(found[0], words)
        return PLAIN

    return rule


def _rounded(found: Sequence[Found], given: Sequence[Tree]) -> Found:
    plain(found[1], "the places of ROUND")
    return one(found[0])


def _root(found: Sequence[Found], given: Sequence[Tree]) -> Found:
    under = one(found[0])
    if isinstance(under, Kind):
        return under
    assert isinstance(under, Of)
    return Of(raised(under.measure, 0.5))


def _products(found: Sequence[Found], given: Sequence[Tree]) -> Found:
    product: Found = PLAIN
    for each in found:
        product = multiplied(product, each, 1)
    return product


def _place(found: Found) -> None:
    """A place in a column is a number, or a year where lines are years."""
    found = one(found)
    if not (isinstance(found, Of) and found.measure.agrees(YEAR)):
        plain(found, "a place in a column")


def _picked(found: Sequence[Found], given: Sequence[Tree]) -> Found:
    for place in found[1:]:
        _place(place)
    return one(found[0])


def _chosen(found: Sequence[Found], given: Sequence[Tree]) -> Found:
    plain(found[0], "what CHOOSE goes by")
    return together(found[1:], "chooses between {} and {}")


def _matched(found: Sequence[Found], given: Sequence[Tree]) -> Found:
    fit(found[0], found[1], "looks for {} among {}")
    return PLAIN


def _criterion(found: Sequence[Found], given: Sequence[Tree]) -> None:
    """What is looked for among cells is of their unit; a number in a text counts as a number typed."""
    wanted = found[1]
    if wanted is Kind.WORDS and isinstance(given[1], Quoted) and (number := _NUMBER.fullmatch(given[1].text)):
        wanted = literal(number[1], ())
    fit(one(found[0]), wanted, "looks among {} for {}")


def _counted_if(found: Sequence[Found], given: Sequence[Tree]) -> Found:
    _criterion(found, given)
    return PLAIN


def _summed_if(found: Sequence[Found], given: Sequence[Tree]) -> Found:
    _criterion(found, given)
    return RULES["SUM"](found[2:] or found[:1], given)


def _worth(found: Sequence[Found], given: Sequence[Tree]) -> Found:
    """What is paid year by year is of one unit, and the rate a share."""
    plain(found[0], "the rate of NPV")
    return together(found[1:], "discounts {} and {}")


def _rate(found: Sequence[Found], given: Sequence[Tree]) -> Found:
    one(found[0])
    for guess in found[1:]:
        plain(guess, "the guess of IRR")
    return PLAIN


def _payment(found: Sequence[Found], given: Sequence[Tree]) -> Found:
    """A debt paid off in so many years is paid so much a year."""
    plain(found[0], "the rate of PMT")
    number, debt = one(found[1]), one(found[2])
    if isinstance(number, Of) and number.measure.agrees(YEAR):
        return Of(times(debt.measure, number.measure, -1)) if isinstance(debt, Of) else debt
    plain(number, "the number of payments")
    return debt


def _looked(found: Sequence[Found], given: Sequence[Tree]) -> Found:
    for each in found[:2]:
        if each not in (Kind.WORDS, Kind.UNKNOWN):
            raise Clash(f"looks for a letter in {said(each)}")
    return PLAIN


RULES: Mapping[str, Rule] = {
    "ABS": _no_temperatures("takes together {} and {}"),
    "AND": _all,
    "AVERAGE": _same("averages {} and {}"),
    "CHOOSE": _chosen,
    "COLUMNS": _counted,
    "COUNT": _counted,
    "COUNTIF": _counted_if,
    "EXP": _of_number("what EXP is taken of"),
    "FIND": _looked,
    "IF": _if,
    "INDEX": _picked,
    "IRR": _rate,
    "ISERROR": _asked,
    "ISNUMBER": _asked,
    "LN": _of_number("what LN is taken of"),
    "MATCH": _matched,
    "MAX": _same("takes the greater of {} and {}"),
    "MIN": _same("takes the lesser of {} and {}"),
    "NOT": _all,
    "NPV": _worth,
    "OR": _all,
    "PMT": _payment,
    "ROUND": _rounded,
    "ROWS": _counted,
    "SQRT": _root,
    "SUM": _no_temperatures("adds up {} and {}"),
    "SUMIF": _summed_if,
    "SUMPRODUCT": _products,
}
"""Every function of the common ground. The unit of any other is not known."""
