"""The worksheets, one a module, and the book that they make."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from difflib import get_close_matches

from podbook.book.metric import turned
from podbook.book.model import Block, Book, Entries, Entry, Sheet
from podbook.book.node import Content
from podbook.errors import PodbookError, listed
from podbook.inputs.filled import Filled
from podbook.regions import Region
from podbook.sheets import (
    cautions,
    checks,
    collect,
    farm,
    feeds,
    handout,
    herd,
    log,
    needs,
    planting,
    pod_trees,
    pods,
    quick,
    rations,
    returns,
    savings,
    sizes,
    sources,
    stand,
    start,
    trees,
    winter,
)  # fmt: skip
from podbook.sheets.help import with_help
from podbook.systems import MONEY, US, metric
from podbook.unswept import unswept

NEAREST = 4
"""How many names are offered for one that is none."""


@unswept()
def book_of(region: Region, filled: Filled, units: str = US) -> Book:
    """Return the whole book for a region's defaults and what a farm filled in, in a system of units.

    Raises PodbookError if a figure is filled in that the book does not ask for.
    """
    rows = max(filled.rows, len(filled.records))
    filled_in = (
        start.sheet(filled.title, region.name, region.title, units, rows),
        farm.sheet(region, filled),
        feeds.sheet(region),
        trees.sheet(filled),
        pods.sheet(filled),
        stand.sheet(filled),
        herd.sheet(filled),
        needs.sheet(),
        rations.sheet(),
        winter.sheet(),
        savings.sheet(),
        handout.sheet(filled.title),
        log.sheet(region, filled),
        collect.sheet(region),
        planting.sheet(filled),
        returns.sheet(),
        sizes.sheet(),
        quick.sheet(),
        pod_trees.sheet(),
    )
    pages = (
        *filled_in,
        checks.sheet(filled_in),
        cautions.sheet(tuple(notice.text for notice in region.notices)),
        sources.sheet(),
    )
    sheets: tuple[Sheet, ...] = (*pages, sources.works(pages))
    asked = [entry.name for _, entry in figures_of(sheets)]
    for name in filled.figures:
        if name not in asked:
            near = get_close_matches(name, asked, NEAREST, 0.6)
            nearest = f" nearest to it: {listed(near)};" if near else ""
            raise PodbookError(f"'{name}' is no figure of the book;{nearest} 'podbook figures' lists them all")
    book = Book(region.name, tuple(with_help(_with_figures(sheet, filled)) for sheet in sheets))
    return book if (units, region.currency) == (US, MONEY) else turned(book, units, region.currency)


def figures_of(sheets: Iterable[Sheet]) -> Iterator[tuple[str, Entry]]:
    """Yield every single figure that sheets ask for, with the title of its sheet."""
    for sheet in sheets:
        for block in sheet.blocks:
            if isinstance(block, Entries):
                yield from ((sheet.title, entry) for entry in block.rows)


def _with_figures(sheet: Sheet, filled: Filled) -> Sheet:
    def given(entry: Entry) -> Content:
        figure = filled.figures.get(entry.name)
        if filled.units == US or figure is None or isinstance(figure, str):
            return figure
        return float(metric(entry.unit)[1].back(figure))

    def settle(block: Block) -> Block:
        if not isinstance(block, Entries):
            return block
        return replace(block, rows=tuple(replace(entry, filled=given(entry)) for entry in block.rows))

    return replace(sheet, blocks=tuple(settle(block) for block in sheet.blocks))
