"""The two systems of units of a workbook, and the exact factors between them.

A book is described in US customary units; a metric book is the same book with every unit, figure and factor turned.
Factors: pound, foot and thermochemical calorie are exact (NIST SP 811, Appendix B.8).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from typing import Any

US, METRIC = "us", "metric"
SYSTEMS = {US: "pounds, acres, degrees Fahrenheit, Mcal", METRIC: "kilograms, hectares, degrees Celsius, MJ"}
MONEY = "USD"
"""The word for money in the units of a book that has not been given its currency."""
CURRENCIES = {"USD": "US dollars", "EUR": "euros", "NZD": "New Zealand dollars"}
DIGITS = 15
"""Digits of a number that has been turned: what is beyond them is rounding."""


@dataclass(frozen=True)
class Spoken:
    """How the measures of a system are spoken of."""

    mass: str
    masses: str
    ton: str
    tons: str


SPOKEN = {US: Spoken("lb", "pounds", "ton", "tons"), METRIC: Spoken("kg", "kilograms", "tonne", "tonnes")}

POUND, FOOT, MILE = 0.45359237, 0.3048, 1.609344
ACRE = 43560 * FOOT**2 / 10000
BUSHEL = 2150.42 * 0.0254**3 * 10
_METRIC = {
    "lb": ("kg", POUND),
    "lb_dry": ("kg_dry", POUND),
    "lb_fed": ("kg_fed", POUND),
    "short_ton_dry": ("tonne_dry", 2 * POUND),
    "short_ton_fed": ("tonne_fed", 2 * POUND),
    "acre": ("hectare", ACRE),
    "foot": ("meter", FOOT),
    "mph": ("kph", MILE),
    "bushel": ("hectoliter", BUSHEL),
    "Mcal": ("megajoule", 4.184),
    "delta_degF": ("delta_degC", 5 / 9),
}
_WORD = re.compile(r"[A-Za-z_]+")
_FACTOR = re.compile(r"([*/]?)([A-Za-z_]+)(?:\*\*([0-9.]+))?")


@dataclass(frozen=True)
class Turn:
    """How a figure is turned: ``scale`` times what it is above ``start``."""

    scale: float = 1.0
    start: float = 0.0

    def of(self, figure: Any) -> Any:
        """Return a figure, or an array of them, in the other unit."""
        return self.scale * (figure - self.start)

    def back(self, figure: Any) -> Any:
        """Return a figure of the other unit, or an array of them, in its own."""
        return figure / self.scale + self.start


def tidy(figure: float) -> float:
    """Return a turned figure without the last digits, which are rounding."""
    return float(f"{figure:.{DIGITS}g}")


@cache
def metric(unit: str) -> tuple[str, Turn]:
    """Return the metric unit that stands for a unit of the US book, and how its figures are turned."""
    if unit == "degF":
        return "degC", Turn(5 / 9, 32)
    scale = 1.0
    for sign, word, power in _FACTOR.findall(unit):
        if word in _METRIC:
            scale *= _METRIC[word][1] ** ((-1 if sign == "/" else 1) * float(power or 1))
    return _WORD.sub(lambda found: _METRIC[found[0]][0] if found[0] in _METRIC else found[0], unit), Turn(scale)


def in_money(unit: str, currency: str) -> str:
    """Return a unit of the US book with a currency in place of its word for money."""
    return re.sub(rf"\b{MONEY}\b", currency, unit)
