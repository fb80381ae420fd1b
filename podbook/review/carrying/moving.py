"""Move every entry of an old workbook to its place in the book, and say what became of it."""

from __future__ import annotations

from math import isclose
from typing import Any

from podbook.book.layout import lay_out
from podbook.book.model import Book, Entries, Entry, Table
from podbook.book.node import Content, Node
from podbook.coordinates import row_and_column
from podbook.recalc import Fault
from podbook.reference.gates import is_number
from podbook.review.carrying import match
from podbook.review.carrying.fate import Fate, Outcome, short
from podbook.review.carrying.old import Old, Spot
from podbook.review.entries import refusal
from podbook.sheets.start import EDITION
from podbook.units import converted, shown

ANOTHER = "not typed in; the default is another now"
UNSHOWABLE = "holds signs that can't be shown"
NO_ITEM = "nothing of that name is asked for in the new workbook"
BLANK = "was left blank"
GONE = "its cells, or their name, are gone from the old workbook; see what stood there, and fill it in"
MONTHS = "months"
"""The table whose items are known by the names that stand in it: a region's months begin where its winter does."""
BY_MONTH = (MONTHS, "log")
"""The tables whose items are those months."""


class Moving:
    """The entries of an old workbook on their way into a book in which nothing is filled in yet."""

    def __init__(self, old: Old, book: Book, defaults: Book | None) -> None:
        self.old, self.book = old, book
        self.defaults = defaults
        """The book of the old workbook's region in the new one's units, with nothing filled in; if that is known."""
        self.places = lay_out(book).places
        self.contents: dict[str, tuple[Content, ...]] = {}
        self.labels: dict[str, tuple[str, ...]] = {}
        self.fates: list[Fate] = []
        for sheet in book.sheets:
            for block in sheet.blocks:
                if isinstance(block, Entries):
                    for entry in block.rows:
                        self._figure(entry)
                elif isinstance(block, Table) and any(field.role == "entry" for field in block.fields):
                    self._table(block)

    def _figure(self, entry: Entry) -> None:
        """Move a single figure: one that is what its default was, was not typed in."""
        node = self.book.nodes[f"{entry.name}_entry"]
        span, default = self.old.names.get(node.name), self.old.names.get(f"{entry.name}_default")
        if span is None or len(span.cells) != 1:
            self._absent(node)
            return
        spot = span.cells[0]
        found, then = self.old.value(spot), None if default is None else self.old.value(default.cells[0])
        if spot not in self.old.cells:
            self._tell("default", node, 0, spot, None, entry.default, BLANK)
        elif alike(found, then) and not self.old.formula(spot):
            why = "" if alike(self._turned(node, found), entry.default) else ANOTHER
            self._tell("default", node, 0, spot, found, entry.default, why)
        elif (value := self._settled(node, 0, spot)) is not None:
            self.contents[node.key] = (value,)

    def _table(self, table: Table) -> None:
        items = match.items(self.old, table)
        targets = self._months() if table.name in BY_MONTH else {}
        for field in table.fields:
            if field.role != "entry":
                continue
            if field.name not in self.old.names:
                self._absent(field)
            else:
                self._field(field, items, targets)
        self._labels(table, targets)

    def _months(self) -> dict[int, int | None]:
        """Return which new month each old one is, if the new ones are not the same months in the same order."""
        key = f"{MONTHS}.name"
        new, span = self.book.nodes[key].contents, self.old.names.get(f"{MONTHS}_name")
        if span is None or (self.defaults is not None and self.defaults.nodes[key].contents == new):
            return {}
        items = match.items(self.old, self.book.tables[MONTHS])
        names = {items[spot]: self.old.value(spot) for spot in span.cells if spot in items}
        found = match.months([names.get(place) for place in range(len(new))], new)
        return {place: found.get(place) for place in range(len(new))}

    def _field(self, node: Node, items: dict[Spot, int], targets: dict[int, int | None]) -> None:
        """Move a field of a table. It counts as one: if any of its cells is not the default, all of them were typed."""
        cells = [(spot, items.get(spot)) for spot in self.old.names[node.name].cells]
        known = None if self.defaults is None else self.defaults.nodes[node.key].contents
        has_default = any(content is not None for content in node.contents)
        typed = [(spot, item) for spot, item in cells if spot in self.old.cells]
        untouched = has_default and known is not None and all(
            item is not None and not self.old.formula(spot)
            and alike(self._turned(node, self.old.value(spot)), known[item]) for spot, item in typed
        )  # fmt: skip
        doubt = self._doubt() if has_default else ""
        contents = list(node.contents)
        for spot, item in cells:
            target = targets.get(item, item) if item is not None else None
            blank = spot not in self.old.cells
            if target is None:
                if not blank and not untouched:
                    self._homeless(node, spot)
            elif blank or untouched:
                if has_default:
                    found, becomes = self.old.value(spot), node.contents[target]
                    same = alike(self._turned(node, found), becomes)
                    why = BLANK if blank else "" if same else ANOTHER
                    self._tell("default", node, target, spot, found, becomes, why)
            elif (value := self._settled(node, target, spot, doubt)) is not None:
                contents[target] = value
        self.contents[node.key] = tuple(contents)

    def _doubt(self) -> str:
        """Return why it can't be told whether a figure that is not today's default was typed."""
        if self.defaults is None:
            return f"typed or not can't be told: the defaults of '{short(self.old.region)}' are not known here"
        if self.old.edition != EDITION:
            return "typed or not can't be told: it is not the default of this edition"
        return ""

    def _settled(self, node: Node, item: int, spot: Spot, doubt: str = "") -> Content:
        """Return what an entry becomes, told as carried; None, told as left, if the book can't use it."""
        found, formula = self.old.value(spot), self.old.formula(spot)
        value = self._turned(node, found)
        if isinstance(found, Fault) or found is None:
            problem = f"{f'the formula {short(formula)}' if formula else 'it'} gives {found or 'nothing'}"
        elif value is None:
            unit = self.old.unit(node.name)
            stands = f"the unit '{short(unit)}', which" if unit else "no unit; it"
            problem = f"beside it stands {stands} can't be turned into {shown(node.unit)}"
        elif isinstance(found, str) and not writable(found):
            problem = UNSHOWABLE
        else:
            problem = refusal(self.book, node, value, self._words(node))
        if problem:
            self._tell("left", node, item, spot, found, node.contents[item], problem)
            return None
        as_value = f"the formula {short(formula)} is carried as its value" if formula else ""
        outcome: Outcome = "carried" if alike(value, found) else "converted"
        self._tell(outcome, node, item, spot, found, value, as_value or doubt)
        return value  # type: ignore[no-any-return]  # refusal has passed it: a number or a word

    def _words(self, node: Node) -> dict[str, tuple[Content, ...]]:
        """Return the list that an entry must be taken from, by its key: types of tree as they were carried."""
        key = node.choices
        return {key: self.contents.get(key, self.book.nodes[key].contents)} if key else {}

    def _turned(self, node: Node, found: Any) -> Any:
        """Return a number in the unit of the book, None if it can't be turned into it; anything else as it is."""
        if node.low is None or not is_number(found):
            return found
        return converted(float(found), self.old.unit(node.name) or "", node.unit)

    def _absent(self, node: Node) -> None:
        """Tell of a figure or field that the old workbook has not: one of this edition had it once."""
        if self.old.edition == EDITION:
            part = self.book.tables[node.table].title if node.table else ""
            label, becomes = node.label.removesuffix(" (as filled in)"), node.contents[0]
            self.fates.append(Fate("left", node.key, 0, part, label, "", "", None, "", becomes, shown(node.unit), GONE))
        elif any(content is not None for content in node.contents):
            why = "it is not asked for in the old workbook"
            self._tell("default", node, 0, None, None, node.contents[0], why)

    def _homeless(self, node: Node, spot: Spot) -> None:
        part = self.book.tables[node.table].title
        found, beside = self.old.value(spot), self._beside(node)
        self.fates.append(Fate("left", node.key, -1, part, node.label, str(spot), "", found, beside, None, "", NO_ITEM))

    def _labels(self, table: Table, targets: dict[int, int | None]) -> None:
        """Carry the user's own notes beside the rows of a table."""
        items = list(table.items)
        place = self.places[table.fields[0].key]
        for source, spot in enumerate(match.labels(self.old, table)[: len(items)]):
            if not match.own_label(self.old, spot):
                continue
            found, row = self.old.value(spot), targets.get(source, source)
            words = f"{found:.12g}" if is_number(found) else str(found)
            problem = UNSHOWABLE if isinstance(found, Fault) or not writable(words) else ""
            key = f"{table.name}.note"
            if row is None:
                lost = Fate("left", key, -1, table.title, "Your note", str(spot), "", found, "", None, "", NO_ITEM)
                self.fates.append(lost)
                continue
            items[row] = items[row] if problem else words
            new = f"{place.sheet}!A{row_and_column(place.cells[row])[0]}"
            outcome: Outcome = "left" if problem else "carried"
            self.fates.append(
                Fate(
                    outcome, key, row, table.items[row], "Your note", str(spot), new, found, "", items[row], "", problem
                )
            )
        self.labels[table.name] = tuple(items)

    def _beside(self, node: Node) -> str:
        return (self.old.unit(node.name) or "") if node.low is not None and node.name in self.old.names else ""

    def _tell(
        self, outcome: Outcome, node: Node, item: int, spot: Spot | None, was: Any, becomes: Content, why: str
    ) -> None:
        place = self.places[node.key]
        part = self.book.tables[node.table].items[item] if node.table else ""
        label = node.label.removesuffix(" (as filled in)")
        old, new = "" if spot is None else str(spot), f"{place.sheet}!{place.cells[item]}"
        beside, unit = self._beside(node), shown(node.unit)
        self.fates.append(Fate(outcome, node.key, item, part, label, old, new, was, beside, becomes, unit, why))


def alike(one: Any, other: Any) -> bool:
    """Return whether the book takes two contents for the same: numbers to their last digits, words in either case."""
    if isinstance(one, str) and isinstance(other, str):
        return one.casefold() == other.casefold()
    return is_number(one) and is_number(other) and isclose(one, other, rel_tol=1e-12, abs_tol=1e-12)


def writable(words: str) -> bool:
    """Return whether a text holds nothing but letters and signs that can be shown."""
    return " ".join(words.split()).isprintable()
