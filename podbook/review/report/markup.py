"""Write markup: every text is escaped on its way in, so that nothing from a file can become an element."""

from __future__ import annotations

import re
from html import escape

MOST = 400
"""Letters of one text from the file that are shown; a cell can hold 32,767."""
_EMPTY = frozenset({"meta", "rect", "line", "path"})
_IN_LINE = frozenset({"code", "em", "q", "span", "strong", "text"})
_UNSEEN = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069\ud800-\udfff\ufdd0-\ufdef"
    + "".join(f"{chr(plane << 16 | 0xFFFE)}{chr(plane << 16 | 0xFFFF)}" for plane in range(17))
    + "]"
)
"""Control characters, those that turn the direction of the text around them, and what is no character at all."""


class Markup(str):
    """Text that is markup already; it is not escaped again."""

    __slots__ = ()


def element(tag: str, *parts: str, **attributes: str | int) -> Markup:
    """Return an element; a part that is no markup is escaped, as is every attribute.

    An attribute is named in Python's way: ``class_`` is class, ``aria_label`` is aria-label.
    """
    given = "".join(f' {_name(name)}="{_escaped(str(value))}"' for name, value in attributes.items())
    end = "" if tag in _IN_LINE else "\n"
    if tag in _EMPTY:
        return Markup(f"<{tag}{given} />{end}")
    return Markup(f"<{tag}{given}>{''.join(map(_part, parts))}</{tag}>{end}")


def joined(*parts: str) -> Markup:
    """Return parts one after another."""
    return Markup("".join(map(_part, parts)))


def short(text: str) -> str:
    """Return a text, cut where it is too long to read, with its length."""
    return text if len(text) <= MOST else f"{text[:MOST]} … ({len(text):,} letters)"


def _part(part: str) -> str:
    return part if isinstance(part, Markup) else _escaped(part)


def _escaped(text: str) -> str:
    return escape(_UNSEEN.sub("\ufffd", text.replace("\r\n", "\n").replace("\r", "\n")))


def _name(name: str) -> str:
    return name.removesuffix("_").replace("_", "-")
