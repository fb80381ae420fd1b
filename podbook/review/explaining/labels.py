"""What the book's cells are called, and where they stand: labels, the names of items, addresses."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from functools import cached_property

from podbook.book.formula import Place, sheet_prefix
from podbook.book.model import Book, Picture, Prose, nodes_of
from podbook.coordinates import letters, row_and_column
from podbook.proof.wiring import Where
from podbook.units import shown

LONGEST = 80
"""Letters of a text from a file that are shown."""
WIDEST = 20_000
"""Cells of a span: no span of the book's own is wider."""
NO_NAMES = (None, "", "-", "(none)")
"""What stands in a cell that names an item not in use."""


def one_line(text: object) -> str:
    """Return a text from a file as one line that a screen can't take for a command."""
    return "".join(letter if letter.isprintable() else " " for letter in str(text))


def plain(text: object) -> str:
    """Return a text from a file as one line, cut where it is too long."""
    line = one_line(text)
    return line if len(line) <= LONGEST else line[: LONGEST - 1] + "…"


class Spots:
    """Where the cells of a book stand in one file."""

    def __init__(self, book: Book, places: Mapping[str, Place]) -> None:
        self.book, self.places = book, places

    def of(self, where: Where) -> tuple[str, str] | None:
        """Return sheet and coordinate of a cell; None if it is gone."""
        place = self.places.get(where[0])
        if place is None or where[1] >= len(place.cells) or not place.cells[where[1]]:
            return None
        return place.sheet, place.cells[where[1]]

    def address(self, where: Where) -> str:
        """Return the address of a cell as it is written in a formula; an empty text if it is gone."""
        spot = self.of(where)
        return sheet_prefix(spot[0]) + spot[1] if spot else ""

    @cached_property
    def _known(self) -> dict[tuple[str, str], Where]:
        found: dict[tuple[str, str], Where] = {}
        for node in self.book.nodes.values():
            for item in range(node.count if node.role != "span" else 0):
                spot = self.of((node.key, item))
                if spot is not None:
                    found[spot[0].casefold(), spot[1]] = (node.key, item)
        return found

    def at(self, sheet: str, coordinate: str) -> Where | None:
        """Return which cell stands at an address."""
        return self._known.get((sheet.casefold(), coordinate))

    def row(self, sheet: str, coordinate: str) -> tuple[Where, ...]:
        """Return the cells that stand in the row of an address."""
        digits = coordinate.lstrip("ABCDEFGHIJKLMNOPQRSTUVWXYZ")
        return tuple(
            where
            for (title, cell), where in self._known.items()
            if title == sheet.casefold() and cell.lstrip("ABCDEFGHIJKLMNOPQRSTUVWXYZ") == digits
        )

    def within(self, first: Where, last: Where) -> tuple[Where, ...]:
        """Return the cells that stand between two others, both included."""
        start, end = self.of(first), self.of(last)
        if start is None or end is None or start[0] != end[0]:
            return ()
        (top, left), (bottom, right) = row_and_column(start[1]), row_and_column(end[1])
        if (bottom - top + 1) * (right - left + 1) > WIDEST:
            return ()
        inside = (
            self.at(start[0], f"{letters(column)}{row}")
            for row in range(top, bottom + 1)
            for column in range(left, right + 1)
        )
        return tuple(where for where in inside if where is not None)


class Labels:
    """What the cells of a book are called: the book's labels, and the names that the file gives to items."""

    def __init__(self, book: Book, given: Mapping[Where, str] | None = None) -> None:
        self.book = book
        self.given = given or {}
        """What the file calls an item: what stands in the cell that names it, by table and item."""

    def item(self, where: Where) -> str:
        """Return the name of a cell's item, such as ``Month 6 (Mar)``; an empty text for a single cell."""
        node = self.book.nodes[where[0]]
        if node.size is None:
            return ""
        if node.role == "span":
            return self.book.nodes[node.members[where[1]]].label
        name = self.book.tables[node.table].items[where[1]]
        given = plain(self.given.get((node.table, where[1]), ""))
        return f"{name} ({given})" if given and given != name else name

    def block(self, key: str) -> str:
        """Return the title of the block in which a node stands."""
        return self._blocks[key]

    def short(self, where: Where, home: Where | None = None, *, with_item: bool = False) -> str:
        """Return a cell's label and, where ``home`` does not tell it, its item and its block."""
        label, item = self.whole(where[0], home), self.item(where)
        return f"{label}, {item}" if item and (with_item or not self._same_item(where, home)) else label

    def whole(self, key: str, home: Where | None = None) -> str:
        """Return a node's label, with its block and its unit where others have the same label."""
        node, block = self.book.nodes[key], self.block(key)
        at_home = block == node.label or (home is not None and block == self.block(home[0]))
        label = node.label if at_home or self._counted["", node.label] == 1 else f"{block}: {node.label}"
        return label if self._counted[block, node.label] == 1 else f"{label}, in {shown(node.unit)}"

    def _same_item(self, where: Where, home: Where | None) -> bool:
        """Return whether a cell belongs to the item of the cell that is spoken of, be it in another table."""
        if home is None or home[1] != where[1]:
            return False
        tables = [self.book.tables.get(self.book.nodes[key].table) for key in (where[0], home[0])]
        return tables[0] is not None and tables[1] is not None and tables[0].items == tables[1].items

    @cached_property
    def _blocks(self) -> dict[str, str]:
        return {
            node.key: block.title
            for sheet in self.book.sheets
            for block in sheet.blocks
            if not isinstance(block, Prose | Picture)
            for node in nodes_of(block)
        }

    @cached_property
    def _counted(self) -> Counter[tuple[str, str]]:
        """How many nodes have a label, in all (under an empty title) and in a block."""
        nodes = self.book.nodes.values()
        return Counter((block, node.label) for node in nodes for block in ("", self.block(node.key)))


def naming_cells(book: Book, spots: Spots) -> Iterator[tuple[tuple[str, int], Where | tuple[str, str]]]:
    """Yield, for every item of a table, where its name stands in the file: a cell of the book, or an address.

    A table's items are named by its field ``label``, or by that of a table with the same items. Where the labels of
    items are the user's own, they stand in column A.
    """
    namers: dict[tuple[str, ...], str] = {}
    for table in book.tables.values():
        if f"{table.name}.label" in book.nodes:
            namers.setdefault(table.items, f"{table.name}.label")
    for table in book.tables.values():
        for item in range(len(table.items)):
            if table.open_labels:
                spot = next(filter(None, (spots.of((field.key, item)) for field in table.fields)), None)
                if spot is not None:
                    yield (table.name, item), (spot[0], f"A{row_and_column(spot[1])[0]}")
            elif table.items in namers:
                yield (table.name, item), (namers[table.items], item)
