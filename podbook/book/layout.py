"""Where everything stands: one grid for all sheets, filled from the top down.

Column A holds labels. A block of single figures has its columns in the order of ``FIGURE_COLUMNS``;
a table across has its items in columns B onward, then the unit and the allowed range; a table down
has its fields in columns B onward.
"""

from __future__ import annotations

from dataclasses import dataclass

from podbook.book.formula import Place, sheet_prefix
from podbook.book.model import (
    Block,
    Book,
    Entries,
    Picture,
    Prose,
    Ruled,
    Sheet,
    Single,
    Table,
    bounds_of,
    nodes_of_entry,
)
from podbook.coordinates import letters
from podbook.errors import BookFault

FIRST_BLOCK_ROW = 5
PICTURE_ROWS = 16
FIGURE_COLUMNS = {"_entry": "B", "": "D", "_default": "E", "_low": "F", "_high": "G", "_check": "H"}
"""Column of each cell of a single figure, by the ending of its key. The unit stands in column C."""
FIGURE_HEADINGS = (
    "Figure",
    "Fill in",
    "Unit",
    "Used",
    "Default",
    "From",
    "To",
    "In order?",
    "Where the default comes from",
)


@dataclass(frozen=True)
class Laid:
    """A block and the rows it takes: its title, its headings and its first row of figures."""

    block: Block
    title_row: int
    heading_row: int
    first_row: int
    last_row: int


@dataclass(frozen=True)
class Layout:
    """All blocks of all sheets with their rows, and the place of every node."""

    blocks: dict[str, tuple[Laid, ...]]
    places: dict[str, Place]

    def headings(self, table: str) -> str:
        """Return the cells that head the items of a table whose items stand side by side, with their sheet."""
        for sheet, blocks in self.blocks.items():
            for laid in blocks:
                if isinstance(laid.block, Table) and laid.block.name == table and laid.block.across:
                    last = letters(1 + len(laid.block.items))
                    return f"{sheet_prefix(sheet)}$B${laid.heading_row}:${last}${laid.heading_row}"
        raise BookFault(f"no table '{table}' has its items side by side")


def lay_out(book: Book) -> Layout:
    """Give every block its rows and every node its cells."""
    places: dict[str, Place] = {}
    blocks = {sheet.title: _lay_sheet(sheet, places) for sheet in book.sheets}
    return Layout(blocks, places)


def answers(before: Laid, laid: Laid) -> bool:
    """Return whether a block is what comes of the figures in the block before it, and stands close below."""
    return isinstance(before.block, Entries) and isinstance(laid.block, Single) and not laid.block.headed


def bound_rows(table: Table) -> int:
    """Rows above a table's items that state the allowed range of its fields, if it runs down."""
    return 2 if not table.across and any(field.low is not None for field in table.fields) else 0


def _lay_sheet(sheet: Sheet, places: dict[str, Place]) -> tuple[Laid, ...]:
    row = FIRST_BLOCK_ROW
    laid: list[Laid] = []
    for block in sheet.blocks:
        if isinstance(block, Picture) and block.beside:
            row = laid[-1].title_row if isinstance(laid[-1].block, Picture) else laid[-1].first_row
        heading = row + 1
        if isinstance(block, Prose):
            first, length = row + 1, len(block.lines)
        elif isinstance(block, Ruled):
            first, length = row + 1, block.count
        elif isinstance(block, Picture):
            first, length = row + 1, PICTURE_ROWS
        elif isinstance(block, Table):
            above = bound_rows(block) + (0 if block.across else 1)
            first = heading + (1 if block.headed else 0) + (1 if block.note else 0) + above
            length = len(block.fields) if block.across else len(block.items)
            _place_table(sheet.title, block, first, places)
        else:
            note = 1 if isinstance(block, Single) and block.note else 0
            headings = 0 if isinstance(block, Single) and not block.headed else 1
            first, length = heading + headings + note, len(block.rows)
            _place_rows(sheet.title, block, first, places)
        last = first + length - 1
        laid.append(Laid(block, row, heading, first, last))
        row = max(each.last_row for each in laid) + 3
    return tuple(laid)


def _place_rows(title: str, block: Entries | Single, first: int, places: dict[str, Place]) -> None:
    if isinstance(block, Single):
        for row, node in enumerate(block.rows, first):
            places[node.key] = Place(title, (f"B{row}",))
        for row, node in enumerate(block.heads, first + len(block.rows) - len(block.heads)):
            places[node.key] = Place(title, (f"A{row}",))
        for node in block.together:
            places[node.key] = Place(title, tuple(f"B{row}" for row in range(first, first + len(block.rows))))
        return
    for row, entry in enumerate(block.rows, first):
        for node in nodes_of_entry(entry):
            column = FIGURE_COLUMNS[node.key.removeprefix(entry.name)]
            places[node.key] = Place(title, (f"{column}{row}",))
    places[block.checks.key] = Place(title, tuple(f"H{row}" for row in range(first, first + len(block.rows))))


def _place_table(title: str, table: Table, first: int, places: dict[str, Place]) -> None:
    count = len(table.items)
    for row, node in enumerate(table.heads, first + len(table.fields) - len(table.heads)):
        places[node.key] = Place(title, (f"A{row}",))
    for row, node in enumerate(table.tails, first + len(table.fields) - len(table.tails)):
        places[node.key] = Place(title, (f"{letters(2 + count)}{row}",))
    for position, field in enumerate(table.fields):
        if table.across:
            cells = tuple(f"{letters(2 + item)}{first + position}" for item in range(count))
        else:
            cells = tuple(f"{letters(2 + position)}{first + item}" for item in range(count))
        places[field.key] = Place(title, cells)
        for bound in bounds_of(field) if field.role == "entry" else ():
            high = bound.key.endswith("_high")
            if table.across:
                coordinate = f"{letters(count + (4 if high else 3))}{first + position}"
            else:
                coordinate = f"{letters(2 + position)}{first - (1 if high else 2)}"
            places[bound.key] = Place(title, (coordinate,))
