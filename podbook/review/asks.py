"""What a workbook itself asks its reader to look at: right formulas may well say that a winter is not."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from podbook.book.model import Book
from podbook.proof.evaluate import Column

HOLDS = "All checks hold"
"""Status line of a workbook that asks for nothing."""
RESULTS = "results_to_look_at"
"""Name of the checks of results."""


@dataclass(frozen=True)
class Ask:
    """One check of the workbook that found something."""

    label: str
    count: float
    note: str
    """Where to look, and what to do."""

    def __str__(self) -> str:
        return f"{self.label}: {self.count:g}. {self.note}".rstrip()


def asks(book: Book, column: Callable[[str], Column]) -> tuple[Ask, ...]:
    """Return what the workbook's checks of its results found; ``column`` gives the values of a node by its key."""
    checks = [(book.nodes[key], column(key)[0]) for key in book.nodes[RESULTS].members]
    return tuple(
        Ask(node.label, count, node.note)
        for node, count in checks
        if isinstance(count, int | float) and not isinstance(count, bool) and count > 0
    )
