"""What is wrong with the figures that a user filled in."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from podbook.book.formula import Place
from podbook.book.model import Book
from podbook.book.node import Node
from podbook.errors import listed
from podbook.proof.evaluate import Column, Columns, end_to_end
from podbook.reference import gates
from podbook.reference.gates import is_number
from podbook.review import unit_slips
from podbook.review.spans import LOST
from podbook.units import shown


@dataclass(frozen=True)
class Slip:
    """An entry that the book can't use."""

    key: str
    item: int
    sheet: str
    cell: str
    label: str
    found: str
    allowed: str
    hint: str
    """How the figure is to be written."""
    meanwhile: str
    """What the book does until it is mended."""

    def __str__(self) -> str:
        words = f"{self.sheet}!{self.cell} ({self.label}): found {self.found}; allowed: {self.allowed}."
        return " ".join(filter(None, (words, self.hint, self.meanwhile)))


STATES = {
    "types": ("name_check", "origin_check"),
    "months": ("state",),
    "tally": ("state",),
    "log": ("state",),
    "lab": ("state",),
    "mix": ("state",),
    "groups": ("state",),
    "order": ("state",),
    "cases": ("state",),
}
"""For a table whose items may be left empty: the fields that say 'mend' where an item is in use but can't be used."""


def is_to_mend(word: object) -> bool:
    """Return whether a check says that something can't be used, by itself or with what it is."""
    return isinstance(word, str) and word.partition(":")[0] == "mend"


def slips(
    book: Book, places: Mapping[str, Place], column: Callable[[str], Column], values: Columns | None = None
) -> Iterator[Slip]:
    """Yield every entry that the book can't use, and every row or column whose figures don't fit each other.

    ``values`` is what the reference functions make of the entries, if that is known.
    """
    entries = [node for node in book.nodes.values() if node.role == "entry" and node.key in places]
    if values is None:
        values = end_to_end(book, {node.key: column(node.key) for node in book.nodes.values() if node.role == "entry"})
    told: set[tuple[str, int]] = set()
    for node in entries:
        place = places[node.key]
        for item, found in enumerate(column(node.key)):
            if place.cells[item] == LOST:
                continue
            asked = _asked(node, item, values)
            if _usable(node, found, values) or (_blank(found) and not asked):
                continue
            told.add((node.table, item))
            may_be, hint = allowed(book, node, values), _hint(node, found, values)
            yield Slip(node.key, item, place.sheet, place.cells[item], _label(book, node, item), _found(found), may_be,
                       hint, MEANWHILE[bool(node.table)])  # fmt: skip
    for table, states in STATES.items():
        if any(node.key not in places for node in book.tables[table].fields):
            continue
        for key in (f"{table}.{state}" for state in states):
            for item, word in enumerate(values[key]):
                if is_to_mend(word) and (table, item) not in told and key in places and places[key].cells[item] != LOST:
                    yield _misfit(book, places, column, key, item, word)


WEIGHT, KIND = "groups.body_weight", "groups.kind"


def _misfit(
    book: Book, places: Mapping[str, Place], column: Callable[[str], Column], key: str, item: int, word: object
) -> Slip:
    """Return an item whose figures don't fit each other: of a group its weight, which doesn't fit its kind."""
    if word != "mend: weight" or WEIGHT not in places or places[WEIGHT].cells[item] == LOST:
        place, label = places[key], book.tables[key.partition(".")[0]].items[item]
        return Slip(key, item, place.sheet, place.cells[item], label, "figures that don't fit each other",
                    "figures that do", "See its boxed cells.", MEANWHILE[True])  # fmt: skip
    node, place, kind = book.nodes[WEIGHT], places[WEIGHT], str(column(KIND)[item])
    kinds = [str(each).casefold() for each in book.nodes["kinds.word"].contents]
    found: Any = column(WEIGHT)[item]
    ends: list[Any] = [
        book.nodes[f"kinds.{end}"].contents[kinds.index(kind.casefold())] for end in ("lightest", "heaviest")
    ]
    low, high = max(node.low or 0, ends[0]), min(node.high or ends[1], ends[1])
    of_kind = f"a number from {low:.4g} to {high:.4g} {shown(node.unit)} for the kind '{kind}'"
    hint = unit_slips.hint(node.unit, found, low, high)
    return Slip(WEIGHT, item, place.sheet, place.cells[item], _label(book, node, item), _found(found), of_kind,
                hint or "See the weight, and the kind.", MEANWHILE[True])  # fmt: skip


def oddities(
    book: Book, places: Mapping[str, Place], column: Callable[[str], Column], values: Columns
) -> Iterator[Slip]:
    """Yield every figure that the book can use, but that is unusual, or looks as if it were written in another unit.

    ``values`` is what the reference functions make of the entries.
    """
    for node in book.nodes.values():
        name = node.key.removesuffix("_entry")
        default = book.nodes.get(f"{name}_default")
        if node.role != "entry" or node.table or default is None or node.low is None or node.high is None:
            continue
        found, usual = column(node.key)[0], default.contents[0]
        if node.key not in places or not is_number(found) or not isinstance(usual, float | int):
            continue
        if not node.low <= found <= node.high:
            continue
        words = unit_slips.remark(node.unit, found, usual, node.low, node.high)
        if not words and values[f"{name}_check"][0] == "unusual":
            words = f"it is far from the default {usual:g}"
        if words:
            place = places[node.key]
            yield Slip(node.key, 0, place.sheet, place.cells[0], _label(book, node, 0), _found(found),
                       allowed(book, node), words, "It is used as it stands.")  # fmt: skip
    weight = book.nodes["tally.weight"]
    if weight.key not in places:
        return
    place = places[weight.key]
    for item, word in enumerate(values["tally.state"]):
        if word == "unusual" and place.cells[item] != LOST:
            found, words = (
                column(weight.key)[item],
                "the tree's whole crop is far above the others of its type",
            )
            yield Slip(weight.key, item, place.sheet, place.cells[item], _label(book, weight, item), _found(found),
                       allowed(book, weight), words, "It is counted as it stands.")  # fmt: skip


LONGEST = 60
"""Letters of a text that are shown."""
MEANWHILE = {True: "It is left out meanwhile.", False: "The default is used meanwhile."}


def refusal(book: Book, node: Node, found: Any, values: Mapping[str, Column]) -> str:
    """Return why the book can't use what was found for an entry, or an empty text if it can.

    ``values`` holds the words of the list that the entry must be taken from, by the list's key.
    """
    if _usable(node, found, values):
        return ""
    return f"found {_found(found)}; allowed: {allowed(book, node, values)}. {_hint(node, found, values)}".rstrip()


def _asked(node: Node, item: int, values: Mapping[str, Column]) -> bool:
    """Return whether an entry must be filled in, as the others stand."""
    if not node.table:
        return True
    if not node.required:
        return False
    states = STATES.get(node.table)
    return states is None or any(is_to_mend(values[f"{node.table}.{state}"][item]) for state in states)


def _blank(found: Any) -> bool:
    return found is None or found == ""


def _usable(node: Node, found: Any, values: Mapping[str, Column]) -> bool:
    if node.choices:
        words = {str(word).casefold() for word in values[node.choices] if word}
        return isinstance(found, str) and found.casefold() in words
    if node.low is not None and node.high is not None:
        return is_number(found) and node.low <= found <= node.high
    return isinstance(found, str) and gates.plain_name.function(entry=found) == 1


def allowed(book: Book, node: Node, values: Mapping[str, Column] | None = None) -> str:
    """Return in words what an entry may be; ``values`` holds the types that are named, if that is known."""
    if node.choices:
        words = book.nodes[node.choices]
        if words.role != "entry":
            return f"one of {listed(word for word in words.contents if word is not None)}"
        named = [word for word in (values or {}).get(node.choices, ()) if word]
        return f"a type named on the sheet Farm{f': {listed(named)}' if named else ''}"
    if node.low is not None:
        return f"a number from {node.low:g} to {node.high:g} {shown(node.unit)}".rstrip()
    return "a name of letters and figures, without * ? ~ < > ="


def _found(found: Any) -> str:
    if _blank(found):
        return "nothing"
    if isinstance(found, str):
        return f"the text '{found if len(found) <= LONGEST else found[: LONGEST - 1] + '…'}'"
    return f"{found:.15g}" if is_number(found) else str(found)


def _hint(node: Node, found: Any, values: Mapping[str, Column]) -> str:
    if isinstance(found, str) and found:
        if node.low is not None:
            bales = unit_slips.of_bales(node.unit) if "bale" in found.casefold() else ""
            return f"Write the bare number: no commas, no units. {bales}".rstrip()
        words = {str(word).casefold() for word in values.get(node.choices, ()) if word}
        if found.strip() != found and found.strip().casefold() in words:
            return "Take out the space before or after it."
    if is_number(found) and node.low is not None and node.high is not None:
        return unit_slips.hint(node.unit, found, node.low, node.high)
    return ""


def _label(book: Book, node: Node, item: int) -> str:
    label = node.label.removesuffix(" (as filled in)")
    return f"{book.tables[node.table].items[item]}: {label}" if node.table else label
