"""Find where the book's cells stand now, whatever lines were inserted, deleted or moved.

A cell is found by its defined name, which spreadsheet programs move along with it. Where a table's names have grown or
shrunk, its lines (rows, or columns where its items stand side by side) are matched with its items by their labels and
by whether formulas stand in them. A name that is gone is found by the shift of its neighbours.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from functools import cached_property
from itertools import pairwise

from podbook.book.formula import Place
from podbook.book.model import Book, Table
from podbook.book.node import Node
from podbook.coordinates import row_and_column
from podbook.proof.wiring import Where
from podbook.proof.wrong import Wrong
from podbook.review.findings import Finding
from podbook.review.gate.contents import Contents, is_formula
from podbook.review.lines import Body, turned
from podbook.review.spans import LOST, Span, at, covers, ends, span_of

Lines = dict[tuple[str, int], list[tuple[int, str]]]
"""By sheet and row (or column): where on it a node stands, and its key."""


def rows_of_tally(contents: Contents, stated: int) -> int:
    """Return how many lines of the tally hold formulas: a user may have added some, or taken some away."""
    spans = [span for name, text in contents.names.items() if name.startswith("tally_") and (span := span_of(text))]
    columns = [span for span in spans if span.count > 1 and span.beside(False)]
    if not columns:
        return stated
    (sheet, top, bottom), _ = Counter((each.sheet, each.top, each.bottom) for each in columns).most_common(1)[0]
    cells = contents.sheets.get(sheet, {})
    held = sum(
        any(is_formula(cells.get(at(span.left, row))) for span in columns if span.sheet == sheet)
        for row in range(top, min(bottom, top + 10_000) + 1)
    )
    return held or stated


class Finder:
    """Finds the places of a book's nodes in a file, and tells what became of those that moved oddly.

    ``layout`` is where they stand as the book is built.
    """

    def __init__(self, book: Book, contents: Contents, layout: Mapping[str, Place]) -> None:
        self.book, self.contents, self.layout = book, contents, layout
        self.spans: dict[str, Span] = {}
        for node in book.nodes.values():
            span = span_of(contents.names.get(node.name, ""))
            if span is not None and span.sheet in contents.sheets:
                self.spans[node.key] = span
        self.places: dict[str, Place] = {}
        self.findings: list[Finding] = []
        self.misnamed: dict[str, Wrong] = {}
        self.stretched: dict[str, tuple[Where, Wrong]] = {}
        self._find()

    def _find(self) -> None:
        for node in self.book.nodes.values():
            if node.size is None and node.role != "span" and (span := self.spans.get(node.key)) and span.count == 1:
                self.places[node.key] = Place(span.sheet, (at(span.left, span.top),))
        for table in self.book.tables.values():
            self._find_table(table)
        for node in self.book.nodes.values():
            if node.key not in self.places and node.role != "span":
                self._find_by_neighbours(node)
        for node in self.book.nodes.values():
            if node.role == "span":
                self._find_span(node)

    def _find_span(self, node: Node) -> None:
        """A span has the cells of its members; its name must cover them all."""
        members = [self.places[key] for key in node.members if key in self.places]
        span = self.spans.get(node.key)
        if not members:
            return
        sheet = members[0].sheet
        self.places[node.key] = Place(sheet, tuple(self.places[key].cells[0] if key in self.places else LOST
                                                   for key in node.members))  # fmt: skip
        uncovered = [each for each in members if span is None or not covers(span, each.sheet, each.cells[0])]
        if uncovered:
            self._misname(node, f"covers {len(members) - len(uncovered)} of its {len(node.members)} cells")

    def _find_table(self, table: Table) -> None:
        across, count = table.across, len(table.items)
        spans = {node.key: self.spans[node.key] for node in table.fields if node.key in self.spans}
        fitting = {key: span for key, span in spans.items() if span.beside(across) is not None}
        if not fitting:
            return
        (sheet, *ends), _ = Counter((each.sheet, *each.along(across)) for each in fitting.values()).most_common(1)[0]
        beside_of = {key: span.beside(across) or 0 for key, span in fitting.items() if span.sheet == sheet}
        body = Body(table, sheet, range(ends[0], ends[1] + 1), self.contents.sheets[sheet], beside_of)
        lines = body.aligned()
        for node in table.fields:
            span = fitting.get(node.key)
            if span is None:
                continue
            beside = span.beside(across) or 0
            own = span.along(across)
            here: Sequence[int | None] = lines
            short = False
            if (span.sheet, *own) != (sheet, *ends) and own[1] - own[0] + 1 == count:
                here = range(own[0], own[1] + 1)
            else:
                short = (span.sheet, *own) != (sheet, *ends)
            self.places[node.key] = self._along(node, span.sheet, here, beside, across)
            if short:
                self._misname(node, f"covers {span.count} cells; its table has {count} lines")
        self._tell_lines(body, lines)
        self._tell_stretched(body, lines)

    def _along(self, node: Node, sheet: str, lines: Sequence[int | None], beside: int, across: bool) -> Place:
        """Return where a field stands, given the line of each of its items."""
        home, first, last = self.layout[node.key], lines[0], lines[-1]
        if first is not None and last is not None and None not in lines and last - first == len(home.cells) - 1:
            ends = (at(*turned(first, beside, across)), at(*turned(last, beside, across)))
            if (home.sheet, home.cells[0], home.cells[-1]) == (sheet, *ends):
                return home
        cells = (LOST if line is None else at(*turned(line, beside, across)) for line in lines)
        return Place(sheet, tuple(cells))

    def _misname(self, node: Node, what: str) -> None:
        place = self.places[node.key]
        words = f"the name '{node.name}' {what}"
        stands = self.contents.names.get(node.name) or "nothing"
        should = f"the name of {place.sheet}!{ends([cell for cell in place.cells if cell != LOST])}"
        self.misnamed[node.key] = Wrong(words, stands, should, edited=True)

    def _tell_lines(self, body: Body, lines: Sequence[int | None]) -> None:
        table = body.table
        kind = "column" if table.across else "row"
        for item, line in enumerate(lines):
            if line is None:
                self.findings.append(
                    Finding(
                        "line", True, body.sheet, "", f"{table.title}: {table.items[item]}",
                        f"the {kind} of {table.items[item]} is gone, or its cells were moved away", "nothing",
                        f"a {kind} for each of its {len(table.items)} items",
                        advice="Undo it, or carry what is filled in into a fresh workbook with 'podbook carry'; a "
                        f"{kind} that isn't needed is left empty.", key=table.fields[0].key, item=item,
                    )
                )  # fmt: skip
        for line in body.filled_extras(lines):
            first = body.first_filled(line)
            self.findings.append(
                Finding(
                    "line", True, body.sheet, first, table.title,
                    f"a {kind} was put into the table that holds figures but not all of its formulas",
                    str(body.cells[first]), f"an empty {kind}, or none", key=table.fields[0].key,
                    advice=f"Move its figures into a free {kind} of the table, and delete it.",
                )
            )  # fmt: skip

    def _tell_stretched(self, body: Body, lines: Sequence[int | None]) -> None:
        """Keep in mind what was put into a table or taken out: formulas that count its lines may go astray."""
        across = body.table.across
        kind, other = ("column", "row") if across else ("row", "column")
        added = [line for line in body.lines if line not in set(lines)]
        axis = 0 if across else 1
        shifts = [beside - row_and_column(self.layout[key].cells[0])[axis] for key, beside in body.beside.items()]
        root = (next(iter(body.beside)), 0)
        if None in lines:
            root = (root[0], lines.index(None))
            words = Wrong(f"its {kind} is gone", "nothing", f"{len(lines)} {kind}s", edited=True, lost=True)
        elif added:
            first = at(*turned(added[0], min(body.beside.values()), across))
            what = f"a {kind} was put into the table, and formulas that count its {kind}s go astray"
            words = Wrong(what, f"a {kind} more, at {first}", f"{len(lines)} {kind}s", edited=True)
        elif any(after > before for before, after in pairwise(shifts)):
            what = f"a {other} was put between those of the table, and formulas that span them go astray"
            words = Wrong(what, f"a {other} more", f"the {other}s of the table side by side", edited=True)
        else:
            return
        self.stretched.update(dict.fromkeys(body.beside, (root, words)))

    def _find_by_neighbours(self, node: Node) -> None:
        """A node without a name stands where its neighbours say: those before and after it moved by the same shift."""
        home = self.layout[node.key]
        shift = self._shift_around(node)
        if shift is None:
            return
        sheet, down, right = shift
        cells = tuple(_moved(cell, down, right) for cell in home.cells)
        held = self.contents.sheets[sheet]
        if LOST in cells or (node.role != "entry" and any(cell not in held for cell in cells)):
            return
        if self._taken & {(sheet, cell) for cell in cells}:
            return
        self.places[node.key] = Place(sheet, cells)
        self._misname(node, "is gone or points elsewhere")

    @cached_property
    def _taken(self) -> set[tuple[str, str]]:
        """The cells of the nodes that are found by their names: no other node stands there."""
        return {(place.sheet, cell) for place in self.places.values() for cell in place.cells}

    def _shift_around(self, node: Node) -> tuple[str, int, int] | None:
        """Return how the nodes moved that stood nearest in a node's row, or else in its column, if all did alike."""
        sheet, cells = self.layout[node.key].sheet, self.layout[node.key].cells
        row, column = row_and_column(cells[0])
        rows, columns = self._lines
        for line, place in ((rows[(sheet, row)], column), (columns[(sheet, column)], row)):
            found = [(number, key) for number, key in line if key in self.places]
            before = max((each for each in found if each[0] < place), default=None)
            behind = min((each for each in found if each[0] > place), default=None)
            shifts = {self._shift_of(each[1]) for each in (before, behind) if each is not None}
            if shifts:
                return shifts.pop() if len(shifts) == 1 else None
        return None

    @cached_property
    def _lines(self) -> tuple[Lines, Lines]:
        """The nodes by the row and by the column of their first cells, as they were laid out."""
        rows: Lines = {}
        columns: Lines = {}
        for key, place in self.layout.items():
            if self.book.nodes[key].role != "span":
                row, column = row_and_column(place.cells[0])
                rows.setdefault((place.sheet, row), []).append((column, key))
                columns.setdefault((place.sheet, column), []).append((row, key))
        return rows, columns

    def _shift_of(self, key: str) -> tuple[str, int, int] | None:
        place = self.places[key]
        if place.cells[0] == LOST:
            return None
        row, column = row_and_column(place.cells[0])
        old_row, old_column = row_and_column(self.layout[key].cells[0])
        return place.sheet, row - old_row, column - old_column


def _moved(cell: str, down: int, right: int) -> str:
    row, column = row_and_column(cell)
    return at(column + right, row + down) if row + down > 0 and column + right > 0 else LOST
