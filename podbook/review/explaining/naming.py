"""From what a person writes to the cell that is meant: a key, a defined name, an address or a piece of a label."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from podbook.book.node import Node
from podbook.book.tree import split
from podbook.errors import UnclearName, listed
from podbook.proof.wiring import Where
from podbook.review.explaining.labels import Labels, Spots, plain

MOST_LISTED = 12
CLOSEST, LIKENESS = 5, 0.5
"""How many close names are told, and how like they must be."""
SHORTEST = 3
"""Letters of an item's name from which it may be the beginning of a longer word: Mar of March."""
ADDRESS = re.compile(r"\$?[A-Za-z]{1,3}\$?[0-9]{1,7}")
BESIDE = re.compile(r"(.+)_(entry|default|low|high|check)")
"""The key of a cell that stands beside a figure."""


@dataclass(frozen=True)
class Named:
    """What a name means: a node, and one of its items; None for all of them."""

    key: str
    item: int | None


class Names:
    """Finds the cells of a book by what a person calls them."""

    def __init__(self, spots: Spots, labels: Labels) -> None:
        self.book, self.spots, self.labels = spots.book, spots, labels

    def find(self, name: str) -> Named:
        """Return what is meant. Raises UnclearName where that is nothing, or several things."""
        text = name.strip()
        if not text:
            raise UnclearName("NAME: found nothing; give a cell's name, its address or a piece of its label")
        whole = self._node(text) or self._node("_".join(text.split()))
        if whole is not None:
            return self._all(whole)
        if "!" in text and ADDRESS.fullmatch(text.rpartition("!")[2]):
            return self._addressed(text)
        if "!" in text:
            raise UnclearName(f"{text}: is no address of one cell; write it as Stand!B12 or 'Crop sizes'!B12")
        if ADDRESS.fullmatch(text):
            raise UnclearName(f"{text}: which sheet? Name it before the cell, such as Start!{text.upper()}")
        word, at, item = text.partition("@")
        node = self._node(word) if at else None
        if node is not None:
            return Named(node.key, self._item(node, item.strip(), text))
        return self._labelled(text)

    def written(self, where: Where) -> str:
        """Return how a cell is written, so that it is found again: its key, and its item's number."""
        return where[0] if self.book.nodes[where[0]].size is None else f"{where[0]}@{where[1] + 1}"

    def _all(self, node: Node) -> Named:
        return Named(node.key, 0 if node.size is None else None)

    def _node(self, word: str) -> Node | None:
        low = word.strip().lower()
        return self.book.nodes.get(low) or self.book.by_name.get(low)

    def _item(self, node: Node, item: str, text: str) -> int:
        if node.size is None:
            raise UnclearName(f"{text}: '{node.key}' is a single cell; leave out @{plain(item)}")
        if item.isascii() and item.isdigit():
            if 1 <= int(item) <= node.count:
                return int(item) - 1
            raise UnclearName(f"{text}: '{node.key}' has {node.count} items, @1 to @{node.count}; found @{plain(item)}")
        names = [self._item_names(node, each) for each in range(node.count)]
        wanted = item.casefold()
        for fits in (_same, _begins, _holds):
            found = [each for each, known in enumerate(names) if wanted and any(fits(wanted, one) for one in known)]
            if len(found) == 1:
                return found[0]
            if found:
                raise self._several(text, [(node.key, each) for each in found])
        known = [self.labels.item((node.key, each)) for each in range(node.count)]
        close = difflib.get_close_matches(item, known, CLOSEST, LIKENESS) or known[:CLOSEST]
        raise UnclearName(
            f"{text}: no item of '{node.key}' is called '{plain(item)}'; it has {node.count}, such as "
            + listed(plain(each) for each in close)
        )

    def _item_names(self, node: Node, item: int) -> tuple[str, ...]:
        own = (
            self.book.nodes[node.members[item]].key if node.role == "span" else self.book.tables[node.table].items[item]
        )
        given = self.labels.given.get((node.table, item), "")
        return tuple(each.casefold() for each in (own, given) if each)

    def _addressed(self, text: str) -> Named:
        sheet, coordinate = split(text)
        where = self.spots.at(sheet, coordinate)
        if where is not None:
            return Named(*where)
        sheets = list(dict.fromkeys(place.sheet for place in self.spots.places.values()))
        if sheet.casefold() not in map(str.casefold, sheets):
            raise UnclearName(
                f"{text}: no sheet of the book is called '{plain(sheet)}'; there are {listed(map(plain, sheets))}"
            )
        row = self.spots.row(sheet, coordinate)
        if row:
            raise self._several(f"{text}: no figure of the book stands there, but in its row", row, asking=False)
        raise UnclearName(f"{text}: no figure of the book stands there, nor in its row")

    def _labelled(self, text: str) -> Named:
        """Return the node whose label is, or holds, a text; of the cells beside a figure only if no figure's does."""
        found = self._by_label(text)
        if not found and "@" in text:
            word, _, item = text.rpartition("@")
            several = [node for node in self._by_label(word.strip()) if node.size is not None]
            if len(several) == 1:
                return Named(several[0].key, self._item(several[0], item.strip(), text))
            found = several
        if len(found) == 1:
            return self._all(found[0])
        if found:
            raise self._several(text, [(node.key, None) for node in found])
        raise self._unknown(text)

    def _by_label(self, text: str) -> Sequence[Node]:
        wanted = text.casefold()
        nodes = [node for node in self.book.nodes.values() if wanted in node.label.casefold()]
        same = [node for node in nodes if f"{node.label.casefold()},".startswith(f"{wanted},")]
        same = [node for node in same if not self._stands_beside(node)] or same
        return same or [node for node in nodes if not self._stands_beside(node)] or nodes

    def _stands_beside(self, node: Node) -> bool:
        match = BESIDE.fullmatch(node.key)
        return node.role == "span" or (match is not None and match[1] in self.book.nodes)

    def _several(self, text: str, found: Iterable[tuple[str, int | None]], *, asking: bool = True) -> UnclearName:
        listed = list(found)
        lines = []
        for key, item in listed[:MOST_LISTED]:
            node = self.book.nodes[key]
            which = "" if item is None or node.size is None else f", {plain(self.labels.item((key, item)))}"
            several = f", {node.count} cells" if item is None and node.size is not None else ""
            address = self.spots.address((key, item or 0)) or "gone"
            name = key if item is None else self.written((key, item))
            lines.append(f"  {name}  {self.labels.block(key)}: {node.label}{which}{several} ({address})")
        more = f"\n  and {len(listed) - MOST_LISTED} more; write more of it" if len(listed) > MOST_LISTED else ""
        head = f"{text}: which one?" if asking else f"{text} stand:"
        return UnclearName("\n".join((head, *lines)) + more, tuple(key for key, _ in listed))

    def _unknown(self, text: str) -> UnclearName:
        wanted = text.casefold()
        known: dict[str, str] = {}
        for node in self.book.nodes.values():
            for each in (node.key, node.name, node.label.casefold()):
                known.setdefault(each, node.key)
        holding = [node.key for node in self.book.nodes.values() if wanted.partition("@")[0] in node.key]
        close = difflib.get_close_matches(wanted.partition("@")[0], known, 3 * CLOSEST, LIKENESS)
        keys = tuple(dict.fromkeys((*holding, *(known[each] for each in close))))[:CLOSEST]
        told = f"; close to it are {listed(keys)}" if keys else ""
        return UnclearName(f"{text}: nothing in the book is called that{told}", keys)


def _same(wanted: str, known: str) -> bool:
    return wanted == known


def _begins(wanted: str, known: str) -> bool:
    return known.startswith(wanted) or (len(known) >= SHORTEST and wanted.startswith(known))


def _holds(wanted: str, known: str) -> bool:
    return wanted in known
