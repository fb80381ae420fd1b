"""How far two colours stand apart, by W3C, Web Content Accessibility Guidelines 2.2 (2023): relative luminance and
contrast ratio as its glossary defines them.
"""

from __future__ import annotations

TEXT = 4.5
"""Least contrast of text with its ground: success criterion 1.4.3, level AA."""
GRAPHICS = 3.0
"""Least contrast of what must be seen of a control or a picture with what is beside it: 1.4.11, level AA."""


def luminance(colour: str) -> float:
    """Return the relative luminance of a colour written RRGGBB, or AARRGGBB."""
    shares = (int(colour[-6:][place : place + 2], 16) / 255 for place in (0, 2, 4))
    linear = [share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4 for share in shares]
    return sum(weight * each for weight, each in zip((0.2126, 0.7152, 0.0722), linear, strict=True))


def contrast(one: str, other: str) -> float:
    """Return the contrast ratio of two colours, from 1 to 21."""
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)
