"""Find a region by its name or in a user's own file; its text is read from outside and may be anything."""

from __future__ import annotations

import os
from functools import cache
from importlib.resources import files
from pathlib import Path

from podbook import own_files
from podbook.errors import listed
from podbook.regions.declared_weeds import refuse_declared
from podbook.regions.reading import Reading
from podbook.regions.region import Region

HOME = "us_midatl_appal"
"""The region where none is named: that of the demo farm."""
OWN = "PODBOOK_REGIONS"
"""Environment variable with the files of a user's own regions, which child processes go by too."""
LARGEST = 200_000
"""Bytes of a region's file; those that come with the package have about 6,000."""
KIND = "a region's file (TOML)"


@cache
def names() -> tuple[str, ...]:
    """Return the names of the regions that come with the package."""
    folder = files("podbook") / "regions"
    return tuple(sorted(entry.name[:-5] for entry in folder.iterdir() if entry.name.endswith(".toml")))


def known() -> tuple[str, ...]:
    """Return the names of the regions that come with the package and of the user's own that were made known."""
    return (*names(), *_known())


def know(name_or_path: str | Path) -> Region:
    """Return a region by its name or from a file; one of the user's own is known by its name from then on.

    It is known to this process and its children. Raises BadInput where its file can't be used, or its name is that of a
    region that comes with the package; PodbookError for a place in which honey locust is a declared weed.
    """
    region = load(name_or_path)
    if str(name_or_path) in known():
        return region
    if region.name in names():
        found = f"the name '{region.name}'"
        raise own_files.refused(name_or_path, found, "a name that no region of podbook has")
    path = str(Path(name_or_path).resolve())
    if path not in _own_files():
        os.environ[OWN] = os.pathsep.join((*_own_files(), path))
    return region


def _own_files() -> list[str]:
    return [each for each in os.environ.get(OWN, "").split(os.pathsep) if each]


def _known() -> dict[str, Region]:
    """Return the user's own regions that are known, by name."""
    return {region.name: region for region in (_read(each, _own(each)) for each in _own_files())}


def load(name_or_path: str | Path) -> Region:
    """Return a region by its name or from a file, or raise BadInput with a complaint for all that is wrong in it.

    Raises PodbookError for a place in which honey locust is a declared weed.
    """
    file = str(name_or_path)
    if file in names():
        text = (files("podbook") / "regions" / f"{file}.toml").read_text(encoding="utf-8")
    elif file in (own := _known()):
        return own[file]
    else:
        refuse_declared(file)
        text = _own(file)
    return _read(file, text)


def _read(file: str, text: str) -> Region:
    return Reading(file, text, own_files.entries(file, text, KIND)).region()


def _own(file: str) -> str:
    """Return the text of a user's own file."""
    path = Path(file)
    try:
        is_name = not path.suffix and not path.exists()
    except (OSError, ValueError):
        is_name = True
    if is_name:
        raise own_files.refused(file, "no such region", f"one of {listed(names())}, or the path of {KIND}")
    text = own_files.text(path, KIND, LARGEST)
    if not text.strip():
        raise own_files.refused(file, "an empty file", f"{KIND}: begin with 'podbook regions --start {path.name}'")
    return text
