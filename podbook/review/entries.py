"""What is wrong with the figures that a user filled in."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from podbook.book.formula import Place
from podbook.book.layout import lay_out
from podbook.book.model import Book
from podbook.book.node import Node
from podbook.errors import PodbookError, listed
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
            yield Slip(node.key, item, place.sheet, place.cells[item], _label(book, node, item), _found(found),
                       allowed(book, node), _hint(node, found), MEANWHILE[bool(node.table)])  # fmt: skip
    for table, states in STATES.items():
        if any(node.key not in places for node in book.tables[table].fields):
            continue
        for key in (f"{table}.{state}" for state in states):
            for item, word in enumerate(values[key]):
                if is_to_mend(word) and (table, item) not in told and key in places and places[key].cells[item] != LOST:
                    place = places[key]
                    yield Slip(key, item, place.sheet, place.cells[item], book.tables[table].items[item],
                               "figures that don't fit each other", "figures that do", "", MEANWHILE[True])  # fmt: skip


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
FILE_PARTS = {
    "types": "type",
    "mix": "type",
    "by_type": "type",
    "groups": "group",
    "lab": "lab sheet",
    "tally": "tally row",
    "log": "log month",
    "order": "type",
    "cases": "case",
}


def refuse_slips(book: Book) -> list[str]:
    """Return in words which figures to be filled in are unusual, and what is missing in a book that can be built.

    Raises PodbookError if some could not be used, before anything is written.
    """
    values = _filled_in(book)
    if found := list(slips(book, lay_out(book).places, lambda key: book.nodes[key].contents, values)):
        lines = (f"  {_for_file(slip)}; allowed: {slip.allowed}. {slip.hint}".rstrip() for slip in found)
        raise PodbookError("\n".join(("these figures can't be used; nothing was written:", *lines)))
    odd = oddities(book, lay_out(book).places, lambda key: book.nodes[key].contents, values)
    return [*(f"{_for_file(slip)}: {slip.hint}. {slip.meanwhile}" for slip in odd), *_missing(values)]


def _missing(values: Columns) -> Iterator[str]:
    """Yield what the book goes on without, to the user's harm if they don't know."""
    for number, lacking in enumerate(values["mix.lacking"], 1):
        if lacking == 1:
            yield (
                f"type {number} ({values['types.use'][number - 1]}): has no crop or no laboratory's sheet, so the book"
                ' counts nothing that it bears; weigh its trees, and give a sheet with --lab or analysis = "usual"'
            )
    (shares,) = values["share_total"]
    if shares and values["check_shares"][0]:
        yield f"the types' shares of the trees add up to {100 * shares:.4g} %, not 100 %"


MISSING = ("mix.lacking", "types.use", "share_total", "check_shares")


def slips_in(book: Book) -> list[Slip]:
    """Return what is to be filled in and could not be used."""
    return list(slips(book, lay_out(book).places, lambda key: book.nodes[key].contents, _filled_in(book)))


def _filled_in(book: Book) -> Columns:
    """Return what the reference functions make of what is filled in: of the nodes alone by which it is judged."""
    entries = {key: node for key, node in book.nodes.items() if node.role == "entry"}
    judging = {f"{table}.{state}" for table, states in STATES.items() for state in states}
    judging |= {node.choices for node in entries.values() if node.choices}
    judging |= {f"{key.removesuffix('_entry')}_check" for key, node in entries.items() if not node.table}
    judging.update(MISSING)
    return end_to_end(book, {key: node.contents for key, node in entries.items()}, only=judging & book.nodes.keys())


def _for_file(slip: Slip) -> str:
    """Return a slip in the words of the file that it comes from."""
    return f"{in_file(slip)} ({slip.label}): found {slip.found}"


def in_file(slip: Slip) -> str:
    """Return where in a farm's file a slip stands."""
    table, _, field = slip.key.rpartition(".")
    if table:
        return f"{FILE_PARTS.get(table, table)} {slip.item + 1}, {field}"
    return f"figures.{field.removesuffix('_entry')}"


def refusal(book: Book, node: Node, found: Any, values: Mapping[str, Column]) -> str:
    """Return why the book can't use what was found for an entry, or an empty text if it can.

    ``values`` holds the words of the list that the entry must be taken from, by the list's key.
    """
    if _usable(node, found, values):
        return ""
    return f"found {_found(found)}; allowed: {allowed(book, node)}. {_hint(node, found)}".rstrip()


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


def allowed(book: Book, node: Node) -> str:
    """Return in words what an entry may be."""
    if node.choices:
        words = book.nodes[node.choices]
        return (
            "a type named on the sheet Farm"
            if words.role == "entry"
            else f"one of {listed(word for word in words.contents if word is not None)}"
        )
    if node.low is not None:
        return f"a number from {node.low:g} to {node.high:g} {shown(node.unit)}".rstrip()
    return "a name of letters and figures, without * ? ~ < > ="


def _found(found: Any) -> str:
    if _blank(found):
        return "nothing"
    if isinstance(found, str):
        return f"the text '{found if len(found) <= LONGEST else found[: LONGEST - 1] + '…'}'"
    return f"{found:.15g}" if is_number(found) else str(found)


def _hint(node: Node, found: Any) -> str:
    if isinstance(found, str) and node.low is not None and found:
        return "Write the bare number: no commas, no units."
    if is_number(found) and node.low is not None and node.high is not None:
        return unit_slips.hint(node.unit, found, node.low, node.high)
    return ""


def _label(book: Book, node: Node, item: int) -> str:
    label = node.label.removesuffix(" (as filled in)")
    return f"{book.tables[node.table].items[item]}: {label}" if node.table else label
