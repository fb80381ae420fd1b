"""Units of measure: the one pint registry, and unit names as they stand in signatures and cells.

Dry mass and as-fed mass are dimensions of their own: only a dry-matter content, in
``kg_dry/kg_fed``, turns one into the other. A head and a tree are units, and so is money.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from pint import UnitRegistry

DEFINITIONS = (
    "kg_dry = [dry_mass]",
    "lb_dry = 0.45359237 * kg_dry",
    "short_ton_dry = 2000 * lb_dry",
    "kg_fed = [fed_mass]",
    "lb_fed = 0.45359237 * kg_fed",
    "short_ton_fed = 2000 * lb_fed",
    "acre = 43560 * foot ** 2",
    "tonne_dry = 1000 * kg_dry",
    "tonne_fed = 1000 * kg_fed",
    "head = [animal]",
    "animal_unit = [animal_unit]",
    "tree = [tree]",
    "record = []",
    "bale = []",
    "USD = [currency]",
    "EUR = [currency_of_europe]",
    "NZD = [currency_of_new_zealand]",
    "Mcal = 4.184 * megajoule",
)
"""Units that pint does not have, or has otherwise: its acre is that of the US survey foot, retired in 2022.

The pound, the foot and the thermochemical calorie are exact (NIST SP 811)."""

SHOWN = {
    "kg_dry": "kg DM",
    "lb_dry": "lb DM",
    "short_ton_dry": "ton DM",
    "kg_fed": "kg as fed",
    "lb_fed": "lb as fed",
    "short_ton_fed": "ton as fed",
    "tonne_dry": "t DM",
    "tonne_fed": "t as fed",
    "USD": "$",
    "EUR": "€",
    "NZD": "NZ$",
    "degF": "°F",
    "degC": "°C",
    "delta_degF": "°F",
    "delta_degC": "°C",
    "animal_unit": "AU",
    "percent": "%",
    "fraction": "share",
    "ordinal": "no.",
    "score": "score",
    "dimensionless": "factor",
    "foot": "ft",
    "hectare": "ha",
    "meter": "m",
    "kph": "km/h",
    "hectoliter": "hl",
    "megajoule": "MJ",
    "inch": "in",
    "record": "rows",
    "text": "",
    "flag": "1 = yes",
}
"""How a unit is printed beside a number, where it is not printed as it is spelled."""

COUNTS = ("bale", "flag", "ordinal", "record", "score")
"""Units that count or rank and have no dimension; none of them turns into another, or into a share."""
LONGEST = 60
"""Letters of a printed unit that is read at all."""
DIGITS = 14
"""Digits of a converted number: what is beyond them is rounding."""


@dataclass(frozen=True)
class In:
    """The unit of a parameter or a result, and the range in which its function holds."""

    unit: str
    low: float = float("-inf")
    high: float = float("inf")


@cache
def registry() -> UnitRegistry[Any]:
    """Return the only pint registry of the package."""
    import pint

    units: UnitRegistry[Any] = pint.UnitRegistry(on_redefinition="ignore")
    for definition in DEFINITIONS:
        units.define(definition)
    units.define("fraction = []")
    units.define("flag = []")
    units.define("ordinal = []")
    units.define("score = []")
    return units


@cache
def shown(unit: str) -> str:
    """Return a unit as it is printed beside a number: ``lb_dry/acre`` is ``lb DM/acre``."""
    factors = unit.replace("**", "^").split("/")
    return "/".join(" ".join(_factor(each) for each in factor.split("*")) for factor in factors)


def _factor(factor: str) -> str:
    word, raised, power = factor.partition("^")
    return SHOWN.get(word, word) + raised + power


def spelled(words: str) -> str | None:
    """Return the unit that is printed in these words: the other way round than ``shown``; None if they are no unit."""
    parts = []
    for whole, unit in _printed().items():
        if "/" in whole:
            words = re.sub(rf"(?<![^/ ]){re.escape(whole)}(?![^/ ])", unit, words)
    for part in words.split("/"):
        factors = list(_factors().finditer(part.strip()))
        if not factors or "".join(each[0] for each in factors) != part.strip():
            return None
        parts.append(
            "*".join(_printed().get(each[1], each[1]) + (f"**{each[2]}" if each[2] else "") for each in factors)
        )
    return "/".join(parts)


@cache
def _printed() -> dict[str, str]:
    """Return each unit that is not printed as it is spelled, by its printed words; of two the first."""
    return {words: unit for unit, words in reversed(SHOWN.items()) if words}


@cache
def _factors() -> re.Pattern[str]:
    phrases = "|".join(re.escape(words) for words in sorted(_printed(), key=len, reverse=True))
    return re.compile(rf"({phrases}|[A-Za-z_]{{1,30}}|1)(?:\^([1-4]))?(?: |$)")


def converted(number: float, words: str, unit: str) -> float | None:
    """Return a number beside which a unit is printed in these words in another unit; None where it can't be turned."""
    if words.strip() == shown(unit):
        return number
    beside = spelled(words) if len(words) <= LONGEST else None
    if beside is None or _counts(beside) != _counts(unit):
        return None
    if "delta_" in unit:
        beside = re.sub(r"\bdeg", "delta_deg", beside)
    import pint

    try:
        turned = registry().Quantity(number, registry().parse_units(beside)).to(unit).magnitude
    except (pint.errors.PintError, ArithmeticError, ValueError, TypeError, AttributeError):
        return None
    return float(f"{turned:.{DIGITS}g}")


def _counts(unit: str) -> list[str]:
    return sorted(word for word in re.findall(r"[A-Za-z_]+", unit) if word in COUNTS)
