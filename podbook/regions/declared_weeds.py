"""Places where honey locust is a declared weed: no region is made for them, and who asks for one is told why."""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from podbook.errors import PodbookError
from podbook.sources import bibliography


@dataclass(frozen=True)
class Declared:
    """A place where honey locust is a declared weed."""

    name: str
    title: str
    spellings: tuple[str, ...]
    """What a person may type for it, in small letters."""
    reason: str
    source: str
    """Key of the bibliography."""
    mark: str


@cache
def declared_weeds() -> tuple[Declared, ...]:
    """Return every such place that is known."""
    text = (files("podbook") / "data" / "declared_weeds.toml").read_text(encoding="utf-8")
    return tuple(
        Declared(name=name, **{**entry, "spellings": tuple(entry["spellings"])})
        for name, entry in tomllib.loads(text).items()
    )


def declared_place(words: str) -> Declared | None:
    """Return the place that words name, if honey locust is a declared weed there."""
    asked = _plain(words)
    known = (each for each in declared_weeds() if asked in map(_plain, (each.name, each.title, *each.spellings)))
    return next(known, None)


def refuse_declared(words: str) -> None:
    """Raise PodbookError if words name a place where honey locust is a declared weed."""
    place = declared_place(words)
    if place is not None:
        raise PodbookError(
            f"{words}: no workbook is made for {place.title}. {place.reason} "
            f"(source: {bibliography()[place.source].cited}; mark: {place.mark}). "
            "Ask the plant-health authority of the place before you plant, buy, give or keep the tree."
        )


def _plain(words: str) -> str:
    """Return words in small letters, without whatever is no letter."""
    return "".join(re.findall(r"[^\W\d_]+", words.casefold()))
