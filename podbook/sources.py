"""The bibliography: where every equation and figure comes from, and how it was read."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from types import MappingProxyType

MARKS = ("read", "read-secondary", "memory")
NO_DOCUMENT = ("arithmetic", "common-practice", "judgement", "own")
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
