"""Bookkeeping cells: sums, products, and entries that are used only when they can be."""

from math import isfinite
from typing import Annotated, Any

import numpy as np

from podbook.reference.contract import Value, Words, reference
from podbook.reference.gates import Times
from podbook.reference.guard import added, each, ratio
from podbook.units import In

Number = Annotated[Value, In("any")]
Entry = Annotated[Any, In("text")]
"""What stands in an input cell: a number, a word or nothing (None)."""
Limit = Annotated[float, In("any")]
Word = Annotated[Words, In("text")]


def _usable(entry: Any, low: float, high: float) -> bool:
    number = isinstance(entry, int | float | np.integer | np.floating) and not isinstance(entry, bool)
    return number and isfinite(entry) and bool(low <= entry <= high)


def _spelled(entry: Any, choices: Words) -> str | None:
    """Return the choice meant by an entry, as the list spells it; None for anything else."""
    known = {str(word).casefold(): str(word) for word in np.atleast_1d(choices) if word is not None}
    return known.get(entry.casefold()) if isinstance(entry, str) else None


@reference("arithmetic", "the same value")
def same(*, value: Entry) -> Entry:
    """Return the value itself: a cell that shows another cell."""
    return value


@reference("arithmetic", "sum")
def total(*, values: Number) -> Number:
    """Return the sum of all the values."""
    return added(values)


@reference("arithmetic", "difference")
def difference(*, a: Number, b: Number) -> Number:
    """Return a - b."""
    return a - b


@reference("arithmetic", "product")
def product(*, a: Number, b: Number) -> Number:
    """Return a b."""
    return a * b


@reference("arithmetic", "product of all")
def product_of(*, values: Number) -> Number:
    """Return the product of all the values."""
    return float(np.prod(values))


@reference("arithmetic", "sum of products")
def sum_of_products(*, values: Number, weights: Number) -> Number:
    """Return the sum of the values, each times its weight."""
    return added(np.transpose(np.transpose(values) * np.transpose(weights)))


@reference("arithmetic", "sum of products / sum of weights")
def weighted_mean(*, values: Number, weights: Number, when_empty: Number) -> Number:
    """Return the mean of the values by their weights; ``when_empty`` where the weights add up to 0."""
    whole = float(np.sum(weights))
    return float(np.dot(values, weights)) / whole if whole else when_empty


@reference("arithmetic", "the same word")
def same_word(*, word: Word) -> Word:
    """Return the word itself: a cell that shows another cell."""
    return word


@reference("arithmetic", "the same word, or nothing for a dash")
def word_or_blank(*, word: Word) -> Word:
    """Return the word, or an empty text for the dash that stands where there is none."""
    return "" if word == "-" else str(word)


@reference("arithmetic", "quotient")
def quotient(*, a: Number, b: Number) -> Number:
    """Return a / b; 0 where b is 0."""
    return ratio(a, b)


@reference("arithmetic", "sum / whole")
def sum_over(*, values: Number, whole: Number) -> Number:
    """Return the sum of the values over a whole; 0 where that is 0."""
    return ratio(added(values), whole)


@reference("arithmetic", "the nearest whole number, halves away from zero")
def whole(*, number: Number) -> Number:
    """Return the nearest whole number."""
    number = np.asarray(number, dtype=float)
    return np.sign(number) * np.floor(np.abs(number) + 0.5)


@reference("arithmetic", "the entry, or the default")
def accepted(*, entry: Entry, low: Limit, high: Limit, default: Limit) -> Number:
    """Return the entry where it is a number from low to high, else the default. TRUE and FALSE are no numbers."""
    found: Value = each(lambda one: one if _usable(one, low, high) else default, entry, kind=float)
    return found


@reference("arithmetic", "a number from low to high")
def entry_check(*, entry: Entry, low: Limit, high: Limit) -> Word:
    """Return "ok" where the entry is a number from low to high, else "mend"."""
    found: Word = each(lambda one: "ok" if _usable(one, low, high) else "mend", entry, kind=str)
    return found


@reference("judgement", "a number from low to high, and not far from the default")
def usual_check(*, entry: Entry, low: Limit, high: Limit, default: Limit, far_times: Times) -> Word:
    """Return "mend" where the entry is no number from low to high, "unusual" where it is far from the default.

    It is far where the greater of both is more than ``far_times`` times the lesser, and both are above 0. All else is
    "ok".
    """

    def answer(one: Any, usual: Any) -> str:
        if not _usable(one, low, high):
            return "mend"
        lesser, greater = sorted((one, usual))
        return "unusual" if lesser > 0 and greater > far_times * lesser else "ok"

    found: Word = each(answer, entry, default, kind=str)
    return found


@reference("arithmetic", "the choice, or the default")
def choice(*, entry: Entry, choices: Word, default: Word) -> Word:
    """Return the choice that the entry names, upper and lower case alike, else the default."""
    found: Word = each(lambda one: _spelled(one, choices) or str(default), entry, kind=str)
    return found


@reference("arithmetic", "a word of the list")
def choice_check(*, entry: Entry, choices: Word) -> Word:
    """Return "ok" where the entry is one of the choices, upper and lower case alike, else "mend"."""
    found: Word = each(lambda one: "ok" if _spelled(one, choices) else "mend", entry, kind=str)
    return found
