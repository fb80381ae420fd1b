"""What is wrong with the figures for a book before it is built, in the words of the files that they come from."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from podbook.book.layout import lay_out
from podbook.book.model import Book
from podbook.errors import PodbookError
from podbook.proof.evaluate import Columns, end_to_end
from podbook.review.entries import STATES, Slip, oddities, slips

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


def refuse_slips(book: Book, weighed: Mapping[int, str] | None = None) -> list[str]:
    """Return in words which figures to be filled in are unusual, and what is missing in a book that can be built.

    ``weighed`` says as they were written the weights of the tally's rows that were turned into another unit.
    Raises PodbookError if some could not be used, before anything is written.
    """
    values, places = _filled_in(book), lay_out(book).places
    if found := list(slips(book, places, lambda key: book.nodes[key].contents, values)):
        lines = (f"  {_for_file(slip)}; allowed: {slip.allowed}. {slip.hint}".rstrip() for slip in found)
        raise PodbookError("\n".join(("these figures can't be used; nothing was written:", *lines)))
    odd = oddities(book, places, lambda key: book.nodes[key].contents, values)
    typed = {("tally.weight", row): words for row, words in (weighed or {}).items()}
    odd = (replace(slip, found=typed.get((slip.key, slip.item), slip.found)) for slip in odd)
    return [*(f"{_for_file(slip)}: {slip.hint}. {slip.meanwhile}" for slip in odd), *_missing(values)]


def _missing(values: Columns) -> Iterator[str]:
    """Yield what the book goes on without, to the user's harm if they don't know."""
    for number, lacking in enumerate(values["mix.lacking"], 1):
        if lacking == 1:
            crop, sheet = values["by_type.plan"][number - 1], values["lab.in_order"][number - 1]
            wants = [words for words, found in ((NO_CROP, crop), (NO_SHEET, sheet)) if not found]
            lacks, remedies = (" and ".join(each) for each in zip(*wants, strict=True))
            yield (
                f"type {number} ({values['types.use'][number - 1]}): has {lacks}, so the book counts nothing that it"
                f" bears; {remedies}"
            )
    (shares,) = values["share_total"]
    if shares and values["check_shares"][0]:
        yield f"the types' shares of the trees add up to {100 * shares:.4g} %, not 100 %"


NO_CROP = ("no crop", "weigh its trees, or write its own_yield")
NO_SHEET = ("no laboratory's sheet", 'give a sheet with --lab or analysis = "usual"')
MISSING = ("mix.lacking", "by_type.plan", "lab.in_order", "types.use", "share_total", "check_shares")


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
