"""The algebra of units: a unit is a product of named units, and what that product measures, with its exact size.

Two measures agree only if they measure the same and are of the same size: lb and kg of the same mass do not.
Dry mass, mass as fed and other mass are apart; so are energy, head, trees, bales and each currency.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from functools import cache, cached_property

from podbook.systems import ACRE, BUSHEL, CURRENCIES, FOOT, MILE, POUND
from podbook.units import shown

SAME = 1e-9
"""How far apart, of their size, two sizes may be and still be the same."""
HIGHEST = 20
"""Power to which a unit is raised at most: a formula from outside may hold any."""
HEAD, PERCENT, PLAIN = "head", "percent", "dimensionless"
NUMBERS = (PLAIN, "fraction", "flag", "ordinal", "record", "score")
"""Units that are plain numbers."""
POINTS = {"degF": "delta_degF", "degC": "delta_degC"}
"""Temperatures, and the unit of their differences: a temperature has no size, since 0 is not where it begins."""
_KILO, _HOUR = 1000.0, 1 / 24
SIZES: dict[str, tuple[str, float, float]] = {
    **dict.fromkeys(NUMBERS, ("", 1, 1.0)),
    PERCENT: ("", 1, 0.01),
    **{money: (money, 1, 1.0) for money in CURRENCIES},
    "Mcal": ("energy", 1, 4.184),
    "kcal": ("energy", 1, 4.184 / _KILO),
    "megajoule": ("energy", 1, 1.0),
    "g": ("mass", 1, 1 / _KILO),
    "kg": ("mass", 1, 1.0),
    "lb": ("mass", 1, POUND),
    "kg_dry": ("dry", 1, 1.0),
    "lb_dry": ("dry", 1, POUND),
    "tonne_dry": ("dry", 1, _KILO),
    "short_ton_dry": ("dry", 1, 2000 * POUND),
    "kg_fed": ("fed", 1, 1.0),
    "lb_fed": ("fed", 1, POUND),
    "tonne_fed": ("fed", 1, _KILO),
    "short_ton_fed": ("fed", 1, 2000 * POUND),
    "meter": ("length", 1, 1.0),
    "foot": ("length", 1, FOOT),
    "acre": ("length", 2, ACRE * 10000),
    "hectare": ("length", 2, 10000.0),
    "bushel": ("length", 3, BUSHEL / 10),
    "hectoliter": ("length", 3, 0.1),
    "kph": ("speed", 1, 1.0),
    "mph": ("speed", 1, MILE),
    "head": ("head", 1, 1.0),
    "animal_unit": ("animal_unit", 1, 1.0),
    "tree": ("tree", 1, 1.0),
    "bale": ("bale", 1, 1.0),
    "minute": ("time", 1, _HOUR / 60),
    "hour": ("time", 1, _HOUR),
    "day": ("time", 1, 1.0),
    "week": ("time", 1, 7.0),
    "month": ("time", 1, 365.25 / 12),
    "year": ("time", 1, 365.25),
    "degF": ("warmth", 1, 5 / 9),
    "degC": ("warmth", 1, 1.0),
    "delta_degF": ("warmth", 1, 5 / 9),
    "delta_degC": ("warmth", 1, 1.0),
}
"""What each named unit measures, to which power, and its size, in the order in which units are written.

Tests compare it with the registry of units, which takes too long to load."""
_FACTOR = re.compile(r"([*/]?)([A-Za-z_]+|1)(?:\*\*([0-9.]+))?")


@dataclass(frozen=True)
class Measure:
    """A product of named units, each with its power."""

    words: tuple[tuple[str, float], ...] = ()

    @cached_property
    def kinds(self) -> tuple[tuple[str, float], ...]:
        """What it measures, with powers."""
        powers: dict[str, float] = {}
        for word, power in self.words:
            kind, times, _ = SIZES[word]
            powers[kind] = powers.get(kind, 0) + times * power
        return tuple(sorted((kind, round(power, 9)) for kind, power in powers.items() if kind and abs(power) > SAME))

    @cached_property
    def size(self) -> float:
        """Its size, of the units that all others are measured by."""
        return float(math.prod(SIZES[word][2] ** power for word, power in self.words))

    @cached_property
    def is_point(self) -> bool:
        """Whether it is a temperature, not a difference of two."""
        return len(self.words) == 1 and self.words[0][0] in POINTS

    @cached_property
    def is_plain(self) -> bool:
        """Whether it is a plain number."""
        return not self.kinds and math.isclose(self.size, 1, rel_tol=SAME)

    @property
    def difference(self) -> Measure:
        """The unit of the difference of two temperatures in this unit."""
        return Measure(((POINTS[self.words[0][0]], 1),))

    def agrees(self, other: Measure) -> bool:
        """Return whether both measure the same in the same size."""
        if self.words == other.words:
            return True
        return self.same_kind(other) and math.isclose(self.size, other.size, rel_tol=SAME)

    def same_kind(self, other: Measure) -> bool:
        """Return whether both measure the same, of whatever size."""
        return self.kinds == other.kinds and self.is_point == other.is_point

    def __str__(self) -> str:
        return spoken(self)


NUMBER = Measure()


@cache
def measure(unit: str) -> Measure:
    """Return the measure of a unit as a cell states it. A KeyError where a unit is not known."""
    words: dict[str, float] = {}
    if "".join(sign + word + (f"**{power}" if power else "") for sign, word, power in _FACTOR.findall(unit)) != unit:
        raise KeyError(unit)
    for sign, word, power in _FACTOR.findall(unit):
        if word != "1":
            _ = SIZES[word]
            words[word] = words.get(word, 0) + (-1 if sign == "/" else 1) * float(power or 1)
    return _tidy(words)


@cache
def times(one: Measure, other: Measure, power: float = 1) -> Measure:
    """Return the product of a measure and a power of another; -1 divides."""
    words = dict(one.words)
    for word, each in other.words:
        words[word] = words.get(word, 0) + each * power
    return _tidy(words)


@cache
def raised(one: Measure, power: float) -> Measure:
    """Return a power of a measure.

    What is of one head stays of one head where the power is no whole number: a law such as that of metabolic weight
    takes the weight of an animal, not of a herd.
    """
    whole = float(power).is_integer()
    return _tidy({word: each if word == HEAD and not whole else each * power for word, each in one.words})


@cache
def spoken(measured: Measure) -> str:
    """Return a measure as it is printed for people."""
    if len(measured.words) == 1 and measured.words[0] in [(apart, 1) for apart in POINTS.values()]:
        return f"{shown(measured.words[0][0])} of difference"
    above = "*".join(_factor(word, power) for word, power in measured.words if power > 0)
    below = "".join("/" + _factor(word, -power) for word, power in measured.words if power < 0)
    return shown((above or "1") + below) if above or below else "a bare number"


def _factor(word: str, power: float) -> str:
    return word if power == 1 else f"{word}**{power:g}"


def _tidy(words: dict[str, float]) -> Measure:
    if any(not abs(power) <= HIGHEST for power in words.values()):
        raise OverflowError("no unit is raised so high")
    kept = {word: round(power, 9) for word, power in words.items() if abs(power) > SAME and word not in NUMBERS}
    return Measure(tuple((word, kept[word]) for word in SIZES if word in kept))
