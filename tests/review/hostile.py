"""Hostile workbooks, each made from the demo book: what was done to it, and how verification must answer."""

from __future__ import annotations

import io
import re
import struct
import zipfile
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path
from xml.sax.saxutils import escape

from packages import BOOK, RELATIONS, TYPES, Parts, cell_of, put, sheet_part

AGREES, DIFFERS, USAGE, UNCHECKED = 0, 1, 2, 3
WORKED, FILLED_IN, TITLE = "hay_price", "hay_price_entry", "book_title"
"""Names of a cell with a formula, of one that is filled in, and of the farm's own name."""


@dataclass(frozen=True)
class Trap:
    """What must stay untouched while a hostile file is looked at."""

    fifo: Path
    """A named pipe: who opens it waits for ever."""
    address: str
    """A web address at which somebody listens."""


@dataclass(frozen=True)
class Hostile:
    """A hostile file."""

    name: str
    make: Callable[[Parts, Trap], bytes]
    code: int
    says: str
    """What the answer must say."""


ALL: list[Hostile] = []


def zipped(parts: Parts, level: int = 6) -> bytes:
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED, compresslevel=level) as package:
        for name, content in parts.items():
            package.writestr(name, content)
    return held.getvalue()


def raw(name: str, says: str, code: int = UNCHECKED) -> Callable[[Callable[[Parts, Trap], bytes]], None]:
    """Enter a recipe that makes the bytes of a file."""

    def enter(make: Callable[[Parts, Trap], bytes]) -> None:
        ALL.append(Hostile(name, make, code, says))

    return enter


def changed(name: str, says: str, code: int = UNCHECKED) -> Callable[[Callable[[Parts, Trap], None]], None]:
    """Enter a recipe that changes the parts of a file."""

    def enter(change: Callable[[Parts, Trap], None]) -> None:
        def make(parts: Parts, trap: Trap) -> bytes:
            change(parts, trap)
            return zipped(parts)

        ALL.append(Hostile(name, make, code, says))

    return enter


def replaced(parts: Parts, part: str, old: str, new: str) -> None:
    assert old.encode() in parts[part], (part, old)
    parts[part] = parts[part].replace(old.encode(), new.encode(), 1)


def named(parts: Parts, name: str, text: str) -> None:
    """Give the book one more defined name."""
    replaced(parts, BOOK, "</definedNames>", f'<definedName name="{name}">{escape(text)}</definedName></definedNames>')


def own_cells(parts: Parts, cells: Iterable[str], column: str = "T") -> None:
    """Put formulas in cells of the user's own, one under the other."""
    part = sheet_part(parts, "Farm")
    rows = "".join(
        f'<row r="{row}"><c r="{column}{row}"><f>{escape(formula)}</f></c></row>'
        for row, formula in enumerate(cells, 1_000)
    )
    replaced(parts, part, "</sheetData>", f"{rows}</sheetData>")


# What bursts


@changed("bomb by ratio", "200 times its size")
def _(parts: Parts, _: Trap) -> None:
    parts["xl/media/a.png"] = bytes(31 << 20)


@changed("bomb by count", "parts; allowed: 2,000")
def _(parts: Parts, _: Trap) -> None:
    parts.update({f"xl/media/{number}.png": b"" for number in range(70_000)})


@changed("bomb by the sum of its parts", "parts overlap|unpacks to")
def _(parts: Parts, _: Trap) -> None:
    block = bytes(range(256)) * 4_000 + bytes(60_000)
    parts.update({f"xl/media/{number}.png": block for number in range(70)})


@raw("bomb by declared size", "4,294,967,280 bytes")
def _(parts: Parts, _: Trap) -> bytes:
    content = bytearray(zipped({**parts, "xl/media/a.png": b"x"}))
    struct.pack_into("<I", content, content.rfind(b"PK\x01\x02") + 24, 0xFFFFFFF0)
    return bytes(content)


@raw("bomb that says it is small", "does not unpack")
def _(parts: Parts, _: Trap) -> bytes:
    content = bytearray(zipped({**parts, "xl/media/a.png": bytes(30 << 20)}))
    central = content.rfind(b"PK\x01\x02")
    (local,) = struct.unpack_from("<I", content, central + 42)
    for at in (central + 24, local + 22):
        struct.pack_into("<I", content, at, 100)
    return bytes(content)


@changed("entities that multiply", "DTD")
def _(parts: Parts, _: Trap) -> None:
    entities = '<!ENTITY e0 "ha">' + "".join(f'<!ENTITY e{n} "{f"&e{n - 1};" * 10}">' for n in range(1, 12))
    part = sheet_part(parts, "Farm")
    replaced(parts, part, "<worksheet ", f"<!DOCTYPE w [{entities}]><worksheet ")
    replaced(parts, part, "<t>Farm</t>", "<t>&e11;</t>")


@changed("entity from a file", "DTD")
def _(parts: Parts, trap: Trap) -> None:
    replaced(parts, BOOK, "<workbook ", f'<!DOCTYPE w [<!ENTITY x SYSTEM "file://{trap.fifo}">]><workbook ')
    replaced(parts, BOOK, "<workbookPr/>", "<workbookPr/>&x;")


@changed("entities from the web", "DTD")
def _(parts: Parts, trap: Trap) -> None:
    replaced(parts, "xl/styles.xml", "<styleSheet ", f'<!DOCTYPE s SYSTEM "{trap.address}/s.dtd"><styleSheet ')


@changed("a cell at the far end", "beyond row 50,000")
def _(parts: Parts, _: Trap) -> None:
    part = sheet_part(parts, "Farm")
    replaced(parts, part, "</sheetData>", '<row r="1048576"><c r="XFD1048576"><v>1</v></c></row></sheetData>')


@changed("a sheet that says it is as large as can be", "All agrees", AGREES)
def _(parts: Parts, _: Trap) -> None:
    part = sheet_part(parts, "Farm")
    parts[part] = re.sub(rb'<dimension ref="[^"]*"/>', b'<dimension ref="A1:XFD1048576"/>', parts[part])
    parts[part] = re.sub(rb"<cols>.*</cols>", b'<cols><col min="1" max="16384" width="9"/></cols>', parts[part])


@changed("elements inside one another", "inside one another")
def _(parts: Parts, _: Trap) -> None:
    parts["docProps/custom.xml"] = b"<a>" * 20_000 + b"</a>" * 20_000


@changed("lists of ranges, each just short enough", "more than 20,000 ranges")
def _(parts: Parts, _: Trap) -> None:
    ranges = " ".join(f"{letter}{row}" for row in range(1_000, 1_900) for letter in "TUVWXYZABCDE")
    for sheet in ("Farm", "Feeds"):
        many = f'<dataValidation type="decimal" sqref="{ranges}"><formula1>1</formula1></dataValidation>' * 60
        part = sheet_part(parts, sheet)
        replaced(parts, part, "</dataValidations>", f"{many}</dataValidations>")


# What takes for ever


@changed("a chain of 10,000 formulas", "a formula was changed", DIFFERS)
def _(parts: Parts, _: Trap) -> None:
    own_cells(parts, ["1", *(f"T{row}+1" for row in range(1_000, 10_999))])
    put(parts, *cell_of(parts, WORKED), "=Farm!T10999+B7")


@changed("a chain of 10,000 formulas upwards", "cells of your own", AGREES)
def _(parts: Parts, _: Trap) -> None:
    own_cells(parts, [*(f"T{row}+1" for row in range(1_001, 11_000)), "1"])


@changed("formulas of 8,000 characters", "it is longer", DIFFERS)
def _(parts: Parts, _: Trap) -> None:
    own_cells(parts, ["+".join(f"A{(7 * row + at) % 900 + 100}" for at in range(1_630)) for row in range(800)])
    put(parts, *cell_of(parts, WORKED), "=" + "1+" * 4_000 + "1")


@changed("8,000 signs in a row", "it is longer", DIFFERS)
def _(parts: Parts, _: Trap) -> None:
    put(parts, *cell_of(parts, WORKED), "=" + "-" * 8_000 + "1")


@changed("a tower of 4,000 powers", "it is longer", DIFFERS)
def _(parts: Parts, _: Trap) -> None:
    put(parts, *cell_of(parts, WORKED), "=" + "1^" * 4_000 + "1")


@changed("brackets 250 deep", "a formula was changed", DIFFERS)
def _(parts: Parts, _: Trap) -> None:
    put(parts, *cell_of(parts, WORKED), "=" + "IF(1," * 250 + "1" + ",2)" * 250)


@changed("brackets 3,000 deep", "brackets inside one another")
def _(parts: Parts, _: Trap) -> None:
    put(parts, *cell_of(parts, WORKED), "=" + "(" * 3_000 + "1" + ")" * 3_000)


@changed("whole sheets added up", "cells of your own", AGREES)
def _(parts: Parts, _: Trap) -> None:
    own_cells(parts, ["SUM(A1:XFD1048576)", "SUMPRODUCT((A1:XFD1048576=1)*1)", "SUM(SEQUENCE(1048576,16384))"] * 30)


@changed("sums of sums", "cells of your own", AGREES)
def _(parts: Parts, _: Trap) -> None:
    own_cells(parts, ["1", *(f"SUM(T1000:T{row})" for row in range(1_000, 5_000))])


@changed("a loop of 3,000 own cells", "cells of your own", AGREES)
def _(parts: Parts, _: Trap) -> None:
    own_cells(parts, [f"T{1_000 + (row + 1) % 3_000}+1" for row in range(3_000)])


@changed("a loop through the book", "Feeds!D7", DIFFERS)
def _(parts: Parts, _: Trap) -> None:
    put(parts, *cell_of(parts, WORKED), "=SUM(winter_money_without)")


@changed("a text that doubles 24 times", "could not be worked on")
def _(parts: Parts, _: Trap) -> None:
    own_cells(parts, ['REPT("x",32767)', *(f"T{row}&T{row}" for row in range(1_000, 1_024))])


@changed("a text in the place of every letter of a text", "could not be worked on")
def _(parts: Parts, _: Trap) -> None:
    own_cells(parts, ['SUBSTITUTE(REPT("a",30000),"a",REPT("b",30000))'])


@changed("a unit's factor of nought", "a coefficient was changed|a given figure was changed", DIFFERS)
def _(parts: Parts, _: Trap) -> None:
    """Divided by, it makes numbers that are none."""
    put(parts, *cell_of(parts, "g_per_kg"), 0)


# What reaches outside


@changed("a link to another workbook", "a link to another workbook")
def _(parts: Parts, trap: Trap) -> None:
    parts["xl/externalLinks/externalLink1.xml"] = b"<externalLink/>"
    kind = "http://schemas.openxmlformats.org/officeDocument/2006/relationships/externalLinkPath"
    parts["xl/externalLinks/_rels/externalLink1.xml.rels"] = (
        f'<Relationships><Relationship Id="r1" Type="{kind}" Target="file://{trap.fifo}" TargetMode="External"/>'
        "</Relationships>"
    ).encode()


@changed("a picture from the web", "fetched from outside")
def _(parts: Parts, trap: Trap) -> None:
    new = f'<Relationship Id="x" Type="http://x/image" Target="{trap.address}/a.png" TargetMode="External"/>'
    replaced(parts, RELATIONS, "</Relationships>", f"{new}</Relationships>")


REACHING = {
    "a call of another program": "cmd|'/c calc'!A1",
    "a web service": 'WEBSERVICE("{address}")',
    "a link to follow": 'HYPERLINK("{address}","hay")',
    "a feed of live data": 'RTD("a",,"b")',
    "a file read as a sheet": "'file://{fifo}'#$Data.A1",
    "another workbook": "[1]Data!A1",
    "another workbook by its path": "'{fifo}/[b.xlsx]Data'!A1",
}


def _in_a_cell(formula: str) -> Callable[[Parts, Trap], None]:
    return lambda parts, trap: put(
        parts, *cell_of(parts, FILLED_IN), "=" + formula.format(address=trap.address, fifo=trap.fifo)
    )


for what, formula in REACHING.items():
    changed(f"{what}, in a cell", "a formula with")(_in_a_cell(formula))


@changed("a web service in a name", "WEBSERVICE")
def _(parts: Parts, trap: Trap) -> None:
    named(parts, "hidden", f'WEBSERVICE("{trap.address}")')


@changed("a web service in a validation", "WEBSERVICE")
def _(parts: Parts, trap: Trap) -> None:
    replaced(parts, sheet_part(parts, "Farm"), "<formula1>", f"<formula1>WEBSERVICE(&quot;{trap.address}&quot;)+")


@changed("a web service in a conditional format", "WEBSERVICE")
def _(parts: Parts, trap: Trap) -> None:
    replaced(parts, sheet_part(parts, "Farm"), "<formula>", f"<formula>WEBSERVICE(&quot;{trap.address}&quot;)=")


@changed("macros under another name", "macros")
def _(parts: Parts, _: Trap) -> None:
    parts["xl/vbaProject.bin"] = b"\xd0\xcf\x11\xe0"
    old, new = "vnd.openxmlformats-officedocument.spreadsheetml.sheet.main", "vnd.ms-excel.sheet.macroEnabled.main"
    replaced(parts, TYPES, old, new)


@changed("a part that points outside", "points outside")
def _(parts: Parts, _: Trap) -> None:
    parts["../../home.xml"] = b"<a/>"


# What is no workbook


@raw("a file with a password", "has a password")
def _(_parts: Parts, _: Trap) -> bytes:
    return b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(100_000)


@raw("cut off", "damaged")
def _(parts: Parts, _: Trap) -> bytes:
    return zipped(parts)[:200_000]


@raw("empty", "not an .xlsx workbook")
def _(_parts: Parts, _: Trap) -> bytes:
    return b""


@raw("a part twice", "twice")
def _(parts: Parts, _: Trap) -> bytes:
    part = sheet_part(parts, "Farm")
    twin = part.replace("sheet", "shEEt").replace("workshEEts", "worksheets")
    return zipped({**parts, twin: parts[part]})


for lacking in ("[Content_Types].xml", "_rels/.rels", BOOK, RELATIONS, "xl/worksheets/sheet2.xml"):

    def without(parts: Parts, _: Trap, lacking: str = lacking) -> None:
        del parts[lacking]

    changed(f"without {lacking}", "")(without)


# What hides in words


@changed("signs that steer a terminal, filled in", r"\\x1b\[31m|_x001B_\[31m", DIFFERS)
def _(parts: Parts, _: Trap) -> None:
    put(parts, *cell_of(parts, FILLED_IN), "_x001B_[31m\x9b31m\u202e[bold]dear[/bold] [/] :cow:\nAll agrees.")


@changed("signs that steer a terminal, worked out", r"\\x1b\[2J", DIFFERS)
def _(parts: Parts, _: Trap) -> None:
    put(parts, *cell_of(parts, FILLED_IN), '=CHAR(27)&"[2J"&CHAR(7)&"[/bold]"')


@changed("signs that steer a terminal, in names", "", UNCHECKED)
def _(parts: Parts, _: Trap) -> None:
    named(parts, "x\x9b31m", "cmd|'\x9b31m'!A1")


@changed("markup in the farm's name and types", r"\[/\] \[bold\]farm", AGREES)
def _(parts: Parts, _: Trap) -> None:
    put(parts, *cell_of(parts, TITLE), "[/] [bold]farm")


@changed("a sheet by another name", "All agrees", AGREES)
def _(parts: Parts, _: Trap) -> None:
    """Renamed as a spreadsheet program would, with every formula and name."""
    title = "O'Brien <b> \u0444\u0435\u0440\u043c\u0430"
    quoted = escape("'" + title.replace("'", "''") + "'!").encode()
    for part in [each for each in parts if each.endswith(".xml")]:
        parts[part] = re.sub(rb"(?<![\w'])(?:Feeds|'Feeds')!", quoted, parts[part])
    replaced(parts, BOOK, 'name="Feeds"', f'name="{escape(title)}"')


@changed("a formula in the place of a name", "hay_price", DIFFERS)
def _(parts: Parts, _: Trap) -> None:
    parts[BOOK] = re.sub(rb'(<definedName name="hay_price"[^>]*>)[^<]*', rb"\g<1>Feeds!$D$7*2", parts[BOOK])
