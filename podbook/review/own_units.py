"""Units in formulas that the user wrote: two that don't go together are worth a word, no more."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cached_property
from typing import TYPE_CHECKING, Any

from podbook.review.find import Opened
from podbook.review.findings import Finding
from podbook.review.gate.contents import is_formula
from podbook.review.own import MOST_LOOKED_AT, formulas_to_judge

if TYPE_CHECKING:
    from podbook.book.tree import Tree
    from podbook.proof.units import Audit
    from podbook.review.explaining.labels import Spots

MOST_TOLD = 12


class Units:
    """Derives the units of formulas as they stand in one file; the audit is loaded for the first of them."""

    def __init__(self, found: Opened) -> None:
        self.found = found

    @cached_property
    def audit(self) -> Audit:
        """The audit of units of the file's book."""
        from podbook.proof.units import Audit

        return Audit(self.found.book)

    @cached_property
    def _spots(self) -> Spots:
        from podbook.review.explaining.labels import Spots

        return Spots(self.found.book, self.found.places)

    def remarks(self, cells: Mapping[str, Mapping[str, Any]]) -> Iterator[Finding]:
        """Yield what the user's own formulas mix up; where a unit is not known there is nothing to say."""
        mixed = [
            (sheet, cell, formula, what)
            for sheet, cell, formula in formulas_to_judge(self.found, cells)[:MOST_LOOKED_AT]
            if (what := self._clash(sheet, formula))
        ]
        for place, (sheet, cell, formula, what) in enumerate(mixed[:MOST_TOLD]):
            more = len(mixed) - MOST_TOLD
            rest = f" So do {more} more formulas of your own." if more > 0 and place == MOST_TOLD - 1 else ""
            yield Finding(
                "own", False, sheet, cell, "your own", f"this cell {what}", formula,
                advice=f"Turn one into the unit of the other first, if you did not mean that.{rest}",
            )  # fmt: skip

    def of_changed(self, key: str, stands: Any, sheet: str) -> str:
        """Return what the unit of a formula of the book is now that it was changed, if it is another."""
        if not is_formula(stands):
            return ""
        tree = self._tree(str(stands), sheet)
        what = "" if tree is None else self.audit.derived(key, tree).what
        return f"In units, it {what}" if what else ""

    def _clash(self, sheet: str, formula: str) -> str:
        tree = self._tree(formula, sheet)
        return "" if tree is None else self.audit.clash(tree)

    def _tree(self, formula: str, sheet: str) -> Tree | None:
        """Return a formula taken apart; None if it can't be."""
        from podbook.book.tree import Unreadable, standing

        try:
            return standing(self.found.book, formula, sheet, self._spots.at)
        except Unreadable:
            return None
