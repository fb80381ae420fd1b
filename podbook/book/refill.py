"""A book with other contents in the cells that are filled in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from podbook.book.model import Block, Book, Entries, Table
from podbook.book.node import Content


def refilled(book: Book, contents: Mapping[str, tuple[Content, ...]], labels: Mapping[str, tuple[str, ...]]) -> Book:
    """Return the book with these contents of entries, by key, and these labels of the items of tables, by name."""

    def settle(block: Block) -> Block:
        if isinstance(block, Entries):
            rows = (replace(each, filled=contents.get(f"{each.name}_entry", (each.filled,))[0]) for each in block.rows)
            return replace(block, rows=tuple(rows))
        if isinstance(block, Table):
            fields = (replace(each, contents=contents.get(each.key, each.contents)) for each in block.fields)
            return replace(block, fields=tuple(fields), items=labels.get(block.name, block.items))
        return block

    sheets = (replace(sheet, blocks=tuple(map(settle, sheet.blocks))) for sheet in book.sheets)
    return replace(book, sheets=tuple(sheets))
