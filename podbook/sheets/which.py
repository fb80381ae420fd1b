"""Which boxed cell, or which result, wants a look first: workings of the sheet Checks, of which the first page tells."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from podbook.book.model import Block, Entries, Sheet, Single, Table
from podbook.book.node import Node, Ref, by, defined_name, fixed_field, worked
from podbook.reference import book, gates, picks

FLAGS: Mapping[str, str] = {"amiss.any": "groups.state"}
"""Checks that are flags, and those that say more than a word of the same items."""
WHOLE = ("tally.state",)
"""Checks of so many rows that only the table is named: the row says the word itself."""
ASKED = "in order?"
"""With what the labels of checks end."""


def firsts(name: str, title: str, word: str, spans: Sequence[str]) -> tuple[Single, Table]:
    """Return what the first cell is called of which each check says a word, and which checks say it at all."""
    rows = tuple(_first(f"{word}_at_{defined_name(span)}", word, span) for span in spans)
    found = Single(f"{title}, check by check", rows, span=f"{name}_firsts")
    what = worked(f"{name}.what", "What", "text", f"=INDEX({found.span},{{#}})", by(book.same_word, word=f"{found.span}@{{#}}"),
                  size=len(rows))  # fmt: skip
    there = worked(f"{name}.there", "There is one", "flag", f'=IF(INDEX({found.span},{{#}})="-",0,1)',
                   by(gates.is_named, name=f"{found.span}@{{#}}"), size=len(rows), look="0")  # fmt: skip
    return found, Table(name, title, tuple(spans), (there, what), across=False)


def _first(key: str, word: str, span: str) -> Node:
    checks, names = span.replace(".checks", "_checks"), f"{_table(span)}.what"
    flag, column = span in FLAGS, defined_name(checks)
    typed = "1" if flag else f'"{word}"'
    name = f"{{{names}@1}}" if span in WHOLE else f"INDEX({defined_name(names)},MATCH({typed},{column},0))"
    reference = gates.name_if_any if span in WHOLE else gates.name_of_first
    ref: Ref = by(reference, checks=f"{checks}*", said=1 if flag else word, names=f"{names}*")
    return worked(key, span, "text", f'=IF(COUNTIF({column},{typed})=0,"-",{name})', ref)


def results(name: str, title: str, counted: Single) -> Table:
    """Return which of some results want a look, and what to do about them."""
    told = tuple(f"{node.label}. {node.note}" for node in counted.rows)
    there = worked(f"{name}.there", "There are some", "flag", f"=IF(INDEX({counted.span},{{#}})=0,0,1)",
                   by(picks.any_at_all, number=f"{counted.span}@{{#}}"), size=len(told), look="0")  # fmt: skip
    items = tuple(node.label for node in counted.rows)
    return Table(name, title, items, (there, _words(f"{name}.what", told)), across=False)


def names(sheets: Sequence[Sheet], spans: Sequence[str]) -> tuple[Table, ...]:
    """Return what the cells behind some checks are called: by sheet, block and label."""
    blocks = {key: (sheet.title, block) for sheet in sheets for block in sheet.blocks for key in _checks(block)}
    return tuple(_names(span, *blocks[FLAGS.get(span, span)]) for span in spans)


def _checks(block: Block) -> tuple[str, ...]:
    """Return the checks of a block, as lists of checks call them."""
    if isinstance(block, Entries):
        return (f"{block.name}.checks",)
    return tuple(node.key for node in block.fields) if isinstance(block, Table) else ()


def _names(span: str, sheet: str, block: Block) -> Table:
    where = f"{sheet}, {block.title}"
    if span in WHOLE:
        called: tuple[str, ...] = (where,)
    elif isinstance(block, Table):
        (check,) = (node.label for node in block.fields if node.key == FLAGS.get(span, span))
        part = check.lower().removesuffix(ASKED).rstrip(": ")
        rows = [f"row {number}" for number in range(1, len(block.items) + 1)]
        items = rows if block.open_labels else block.items  # those are the user's own
        called = tuple(f"{where}: {item}{', ' if part else ''}{part}" for item in items)
    else:
        assert isinstance(block, Entries)
        labels = [entry.label for entry in block.rows]
        called = tuple(
            f"{where}: {label}" + (f" (line {line})" if labels.count(label) > 1 else "")
            for line, label in enumerate(labels, 1)
        )
    cells = tuple(f"Cell {number}" for number in range(1, len(called) + 1))
    return Table(_table(span), f"What {span} checks", cells, (_words(f"{_table(span)}.what", called),), across=False)


def _words(key: str, words: tuple[str, ...]) -> Node:
    return replace(fixed_field(key, "What", "text", words), worded=True)


def _table(span: str) -> str:
    return f"names_{defined_name(span)}"
