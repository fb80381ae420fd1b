"""Figures as a person reads them: with their unit, and no more digits than the workbook shows."""

from __future__ import annotations

import re
from typing import Any

from podbook.book.node import Node
from podbook.proof.agreement import told
from podbook.systems import CURRENCIES
from podbook.units import shown

MONEY_SIGNS = tuple(shown(currency) for currency in CURRENCIES)


def amount(node: Node, value: Any) -> str:
    """Return a value of a node with its unit, such as ``$4,210`` or ``12.5 tons as fed``."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        return told(value)
    if value == 0 and (said := re.search(r';[^;]*;"([^"]+)"', node.look)):
        return said[1]
    decimals = len(match[1]) if (match := re.search(r"\.(0+)", node.look)) else 0
    if node.unit == "fraction":
        return f"{value:z.{decimals if '%' in node.look else 1}%}"
    number = f"{value:z,.{decimals}f}"
    if node.unit in ("dimensionless", "text"):
        return number
    unit = shown(node.unit).replace("head day", "head-days")
    money = next((sign for sign in MONEY_SIGNS if unit.startswith(sign)), "")
    if money:
        rest = unit.removeprefix(money)
        return f"-{money}{number[1:]}{rest}" if number.startswith("-") else f"{money}{number}{rest}"
    return f"{number} {unit}".rstrip()
