"""The key figures three ways: as stored in the file, as its own formulas give them, and as they should be."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from podbook.book.model import Book
from podbook.book.node import Node
from podbook.proof.agreement import differs
from podbook.proof.evaluate import Columns
from podbook.recalc import Address, Cell
from podbook.review.amounts import amount as figure
from podbook.review.find import Opened, entered
from podbook.sheets.start import KEY_RESULTS

NAMES = (
    *("first_status", *(row[0] for row in KEY_RESULTS), "first_grown_saving"),
    *("first_out", "first_pays", "first_worth", "first_irr"),
)
NOT_STORED = "not stored"


@dataclass(frozen=True)
class KeyFigure:
    """One result of the first page."""

    name: str
    label: str
    stored: str
    """As the file says without being recalculated, such as on a phone."""
    own: str
    """As the file's own formulas give it."""
    should: str
    """As the reference functions work it out from what is filled in."""
    right: bool
    """Whether all three agree; what is not stored doesn't count."""


def key_nodes(book: Book) -> Iterator[Node]:
    """Yield the results of the first page."""
    return (book.nodes[name] for name in NAMES)


def key_figures(found: Opened, values: Mapping[Address, Cell], expected: Columns) -> Iterator[KeyFigure]:
    """Yield the key figures."""
    for node in key_nodes(found.book):
        place = found.places.get(node.key)
        own, should = entered(found, values, node.key)[0], expected[node.key][0]
        address = (place.sheet, place.cells[0]) if place else ("", "")
        stored = found.contents.stored.get(address, found.contents.sheets.get(address[0], {}).get(address[1]))
        is_stored = stored is not None and not (isinstance(stored, str) and stored.startswith("="))
        right = differs(own, should) is not None and (not is_stored or differs(stored, should) is not None)
        yield KeyFigure(node.name, node.label, figure(node, stored) if is_stored else NOT_STORED, figure(node, own),
                        figure(node, should), right)  # fmt: skip
