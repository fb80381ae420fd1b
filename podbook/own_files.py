"""Text files that a user wrote, CSV or TOML: what is wrong with a file as a whole is told in one complaint."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

from podbook.errors import BadInput, Complaint

LARGEST = 10_000_000
"""Bytes of a file of inputs; a tally of 5,000 trees has about 200,000."""
PACKED = b"PK\x03\x04"
"""How a workbook begins, as does every other file that is packed."""
LINES = 'lines such as name = 3 or name = "a word", below headings in [brackets]'
PLACE = re.compile(r" \(at (?:line (\d+), column \d+|end of document)\)$")


def refused(file: str | Path, found: str, allowed: str, line: int | None = None) -> BadInput:
    """Return the error about a whole file, or a whole line of it."""
    return BadInput([Complaint(str(file), line, "", found, allowed)])


def text(path: Path, kind: str, most: int = LARGEST) -> str:
    """Return what stands in a file, or raise BadInput; ``kind`` says in words which file was asked for."""
    try:
        if path.is_dir():
            raise refused(path, "a folder", f"the path of {kind}")
        if not path.exists():
            raise refused(path, "no such file", f"the path of {kind}")
        if not path.is_file():
            raise refused(path, "no plain file", f"the path of {kind}")
        with path.open("rb") as opened:
            content = opened.read(most + 1)
    except OSError as error:
        raise refused(path, f"a file that cannot be read ({error.strerror})", kind) from None
    if content.startswith(PACKED):
        raise refused(path, "a workbook or another packed file", f"{kind}, which is plain text")
    if len(content) > most:
        raise refused(path, f"more than {most:,} bytes", kind)
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        raise refused(path, "letters that are not UTF-8", f"{kind}, saved as UTF-8", line) from None


def entries(file: str | Path, written: str, kind: str) -> dict[str, Any]:
    """Return the entries of a TOML file from its text, or raise BadInput."""
    if "\0" in written:
        raise refused(file, "a binary file", f"{kind}, which is plain text")
    try:
        return tomllib.loads(written)
    except tomllib.TOMLDecodeError as error:
        place = PLACE.search(str(error))
        said = PLACE.sub("", str(error))
        line = int(place[1]) if place and place[1] else None
        where = "a line that is no TOML" if line else "an end that is no TOML"
        raise refused(file, f"{where} ({said[:1].lower()}{said[1:]})", LINES, line) from None
    except (RecursionError, ValueError):
        raise refused(file, "a number too long, or lists too deep in lists, to be read", kind) from None
