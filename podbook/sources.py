"""The bibliography: where every equation and figure comes from, and how it was read."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Any

from podbook.errors import listed

MARKS = ("read", "read-secondary", "memory")
FIGURE_MARKS = ("published", "common practice", "from memory", "judgement", "derived")
"""What a figure may be marked as: how far it can be trusted."""
OWN = "own"
"""Key of the bibliography for a user's own figure."""
SHOWN = 60
"""Letters of what was found that are shown."""
NO_DOCUMENT = ("arithmetic", "common-practice", "judgement", OWN)
"""Keys that stand where there is no document to name."""


@dataclass(frozen=True)
class Source:
    """One entry of the bibliography."""

    key: str
    author: str
    year: str
    title: str
    place: str
    """Publisher, journal or page, and where in it."""
    read: str
    """How it was read, in one sentence."""
    mark: str
    """``read``, ``read-secondary`` or ``memory``."""

    @property
    def cited(self) -> str:
        """The source in one line."""
        written = f"{self.author} ({self.year})" if self.author else ""
        return "; ".join(part for part in (written, self.title, self.place) if part)


@cache
def bibliography() -> Mapping[str, Source]:
    """Return every source by its key."""
    text = (files("podbook") / "data" / "sources.toml").read_text(encoding="utf-8")
    return MappingProxyType({key: Source(key=key, **entry) for key, entry in tomllib.loads(text).items()})


def amiss(source: str, mark: str) -> tuple[str, str, str] | None:
    """Return what is amiss with the origin of a figure: the field, what was found, and what is allowed.

    What is blank is not judged. A figure of a work that was not read can't be marked as published.
    """
    if source and source not in bibliography():
        near = get_close_matches(source, list(bibliography()), 1, 0.8)
        return "source", told(source), f"a key of the bibliography, such as '{near[0] if near else OWN}'"
    if mark and mark not in FIGURE_MARKS:
        return "mark", told(mark), listed(FIGURE_MARKS)
    if source == OWN and mark and mark != "judgement":
        return "mark", f"'{mark}' of a figure of your own", "judgement"
    if source and mark == "published" and bibliography()[source].mark == "memory":
        return "mark", f"'published' of '{source}', which was not read", listed(FIGURE_MARKS[1:])
    return None


def told(found: Any) -> str:
    """Return what was found in a file as a complaint shows it."""
    try:
        text = repr(found)
    except ValueError:
        return "a number of too many figures"
    return text if len(text) <= SHOWN else text[: SHOWN - 1] + "…"
