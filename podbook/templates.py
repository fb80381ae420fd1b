"""The templates: for every region its empty workbook, and a page on which a person can review every cell."""

from __future__ import annotations

import os.path
import tempfile
import zipfile
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from itertools import repeat
from pathlib import Path
from xml.etree.ElementTree import canonicalize

from podbook import regions
from podbook.book.layout import lay_out
from podbook.book.model import Book
from podbook.book.node import Node
from podbook.book.writer import write
from podbook.files import drafted
from podbook.inputs.filled import Filled
from podbook.limits import cores
from podbook.sheets import book_of
from podbook.systems import METRIC
from podbook.units import shown

_SPACE = "{http://www.w3.org/XML/1998/namespace}space"
"""Written beside a lone space or left out, depending on the XML library that openpyxl finds."""


def names() -> dict[str, tuple[str, str]]:
    """Return the region and the system of units of every template, by its name.

    A region's template is in the units that its farms weigh in. One more is the metric twin of a region of the United
    States, for those who publish in metric units; ``build --units metric`` makes that of any other.
    """
    found = {region: (region, regions.load(region).units) for region in regions.names()}
    found[f"{regions.HOME}_{METRIC}"] = (regions.HOME, METRIC)
    return dict(sorted(found.items()))


def template(name: str) -> Book:
    """Return a template's book: nothing is filled in beyond the defaults of its region."""
    region, units = names()[name]
    return book_of(regions.load(region), Filled("A farm", ()), units)


def write_all(folder: Path, only: Sequence[str] = ()) -> list[Path]:
    """Build templates and their review pages into a folder, all of them or only some; return the files written."""
    folder.mkdir(parents=True, exist_ok=True)
    with ProcessPoolExecutor(max_workers=cores()) as pool:
        return [path for written in pool.map(_write, only or names(), repeat(folder)) for path in written]


def _write(name: str, folder: Path) -> tuple[Path, Path]:
    book = template(name)
    workbook, page = folder / f"{name}.xlsx", folder / f"{name}.md"
    write(book, workbook, replace=True)
    with drafted(page) as draft:
        draft.write_text(review_page(book), encoding="utf-8")
    return workbook, page


def stale(folder: Path, only: Sequence[str] = ()) -> list[str]:
    """Return the names of the templates and review pages that are not what would be built now."""
    with tempfile.TemporaryDirectory() as fresh:
        return [
            path.name
            for path in write_all(Path(fresh), only)
            if not os.path.isfile(folder / path.name) or content(folder / path.name) != content(path)
        ]


def content(path: Path) -> object:
    """Return a file's content, of a workbook its canonical parts: packing and writing differ by machine."""
    if path.suffix != ".xlsx":
        return path.read_bytes()
    with zipfile.ZipFile(path) as archive:
        return {
            name: canonicalize(archive.read(name).decode("utf-8"), rewrite_prefixes=True, exclude_attrs=[_SPACE])
            for name in archive.namelist()
        }


def review_page(book: Book) -> str:
    """Return the page that lists every node: label, name, unit, default, range, formula, reference function, source."""
    places = lay_out(book).places
    lines = [
        f"# Every cell of the book: {book.region}, units {book.units}",
        "",
        "Built by `podbook templates`; never edited by hand.",
    ]
    for sheet in book.sheets:
        nodes = [node for node in book.nodes.values() if places[node.key].sheet == sheet.title and node.role != "span"]
        if nodes:
            lines += [
                "",
                f"## {sheet.title}",
                "",
                "| cells | label | name | unit | figure or formula | range | reference function | source |",
                "|" + " --- |" * 8,
            ]
        lines += [_line(node, places[node.key].cells) for node in nodes]
    return "\n".join(lines) + "\n"


def _line(node: Node, cells: tuple[str, ...]) -> str:
    span = cells[0] if len(cells) == 1 else f"{cells[0]}:{cells[-1]}"
    figure = (
        f"`{node.formula}`"
        if node.formula
        else ", ".join("" if each is None else f"{each}" for each in node.contents).strip(", ")
    )
    ranged = "" if node.low is None else f"{node.low:g} to {node.high:g}"
    function, source = "", " ".join(filter(None, (node.source, node.place, f"({node.mark})" if node.mark else "")))
    if node.ref is not None:
        function, source = f"`{node.ref.function.name}`", f"{node.ref.function.source}, {node.ref.function.place}"
    columns = (span, node.label, f"`{node.name}`", shown(node.unit), figure, ranged, function, source)
    return "| " + " | ".join(column.replace("|", "\\|") for column in columns) + " |"
