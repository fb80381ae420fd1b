"""The XML parts of a workbook from outside, read as a stream: bounds, and whatever reaches outside the book."""

from __future__ import annotations

import posixpath
import re
from collections.abc import Callable, Mapping
from typing import IO
from xml.parsers import expat

from podbook.coordinates import number
from podbook.errors import NotOurWorkbook, Refused
from podbook.review.gate.areas import CELL, area
from podbook.review.gate.order import Order
from podbook.review.gate.plain import Plain, plain
from podbook.review.gate.reach import ELEMENTS_OUTSIDE, all_inside, outside, reaching

DEPTH = 100
"""Elements inside one another: spreadsheet programs stay below 40."""
ELEMENTS = 1_000_000
"""In all parts together: a book of 30,000 formulas has 0.2 million; a million are read in a second."""
FORMULA_TEXT = 8_000_000
"""Characters of all formulas together: 30,000 of 200 characters make 6 million, which are searched in a second."""
FARTHEST_ROW = 50_000
FARTHEST_COLUMN = 1_000
"""Some engines work through every row and column up to the farthest cell: 50,000 rows cost them over a second."""
RECTANGLE = 1_000_000
"""Cells, in all sheets together, of the rectangles from A1 to the last cell: readers make each one."""
MERGED = 100_000
"""Cells in merged ranges, in all sheets together: readers make each one."""
LIST = 65_536
"""Characters in one list of ranges: 6,000 ranges; 200,000 took a reader 2.4 s."""
RANGES = 20_000
"""In all lists of ranges together, of validations, conditional formats and whatever else has one: a full book has 350;
6 million took a reader 56 s."""

_FORMULAS = {"f", "formula", "formula1", "formula2", "definedName", "calculatedColumnFormula", "totalsRowFormula"}
_RANGES = "sqref"
_FORMULA_ATTRIBUTES = ("textlink", "fmlaLink", "fmlaRange", "fmlaTxbx")
_CELL_KINDS = {"b", "d", "e", "inlineStr", "n", "s", "str"}
_XML_TYPE = re.compile(r"[+/]xml$", re.IGNORECASE)
_VML_FAULT = re.compile(rb"<!(?:DOCTYPE|ENTITY)|\x00|FmlaMacro|\ssrc\s*=\s*[\"'][^\"']*(?:://|\\\\)", re.IGNORECASE)
XML = {".xml", ".rels", ".svg"}


def suffix(name: str) -> str:
    """The ending of a part's name; that of "_rels/.rels" is ".rels"."""
    return "." + name.lower().rpartition(".")[2]


class Scan:
    """Reads the parts of one workbook; each fault found is raised."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.elements = 0
        self.rectangle = 0
        self.merged = 0
        self.ranges = 0
        self.formula_text = 0
        self.main_type: str | None = None
        self.roots: dict[str, str] = {}
        """The root element of each part read, by the part's name in small letters."""
        self.names: set[tuple[str, str]] = set()
        self.plain: dict[str, Plain] = {}
        """What was taken of each part whose cells are written plainly, by its name."""
        self._locals: dict[str, str] = {}
        """The local name of each name met."""
        self.sheets: list[str] = []
        """The parts that the book takes for its sheets."""

    def refuse(self, found: str, remedy: str) -> Refused:
        return Refused(f"{self.file}: {found}; not allowed in a file from outside: {remedy}")

    def vml(self, part: str, content: bytes) -> None:
        """Old drawings, which need not be well-formed."""
        if fault := _VML_FAULT.search(content):
            raise self.refuse(f"the drawing {part} holds {fault[0][:20]!r}", "delete the drawing and save again")

    def damaged(self, found: str) -> NotOurWorkbook:
        return NotOurWorkbook(f"{self.file} is damaged: {self.part} has {found}; save it again as .xlsx")

    def xml(self, part: str, stream: IO[bytes]) -> None:
        """Any XML part, whatever its prefixes and encoding."""
        self.part = part
        self.order = Order()
        self.row = self.above = self.column = self.last_row = self.last_column = 0
        self.in_sheet = False
        self.at = self.kind = ""
        self.text: list[str] | None = None
        self.length = 0
        parser = expat.ParserCreate(namespace_separator=" ")
        self.parser = parser
        parser.buffer_text = True
        parser.XmlDeclHandler = self._declared
        parser.StartDoctypeDeclHandler = self._doctype
        parser.StartElementHandler = self._start
        parser.EndElementHandler = self._end
        content = stream.read()
        taken = plain(content)
        if taken is not None and self._nothing_amiss(taken):
            self.plain[part] = taken
            self.elements += taken.elements
            self.formula_text += sum(map(len, filter(None, taken.formulas)))
            self.last_row, self.last_column = taken.farthest
            content = taken.rest
        try:
            parser.Parse(content, True)
        except (expat.ExpatError, LookupError, ValueError) as fault:
            raise NotOurWorkbook(f"{self.file} is damaged: {part} is not well-formed XML ({fault})") from fault
        finally:
            del self.parser  # each holds the other, and what was taken would stay until Python looks for such rings
        self.roots[part.lower()] = self.order.root
        self.rectangle += self.last_row * self.last_column
        if self.rectangle > RECTANGLE:
            raise self.refuse(
                f"cells spread over {self.rectangle:,} places, more than {RECTANGLE:,}", "move them closer"
            )

    def _nothing_amiss(self, taken: Plain) -> bool:
        """Return whether there is nothing to say of the cells of a part; else they are looked at one by one."""
        formulas = list(filter(None, taken.formulas))
        return (
            taken.farthest[0] <= FARTHEST_ROW
            and taken.farthest[1] <= FARTHEST_COLUMN
            and self.elements + taken.elements <= ELEMENTS
            and self.formula_text + sum(map(len, formulas)) <= FORMULA_TEXT
            and set(taken.kinds) <= _CELL_KINDS
            and {kind for kind, text in zip(taken.kinds, taken.texts, strict=True) if text is not None} <= {"inlineStr"}
            and all_inside(formulas)
        )

    def finish(self) -> None:
        """After all parts: see that the book is one, and that its sheets are."""
        for part, root in (("xl/workbook.xml", "workbook"), *((sheet, "worksheet") for sheet in self.sheets)):
            self.part = part
            if (found := self.roots.get(part.lower())) != root:
                raise self.damaged(f"'{(found or 'nothing')[:40]}' in the place of a {root}")

    def _doctype(self, *_: object) -> None:
        raise self.refuse(
            f"{self.part} holds a document type declaration (DTD)", "save again with a spreadsheet program"
        )

    def _declared(self, _version: str, encoding: str | None, _standalone: int) -> None:
        if encoding is not None and encoding.lower() not in ("utf-8", "utf-16"):
            raise self.damaged(f"the encoding '{encoding[:20]}'")

    def _start(self, name: str, attributes: dict[str, str]) -> None:
        self.elements += 1
        depth = len(self.order.path)
        if depth >= DEPTH or self.elements > ELEMENTS:
            found = f"{DEPTH} elements inside one another" if depth >= DEPTH else f"{ELEMENTS:,} elements"
            raise self.refuse(f"more than {found}, in {self.part}", "take a smaller workbook")
        if wrong := self.order.begin(name, attributes):
            raise self.damaged(wrong)
        if not depth:
            self.in_sheet = self.order.root == "worksheet"
        local = self._locals.get(name)
        if local is None:
            local = self._locals[name] = name.rpartition(" ")[2]
        if look := _LOOKS.get(local):
            look(self, attributes)
        if local in _FORMULAS or local == _RANGES:
            self.text = []
            self.length = 0
            self.parser.CharacterDataHandler = self._characters
        elif local in ELEMENTS_OUTSIDE:
            raise self.refuse(f"{ELEMENTS_OUTSIDE[local]}, in {self.part}", "remove it and save again")
        for key, value in attributes.items():
            if len(value) > LIST:
                raise self.refuse(f"a list of {len(value):,} characters, over {LIST:,}, in {self.part}", "shorten it")
            if key in _FORMULA_ATTRIBUTES or (key == "val" and local == "cfvo"):
                self._check(value)
            elif key == _RANGES:
                self._list(value)
            elif key == "macro" and value:
                raise self.refuse(f"the macro {value[:40]!r}, in {self.part}", "remove it and save again")

    def _end(self, name: str) -> None:
        self.order.end()
        local = self._locals[name]
        if local == "row":
            self.row = 0
        elif self.text is not None and (local in _FORMULAS or local == _RANGES):
            (self._list if local == _RANGES else self._check)("".join(self.text))
            self.text = None
            self.parser.CharacterDataHandler = None

    def _characters(self, text: str) -> None:
        if self.text is not None and self.length <= LIST:
            self.text.append(text)
            self.length += len(text)

    def _list(self, ranges: str) -> None:
        self.ranges += len(ranges.split()) or 1
        if self.ranges > RANGES:
            raise self.refuse(
                f"more than {RANGES:,} ranges with a validation or a format of their own, in {self.part}",
                "clear the validations and conditional formats that were put in",
            )

    def _check(self, formula: str) -> None:
        self.formula_text += len(formula)
        if self.formula_text > FORMULA_TEXT:
            raise self.refuse(f"more than {FORMULA_TEXT:,} characters of formulas", "take a smaller workbook")
        if found := outside(formula):
            where = f"{self.part}, cell {self.at}" if self.row else self.part
            raise self.refuse(f"a formula with {found} ({where}: {formula[:60]!r})", "write a value in its place")

    def _row(self, attributes: dict[str, str]) -> None:
        # The anchors of drawings have a 'row' too, without a number.
        if self.in_sheet and (row := attributes.get("r")):
            self.row = int(row) if row.isascii() and row.isdigit() and len(row) < 8 else -1
            if self.row <= self.above:
                raise self.damaged(f"the row '{row[:20]}' out of order")
            self.above, self.column = self.row, 0

    def _cell(self, attributes: dict[str, str]) -> None:
        if not self.in_sheet:
            return
        self.at = attributes.get("r", "")
        match = CELL.fullmatch(self.at)
        if match is None or int(match[2]) != self.row:
            raise self.damaged(f"a cell '{self.at[:20]}' in another row")
        self.kind = attributes.get("t", "n")
        if self.kind not in _CELL_KINDS:
            raise self.damaged(f"a cell {self.at} of no known kind")
        column = number(match[1])
        if column <= self.column:
            raise self.damaged(f"the cell '{self.at[:20]}' out of order or twice")
        self.column = column
        if self.row > FARTHEST_ROW or column > FARTHEST_COLUMN:
            raise self.refuse(
                f"the cell {self.at} in {self.part}, beyond row {FARTHEST_ROW:,} or column {FARTHEST_COLUMN:,}",
                "move it closer",
            )
        self.last_row = max(self.last_row, self.row)
        self.last_column = max(self.last_column, column)

    def _text(self, _: dict[str, str]) -> None:
        if self.in_sheet and self.kind != "inlineStr":
            raise self.damaged(f"a text in the cell {self.at}, which is of another kind")

    def _formula(self, attributes: dict[str, str]) -> None:
        kind = attributes.get("t", "normal")
        if kind in ("array", "dataTable"):
            raise self.refuse(f"an array formula in {self.part}, cell {self.at}", "enter it as an ordinary formula")
        if kind not in ("normal", "shared"):
            raise self.damaged(f"a formula of no known kind in the cell {self.at}")
        if "ref" in attributes and area(attributes["ref"]) > RECTANGLE:
            raise self.refuse(f"a shared formula over {attributes['ref'][:30]} in {self.part}", "shorten the range")

    def _merge(self, attributes: dict[str, str]) -> None:
        self.merged += area(attributes.get("ref", ""))
        if self.merged > MERGED:
            raise self.refuse(f"more than {MERGED:,} merged cells, in {self.part}", "undo the merging")

    def _relation(self, attributes: dict[str, str]) -> None:
        kind, target = attributes.get("Type", ""), attributes.get("Target", "")
        if self.part.lower() == "xl/_rels/workbook.xml.rels" and kind.endswith("/worksheet"):
            self.sheets.append(target[1:] if target.startswith("/") else posixpath.normpath(f"xl/{target}"))
        if what := reaching(kind):
            raise self.refuse(f"{what} ({target[:60]!r})", "remove it and save again")
        if attributes.get("TargetMode", "").lower() == "external" and not kind.lower().endswith("/hyperlink"):
            raise self.refuse(f"something to be fetched from outside ({target[:60]!r})", "remove it and save again")

    def _type(self, attributes: dict[str, str]) -> None:
        kind = attributes.get("ContentType", "")
        name = attributes.get("PartName") or f"every .{attributes.get('Extension', '')}"
        if what := reaching(kind):
            raise self.refuse(f"{what} ({name[:60]!r})", "remove it and save again as .xlsx")
        if _XML_TYPE.search(kind) and suffix(name) not in XML:
            raise self.refuse(f"the part {name[:60]!r} is XML by another name", "save again with a spreadsheet program")
        if name.lower() == "/xl/workbook.xml":
            self.main_type = kind

    def _name(self, attributes: dict[str, str]) -> None:
        name, sheet = attributes.get("name", ""), attributes.get("localSheetId", "")
        if not name or not name.isprintable() or " " in name:
            raise self.damaged(f"a name '{name[:40]}' that can be none")
        if (sheet, name.casefold()) in self.names:
            raise self.damaged(f"the name '{name[:40]}' twice")
        self.names.add((sheet, name.casefold()))

    def _settings(self, attributes: dict[str, str]) -> None:
        for setting, bad, what in (
            ("fullPrecision", ("0", "false"), "'precision as displayed' is set"),
            ("date1904", ("1", "true"), "the dates count from 1904"),
        ):
            if attributes.get(setting, "").strip().lower() in bad:
                raise self.refuse(f"{what}, which changes results", "switch it off in the options and save again")

    def _alternative(self, _: dict[str, str]) -> None:
        if self.row:
            raise self.refuse(f"cells in two versions, in {self.part}", "save again with a spreadsheet program")


_LOOKS: Mapping[str, Callable[[Scan, dict[str, str]], None]] = {
    "row": Scan._row,
    "c": Scan._cell,
    "f": Scan._formula,
    "mergeCell": Scan._merge,
    "Relationship": Scan._relation,
    "Override": Scan._type,
    "Default": Scan._type,
    "calcPr": Scan._settings,
    "workbookPr": Scan._settings,
    "AlternateContent": Scan._alternative,
    "definedName": Scan._name,
    "is": Scan._text,
}
"""What is looked at in elements, by their local names."""
