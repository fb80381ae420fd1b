"""Weather stations with their monthly normals, and how one is found by what a person types."""

from __future__ import annotations

import csv
import re
from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache
from importlib.resources import files
from types import MappingProxyType

from podbook.errors import PodbookError

NORMALS = "noaa-normals-1991-2020"
"""Key of the bibliography."""
PERIOD = "1991-2020"
MOST_NAMED = 8
"""Stations that an error names."""
HOW_TO_LIST = "'podbook regions --stations' lists them all"


@dataclass(frozen=True)
class Station:
    """A weather station with the normals of its daily mean temperature."""

    id: str
    name: str
    state: str
    temperatures: Mapping[int, float]
    """Monthly means in °F; January is 1."""

    @property
    def title(self) -> str:
        """Its name and state, as a person reads them."""
        return f"{self.name} {self.state}"


@cache
def stations() -> tuple[Station, ...]:
    """Return every station, in the order of the table: by state and name."""
    text = (files("podbook") / "data" / "climate_normals_1991_2020.csv").read_text(encoding="utf-8")
    return tuple(_station(row) for row in csv.DictReader(text.splitlines()))


def _station(row: Mapping[str, str]) -> Station:
    by_month = {month: float(value) for month, value in enumerate(list(row.values())[3:15], 1)}
    return Station(row["Station ID"], row["City"], row["State"], MappingProxyType(by_month))


def found(words: str) -> tuple[Station, ...]:
    """Return the stations that words may mean: the one of this id or exact name, else those whose names hold them."""
    asked = _plain(words)
    number = re.sub(r"^usw0*|^0+", "", asked)
    for exactly in (
        [each for each in stations() if each.id == number],
        [each for each in stations() if asked in (_plain(each.title), _plain(each.name))],
    ):
        if exactly:
            return tuple(exactly)
    return tuple(each for each in stations() if asked and asked in _plain(each.title))


def station(words: str) -> Station:
    """Return the station of an id, a name, or a part of a name that no other station has; case is of no matter.

    Raises PodbookError with the nearest names where there is none, or more than one.
    """
    meant = found(words)
    if len(meant) == 1:
        return meant[0]
    if not _plain(words):
        raise PodbookError(f"station: found no letters; allowed: an id or a name; {HOW_TO_LIST}")
    if meant:
        raise PodbookError(
            f"station '{words}': found {len(meant)}: {_named(meant)}; name one of them by name and state"
        )
    titles = {_plain(each.title): each for each in stations()}
    names = {_plain(each.name): each for each in stations()}
    near = {
        kind[close].id: kind[close]
        for kind in (titles, names)
        for close in get_close_matches(_plain(words), list(kind), MOST_NAMED // 2, 0.6)
    }
    nearest = f"the nearest names: {_named(tuple(near.values()))}; " if near else ""
    raise PodbookError(f"station '{words}': found none of this name; {nearest}{HOW_TO_LIST}")


def _named(several: tuple[Station, ...]) -> str:
    more = f" and {len(several) - MOST_NAMED} more" if len(several) > MOST_NAMED else ""
    return ", ".join(f"{each.title} ({each.id})" for each in several[:MOST_NAMED]) + more


def _plain(words: str) -> str:
    """Return words in small letters, with one space for whatever is no letter or figure."""
    return " ".join(re.findall(r"[^\W_]+", words.casefold().replace("'", "")))
