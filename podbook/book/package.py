"""A written workbook as a package: what openpyxl leaves out of its parts, or puts in too much.

It stamps the time into every file, and gives no chart an alternative text. That text is made of what the chart says
itself, its title, axes and series and where its figures stand: so it is right in any system of units.
"""

from __future__ import annotations

import posixpath
import re
import zipfile
from collections.abc import Callable, Mapping
from pathlib import Path
from xml.etree import ElementTree

from podbook.book.escaping import quoted

EPOCH = "2000-01-01T00:00:00Z"
"""Stamp of every file, so that two builds of one book are the same bytes."""
LEVEL = 5
"""Of compression: a quarter less time than the usual 6, for a book that is 1 % larger."""
Parts = Mapping[str, bytes]
_CHART, _DRAWN = (f"{{http://schemas.openxmlformats.org/drawingml/2006/{name}}}" for name in ("chart", "main"))
_SPACE = f' xmlns:a="{_DRAWN[1:-1]}"'.encode()
_FRAME = re.compile(
    r'<cNvPr (?P<said>[^>]*)/>(?P<between>(?:(?!<cNvPr ).)*?<c:chart [^>]*r:id="(?P<link>\w+)")', re.DOTALL
)
_UNLINKED = re.compile(rb'(<numFmt formatCode="[^"]*")\s*(/>)')
"""The format of labels that openpyxl writes: it does not say that the cells' own format is not to be taken."""
_KINDS = {"barChart": "Bar chart", "scatterChart": "Line chart", "lineChart": "Line chart", "pieChart": "Pie chart"}


def pack(parts: Parts, path: Path) -> None:
    """Write a workbook's parts to a file, without the time of day and with its charts told in words."""
    _pack(parts, path, _settled)


def tell_charts(path: Path) -> None:
    """Tell a file's charts in words where nothing tells them yet."""
    with zipfile.ZipFile(path) as archive:
        parts = {info.filename: archive.read(info) for info in archive.infolist()}
    _pack(parts, path, _with_charts_told)


def _pack(parts: Parts, path: Path, rewritten: Callable[[str, bytes, Parts], bytes]) -> None:
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in parts.items():
            info = zipfile.ZipInfo(name, (2000, 1, 1, 0, 0, 0))
            info.compress_type = zipfile.ZIP_DEFLATED
            archive.writestr(info, rewritten(name, content, parts), compresslevel=LEVEL)


def _settled(name: str, content: bytes, parts: Parts) -> bytes:
    if name == "docProps/core.xml":
        return re.sub(rb"(<dcterms:\w+[^>]*>)[^<]*", rb"\g<1>" + EPOCH.encode(), content)
    return _with_charts_told(name, content, parts)


def _with_charts_told(name: str, content: bytes, parts: Parts) -> bytes:
    if re.fullmatch(r"xl/charts/chart\d+\.xml", name):
        return _UNLINKED.sub(rb'\1 sourceLinked="0"\2', _at_the_root(content))
    if not re.fullmatch(r"xl/drawings/drawing\d+\.xml", name):
        return content
    charts = _charts_of(name, parts)

    def told(frame: re.Match[str]) -> str:
        chart = charts.get(frame["link"])
        if chart is None or " descr=" in f" {frame['said']}":
            return frame[0]
        title, words = _words(ElementTree.fromstring(parts[chart]))
        said = re.sub(r'name="[^"]*"', lambda _: f"name={quoted(title)}", frame["said"]) if title else frame["said"]
        return f"<cNvPr {said.strip()} descr={quoted(words)}/>{frame['between']}"

    return _FRAME.sub(told, _at_the_root(content).decode()).encode()


def _at_the_root(content: bytes) -> bytes:
    """Declare the space of drawings' names once, at the root, where Gnumeric looks for it."""
    return re.sub(rb"<\w+(?= xmlns)", lambda root: root[0] + _SPACE, content.replace(_SPACE, b""), count=1)


def _charts_of(drawing: str, parts: Parts) -> dict[str, str]:
    """Return the parts of a drawing's charts by the names of its links to them."""
    folder, name = posixpath.split(drawing)
    links = parts.get(f"{folder}/_rels/{name}.rels")
    found = {}
    for link in ElementTree.fromstring(links) if links is not None else ():
        part = posixpath.normpath(posixpath.join("/", folder, link.get("Target", ""))).lstrip("/")
        if link.get("Type", "").endswith("/chart") and part in parts:
            found[link.get("Id", "")] = part
    return found


def _words(space: ElementTree.Element) -> tuple[str, str]:
    """Return a chart's title, and the chart told in words."""
    title = _titled(space.find(f"{_CHART}chart"))
    plot = next((each for each in space.iter() if each.find(f"{_CHART}ser") is not None), None)
    if plot is None:
        return title, f"Chart: {title or 'without a title'}."
    lies = plot.find(f"{_CHART}barDir[@val='bar']") is not None
    places = ("Down", "Across") if lies else ("Across", "Up")
    titles = {each.get("val"): _titled(axis) for axis in space.iter() for each in axis.findall(f"{_CHART}axId")}
    axes = [titles.get(each.get("val"), "") for each in plot.findall(f"{_CHART}axId")]
    series = plot.findall(f"{_CHART}ser")
    names = [_text(each.find(f"{_CHART}tx")) for each in series]
    told = [f"{_KINDS.get(plot.tag.removeprefix(_CHART), 'Chart')}: {title or 'without a title'}"]
    told += [f"{place}: {axis}" for place, axis in zip(places, axes, strict=False) if axis]
    if len(series) > 1 and any(names):
        told.append(f"Series: {', '.join(name for name in names if name)}")
    figures = [one.findtext(f"{_CHART}{part}//{_CHART}f") for one in series for part in ("val", "yVal")]
    if any(figures):
        told.append(f"Figures in cells {', '.join(cells.replace('$', '') for cells in figures if cells)}")
    return title, ". ".join(told) + "."


def _titled(element: ElementTree.Element | None) -> str:
    return "" if element is None else _text(element.find(f"{_CHART}title"))


def _text(element: ElementTree.Element | None) -> str:
    """Return what stands in an element as text, whether a chart says it in letters of a drawing or plainly."""
    if element is None:
        return ""
    said = [each.text or "" for tag in (f"{_DRAWN}t", f"{_CHART}v") for each in element.iter(tag)]
    return " ".join("".join(said).split())
