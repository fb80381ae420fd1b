"""Read what stands in the cells of an .xlsx file: contents, stored values, names and notes, without calculating.

Only what the standard ECMA-376 (part 1, 18.2 to 18.4) says of cells is read, once the guard has passed the file.
"""

from __future__ import annotations

import posixpath
import re
import zipfile
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

from podbook.errors import NotOurWorkbook
from podbook.recalc import Address, Cell, Fault
from podbook.review.gate import guard
from podbook.review.gate.contents import Contents
from podbook.review.gate.plain import Plain

_NUMBER = re.compile(r"\s*[-+]?(\d+\.?\d*|\.\d+)([eE][-+]?\d+)?\s*", re.ASCII)
_WHOLE = re.compile(r"\s*\d+\s*", re.ASCII)
_TRUTHS = {"0": False, "1": True, "false": False, "true": True}
_DAMAGED = (
    *(KeyError, ValueError, IndexError, AttributeError, TypeError, EOFError, NotImplementedError),
    *(zipfile.BadZipFile, ElementTree.ParseError),
)


def read(path: Path) -> Contents:
    """Read a file, once the guard has passed it.

    Raises NotOurWorkbook for one that is no workbook or damaged, Refused for one that is not safe to open.
    """
    plain = guard.check(path)
    try:
        with zipfile.ZipFile(path) as package:
            return _Reader(package, plain).contents()
    except _DAMAGED as problem:
        raise NotOurWorkbook(
            f"{path}: can't be read as a workbook ({type(problem).__name__}); save it again as .xlsx"
        ) from problem


@dataclass
class _Reader:
    package: zipfile.ZipFile
    plain: Mapping[str, Plain]
    """What the guard took of parts whose cells are written plainly."""
    stored: dict[Address, Cell] = field(default_factory=dict)
    notes: list[tuple[str, str, str]] = field(default_factory=list)

    def contents(self) -> Contents:
        parts = {name.lower(): name for name in self.package.namelist()}
        targets = self._relations("xl/workbook.xml", parts)
        names: dict[str, str] = {}
        local: dict[int, set[str]] = {}
        listed: list[tuple[str, str]] = []
        for kind, element in self._elements("xl/workbook.xml", ("sheet", "definedName")):
            if kind == "sheet":
                relation = next(value for key, value in element.attrib.items() if key.endswith("}id"))
                listed.append((element.attrib["name"], relation))
            elif "localSheetId" in element.attrib:
                local.setdefault(int(element.attrib["localSheetId"]), set()).add(element.attrib["name"])
            elif element.attrib["name"] in names:
                raise ValueError("a name stands twice")
            else:
                names[element.attrib["name"]] = element.text or ""
        if len({title.casefold() for title, _ in listed}) < len(listed):
            raise ValueError("two sheets have one title")
        shared = self._shared_strings(targets)
        sheets = {}
        for title, relation in listed:
            kind, part = targets[relation]
            sheets[title] = self._cells(title, part, shared) if kind == "worksheet" else {}
            for what, target in self._relations(part, parts).values():
                if what == "comments":
                    self._read_notes(title, target)
        own = {listed[number][0]: frozenset(found) for number, found in local.items() if number < len(listed)}
        return Contents(sheets, self.stored, names, own, tuple(self.notes))

    def _elements(self, part: str, kinds: tuple[str, ...]) -> Iterator[tuple[str, ElementTree.Element]]:
        """Yield the elements of a part that have one of these local names."""
        with self.package.open(part) as stream:
            for _, element in ElementTree.iterparse(stream):
                kind = element.tag.rpartition("}")[2]
                if kind in kinds:
                    yield kind, element

    def _relations(self, part: str, parts: Mapping[str, str]) -> dict[str, tuple[str, str]]:
        """Return the kind and the target of each relation of a part, by its id; only targets that are there."""
        folder, _, name = part.rpartition("/")
        source = parts.get(f"{folder}/_rels/{name}.rels".lower())
        found: dict[str, tuple[str, str]] = {}
        if source is None:
            return found
        for _, element in self._elements(source, ("Relationship",)):
            target = element.attrib["Target"]
            joined = target.lstrip("/") if target.startswith("/") else posixpath.normpath(f"{folder}/{target}")
            if joined.lower() in parts:
                found[element.attrib["Id"]] = (element.attrib["Type"].rpartition("/")[2], parts[joined.lower()])
        return found

    def _shared_strings(self, targets: Mapping[str, tuple[str, str]]) -> list[str]:
        part = next((part for kind, part in targets.values() if kind == "sharedStrings"), None)
        return [] if part is None else [_text(element) for _, element in self._elements(part, ("si",))]

    def _cells(self, title: str, part: str, shared: list[str]) -> dict[str, Any]:
        """Return what stands in the cells of a sheet; what is stored beside its formulas is kept."""
        cells: dict[str, Any] = {}
        if part in self.plain:
            of = self.plain[part]
            for coordinate, kind, said, written, text in zip(
                of.coordinates, of.kinds, of.formulas, of.values, of.texts, strict=True
            ):
                self._put(cells, title, coordinate, kind, said, _value(kind, written, text or "", shared))
            return cells
        masters: dict[str, tuple[str, str]] = {}
        for kind, element in self._elements(part, ("c", "row")):
            if kind == "row":
                element.clear()
                continue
            coordinate = element.attrib["r"]
            formula, value = _only(element, "f"), _only(element, "v")
            kind, text = element.get("t", "n"), "" if value is None else value.text or ""
            found = _value(kind, text, _text(element) if kind == "inlineStr" else "", shared)
            said = None if formula is None else _formula(formula, coordinate, masters)
            self._put(cells, title, coordinate, kind, said, found)
        return cells

    def _put(
        self, cells: dict[str, Any], title: str, coordinate: str, kind: str, formula: str | None, found: Cell
    ) -> None:
        if formula is not None:
            if found is not None or kind == "str":
                self.stored[(title, coordinate)] = found
            cells[coordinate] = "=" + formula
        elif found is not None:
            if isinstance(found, str) and found.startswith("="):
                found = f"'{found}"
            cells[coordinate] = str(found) if isinstance(found, Fault) else found

    def _read_notes(self, title: str, part: str) -> None:
        for _, element in self._elements(part, ("comment",)):
            self.notes.append((title, element.attrib["ref"], _text(element)))


def _only(cell: ElementTree.Element, kind: str) -> ElementTree.Element | None:
    """Return the one child of that local name; two of a kind would be read by each program in its own way."""
    found = [child for child in cell if child.tag.rpartition("}")[2] == kind]
    if len(found) > 1:
        raise ValueError("a cell has two contents")
    return found[0] if found else None


def _formula(element: ElementTree.Element, coordinate: str, masters: dict[str, tuple[str, str]]) -> str:
    """Return the text of a formula; one that is shared is moved to its own cell."""
    text = element.text or ""
    if element.get("t") != "shared":
        return text
    number = element.attrib["si"]
    if text:
        masters[number] = (text, coordinate)
        return text
    from openpyxl.formula.translate import Translator, TranslatorError

    master, origin = masters[number]
    try:
        return str(Translator("=" + master, origin).translate_formula(coordinate))[1:]
    except TranslatorError:
        raise ValueError("a shared formula reaches beyond the sheet") from None


def _value(kind: str, text: str, inline: str, shared: list[str]) -> Cell:
    """Return what a cell of a kind holds, by the text of its value, and the one that stands in it outright."""
    if kind == "inlineStr":
        if text:
            raise ValueError("a value beside a text")
        return inline or None
    if not text:
        return None
    if kind == "n":
        if not _NUMBER.fullmatch(text):
            raise ValueError("no number")
        return float(text)
    if kind == "s":
        if not _WHOLE.fullmatch(text):
            raise ValueError("no such text")
        return shared[int(text)] or None
    if kind == "b":
        return _TRUTHS[text.strip()]
    if kind == "e":
        return Fault(text)
    if kind in ("str", "d"):
        return text
    raise ValueError("no kind of cell")


def _text(element: ElementTree.Element) -> str:
    """Return the text of a string or a note, without its phonetic reading."""
    pieces = []
    for child in element:
        kind = child.tag.rpartition("}")[2]
        if kind == "t":
            pieces.append(child.text or "")
        elif kind in ("r", "is", "text"):
            pieces.append(_text(child))
    return "".join(pieces)
