"""What feeds a cell: a tree of its inputs, and back to what was typed."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

from podbook.book.node import Content, Node
from podbook.proof.evaluate import Unusable
from podbook.proof.wiring import Where
from podbook.recalc import Fault
from podbook.review.entries import allowed
from podbook.review.explaining.desk import Desk, Input, Several, Stranger

BOUNDS = ("_low", "_high")


@dataclass(frozen=True)
class Told:
    """One cell as it is told of."""

    name: str
    """How it is written, so that it is found again."""
    label: str
    title: str
    """Its label, with the title of its block where others have the same label."""
    item: str
    value: Content | bool
    error: str
    """Why it has no value, if it has none."""
    unit: str
    sheet: str
    cell: str
    """Its coordinate; an empty text if it is gone."""


@dataclass(frozen=True)
class Typed:
    """What was filled in, in one cell, and what became of it."""

    cell: Told
    state: str
    """``typed``, ``as the default``, ``blank``, ``default in use`` or ``left out``."""
    used: Content | bool
    """What the book works with: what was typed, or the default."""
    allowed: str
    slip: str
    """Why it can't be used, and what to write."""


@dataclass(frozen=True)
class Column:
    """Several cells told together."""

    name: str
    label: str
    unit: str
    sheet: str
    cells: str
    """First and last coordinate."""
    count: int
    numbers: int
    total: float
    least: float | None
    most: float | None
    not_zero: tuple[tuple[str, float], ...]
    """The names of items, and their values."""
    words: tuple[tuple[str, int], ...]
    """Words that stand in it, and how often."""
    errors: int


@dataclass(frozen=True)
class Branch:
    """One input, and what feeds it in turn."""

    kind: str
    """``entry``, ``figure`` (an entry as it is used), ``given``, ``coefficient``, ``worked``, ``column``, ``changed``
    (a formula typed over), ``gone`` or ``stranger``."""
    cell: Told | None = None
    column: Column | None = None
    typed: Typed | None = None
    stranger: str = ""
    source: str = ""
    """Source, place and mark of what is given."""
    note: str = ""
    which: str = ""
    """Which one of a column it is, if it is told for the column."""
    again: bool = False
    """Whether it was told before."""
    cut: bool = False
    """Whether more feeds it than is told."""
    branches: tuple[Branch, ...] = ()


class Feeding:
    """Tells what feeds one cell, its home."""

    def __init__(self, desk: Desk, home: Where) -> None:
        self.desk, self.book, self.home = desk, desk.book, home
        self._told: set[Where] = set()
        """The cells that were told with all that is told of them."""
        self._named: set[Where] = set()
        """The cells that were told, but not what feeds them."""

    def told(self, where: Where) -> Told:
        """Tell of one cell."""
        desk = self.desk
        node, value, spot = self.book.nodes[where[0]], desk.value(where), desk.spots.of(where)
        error = str(value) if isinstance(value, Unusable | Fault) else ""
        sheet, cell = spot or ("", "")
        return Told(
            name=desk.names.written(where), label=node.label, title=desk.labels.whole(where[0], self.home),
            item=desk.labels.item(where), value=None if error else value, error=error, unit=node.unit, sheet=sheet,
            cell=cell,
        )  # fmt: skip

    def tree(self, inputs: Sequence[Input], depth: int) -> tuple[Branch, ...]:
        """Return the inputs of a cell, to a depth; a cell that was told before is not told again."""
        return tuple(self._branch(each, depth) for each in _without_bounds(inputs))

    def _branch(self, each: Input, depth: int) -> Branch:
        if isinstance(each, Stranger):
            return Branch("stranger", stranger=each.text)
        if isinstance(each, Several):
            return Branch("column", column=self.column(each.cells), branches=self._foremost(each, depth))
        node, cell = self.book.nodes[each[0]], self.told(each)
        again = each in self._told
        self._told.add(each)
        if self.desk.is_lost(each):
            return Branch("gone", cell, again=again)
        if node.role == "entry":
            return Branch("entry", cell, typed=self.typed(each), again=again)
        if self.desk.is_figure(node) and not self._edited(each):
            return Branch("figure", cell, typed=self.typed((f"{node.key}_entry", 0)), again=again)
        note = fault.what if (fault := self.desk.fault(each)) is not None else ""
        if node.role != "worked":
            kind = "coefficient" if node.role == "coefficient" else "given"
            return Branch(kind, cell, source=sourced(node), note=note, again=again)
        inputs = self.desk.inputs(each)
        if not inputs:
            return Branch("changed" if self._edited(each) else "worked", cell, note=note, again=again)
        if again:
            return Branch("worked", cell, again=True)
        if depth <= 1:
            again = each in self._named
            self._told.discard(each)
            self._named.add(each)
            return Branch("worked", cell, note=note, again=again, cut=not again)
        return Branch("worked", cell, note=note, branches=self.tree(inputs, depth - 1))

    def _foremost(self, several: Several, depth: int) -> tuple[Branch, ...]:
        """Return the cell of a column that tells most of where it comes from: one amiss, else the farthest from 0."""
        worked = [cell for cell in several.cells if self.book.nodes[cell[0]].role == "worked"]
        values = {cell: self.desk.value(cell) for cell in worked}
        amiss = [cell for cell, value in values.items() if isinstance(value, Fault | Unusable) or self._edited(cell)]
        numbers = {cell: abs(value) for cell, value in values.items() if isinstance(value, float) and value}
        if depth <= 1 or not (amiss or numbers):
            return ()
        if amiss:
            return (replace(self._branch(amiss[0], depth - 1), which="the first of them that is amiss"),)
        return (replace(self._branch(max(numbers, key=numbers.__getitem__), depth - 1), which="the largest of them"),)

    def _edited(self, where: Where) -> bool:
        fault = self.desk.fault(where)
        return fault is not None and fault.edited

    def column(self, cells: Sequence[Where], named: Node | None = None) -> Column:
        """Tell of several cells together; ``named`` is the node whose name they have, if it is not their own."""
        desk = self.desk
        (first, _), (last, _) = cells[0], cells[-1]
        node = self.book.nodes[first]
        across = first != last
        label = named.label if named else desk.labels.whole(first, self.home)
        if across and named is None:
            label = f"{node.label} through {self.book.nodes[last].label}"
        values = [(self._called(each, across), desk.value(each)) for each in cells]
        numbers = [(name, value) for name, value in values if isinstance(value, float)]
        spots = [spot for spot in map(desk.spots.of, cells) if spot]
        words = Counter(str(value) for _, value in values if isinstance(value, str) and value)
        only = [value for _, value in numbers]
        return Column(
            name=named.key if named else f"{first} to {last}" if across else first, label=label, unit=node.unit,
            sheet=spots[0][0] if spots else "", cells=f"{spots[0][1]}:{spots[-1][1]}" if spots else "",
            count=len(cells), numbers=len(numbers), total=sum(only), least=min(only, default=None),
            most=max(only, default=None), not_zero=tuple((name, value) for name, value in numbers if value),
            words=tuple(words.most_common()),
            errors=sum(isinstance(value, Fault | Unusable) for _, value in values),
        )  # fmt: skip

    def _called(self, where: Where, across: bool) -> str:
        return self.book.nodes[where[0]].label if across else self.desk.labels.item(where)

    def typed(self, where: Where) -> Typed:
        """Tell what was filled in, in a cell, and whether the book can use it."""
        node, cell, slip = self.book.nodes[where[0]], self.told(where), self.desk.slips.get(where)
        figure = node.key.removesuffix("_entry")
        default = self.book.nodes.get(f"{figure}_default") if not node.table else None
        standard = default.contents[0] if default else node.contents[where[1]]
        used: Any = cell.value
        if slip is not None:
            state = "left out" if node.table else "default in use"
            used = None if default is None else self.desk.value((default.key, 0))
        elif cell.value in (None, ""):
            state = "blank"
        else:
            state = "as the default" if cell.value == standard else "typed"
        told = "" if slip is None else " ".join(filter(None, (slip.hint, slip.meanwhile)))
        return Typed(cell, state, used, allowed(self.book, node), told)

    def entries(self, upstream: Iterable[Where]) -> Iterator[Typed]:
        """Yield what was filled in among cells."""
        for where in upstream:
            if self.book.nodes[where[0]].role == "entry":
                yield self.typed(where)


def sourced(node: Node) -> str:
    """Return source, place and mark of what is given, as far as it has them."""
    return ", ".join(filter(None, (node.source, node.place, node.mark if node.mark != node.source else "")))


def _without_bounds(inputs: Sequence[Input]) -> Iterator[Input]:
    """Yield inputs without the cells that only state the range of another of them."""
    keys = {each[0].removesuffix("_entry") for each in inputs if isinstance(each, tuple)}
    for each in inputs:
        if not isinstance(each, tuple) or not any(
            each[0].endswith(bound) and each[0].removesuffix(bound) in keys for bound in BOUNDS
        ):
            yield each
