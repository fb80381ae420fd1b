"""What the user added: sheets, cells, formulas and notes. It is welcome; only error values in it are worth a word."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from podbook.book.model import Picture, Sheet, nodes_of
from podbook.book.texts import texts
from podbook.coordinates import row_and_column
from podbook.recalc import Address, Cell, Fault
from podbook.review.find import SNAPSHOT, Opened
from podbook.review.findings import Finding
from podbook.review.gate.contents import is_formula
from podbook.review.spans import LOST, at, is_line, span_of

MOST_COVERED = 10_000
"""Cells of one name that are looked at."""
MOST_LOOKED_AT = 5_000
"""Formulas of the user's own that are taken apart."""
COPIED = 0.8
"""Share of a sheet's texts that are the book's, from which it is taken for a copy of one of its sheets."""


def own_cells(found: Opened) -> dict[str, dict[str, Any]]:
    """Return the cells that are neither a node's nor a text of the book, by sheet."""
    ours, words = {*found.cells, *_open_labels(found), *_inside_tables(found)}, texts(found.book)
    snapshot = span_of(found.contents.names.get(SNAPSHOT[-1], "")) if found.snapshot else None
    result: dict[str, dict[str, Any]] = {}
    for sheet, cells in found.contents.sheets.items():
        if snapshot and sheet == snapshot.sheet:
            continue
        mine = {
            cell: content
            for cell, content in cells.items()
            if (sheet, cell) not in ours and content not in words and not _blank(content)
        }
        if mine:
            result[sheet] = mine
    return result


def formulas_to_judge(found: Opened, cells: Mapping[str, Mapping[str, Any]]) -> list[tuple[str, str, str]]:
    """Return sheet, cell and text of the user's own formulas, but for those in copies of the book's sheets."""
    return [
        (sheet, cell, str(each))
        for sheet, held in cells.items()
        if not copied_from(found, sheet)
        for cell, each in held.items()
        if is_formula(each)
    ]


def own(found: Opened, cells: Mapping[str, Mapping[str, Any]], values: Mapping[Address, Cell]) -> Iterator[Finding]:
    """Yield what was added: a finding a sheet, one for notes, and one for what only seems to be the book's."""
    ours = {place.sheet for place in found.places.values()}
    for sheet, held in cells.items():
        formulas = [cell for cell, content in held.items() if is_formula(content)]
        wrong = [cell for cell in formulas if isinstance(values.get((sheet, cell)), Fault)]
        numbers = f"{len(held)} {'cell' if len(held) == 1 else 'cells'}, {len(formulas)} with a formula"
        gives = "formula gives" if len(wrong) == 1 else "formulas give"
        effect = f"{len(wrong)} {gives} an error, first {sheet}!{wrong[0]}" if wrong else ""
        advice = "Look at these formulas." if wrong else "Nothing; it is not checked."
        if sheet in ours:
            if stray := _strays(found, sheet, held):
                yield stray
            what = f"cells of your own on the sheet: {numbers}"
            yield Finding("own", False, sheet, next(iter(held)), "your own", what, effect=effect, advice=advice)
        else:
            what = f"a sheet of your own: {numbers}"
            if original := copied_from(found, sheet):
                what = f"a copy of the sheet {original}; the book does not calculate with it"
            yield Finding("own", False, sheet, "", "your own", what, effect=effect, advice=advice)
    for sheet in dict.fromkeys(sheet for sheet, _, _ in found.contents.notes):
        noted = [cell for title, cell, _ in found.contents.notes if title == sheet]
        yield Finding("own", False, sheet, noted[0], "your own", f"notes of your own: {len(noted)}",
                      advice="Nothing; they stay where they are.")  # fmt: skip
    yield from _shadows(found)
    yield from _gone(found)


def _gone(found: Opened) -> Iterator[Finding]:
    """Yield the sheets of the book that hold nothing but words and are not there any more."""
    for each in found.book.sheets:
        if any(True for block in each.blocks for _ in nodes_of(block)):
            continue
        if not any(_is_copy(each, held) for held in found.contents.sheets.values()):
            yield Finding("sheet", False, "", "", each.title, f"the sheet {each.title} is gone, or was written over",
                          effect="No figure needs it, but its words are missing",
                          advice="Carry what is filled in into a fresh workbook with 'podbook carry'.")  # fmt: skip


def _is_copy(sheet: Sheet, held: Mapping[str, Any]) -> bool:
    """Return whether cells hold the texts of a sheet of the book."""
    own = {sheet.purpose, *(block.title for block in sheet.blocks if not isinstance(block, Picture))}
    return len(own & set(held.values())) >= COPIED * len(own)


def _blank(content: Any) -> bool:
    return isinstance(content, str) and not content.strip()


def copied_from(found: Opened, sheet: str) -> str:
    """Return the sheet of the book that a sheet is a copy of, if it is one."""
    held = found.contents.sheets[sheet]
    return next((each.title for each in found.book.sheets if _is_copy(each, held)), "")


def _inside_tables(found: Opened) -> Iterator[Address]:
    """Yield the cells that the names of the book's tables cover: a line put in between is told as such.

    Of a name that covers the cells of its own field and no others nothing is said.
    """
    for node in found.book.nodes.values():
        span = span_of(found.contents.names.get(node.name, "")) if node.size is not None else None
        place = found.places.get(node.key)
        if span is None or (node.table and place is not None and is_line(span, place)):
            continue
        if span.count <= MOST_COVERED:
            for row in range(span.top, span.bottom + 1):
                for column in range(span.left, span.right + 1):
                    yield span.sheet, at(column, row)


def _open_labels(found: Opened) -> set[Address]:
    """The labels that a user may write over: those beside the first field of a table that is open for them."""
    result: set[Address] = set()
    for table in found.book.tables.values():
        place = found.places.get(table.fields[0].key)
        if not table.open_labels or place is None:
            continue
        for cell in place.cells:
            if cell != LOST:
                row, column = row_and_column(cell)
                result.update((place.sheet, f"{letter}{row}") for letter in "ABCDEFGH"[: column - 1])
    return result


def _strays(found: Opened, sheet: str, held: Mapping[str, Any]) -> Finding | None:
    """Return figures that stand right below the last row of a table: they look like its own, but are not counted."""
    for table in found.book.tables.values():
        place = found.places.get(table.fields[0].key)
        if table.across or place is None or place.sheet != sheet:
            continue
        for node in table.fields:
            beneath = _beneath(found.places[node.key].cells[-1]) if node.key in found.places else LOST
            if node.role == "entry" and isinstance(held.get(beneath), float):
                return Finding(
                    "line", True, sheet, beneath, table.title, "a figure stands below the table, beyond its reach",
                    f"{held[beneath]:g}", "figures inside the table", "It is not counted",
                    "Move it into a free row of the table; if there is none, build a workbook with more.", node.key,
                )  # fmt: skip
    return None


def _beneath(cell: str) -> str:
    letters = cell.rstrip("0123456789")
    return f"{letters}{int(cell[len(letters) :]) + 1}" if cell != LOST else LOST


def _shadows(found: Opened) -> Iterator[Finding]:
    """Yield the names that hold on one sheet of the book only, and hide the book's own there."""
    ours = {place.sheet for place in found.places.values()}
    names = {name.casefold(): node for name, node in found.book.by_name.items()}
    for sheet, own_names in found.contents.own_names.items():
        for name in sorted(own_names):
            node = names.get(name.casefold())
            if sheet in ours and node is not None:
                yield Finding(
                    "name", True, sheet, "", node.label, f"a name '{name}' of this sheet alone hides the book's",
                    "a second name", "one name for the whole book", "Formulas of this sheet read another cell",
                    f"Delete the name '{name}' of the sheet {sheet}.", node.key,
                )  # fmt: skip
