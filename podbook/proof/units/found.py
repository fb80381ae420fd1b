"""What is known of the unit of a part of a formula, and how two of them go together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from podbook.proof.units.measure import NUMBER, PERCENT, Measure, measure, times


class Kind(Enum):
    """What has no unit, or none that is known."""

    ZERO = "0"
    """Nothing fits every unit."""
    TRUTH = "yes or no"
    WORDS = "words"
    UNKNOWN = "not known"


@dataclass(frozen=True)
class Of:
    """A figure of a unit; a number typed in a formula may be read in other units too."""

    measure: Measure
    also: tuple[Measure, ...] = ()
    typed: bool = False
    """Whether it is a number typed in the formula."""

    def __str__(self) -> str:
        return str(self.measure)


@dataclass(frozen=True)
class Several:
    """Cells of several units, which only counting takes together."""

    each: tuple[Found, ...]


Found = Of | Several | Kind
PLAIN = Of(NUMBER)


class Clash(Exception):
    """A part of a formula that no unit fits; the words say what is wrong with it."""


def of_unit(unit: str) -> Found:
    """Return what a cell of a unit holds."""
    return Kind.WORDS if unit == "text" else Of(measure(unit))


def literal(text: str, also: Sequence[Measure]) -> Found:
    """Return what a number typed in a formula is: 0 fits every unit, 100 is what turns a share into percent.

    1 and 2 are plain numbers. Any other is the user's, who alone knows what it is.
    """
    number = float(text)
    if number == 0:
        return Kind.ZERO
    if number == 100:
        return Of(measure(PERCENT), typed=True)
    return Of(NUMBER, tuple(also), typed=True) if number in (1, 2) else Kind.UNKNOWN


def one(found: Found) -> Found:
    """Return what cells of several units hold, if it is one unit after all."""
    return together(found.each, "takes together {} and {}") if isinstance(found, Several) else found


def together(several: Sequence[Found], words: str) -> Found:
    """Return the unit that several parts share; ``words`` say what is wrong if they share none."""
    found: Found = Kind.ZERO
    for each in several:
        for part in each.each if isinstance(each, Several) else (each,):
            found = fit(found, part, words)
    return found


def fit(left: Found, right: Found, words: str) -> Found:
    """Return the unit that two parts share."""
    left, right = one(left), one(right)
    if Kind.UNKNOWN in (left, right):
        return Kind.UNKNOWN
    if left is Kind.ZERO or right is Kind.ZERO or left is right:
        return right if left is Kind.ZERO else left
    if not isinstance(left, Of) or not isinstance(right, Of):
        raise Clash(words.format(said(left), said(right)))
    if left.measure.agrees(right.measure):
        return left if right.typed else right
    if any(right.measure.agrees(each) for each in left.also):
        return right
    if any(left.measure.agrees(each) for each in right.also):
        return left
    raise Clash(words.format(said(left), said(right)))


def summed(left: Found, right: Found, sign: str) -> Found:
    """Return what a sum or a difference is: of two temperatures the difference only."""
    left, right = one(left), one(right)
    if Kind.UNKNOWN in (left, right):
        return Kind.UNKNOWN
    words = "adds {1} to {0}" if sign == "+" else "takes {1} from {0}"
    if isinstance(left, Of) and isinstance(right, Of) and (left.measure.is_point or right.measure.is_point):
        if left.measure.is_point and right.measure.is_point:
            if sign == "-" and left.measure.agrees(right.measure):
                return Of(left.measure.difference)
        elif left.measure.is_point and left.measure.difference.agrees(right.measure):
            return left
        elif right.measure.is_point and sign == "+" and right.measure.difference.agrees(left.measure):
            return right
        raise Clash(words.format(said(left), said(right)))
    _no_words(left, right, words)
    return fit(left, right, words)


def multiplied(left: Found, right: Found, power: float) -> Found:
    """Return what a product is (power 1) or a quotient (power -1)."""
    left, right = one(left), one(right)
    if Kind.UNKNOWN in (left, right):
        return Kind.UNKNOWN
    _no_words(left, right, "multiplies {} by {}" if power == 1 else "divides {} by {}")
    for each in (left, right):
        if isinstance(each, Of) and each.measure.is_point:
            raise Clash(f"multiplies a temperature in {each}, where only a difference of two has a size")
    if left is Kind.ZERO or right is Kind.ZERO:
        return Kind.ZERO
    assert isinstance(left, Of)
    assert isinstance(right, Of)
    return Of(times(left.measure, right.measure, power), typed=left.typed and right.typed)


def _no_words(left: Found, right: Found, words: str) -> None:
    if left in (Kind.WORDS, Kind.TRUTH) or right in (Kind.WORDS, Kind.TRUTH):
        raise Clash(words.format(said(left), said(right)))


def plain(found: Found, what: str) -> None:
    """Raise a Clash if something is not a plain number."""
    found = one(found)
    if not (found in (Kind.ZERO, Kind.UNKNOWN) or (isinstance(found, Of) and found.measure.is_plain)):
        raise Clash(f"{what} is {said(found)}, where a bare number must stand")


def said(found: Found) -> str:
    """Return a unit in words."""
    if isinstance(found, Kind):
        return found.value
    return str(found) if isinstance(found, Of) else "cells of several units"
