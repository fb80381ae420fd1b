"""Formulas: from the text as typed to the text in a cell, and what a formula depends on."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from itertools import repeat

from podbook.book.model import Book
from podbook.book.node import Node
from podbook.errors import BookFault

PLACEHOLDER = re.compile(r"\{([a-z0-9_.]+)(?:@(\d+|prev))?(?::(low|high))?\}")
WORD = re.compile(r"[A-Za-z_][A-Za-z0-9_.]*")
QUOTED = re.compile(r'"[^"]*"')


Where = tuple[str, int]
"""A node's key and an item, counted from 0."""


@dataclass(frozen=True)
class Place:
    """Where the cells of a node stand: a sheet and one coordinate an item, such as ``B12``."""

    sheet: str
    cells: tuple[str, ...]


Places = Mapping[str, Place]


@lru_cache(maxsize=1_000)
def sheet_prefix(title: str) -> str:
    """Return a sheet's title as it stands before a reference."""
    return f"{title}!" if re.fullmatch(r"[A-Za-z_][A-Za-z0-9_]*", title) else "'" + title.replace("'", "''") + "'!"


def absolute(coordinate: str) -> str:
    """Return ``$B$12`` for ``B12``."""
    letters = coordinate.rstrip("0123456789")
    return f"${letters}${coordinate[len(letters) :]}"


def resolve(book: Book, node: Node, item: int, match: re.Match[str]) -> tuple[str, int]:
    """Return the key and the item that a placeholder in a node's formula stands for."""
    word, fixed_item, bound = match.groups()
    if word in ENTRY_WORDS and not node.table:
        own = node.key.removesuffix("_check")
        return f"{own}_{word}", 0
    key = word if "." in word else f"{node.table}.{word}"
    if bound:
        return f"{key}_{bound}", 0
    if key not in book.nodes:
        raise BookFault(f"the formula of '{node.key}' speaks of '{key}', which is not in the book")
    if book.nodes[key].size is None:
        return key, 0
    if fixed_item == "prev":
        return key, item - 1
    return key, int(fixed_item) - 1 if fixed_item else item


ENTRY_WORDS = ("entry", "low", "high", "default")


def rendered(book: Book, node: Node, item: int, places: Places) -> str:
    """Return the formula of one cell, with addresses where the typed text has placeholders."""

    typed = node.formula_of(item)
    if "{" not in typed:
        return typed
    home = places[node.key].sheet

    def address(match: re.Match[str]) -> str:
        key, position = resolve(book, node, item, match)
        place = places[key]
        coordinate = place.cells[position]
        _, fixed_item, bound = match.groups()
        if (fixed_item and fixed_item != "prev") or bound:
            coordinate = absolute(coordinate)
        return coordinate if place.sheet == home else sheet_prefix(place.sheet) + coordinate

    return PLACEHOLDER.sub(address, typed)


def formulas(book: Book, node: Node, places: Places) -> list[str]:
    """Return the formulas of all cells of a node: what a placeholder stands for is asked once, not for every item."""
    typed = node.formula
    if node.count < 3 or "{#}" in typed:
        return [rendered(book, node, item, places) for item in range(node.count)]
    parts: list[Iterable[str]] = []
    end = 0
    for match in PLACEHOLDER.finditer(typed):
        parts += [repeat(typed[end : match.start()]), _column(book, node, places, match)]
        end = match.end()
    found = ["".join(each) for each in zip(*parts, repeat(typed[end:], node.count), strict=False)]
    if node.first_formula:
        found[0] = rendered(book, node, 0, places)
    return found


def _column(book: Book, node: Node, places: Places, match: re.Match[str]) -> list[str]:
    """Return the addresses that a placeholder stands for, item by item: it stays where it is, or moves along."""
    key, start = resolve(book, node, 0, match)
    step = resolve(book, node, 1, match)[1] - start
    place = places[key]
    _, fixed_item, bound = match.groups()
    pinned = (fixed_item and fixed_item != "prev") or bound
    prefix = "" if place.sheet == places[node.key].sheet else sheet_prefix(place.sheet)
    if not step:
        cell = prefix + (absolute(place.cells[start]) if pinned else place.cells[start])
        return [cell] * node.count
    return [prefix + place.cells[start + item] for item in range(node.count)]


def precedents(book: Book, node: Node, item: int) -> Iterator[tuple[str, int]]:
    """Yield the cells (key, item) that one cell's formula names, those by address before those by name."""
    seen: dict[tuple[str, int], None] = {}
    for match in PLACEHOLDER.finditer(node.formula_of(item)):
        seen[resolve(book, node, item, match)] = None
    plain = PLACEHOLDER.sub(" ", QUOTED.sub(" ", node.formula_of(item)))
    for word in WORD.findall(plain):
        if word in book.by_name:
            named = book.by_name[word]
            seen.update(dict.fromkeys((named.key, position) for position in range(named.count)))
    yield from seen
