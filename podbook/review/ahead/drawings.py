"""What is drawn on the sheets of a workbook: charts, pictures and shapes, which a copy may not carry over."""

from __future__ import annotations

import posixpath
import zipfile
from collections import Counter
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING
from xml.etree import ElementTree

if TYPE_CHECKING:
    from openpyxl import Workbook

CHART, PICTURE, SHAPE = "chart", "picture", "shape"
WORKBOOK = "xl/workbook.xml"


def lost(path: Path, copied: Workbook) -> Mapping[str, Counter[str]]:
    """Return what is drawn on each sheet of a file and is not in the workbook that was read from it.

    The file must have passed the guard.
    """
    found: dict[str, Counter[str]] = {}
    for title, drawn in _drawn(path).items():
        sheet = copied[title]
        kept = Counter({CHART: len(sheet._charts), PICTURE: len(sheet._images)})  # type: ignore[attr-defined]
        if drawn - kept:
            found[title] = drawn - kept
    return found


def told(drawn: Mapping[str, Counter[str]]) -> str:
    """Return in words what is drawn on some sheets."""

    def kinds(one: Counter[str]) -> str:
        return ", ".join(f"{count} {kind}{'s' if count > 1 else ''}" for kind, count in sorted(one.items()))

    return "; ".join(f"{kinds(one)} on the sheet {title!r}" for title, one in drawn.items())


def _drawn(path: Path) -> dict[str, Counter[str]]:
    """Return how many charts, pictures and shapes stand on each worksheet that has any."""
    found: dict[str, Counter[str]] = {}
    with zipfile.ZipFile(path) as package:
        sheets = {key: target for key, kind, target in _relations(package, WORKBOOK) if kind == "worksheet"}
        for sheet in _parsed(package, WORKBOOK).iter() if sheets else ():
            part = sheets.get(next((value for name, value in sheet.items() if _local(name) == "id"), ""))
            if _local(sheet.tag) == "sheet" and part is not None:
                drawings = (target for _, kind, target in _relations(package, part) if kind == "drawing")
                drawn = Counter(kind for drawing in drawings for kind in _kinds(_parsed(package, drawing)))
                if drawn:
                    found[sheet.get("name", "")] = drawn
    return found


def _kinds(drawing: ElementTree.Element) -> Iterator[str]:
    """Yield what each anchor of a drawing holds; whatever is neither chart nor picture counts as a shape."""
    for anchor in drawing:
        names = {_local(each.tag) for each in anchor}
        if "pic" in names:
            yield PICTURE
        elif "graphicFrame" in names and any(_local(each.tag) == "chart" for each in anchor.iter()):
            yield CHART
        else:
            yield SHAPE


def _relations(package: zipfile.ZipFile, part: str) -> Iterator[tuple[str, str, str]]:
    """Yield key, kind and target of each relation of a part to another."""
    folder, name = posixpath.split(part)
    relations = f"{folder}/_rels/{name}.rels"
    if not {part, relations} <= set(package.namelist()):
        return
    for each in _parsed(package, relations):
        target = posixpath.normpath(posixpath.join(folder, each.get("Target", ""))).lstrip("/")
        if target in package.namelist():
            yield each.get("Id", ""), each.get("Type", "").rpartition("/")[2], target


def _parsed(package: zipfile.ZipFile, part: str) -> ElementTree.Element:
    return ElementTree.fromstring(package.read(part))


def _local(name: str) -> str:
    return name.rpartition("}")[2]
