"""The formulas that should stand in a workbook none of whose cells is lost, and where they do."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property
from typing import Any

from podbook.book.formula import Place, formulas
from podbook.book.model import Book
from podbook.book.node import Node

Grid = Mapping[tuple[str, str], Any]


class Typed:
    """The formulas of one workbook: ``cells`` is what stands in it.

    ``known`` may hold formulas of a workbook whose cells are in the same places, by the keys of their nodes, and is
    filled.
    """

    def __init__(
        self, book: Book, places: Mapping[str, Place], cells: Grid, known: dict[str, list[str]] | None = None
    ) -> None:
        self.book, self.places, self.cells = book, places, cells
        self._known = {} if known is None else known

    def of(self, node: Node) -> list[str]:
        """Return the formulas that should stand in the cells of a node."""
        if node.key not in self._known:
            self._known[node.key] = formulas(self.book, node, self.places)
        return self._known[node.key]

    @cached_property
    def right(self) -> frozenset[str]:
        """The keys of the nodes in all of whose cells they stand, letter by letter."""
        return frozenset(node.key for node in self.book.worked if self._stand(node))

    def _stand(self, node: Node) -> bool:
        sheet, cells = self.places[node.key].sheet, self.places[node.key].cells
        return [self.cells[(sheet, cell)] for cell in cells] == self.of(node)


def are_some_lost(book: Book, places: Mapping[str, Place]) -> bool:
    """Return whether cells of the book are gone."""
    return any(key not in places or not all(places[key].cells) for key in book.nodes)
