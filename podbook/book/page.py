"""One worksheet in the making: its blocks where the layout has them."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any, cast

from openpyxl.styles import Alignment, Font
from openpyxl.styles.cell_style import StyleArray

from podbook.book import entering, look, paper, view
from podbook.book.cells import Cells
from podbook.book.formula import precedents
from podbook.book.layout import FIGURE_HEADINGS, Laid, Layout, bound_rows
from podbook.book.model import Book, Entries, Picture, Prose, Ruled, Sheet, Single, Table, bounds_of, nodes_of_entry
from podbook.book.node import Content, Node
from podbook.book.texts import BOUNDS, KINDS_OF_CELL, SENTENCE_HEADINGS, SINGLE_HEADINGS, origin, source_of
from podbook.coordinates import row_and_column
from podbook.units import shown

LAST_OF_ORIGIN = 13
"""Number of the column up to which is said where a default comes from."""
NOTE_COLUMNS = 4
"""Columns that the notes beside a table take."""
PLAIN_HEADINGS = (FIGURE_HEADINGS[-1], *SENTENCE_HEADINGS, "Source and place", "Note", "Mark")
"""Headings over text that runs on to the right."""
LEADING, GAP = 1.25, 7.0
"""Height of a row of larger letters, in heights of a letter, and of an empty one among them, in points."""
RULED_HEIGHT = 20.0
"""Height of a line to write on by hand, in points."""
Values = Mapping[str, Sequence[Content]]
"""What stands in the cells of nodes, by their keys."""
QUOTED = re.compile(r'"([^"]*)"')


class Page:
    """One worksheet in the making."""

    def __init__(
        self, book: Book, layout: Layout, sheet: Sheet, cells: Cells, worked: Values, *, live: bool = True
    ) -> None:
        """``worked`` is what stands in the cells of worked nodes: formulas if the book is live, else their values."""
        self.book, self.layout, self.sheet, self.cells = book, layout, sheet, cells
        self.worked, self.live = worked, live
        self.page = cells.page
        self.widest = 2
        self.pictures: list[tuple[Picture, int]] = []
        self._lengths: dict[str, int] = {}

    def write(self) -> None:
        page = self.page
        self.cells.put(1, 1, self.sheet.title, look.TITLE)
        self.cells.put(2, 1, self.sheet.purpose, look.PURPOSE)
        page.row_dimensions[1].height = look.TITLE_HEIGHT
        if self.sheet.filled_in:
            self.cells.put(3, 1, KINDS_OF_CELL, look.SLANTED)
        for number, laid in enumerate(self.layout.blocks[self.sheet.title]):
            if number == self.sheet.printed:
                printed = self.widest
            if isinstance(laid.block, Picture):  # a chart bears its own title
                self.pictures.append((laid.block, laid.title_row))
                self.widest = max(self.widest, laid.block.columns[1])
                continue
            self.cells.put(laid.title_row, 1, laid.block.title, look.BLOCK, border=look.UNDER_BLOCK)
            if isinstance(laid.block, Entries):
                self._entries(laid, laid.block)
            elif isinstance(laid.block, Single):
                (self._sentences if laid.block.wide else self._singles)(laid, laid.block)
            elif isinstance(laid.block, Table):
                (self._across if laid.block.across else self._down)(laid, laid.block)
            elif isinstance(laid.block, Ruled):
                self._ruled(laid)
            else:
                self._prose(laid, laid.block)
        if self.sheet.printed is not None:
            self.widest = printed
        if self.sheet.letters != 1:
            self._enlarge()
        view.set_view(page, self.sheet, self.layout)
        farm = str(self.book.nodes["book_title"].contents[0])
        paper.set_page(
            page, self.sheet, self.layout.blocks[self.sheet.title], self.widest, farm, paper.paper_of(self.book)
        )

    def _enlarge(self) -> None:
        """Write larger letters in rows as much taller."""
        looks = self.cells.looks
        for row, cells in enumerate(self.page.iter_rows(min_row=1), 1):
            height = (self.page.row_dimensions[row].height or look.ROW_HEIGHT) * self.sheet.letters
            largest = 0.0
            for cell in cast("tuple[Any, ...]", cells):
                if cell.has_style:
                    cell._style = looks.lettered(cell._style, larger=self.sheet.letters)
                    largest = max(largest, looks.size(cell._style))
            self.page.row_dimensions[row].height = max(height, LEADING * largest) if largest else GAP

    def _label(self, row: int, node: Node, position: int, heads: Sequence[Node], **styles: object) -> None:
        """Put a label before the node at a position from the end of its block, or the node that stands there."""
        if position <= len(heads):
            self._node(heads[-position])
            return
        self.cells.put(row, 1, node.label, look.STRONG if node.headline else look.PLAIN, **styles)

    def _headings(self, row: int, words: list[str], usual: Alignment = look.CENTRED) -> None:
        for column, word in enumerate(words, 1):
            alignment = look.LEFT if column == 1 or word in PLAIN_HEADINGS else usual
            self.cells.put(row, column, word, look.HEADING, alignment=alignment, border=look.UNDER_ROW)

    def _node(self, node: Node, strong: Font | None = None) -> None:
        """Fill the cells of a node, which all look alike."""
        contents: Sequence[Content] = self.worked[node.key] if node.role == "worked" else node.contents
        is_formula = self.live and node.role == "worked"
        worn = self._look(node, strong)
        for cell, content in zip(self.layout.places[node.key].cells, contents, strict=True):
            self.cells.stand(cell, content, worn, is_formula=is_formula)

    def _look(self, node: Node, strong: Font | None) -> StyleArray:
        if node.role == "worked":
            alone = node.size is None and node.unit == "text" and not node.key.endswith("_check")
            beside = self.layout.places[node.key].cells[0].startswith(("A", "B"))
            named = node.size is not None and node.unit == "text"
            return self.cells.look_of(
                number_format=node.look,
                font=(strong or look.STRONG) if node.headline else look.PLAIN,
                border=look.STRONG_BOX if node.headline else look.UNDER_ROW,
                alignment=look.LEFT if alone and beside else look.RIGHT_SHRUNK if named else look.RIGHT,
            )
        if node.role == "entry":
            return self.cells.look_of(
                number_format=node.look,
                alignment=look.RIGHT_SHRUNK if node.unit == "text" and node.table else look.RIGHT,
                font=look.PLAIN, fill=look.FILL_IN, border=look.BOX, protection=look.OPEN,
            )  # fmt: skip
        alignment = look.SHRUNK if node.unit == "text" else look.RIGHT
        return self.cells.look_of(
            number_format=node.look, alignment=alignment, font=look.SLANTED, border=look.UNDER_ROW
        )

    def _entries(self, laid: Laid, block: Entries) -> None:
        self._headings(laid.heading_row, list(FIGURE_HEADINGS))
        self.widest = max(self.widest, LAST_OF_ORIGIN)
        for row, entry in enumerate(block.rows, laid.first_row):
            self.cells.put(row, 1, entry.label, look.PLAIN)
            self.cells.put(row, 3, shown(entry.unit), look.PLAIN, alignment=look.UNIT)
            self._note(row, 9, LAST_OF_ORIGIN, origin(entry))
            for node in nodes_of_entry(entry):
                self._node(node)
                if node.role == "entry":
                    entering.add(self.page, node, self.layout.places[node.key])
                elif node.role == "fixed" and node.unit == "text":
                    self.cells.over(*row_and_column(self.layout.places[node.key].cells[0]), alignment=look.RIGHT_SHRUNK)

    def _sentences(self, laid: Laid, block: Single) -> None:
        """Put a block of sentences over the whole width of the page."""
        last = self.sheet.sentences
        if block.headed:
            self._headings(laid.heading_row, list(SENTENCE_HEADINGS))
        self.widest = max(self.widest, last)
        if block.note:
            self.cells.put(laid.first_row - 1, 1, block.note, look.SLANTED)
        for row, node in enumerate(block.rows, laid.first_row):
            self._label(row, node, laid.last_row - row + 1, block.heads, alignment=look.SHRUNK)
            self._node(node)
            font = look.STRONG_SMALL if node.headline else look.PLAIN
            self.cells.over(row, 2, font=font, alignment=look.WRAPPED)
            self.cells.merge(row, 2, last)
            self._tall(row, self._lines(self._longest(node), (last - 1) * self.sheet.width))

    def _longest(self, node: Node) -> int:
        """Return how long the sentence in a cell may be: its own, or the longest that its formula names."""
        if node.key not in self._lengths:
            self._lengths[node.key] = self._measured(node)
        return self._lengths[node.key]

    def _measured(self, node: Node) -> int:
        if node.role != "worked":
            return max((len(content) for content in node.contents if isinstance(content, str)), default=0)
        named = {self.book.nodes[key].key: self.book.nodes[key] for key, _ in precedents(self.book, node, 0)}
        for span in [each for each in named.values() if each.role == "span"]:
            named.update((key, self.book.nodes[key]) for key in span.members)
        written = max(map(len, QUOTED.findall(node.formula)), default=0)
        return max(written, *(self._longest(each) for each in named.values() if each.unit == "text"), 0)

    def _singles(self, laid: Laid, block: Single) -> None:
        sourced = any(node.source for node in block.rows)
        last = self.sheet.sentences
        if block.headed:
            self._headings(
                laid.heading_row, list(SINGLE_HEADINGS[:5] if sourced else SINGLE_HEADINGS[:3] + SINGLE_HEADINGS[5:])
            )
        self.widest = max(self.widest, last)
        if block.note:
            self.cells.put(laid.first_row - 1, 1, block.note, look.SLANTED)
        for row, node in enumerate(block.rows, laid.first_row):
            self._label(row, node, laid.last_row - row + 1, block.heads, alignment=look.SHRUNK)
            self.cells.put(row, 3, shown(node.unit), look.PLAIN, alignment=look.INDENTED)
            if sourced:
                self.cells.put(row, 4, node.mark, look.SLANTED)
                self._note(row, 5, last, source_of(node))
            elif node.note:
                self._note(row, 4, last, node.note)
            self._node(node)
            if node.role == "fixed" and node.unit == "text":
                self.cells.over(row, 2, alignment=look.LEFT)

    def _note(self, row: int, first: int, last: int, words: str) -> None:
        """Put a note beside a figure, over several columns and as many lines as it takes."""
        self.cells.put(row, first, words, look.SLANTED, alignment=look.NOTE)
        self.cells.merge(row, first, last)
        self._tall(row, self._lines(len(words), (last - first + 1) * self.sheet.width))

    def _lines(self, letters: int, width: float) -> int:
        """Return how many lines so many letters take in cells of a width together."""
        return 1 + int(letters // (width * 1.15 / self.sheet.letters))

    def _tall(self, row: int, lines: int) -> None:
        """Give a row the height of so many lines, if it is not tall enough."""
        if lines > 1:
            self.page.row_dimensions[row].height = max(13.5 * lines, self.page.row_dimensions[row].height or 0)

    def _across(self, laid: Laid, block: Table) -> None:
        count = len(block.items)
        bounded = any(field.low is not None for field in block.fields)
        if block.headed:
            self._headings(laid.heading_row, [" ", *block.items, "Unit", *(BOUNDS if bounded else ())])
            lines = 1 + int(max(map(len, block.items)) // (self.sheet.width * 0.8))  # broken between words
            self._tall(laid.heading_row, lines)
        beside = count + (5 if bounded else 3)
        noted = [node for node in block.fields if node.note] if block.notes else []
        self.widest = max(
            self.widest,
            beside + NOTE_COLUMNS - 1 if noted else beside - 1 if block.headed or block.tails else count + 1,
        )
        if block.note:
            self.cells.put(laid.heading_row + 1, 1, block.note, look.SLANTED)
        for row, node in enumerate(block.fields, laid.first_row):
            label = node if block.headed else replace(node, headline=False)
            self._label(row, label, laid.last_row - row + 1, block.heads, border=look.UNDER_ROW)
            if block.headed:
                self.cells.put(row, count + 2, shown(node.unit), look.PLAIN, alignment=look.UNIT)
            self._items(node)
            self._tail(row, row - laid.last_row, count + 2, block.tails)
            if node in noted:
                self._note(row, beside, beside + NOTE_COLUMNS - 1, node.note)
            self._words(row, node, count)

    def _tail(self, row: int, position: int, column: int, tails: Sequence[Node]) -> None:
        """Put what stands behind the items of the row at a position from its block's last one, if something does."""
        if 0 <= len(tails) + position - 1 < len(tails):
            self._node(tails[position - 1])
        elif tails and len(tails) + position == 0:
            self.cells.put(row, column, tails[0].label, look.PLAIN, alignment=look.RIGHT, border=look.UNDER_ROW)

    def _words(self, row: int, node: Node, count: int) -> None:
        """Give the words that a formula may say as many lines as they take."""
        if node.role != "worked" or node.unit != "text":
            return
        longest = max((len(found) for found in QUOTED.findall(node.formula)), default=0)
        if longest > self.sheet.width * 0.9:
            self._tall(row, 1 + int(longest // (self.sheet.width * 0.9)))
            for column in range(2, count + 2):
                self.cells.over(row, column, alignment=look.RIGHT_WRAPPED)

    def _down(self, laid: Laid, block: Table) -> None:
        self._headings(laid.heading_row, [" ", *(node.label for node in block.fields)])
        self.page.row_dimensions[laid.heading_row].height = look.HEADING_HEIGHT
        self.widest = max(self.widest, len(block.fields) + 1 - block.aside)
        if block.note:
            self.cells.put(laid.heading_row + 1, 1, block.note, look.SLANTED)
        units = laid.first_row - bound_rows(block) - 1
        self._headings(units, ["Unit", *(shown(node.unit) for node in block.fields)], look.UNIT)
        if bound_rows(block):
            for row, word in enumerate(BOUNDS, units + 1):
                self.cells.put(row, 1, word, look.SLANTED)
        for row, label in enumerate(block.items, laid.first_row):
            self.cells.put(row, 1, label, look.PLAIN, border=look.UNDER_ROW)
            if block.open_labels:
                self.cells.over(row, 1, protection=look.OPEN, fill=look.FILL_IN, border=look.BOX)
        for node in block.fields:
            self._items(node, look.STRONG_SMALL)
            if node.unit == "text" and node.role != "entry":
                self._columned(node, laid.first_row, last=node is block.fields[-1])

    def _columned(self, node: Node, row: int, *, last: bool) -> None:
        """Give words that stand one under the other room: in more lines, or in the last column to the right."""
        lines = 1 if last else self._lines(self._longest(node), self.sheet.width * 0.7)
        for step, place in enumerate(self.layout.places[node.key].cells):
            wrapped = look.WRAPPED if node.role == "fixed" else look.RIGHT_WRAPPED
            self.cells.over(*row_and_column(place), alignment=look.LEFT if last else wrapped)
            if self.sheet.letters != 1:  # else a program makes rows as high as they must be
                self._tall(row + step, lines)

    def _items(self, node: Node, strong: Font | None = None) -> None:
        self._node(node, strong)
        if node.role == "entry":
            entering.add(self.page, node, self.layout.places[node.key])
            for bound in bounds_of(node):
                self._node(bound)

    def _prose(self, laid: Laid, block: Prose) -> None:
        for row, line in enumerate(block.lines, laid.first_row):
            self.cells.put(row, 1, line, look.PLAIN, alignment=look.WRAPPED)
            self.cells.merge(row, 1, self.sheet.sentences)
            room = self.sheet.label_width + (self.sheet.sentences - 1) * self.sheet.width
            self.page.row_dimensions[row].height = 14.5 * self._lines(len(line), room)
        self.widest = max(self.widest, self.sheet.sentences)

    def _ruled(self, laid: Laid) -> None:
        for row in range(laid.first_row, laid.last_row + 1):
            self.page.row_dimensions[row].height = RULED_HEIGHT
            for column in range(1, self.sheet.sentences + 1):
                self.cells.over(row, column, border=look.UNDER_ROW)
