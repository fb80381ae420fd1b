"""What the tests of the report share: what is put into a workbook, and how a page is looked through."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from xml.etree import ElementTree

from openpyxl.utils import get_column_letter
from openpyxl.utils.cell import range_boundaries

SCRIPT = "<script>alert(1)</script> Farm"
SHEET = '"><img src=x onerror=alert(1)>'
QUOTED = '120 "dollars" <b>a & b</b>'
LONG = "w" * 3_000
WORSE = {"saving": 9999.0, "de_per_tdn": 4.9}


def tree(page: Path) -> ElementTree.Element:
    """The page as a tree: it is written so that a reader of XML takes it, too."""
    return ElementTree.fromstring(page.read_text(encoding="utf-8").removeprefix("<!DOCTYPE html>\n"))


def words(part: ElementTree.Element) -> str:
    return " ".join("".join(part.itertext()).split())


def section(page: Path, name: str) -> ElementTree.Element:
    found = tree(page).find(f".//section[@aria-labelledby='{name}']")
    assert found is not None
    return found


def unfolded(spanned: list[str]) -> Iterator[str]:
    for each in spanned:
        left, top, right, bottom = range_boundaries(each)
        yield from (
            f"{get_column_letter(column)}{row}" for row in range(top, bottom + 1) for column in range(left, right + 1)
        )
