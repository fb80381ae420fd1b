"""What is wrong with the figures that a user filled in."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from podbook.book.formula import Place
from podbook.book.layout import lay_out
from podbook.book.model import Book
from podbook.book.node import Node
from podbook.errors import PodbookError
from podbook.proof.evaluate import Column, end_to_end
from podbook.reference.gates import is_number
from podbook.units import shown


@dataclass(frozen=True)
class Slip:
    """An entry that the book can't use."""

    sheet: str
    cell: str
    label: str
    found: str
    allowed: str
    advice: str

    def __str__(self) -> str:
        advice = f" {self.advice}" if self.advice else ""
        return f"{self.sheet}!{self.cell} ({self.label}): found {self.found}; allowed: {self.allowed}.{advice}"


STATES = {"types": "origin_check", "tally": "state", "lab": "state", "mix": "state", "groups": "state"}
"""For a table whose items may be left empty: the field that says 'mend' where an item is in use but can't be used."""


def slips(book: Book, places: Mapping[str, Place], column: Callable[[str], Column]) -> Iterator[Slip]:
    """Yield every entry that the book can't use, and every row or column in use that lacks one."""
    entries = [node for node in book.nodes.values() if node.role == "entry" and node.key in places]
    values = end_to_end(book, {node.key: column(node.key) for node in book.nodes.values() if node.role == "entry"})
    told: set[tuple[str, int]] = set()
    for node in entries:
        for item, found in enumerate(column(node.key)):
            in_use = _in_use(node, item, values)
            if _usable(book, node, found) or (_blank(found) and not in_use):
                continue
            told.add((node.table, item))
            place = places[node.key]
            yield Slip(
                place.sheet,
                place.cells[item],
                _label(book, node, item),
                _found(found),
                allowed(book, node),
                _advice(node, found),
            )
    for table, state in STATES.items():
        key = f"{table}.{state}"
        for item, word in enumerate(values[key]):
            if word == "mend" and (table, item) not in told and key in places:
                place = places[key]
                yield Slip(
                    place.sheet,
                    place.cells[item],
                    book.tables[table].items[item],
                    "a row or column that can't be used",
                    "every figure there and fitting the others",
                    "Look at the flags below or beside it.",
                )


def refuse_slips(book: Book) -> None:
    """Raise PodbookError if what is to be filled in could not be used, before anything is written."""
    found = list(slips(book, lay_out(book).places, lambda key: book.nodes[key].contents))
    if found:
        raise PodbookError(
            "\n".join(("figures that the book can't use; nothing was written:", *(f"  {slip}" for slip in found)))
        )


def _in_use(node: Node, item: int, values: Mapping[str, Column]) -> bool:
    if not node.table:
        return True
    if not node.required:
        return False
    state = STATES.get(node.table)
    return state is None or values[f"{node.table}.{state}"][item] == "mend"


def _blank(found: Any) -> bool:
    return found is None or found == ""


def _usable(book: Book, node: Node, found: Any) -> bool:
    if node.choices:
        words = book.nodes[node.choices]
        if words.role == "entry":
            return isinstance(found, str) and found != ""
        return isinstance(found, str) and found.casefold() in {str(word).casefold() for word in words.contents}
    if node.low is not None and node.high is not None:
        return is_number(found) and node.low <= found <= node.high
    return isinstance(found, str) and found != ""


def allowed(book: Book, node: Node) -> str:
    """Return in words what an entry may be."""
    if node.choices:
        words = book.nodes[node.choices]
        return (
            "a type named on the sheet Farm"
            if words.role == "entry"
            else "one of " + ", ".join(str(word) for word in words.contents)
        )
    if node.low is not None:
        return f"a number from {node.low:g} to {node.high:g} {shown(node.unit)}".rstrip()
    return "a word"


def _found(found: Any) -> str:
    if _blank(found):
        return "nothing"
    return f"the text '{found}'" if isinstance(found, str) else f"{found:g}" if is_number(found) else str(found)


def _advice(node: Node, found: Any) -> str:
    if isinstance(found, str) and node.low is not None:
        return "Type the bare number: no commas, no units."
    if is_number(found) and node.unit == "fraction" and node.high is not None and node.high <= 1 and 1 < found <= 100:
        return f"For {found:g} % fill in {found / 100:g}."
    if is_number(found) and node.unit == "percent" and node.low is not None and 0 < found < min(1, node.low):
        return f"Fill in the percent as printed: {found * 100:g} for {found:g}."
    return "It is left out." if node.table else "The default is used instead."


def _label(book: Book, node: Node, item: int) -> str:
    label = node.label.removesuffix(" (as filled in)")
    return f"{book.tables[node.table].items[item]}: {label}" if node.table else label
