"""Another reading of a workbook, by the letter of ECMA-376: to see whether a verdict of 'all agrees' may stand.

It shares no code with podbook. Whatever the standard does not allow here makes a file Unreadable: of such a file
nothing may be said to agree.
"""

from __future__ import annotations

import io
import posixpath
import re
import zipfile
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any
from xml.etree import ElementTree

from openpyxl.formula.translate import Translator

MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
RELATED = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}"
PACKAGED = "{http://schemas.openxmlformats.org/package/2006/relationships}"
WORKSHEET = "http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet"
STRINGS = "http://schemas.openxmlformats.org/officeDocument/2006/relationships/sharedStrings"
NUMBER = re.compile(r"[-+]?(\d+(\.\d*)?|\.\d+)([eE][-+]?\d+)?", re.ASCII)
SPAN = re.compile(r"(?:'((?:[^']|'')+)'|([^'!:,\s]+))!\$?([A-Z]{1,3})\$?(\d+)(?::\$?([A-Z]{1,3})\$?(\d+))?", re.ASCII)
Content = tuple[str, Any]
"""The kind of a content, and the content."""


class Unreadable(Exception):
    """A file that the standard does not allow, or not so far as it is read here."""


def need(condition: object, words: str) -> None:
    if not condition:
        raise Unreadable(words)


@dataclass(frozen=True)
class Reading:
    """What stands in a workbook."""

    names: Mapping[str, tuple[str, ...]]
    """Of each name of the whole book, in small letters: sheet, and the corners of what it stands for."""
    own_names: frozenset[tuple[str, str]]
    """Sheet and name, in small letters, of each name that holds on one sheet only."""
    cells: Mapping[tuple[str, str], Content]


class Strict:
    """Reads one file."""

    def __init__(self, content: bytes) -> None:
        try:
            with zipfile.ZipFile(io.BytesIO(content)) as package:
                self.parts = {name: package.read(name) for name in package.namelist()}
        except Exception as fault:
            raise Unreadable(f"the package: {fault}") from None

    def reading(self) -> Reading:
        book = self._tree("xl/workbook.xml")
        need(book.tag == f"{MAIN}workbook", "xl/workbook.xml holds no workbook")
        sheets = self._one(book, "sheets")
        titles = [sheet.get("name", "") for sheet in sheets.findall(f"{MAIN}sheet")]
        need(len(titles) == len(sheets) and len({title.casefold() for title in titles}) == len(titles), "titles")
        cells: dict[tuple[str, str], Content] = {}
        for title, sheet in zip(titles, sheets, strict=True):
            kind, part = self._relations.get(sheet.get(f"{RELATED}id", ""), ("", ""))
            need(kind == WORKSHEET, f"the sheet {title} has no part")
            for coordinate, content in self._cells(part):
                cells[(title, coordinate)] = content
        names: dict[str, tuple[str, ...]] = {}
        own: set[tuple[str, str]] = set()
        defined = book.findall(f"{MAIN}definedNames")
        need(len(defined) == 1, "defined names")
        for each in defined[0]:
            need(each.tag == f"{MAIN}definedName" and len(each) == 0, "a defined name")
            name, local = each.get("name", "").casefold(), each.get("localSheetId")
            if local is not None:
                need(NUMBER.fullmatch(local) and int(local) < len(titles), "the sheet of a name")
                own.add((titles[int(local)], name))
                continue
            need(name not in names, f"the name {name} stands twice")
            found = SPAN.fullmatch((each.text or "").strip())
            corners = (found[3] + found[4], f"{found[5] or found[3]}{found[6] or found[4]}") if found else ()
            sheet = (found[1] or found[2]).replace("''", "'") if found else ""
            names[name] = (sheet, *corners) if found else ("", each.text or "")
        return Reading(names, frozenset(own), cells)

    def _tree(self, part: str) -> ElementTree.Element:
        need(part in self.parts, f"{part} is missing")
        try:
            return ElementTree.fromstring(self.parts[part])
        except (ElementTree.ParseError, ValueError, LookupError) as fault:
            raise Unreadable(f"{part}: {fault}") from None

    def _one(self, parent: ElementTree.Element, kind: str) -> ElementTree.Element:
        found = parent.findall(MAIN + kind)
        need(len(found) == 1, f"{len(found)} times {kind}")
        return found[0]

    @cached_property
    def _relations(self) -> dict[str, tuple[str, str]]:
        found: dict[str, tuple[str, str]] = {}
        for each in self._tree("xl/_rels/workbook.xml.rels").findall(f"{PACKAGED}Relationship"):
            need(each.get("Id") not in found, "a relation stands twice")
            target = each.get("Target", "")
            part = target.lstrip("/") if target.startswith("/") else posixpath.normpath(f"xl/{target}")
            found[each.get("Id", "")] = (each.get("Type", ""), part)
        return found

    @cached_property
    def _strings(self) -> list[str]:
        parts = [part for kind, part in self._relations.values() if kind == STRINGS]
        need(len(parts) == 1, "shared strings")
        tree = self._tree(parts[0])
        need(tree.tag == f"{MAIN}sst", "shared strings")
        return [text(each) for each in tree.findall(f"{MAIN}si")]

    def _cells(self, part: str) -> Iterator[tuple[str, Content]]:
        sheet = self._tree(part)
        need(sheet.tag == f"{MAIN}worksheet", f"{part} holds no worksheet")
        last_row, masters = 0, dict[str, tuple[str, str]]()
        for row in self._one(sheet, "sheetData"):
            need(row.tag == f"{MAIN}row", f"{part}: what stands beside rows")
            number = row.get("r", str(last_row + 1))
            need(NUMBER.fullmatch(number) and int(number) > last_row, f"{part}: rows out of order")
            last_row, last_column = int(number), 0
            for cell in row:
                need(cell.tag == f"{MAIN}c", f"{part}: what stands beside cells")
                found = re.fullmatch(r"([A-Z]{1,3})(\d+)", cell.get("r", ""), re.ASCII)
                need(found and int(found[2]) == last_row, f"{part}: a cell in a wrong row")
                assert found is not None
                column = sum((ord(letter) - 64) * 26**place for place, letter in enumerate(reversed(found[1])))
                need(column > last_column, f"{part}: cells out of order")
                last_column = column
                content = self._content(cell, masters)
                if content is not None:
                    yield cell.get("r", ""), content

    def _formula(self, element: ElementTree.Element, at: str, masters: dict[str, tuple[str, str]]) -> str:
        """Return the text of a formula; one that is shared is moved from the cell that holds its text."""
        number = element.get("si", "") if element.get("t") == "shared" else ""
        if not number or element.text:
            masters[number] = (element.text or "", at)
            return element.text or ""
        need(number in masters, "a shared formula without its text")
        master, origin = masters[number]
        return str(Translator(f"={master}", origin).translate_formula(at))[1:]

    def _content(self, cell: ElementTree.Element, masters: dict[str, tuple[str, str]]) -> Content | None:
        formulas, values, texts = (cell.findall(MAIN + kind) for kind in ("f", "v", "is"))
        need(max(len(formulas), len(values), len(texts)) <= 1, "two contents of one cell")
        need(not any(len(each) for each in (*formulas, *values)), "elements in a content")
        kind = cell.get("t", "n")
        need(kind in ("n", "s", "str", "b", "e", "inlineStr", "d"), f"a cell of kind {kind}")
        value = (values[0].text or "").strip() if values and kind != "str" else values[0].text or "" if values else ""
        if formulas:
            need(formulas[0].get("t", "normal") in ("normal", "shared"), "a formula of another kind")
            return "formula", self._formula(formulas[0], cell.get("r", ""), masters)
        if kind == "inlineStr":
            need(not values, "a value beside a text")
            return ("text", found) if texts and (found := text(texts[0])) else None
        need(not texts, "a text in a cell of another kind")
        if kind == "s" and value:
            need(re.fullmatch(r"\d+", value, re.ASCII) and int(value) < len(self._strings), "a shared string")
            return ("text", found) if (found := self._strings[int(value)]) else None
        if kind in ("str", "e", "d"):
            return ("text", value) if value else None
        if kind == "b" and value:
            need(value in ("0", "1", "true", "false"), "a truth value")
            return "truth", value in ("1", "true")
        need(not value or NUMBER.fullmatch(value), f"a number {value!r}")
        return ("number", float(value)) if value else None


def text(element: ElementTree.Element) -> str:
    """Return a text: whole, or of its runs."""
    plain = [each.text or "" for each in element.findall(f"{MAIN}t")]
    return "".join(plain) + "".join(text(each) for each in element.findall(f"{MAIN}r"))


def wrongly_agreed(before: Reading, content: bytes, seen: Mapping[tuple[str, str], Any]) -> str:
    """Return why a file may not be said to agree with what it was before it was spoiled; an empty text if it may.

    Its names and formulas must be as they were. What is filled in, and any other content that is no formula, may be
    another (a user might have typed it), if verification saw it (``seen``) as it stands.
    """
    try:
        after = Strict(content).reading()
    except Unreadable as fault:
        return f"unreadable: {fault}"
    ours = {name: span for name, span in before.names.items() if span[0]}
    for name, span in ours.items():
        if after.names.get(name) != span:
            return f"the name {name} stands for {after.names.get(name)}, was {span}"
    hidden = [each for each in after.own_names if each[1] in ours]
    if hidden:
        return f"a name of one sheet hides the book's: {hidden[0]}"
    for address in seen:
        was, now = before.cells.get(address), after.cells.get(address)
        if was != now and ("formula" in ((was or "")[:1] + (now or ("",))[:1])):
            return f"{address} holds {now}, was {was}"
        if now is None or now[0] != "formula":
            wanted = None if now is None else now[1]
            if seen[address] != wanted and seen[address] != f"'{wanted}":
                return f"{address} holds {now}, but was seen as {seen[address]!r}"
    return ""
