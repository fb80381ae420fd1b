"""Which cells the words of a reference stand for: resolved once a node, for any item of it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any, NamedTuple

from podbook.book.formula import Where
from podbook.book.model import Book
from podbook.book.node import Node, Ref
from podbook.errors import BookFault

PREVIOUS = "prev"
NUMBERED = "{#}"
WHOLE = -1
"""In place of an item: the whole column."""


class Spot(NamedTuple):
    """What a word stands for: the cell beside an item or some before it, one cell for all items, or a whole column."""

    key: str
    step: int
    """What to multiply an item by: 0 where the cell is the same for all."""
    fixed: int
    """What to add to it; WHOLE, without a step, for the whole column."""

    def at(self, item: int) -> Where:
        """Return the cell that feeds an item."""
        return self.key, item * self.step + self.fixed

    @property
    def whole(self) -> bool:
        """Whether it is a whole column."""
        return not self.step and self.fixed == WHOLE


class Feed(NamedTuple):
    """What one parameter is fed by."""

    name: str
    as_is: bool
    """Whether it takes what stands there as it is: a word."""
    given: Any = None
    """A word or number given outright."""
    spots: tuple[Spot, ...] = ()
    listed: bool = False
    """Whether it takes a list of cells: several spots, or a whole column."""
    fixed: bool = False
    """Whether it takes the same list for all items."""
    columns: bool = False
    """Whether there are whole columns in the list."""


class Bound(NamedTuple):
    """A reference function and what feeds it."""

    ref: Ref
    feeds: tuple[Feed, ...]
    gate: Spot | None
    otherwise: Spot | None

    def spots(self) -> Iterator[Spot]:
        """Yield all that feeds it."""
        yield from (spot for spot in (self.gate, self.otherwise) if spot is not None)
        yield from (spot for feed in self.feeds for spot in feed.spots)


class Bindings:
    """The bindings of a book's nodes."""

    def __init__(self, book: Book) -> None:
        self.book = book
        self._known: dict[str, Sequence[Bound]] = {}
        self._spots: dict[tuple[str, str], Spot] = {}

    def of(self, key: str) -> Sequence[Bound]:
        """Return the bindings of a node's items. Raises BookFault where a word stands for nothing in the book."""
        if key not in self._known:
            try:
                self._known[key] = self._bound(self.book.nodes[key])
            except BookFault as fault:
                raise BookFault(f"'{key}': {fault}") from None
        return self._known[key]

    def spot(self, table: str, word: str) -> Spot:
        """Return what a word stands for; one that ends in ``*`` is a whole column."""
        known = self._spots.get((table, word))
        if known is None:
            name, _, which = word.removesuffix("*").partition("@")
            key = self._key(table, name)
            if word.endswith("*"):
                known = Spot(key, 0, WHOLE)
            elif which == PREVIOUS:
                known = Spot(key, 1, -1)
            elif which:
                count = self.book.nodes[key].count
                if not 1 <= int(which) <= count:
                    raise BookFault(f"a reference is fed by '{word}': found {which}; allowed: 1 to {count}")
                known = Spot(key, 0, int(which) - 1)
            else:
                known = Spot(key, 0 if self.book.nodes[key].size is None else 1, 0)
            self._spots[(table, word)] = known
        return known

    def _bound(self, node: Node) -> Sequence[Bound]:
        if node.ref is None:
            raise BookFault("has a formula but no reference function")
        if any(NUMBERED in word for word in _words(node.ref)):
            return [self._bind(node.table, node.ref_of(item) or node.ref, item) for item in range(node.count)]
        rest = self._bind(node.table, node.ref, 0)
        first = rest if node.first_ref is None else self._bind(node.table, node.first_ref, 0)
        return (first, *(rest,) * (node.count - 1))

    def _bind(self, table: str, ref: Ref, item: int) -> Bound:
        def spot(word: str) -> Spot:
            return self.spot(table, word.replace(NUMBERED, str(item + 1)))

        feeds = []
        for name, as_is in ref.function.feeds:
            binding = ref.bindings.get(name, name)
            if isinstance(binding, tuple):
                feeds.append(_listed(name, as_is, tuple(map(spot, binding))))
            elif not isinstance(binding, str) or (as_is and not self._is_key(table, binding)):
                feeds.append(Feed(name, as_is, binding))
            elif binding.endswith("*"):
                feeds.append(_listed(name, as_is, (spot(binding),)))
            else:
                feeds.append(Feed(name, as_is, spots=(spot(binding),)))
        return Bound(
            ref,
            tuple(feeds),
            None if ref.when is None else spot(ref.when),
            None if ref.otherwise_from is None else spot(ref.otherwise_from),
        )

    def _is_key(self, table: str, binding: str) -> bool:
        bare = binding.rstrip("*").partition("@")[0].replace(NUMBERED, "1")
        return bare in self.book.nodes or f"{table}.{bare}" in self.book.nodes

    def _key(self, table: str, word: str) -> str:
        """Return the key that a word of a binding stands for, inside the node's table first."""
        own = f"{table}.{word}"
        if table and own in self.book.nodes:
            if word in self.book.nodes:
                raise BookFault(f"a field of the table '{table}' is fed by '{word}': a field of it, and a cell too")
            return own
        if word in self.book.nodes:
            return word
        raise BookFault(f"a reference{f' of the table {table}' if table else ''} is fed by '{word}': not in the book")


def _listed(name: str, as_is: bool, spots: tuple[Spot, ...]) -> Feed:
    fixed, columns = not any(spot.step for spot in spots), any(spot.whole for spot in spots)
    return Feed(name, as_is, spots=spots, listed=True, fixed=fixed, columns=columns)


def _words(ref: Ref) -> Iterator[str]:
    yield from filter(None, (ref.when, ref.otherwise_from))
    for binding in ref.bindings.values():
        if isinstance(binding, tuple):
            yield from binding
        elif isinstance(binding, str):
            yield binding
