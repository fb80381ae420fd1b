"""Figures that look as if they were written in another unit: kilograms for pounds, hectares for acres, and the like."""

from __future__ import annotations

from collections.abc import Iterator

from podbook.systems import ACRE, FOOT, MILE, POUND
from podbook.units import shown

_MISTAKEN = {
    "lb": (("kg", 1 / POUND),),
    "lb_dry": (("kg", 1 / POUND),),
    "lb_fed": (("kg", 1 / POUND),),
    "short_ton_fed": (("lb", 1 / 2000), ("kg", 1 / POUND / 2000)),
    "acre": (("ha", 1 / ACRE),),
    "foot": (("m", 1 / FOOT),),
    "mph": (("km/h", 1 / MILE),),
    "kg": (("lb", POUND),),
    "kg_dry": (("lb", POUND),),
    "kg_fed": (("lb", POUND),),
    "tonne_fed": (("kg", 1 / 1000), ("lb", POUND / 1000)),
    "hectare": (("acres", ACRE),),
    "meter": (("ft", FOOT),),
    "kph": (("mph", MILE),),
    "fraction": (("%", 0.01),),
    "percent": (("as a share of 1", 100.0),),
}
"""For a factor of a unit: what it is mistaken for, and how many of the factor one of that is."""
_CALENDAR = (1900, 2100)
"""Numbers of years that are a date, where an age is asked for."""
_LIKE = 0.01
"""How near a figure in another unit must be to the default, as a share of it, to be remarked on."""


def meant(unit: str, found: float) -> Iterator[tuple[str, float]]:
    """Yield what a figure may have been written in, and how much that is in its right unit."""
    if unit == "degF":
        yield "°C", found * 1.8 + 32
        return
    if unit == "degC":
        yield "°F", (found - 32) / 1.8
        return
    above, *below = unit.split("/")
    for factors, power in ((above.split("*"), 1), *((each.split("*"), -1) for each in below)):
        for factor in factors:
            for word, size in _MISTAKEN.get(factor, ()):
                yield _in_words(unit, factor, word), found * size**power


def _in_words(unit: str, factor: str, word: str) -> str:
    return word if unit in (factor, "fraction", "percent") else shown(unit.replace(factor, "@")).replace("@", word)


def hint(unit: str, found: float, low: float, high: float) -> str:
    """Return the unit that a figure out of range seems to be in, and what it would be in its own; or nothing."""
    if unit == "year" and high < _CALENDAR[0] <= found <= _CALENDAR[1]:
        return f"Write how many years it has been since {found:g}."
    for word, value in meant(unit, found):
        if low <= value <= high:
            if unit == "fraction":
                if found <= 1:
                    continue  # a share, only too large: nobody writes half a percent so
                return f"For {found:g} % write {value:g}."
            if unit == "percent":
                return f"Write the percent as printed: {value:g} for {found:g}."
            return f"It looks like {word}: {found:g} {word} is {value:.4g} {_own(unit)}."
    return ""


def remark(unit: str, found: float, default: float, low: float, high: float) -> str:
    """Return the unit that a figure in range seems to be in, because in it the figure would be the default."""
    if default == 0 or abs(found / default - 1) < 10 * _LIKE:
        return ""
    for word, value in meant(unit, found):
        if abs(value / default - 1) <= _LIKE and low <= value <= high:
            return f"it looks like {word}: {found:g} {word} is {value:.4g} {_own(unit)}, about the default {default:g}"
    return ""


def of_bales(unit: str) -> str:
    """Return how a price of bales is turned into one of a ton, where that is what is asked for; or nothing."""
    sign = shown(unit.partition("/")[0])
    if unit.endswith("/short_ton_fed"):
        return f"A bale of 1,000 lb at {sign}60 is {sign}120 a ton: its price x 2,000 / its pounds."
    if unit.endswith("/tonne_fed"):
        return f"A bale of 500 kg at {sign}60 is {sign}120 a tonne: its price x 1,000 / its kilograms."
    return ""


def _own(unit: str) -> str:
    return "as a share of 1" if unit == "fraction" else shown(unit)
