"""Find a region by its name or in a user's own file; its text is read from outside and may be anything."""

from __future__ import annotations

import os
import re
import tomllib
from functools import cache
from importlib.resources import files
from pathlib import Path

from podbook.errors import BadInput, Complaint
from podbook.regions.declared_weeds import refuse_declared
from podbook.regions.reading import Reading
from podbook.regions.region import Region

HOME = "us_midatl_appal"
"""The region where none is named: that of the demo farm."""
WHOLE_FILE = "(whole file)"
OWN = "PODBOOK_REGIONS"
"""Environment variable with the files of a user's own regions, which child processes go by too."""
LARGEST = 200_000
"""Bytes of a region's file; those that come with the package have about 6,000."""


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
        raise _refused(str(name_or_path), f"the name '{region.name}'", "a name that no region of podbook has")
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
    try:
        return Reading(file, text, tomllib.loads(text)).region()
    except (RecursionError, ValueError) as error:
        raise _no_toml(file, error) from None


def _own(file: str) -> str:
    """Return the text of a user's own file."""
    path = Path(file)
    try:
        if path.is_dir():
            raise _refused(file, "a folder", "the path of one region's file")
        if not path.exists():
            allowed = f"one of {', '.join(names())}, or the path of a region's file"
            raise _refused(file, "no such region", allowed)
        if not path.is_file():
            raise _refused(file, "no plain file", "the path of a region's file")
        with path.open("rb") as opened:
            content = opened.read(LARGEST + 1)
    except OSError as error:
        raise _refused(file, f"a file that cannot be read ({error.strerror})", "a TOML file") from None
    if len(content) > LARGEST:
        raise _refused(file, f"more than {LARGEST:,} bytes", "a region's file, of some 6,000 bytes")
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        raise _refused(file, f"bytes that are not UTF-8, in line {line}", "a TOML file in UTF-8") from None
    if "\0" in text:
        raise _refused(file, "a binary file", "a TOML file in UTF-8")
    if not text.strip():
        allowed = f"a region's file: begin with 'podbook regions --start {path.name}'"
        raise _refused(file, "an empty file", allowed)
    return text


def _refused(file: str, found: str, allowed: str) -> BadInput:
    return BadInput([Complaint(file, None, WHOLE_FILE, found, allowed)])


def _no_toml(file: str, error: Exception) -> BadInput:
    place = re.search(r"at line (\d+)", str(error))
    found = str(error) if isinstance(error, tomllib.TOMLDecodeError) else "what no TOML file of a region holds"
    return BadInput([Complaint(file, int(place[1]) if place else 1, WHOLE_FILE, found, "a TOML file in UTF-8")])
