"""Help for the cells that a user fills in: what each is, and where to get it."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from importlib.resources import files

from podbook.book.model import Block, Entries, Sheet, Table


@cache
def helps() -> Mapping[str, str]:
    """Return the words of help, by the name of an entry or the key of a table's field."""
    text = (files("podbook") / "data" / "help.toml").read_text(encoding="utf-8")
    return {key: words for sheet in tomllib.loads(text).values() for key, words in sheet.items()}


def with_help(sheet: Sheet) -> Sheet:
    """Return the sheet with help for the entries that have none of their own."""
    return replace(sheet, blocks=tuple(map(_helped, sheet.blocks)))


def _helped(block: Block) -> Block:
    if isinstance(block, Entries):
        rows = tuple(replace(entry, help=entry.help or helps().get(entry.name, "")) for entry in block.rows)
        return replace(block, rows=rows)
    if isinstance(block, Table):
        fields = tuple(
            replace(node, note=node.note or helps().get(node.key, "")) if node.role == "entry" else node
            for node in block.fields
        )
        return replace(block, fields=fields)
    return block
