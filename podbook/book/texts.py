"""The texts that a workbook shows beside its figures: what else stands in its cells is the user's own."""

from __future__ import annotations

from collections.abc import Iterator

from podbook.book.layout import FIGURE_HEADINGS
from podbook.book.model import Block, Book, Entries, Entry, Prose, Single, Table, nodes_of
from podbook.book.node import Node
from podbook.units import shown

SINGLE_HEADINGS = ("Figure", "Value", "Unit", "Mark", "Source and place", "Note")
SENTENCE_HEADINGS = ("About", "What to know")
BOUNDS = ("From", "To")
KINDS_OF_CELL = "Boxed cells are yours to fill in. Upright figures are computed. Slanted figures come from a source."


def source_of(node: Node) -> str:
    """Return in words where a figure comes from."""
    return f"{node.source}: {node.place}" if node.place else node.source


def origin(entry: Entry) -> str:
    """Return in words where the default of an entry comes from."""
    place = f", {entry.place}" if entry.place else ""
    return f"{entry.mark}: {entry.source}{place}" if entry.source != entry.mark else f"{entry.mark}{place}"


def texts(book: Book) -> frozenset[str]:
    """Return every text that the writer puts into a cell which is no node's."""
    found = {KINDS_OF_CELL, *FIGURE_HEADINGS, *SINGLE_HEADINGS, *SENTENCE_HEADINGS, *BOUNDS}
    for sheet in book.sheets:
        found.update((sheet.title, sheet.purpose))
        for block in sheet.blocks:
            found.update(_of(block))
    return frozenset(found)


def _of(block: Block) -> Iterator[str]:
    yield block.title
    if isinstance(block, Prose):
        yield from block.lines
    elif isinstance(block, Table):
        yield from (block.note, *block.items)
    elif isinstance(block, Entries):
        for entry in block.rows:
            yield from (entry.label, origin(entry))
    elif isinstance(block, Single):
        yield block.note
    for node in nodes_of(block):
        yield from (node.label, shown(node.unit), node.mark, node.note, source_of(node))
