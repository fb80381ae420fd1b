"""Workbooks as packages: read, changed and packed part by part, with no spreadsheet library between."""

from __future__ import annotations

import re
import zipfile
from pathlib import Path
from typing import Any
from xml.sax.saxutils import escape

from podbook.review.gate.read import read
from podbook.review.spans import at, span_of

BOOK = "xl/workbook.xml"
RELATIONS = "xl/_rels/workbook.xml.rels"
TYPES = "[Content_Types].xml"
Parts = dict[str, bytes]


def parts_of(path: Path) -> Parts:
    with zipfile.ZipFile(path) as package:
        return {part: package.read(part) for part in package.namelist()}


def packed(path: Path, parts: Parts) -> Path:
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as package:
        for name, content in parts.items():
            package.writestr(name, content)
    return path


def sheet_part(parts: Parts, title: str) -> str:
    """Return the part of the sheet with this title."""
    relation = re.search(rf'<sheet [^>]*name="{re.escape(title)}"[^>]*r:id="(\w+)"'.encode(), parts[BOOK])
    assert relation is not None, title
    for entry in re.findall(rb"<Relationship [^>]*>", parts[RELATIONS]):
        if b'Id="' + relation[1] + b'"' in entry:
            target = re.search(rb'Target="/?(?:xl/)?([^"]*)"', entry)
            assert target is not None
            return "xl/" + target[1].decode()
    raise AssertionError(title)


def cell_of(parts: Parts, name: str) -> tuple[str, str]:
    """Return sheet and coordinate of the first cell of a defined name."""
    found = re.search(rf'<definedName name="{name}"[^>]*>\'?([^<!\']*)\'?!\$([A-Z]+)\$(\d+)'.encode(), parts[BOOK])
    assert found is not None, name
    return found[1].decode(), (found[2] + found[3]).decode()


def contents_of(path: Path, name: str) -> list[Any]:
    """Return what stands in the cells of a defined name, row by row."""
    contents = read(path)
    span = span_of(contents.names[name])
    assert span is not None, name
    cells = contents.sheets[span.sheet]
    rows, columns = range(span.top, span.bottom + 1), range(span.left, span.right + 1)
    return [cells.get(at(column, row)) for row in rows for column in columns]


def put(parts: Parts, sheet: str, cell: str, content: Any) -> None:
    """Put a formula, a number, a word, an error value or nothing in a cell; an apostrophe makes a word of anything."""
    part = sheet_part(parts, sheet)
    found = re.search(rf'<c r="{cell}"( s="\d+")?[^>]*?(?:/>|>.*?</c>)'.encode(), parts[part])
    assert found is not None, (sheet, cell)
    new = b'<c r="%s"%s%s</c>' % (cell.encode(), found[1] or b"", _inside(content).encode())
    parts[part] = parts[part][: found.start()] + new + parts[part][found.end() :]


def _inside(content: Any) -> str:
    if content is None:
        return ">"
    if isinstance(content, bool):
        return f' t="b"><v>{content:d}</v>'
    if isinstance(content, int | float):
        return f"><v>{content!r}</v>"
    if content.startswith("="):
        return f"><f>{escape(content[1:])}</f>"
    if content.startswith("#"):
        return f' t="e"><v>{content}</v>'
    word = escape(content.removeprefix("'"))
    return f' t="inlineStr"><is><t>{word}</t></is>'


STRINGS = "xl/sharedStrings.xml"


def share_strings(parts: Parts) -> None:
    """Put the texts of cells into a part of their own, as most spreadsheet programs do."""
    texts: list[bytes] = []

    def shared(match: re.Match[bytes]) -> bytes:
        texts.append(match[1])
        return b't="s"><v>%d</v>' % (len(texts) - 1)

    for part in parts:
        if part.startswith("xl/worksheets/sheet"):
            parts[part] = re.sub(rb't="inlineStr"><is>(.*?)</is>', shared, parts[part], flags=re.DOTALL)
    main = b"http://schemas.openxmlformats.org/spreadsheetml/2006/main"
    parts[STRINGS] = b'<sst xmlns="%s">%s</sst>' % (main, b"".join(b"<si>%s</si>" % each for each in texts))
    kind = b"http://schemas.openxmlformats.org/officeDocument/2006/relationships/sharedStrings"
    relation = b'<Relationship Id="strings" Type="%s" Target="sharedStrings.xml"/></Relationships>' % kind
    parts[RELATIONS] = parts[RELATIONS].replace(b"</Relationships>", relation)
    content = b"application/vnd.openxmlformats-officedocument.spreadsheetml.sharedStrings+xml"
    override = b'<Override PartName="/%s" ContentType="%s"/></Types>' % (STRINGS.encode(), content)
    parts[TYPES] = parts[TYPES].replace(b"</Types>", override)
