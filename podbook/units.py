"""Units of measure: the one pint registry, and unit names as they stand in signatures and cells.

Dry mass and as-fed mass are dimensions of their own: only a dry-matter content, in
``kg_dry/kg_fed``, turns one into the other. A head and a tree are units, and so is money.
"""

from __future__ import annotations

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
    "head = [animal]",
    "tree = [tree]",
    "record = []",
    "bale = []",
    "USD = [currency]",
    "Mcal = 4.184 * megajoule",
)
"""Units that pint does not have. The pound and the thermochemical calorie are exact (NIST SP 811)."""

SHOWN = {
    "kg_dry": "kg DM",
    "lb_dry": "lb DM",
    "short_ton_dry": "ton DM",
    "kg_fed": "kg as fed",
    "lb_fed": "lb as fed",
    "short_ton_fed": "ton as fed",
    "USD": "$",
    "degF": "°F",
    "degC": "°C",
    "delta_degF": "°F",
    "delta_degC": "°C",
    "percent": "%",
    "fraction": "share",
    "ordinal": "no.",
    "score": "score",
    "dimensionless": "factor",
    "foot": "ft",
    "inch": "in",
    "record": "rows",
    "text": "",
    "flag": "1 = yes",
}
"""How a unit is printed beside a number, where it is not printed as it is spelled."""


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

    units: UnitRegistry[Any] = pint.UnitRegistry()
    for definition in DEFINITIONS:
        units.define(definition)
    units.define("fraction = []")
    units.define("flag = []")
    units.define("ordinal = []")
    units.define("score = []")
    return units


def shown(unit: str) -> str:
    """Return a unit as it is printed beside a number: ``lb_dry/acre`` is ``lb DM/acre``."""
    factors = unit.replace("**", "^").split("/")
    return "/".join(" ".join(_factor(each) for each in factor.split("*")) for factor in factors)


def _factor(factor: str) -> str:
    word, raised, power = factor.partition("^")
    return SHOWN.get(word, word) + raised + power
