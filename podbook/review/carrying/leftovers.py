"""What stands in an old workbook beside the entries that the book asks for: it is not carried, but told."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property

from podbook.book import look
from podbook.book.layout import lay_out
from podbook.book.model import Book, Picture
from podbook.book.texts import KINDS_OF_CELL, texts
from podbook.review.carrying import match
from podbook.review.carrying.fate import Fate, Leftover
from podbook.review.carrying.moving import alike
from podbook.review.carrying.old import Old, Spot, Standing
from podbook.review.find import SNAPSHOT

INKS = {look.INK, look.QUIET, look.LEAF, look.ALARM}
LEGEND_ROWS = 12
"""Rows in which the line that every sheet of the book has is looked for: rows may have been put above it."""
NO_PLACE = "nothing in the new workbook asks for it"


class Leftovers:
    """What is left in an old workbook after the entries that a book asks for were taken out of it."""

    def __init__(self, old: Old, book: Book, built: Book | None) -> None:
        self.old, self.book = old, book
        self.built = built
        """The book that the old workbook was built from, unfilled; None if it is of another edition or region."""
        places = lay_out(book).places
        self.homes: dict[str, str] = {}
        """The sheet of the book whose cells stand on a sheet of the old workbook; empty if none of them do."""
        self.known: set[Spot] = set()
        for node in book.nodes.values():
            if (span := old.names.get(node.name)) is not None:
                self.homes.setdefault(span.sheet, places[node.key].sheet)
                self.known.update(span.cells)
        for table in book.tables.values():
            self.known.update(match.labels(old, table))
        self.homes.update({title: "" for title in self._without_names() if title not in self.homes})

    def _without_names(self) -> Iterator[str]:
        """Yield the book's sheets by the line that stands on each; a copy of one has boxed cells, but no names."""
        named = {span.sheet for span in self.old.names.values()}
        boxed = {spot.sheet for spot, cell in self.old.cells.items() if spot.sheet not in named and cell.boxed}
        for title in (page.title for page in self.old.pages):
            top = (self.old.cells.get(Spot(title, row, 1)) for row in range(1, LEGEND_ROWS + 1))
            if title not in boxed and any(cell is not None and cell.value == KINDS_OF_CELL for cell in top):
                yield title

    def entries(self) -> Iterator[Fate]:
        """Yield the boxed cells in which something stands that the book has no place for."""
        singles = {span.cells[0]: name for name, span in self.old.names.items() if len(span.cells) == 1}
        for spot, cell in self._unknown():
            if not cell.boxed:
                continue
            name, found = singles.get(spot, ""), self.old.value(spot)
            default = self.old.names.get(name.removesuffix("_entry") + "_default") if name.endswith("_entry") else None
            if default is not None and alike(found, self.old.value(default.cells[0])):
                continue
            label = self.old.value(Spot(spot.sheet, spot.row, 1))
            words = label if isinstance(label, str) else str(spot)
            yield Fate("left", name, 0, "", words, str(spot), "", found, "", None, "", NO_PLACE)

    def beside(self) -> Iterator[Leftover]:
        """Yield what is the user's own: sheets, cells, notes, charts and pictures."""
        made = {self.old.names[name].sheet for name in SNAPSHOT if name in self.old.names}
        own = [spot for spot, cell in self._unknown() if self._is_own(cell)]
        for page in self.old.pages:
            title = page.title
            cells = [spot for spot in self.old.cells if spot.sheet == title]
            if title in made:
                yield Leftover("the outlook: 'podbook outlook' makes it", title, len(cells), "", lost=False)
                continue
            if title in self.homes:
                yield from _counted("cells of your own beside the book's", title, [s for s in own if s.sheet == title])
            else:
                yield from _counted("cells on a sheet of your own", title, cells)
            yield from _counted("notes on cells", title, [spot for spot in self.old.noted if spot.sheet == title])
            yield from (
                Leftover(kind, title, count, "")
                for kind, count in (("charts", page.charts - self._pictures(title)), ("pictures", page.pictures))
                if count > 0
            )
        for title in self.old.chart_pages:
            yield Leftover("chart on a sheet of its own", title, 1, "")

    def _unknown(self) -> Iterator[tuple[Spot, Standing]]:
        """Yield the cells on the book's sheets that no name of the book leads to."""
        return (
            (spot, cell) for spot, cell in self.old.cells.items() if spot.sheet in self.homes and spot not in self.known
        )

    def _is_own(self, cell: Standing) -> bool:
        """Return whether the user wrote a cell: no boxed one, and no text of the book.

        The texts of another edition are not known: there, what stands in an ink of the book's is the book's, too.
        """
        if cell.boxed or (self.built is None and cell.ink in INKS):
            return False
        return not isinstance(cell.value, str) or (cell.value not in self._texts and bool(cell.value.strip()))

    @cached_property
    def _texts(self) -> frozenset[str]:
        return texts(self.built or self.book)

    def _pictures(self, title: str) -> int:
        """Return how many charts the book has on a sheet."""
        home = self.homes.get(title, "")
        return sum(
            isinstance(block, Picture) for sheet in self.book.sheets if sheet.title == home for block in sheet.blocks
        )


def _counted(kind: str, sheet: str, spots: list[Spot]) -> Iterator[Leftover]:
    if spots:
        yield Leftover(kind, sheet, len(spots), min(spots, key=lambda spot: (spot.row, spot.column)).coordinate)
