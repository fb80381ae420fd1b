"""The demo book held in memory by the everyday engine: put something in a cell, read what every formula makes of it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import cached_property
from pathlib import Path
from typing import Any

import numpy as np
from openpyxl.utils.cell import coordinate_to_tuple

from podbook import regions
from podbook.book.node import Node
from podbook.book.writer import write
from podbook.inputs.farm import filled
from podbook.proof.agreement import differs
from podbook.proof.evaluate import Column, end_to_end
from podbook.proof.wiring import Where, Wiring
from podbook.recalc import Address, Cell
from podbook.recalc.formualizer_engine import _QUOTED_OR_RANGE, _calculated, _cell, _forward
from podbook.review.find import Opened, opened, wanted
from podbook.sheets import book_of

REGION = "us_midatl_appal"


def build(path: Path) -> Path:
    write(book_of(regions.load(REGION), filled()), path)
    return path


class Live:
    """A workbook opened once, as verify opens it, and calculated again after every change."""

    def __init__(self, path: Path) -> None:
        self.found: Opened = opened(path)
        self.book, self.places, self.cells = self.found.book, self.found.places, self.found.cells
        self.engine = _calculated(path)
        self.addresses: tuple[Address, ...] = tuple(
            (sheet, cell) for sheet, cells in wanted(self.found).items() for cell in cells
        )
        self._spots = tuple((sheet, *coordinate_to_tuple(cell)) for sheet, cell in self.addresses)
        self._filled: dict[str, Column] = {}
        """What was filled in last, by node: what is there already is not put there again."""
        self.values = self.read()

    def put(self, address: Address, content: Any) -> None:
        """Put a formula, a number, a word or nothing in a cell."""
        self._filled.clear()
        sheet, (row, column) = address[0], coordinate_to_tuple(address[1])
        if isinstance(content, str) and content.startswith("="):
            self.engine.set_formula(sheet, row, column, _QUOTED_OR_RANGE.sub(_forward, content))
        else:
            self.engine.set_value(sheet, row, column, content)

    def restore(self, address: Address) -> None:
        self.put(address, self.cells[address])

    def read(self) -> dict[Address, Cell]:
        """Calculate, and return the value of every formula cell."""
        self.engine.evaluate_all()
        get = self.engine.get_value
        return {address: _cell(get(*spot)) for address, spot in zip(self.addresses, self._spots, strict=True)}

    def value(self, address: Address) -> Cell:
        """Calculate one cell, and return its value."""
        row, column = coordinate_to_tuple(address[1])
        return _cell(self.engine.evaluate_cell(address[0], row, column))

    def put_entries(self, entries: Mapping[str, Column]) -> None:
        cells: dict[str, dict[tuple[int, int], Any]] = {}
        for key, column in entries.items():
            if self._filled.get(key) == column:
                continue
            self._filled[key] = column
            place = self.places[key]
            cells.setdefault(place.sheet, {}).update(zip(map(coordinate_to_tuple, place.cells), column, strict=True))
        for sheet, there in cells.items():
            for (row, first), block in blocks(there):
                self.engine.set_values_batch(sheet, row, first, block)

    def put_beside(self, sheet: str, column: int, formulas: Sequence[str]) -> None:
        """Put formulas in a free column of a sheet, from its first row down."""
        self.engine.set_formulas_batch(sheet, 1, column, [[_QUOTED_OR_RANGE.sub(_forward, each)] for each in formulas])

    def address(self, where: Where) -> Address:
        place = self.places[where[0]]
        return place.sheet, place.cells[where[1]]

    @cached_property
    def wiring(self) -> Wiring:
        """How the book's cells feed each other."""
        return Wiring(self.book)

    @cached_property
    def formulas(self) -> tuple[Where, ...]:
        """Every formula cell, in the order of the book."""
        return tuple((node.key, item) for node in self.book.worked for item in range(node.count))

    @cached_property
    def entries(self) -> dict[str, Column]:
        """What is filled in."""
        return {
            node.key: tuple(_plain(self.cells[self.address((node.key, item))]) for item in range(node.count))
            for node in self.book.nodes.values()
            if node.role == "entry"
        }

    def worked_out(self, changes: Mapping[str, Column]) -> dict[str, Any]:
        """What the formulas make of the book with some entries changed, which is what the functions make of it too."""
        entries = {**self.entries, **changes}
        self.put_entries(entries)
        assert self.amiss(entries, self.read()) == []
        return dict(end_to_end(self.book, entries, self.wiring))

    def amiss(self, entries: Mapping[str, Column], values: Mapping[Address, Cell]) -> list[tuple[Where, Cell, Any]]:
        """Return the formula cells whose value is not what the reference functions make of the entries."""
        expected = end_to_end(self.book, entries, self.wiring)

        def scale(where: Where) -> Any:
            return self.wiring.scale(where, lambda each: expected[each[0]][each[1]])

        return [
            (where, values[self.address(where)], expected[where[0]][where[1]])
            for where in self.formulas
            if differs(values[self.address(where)], expected[where[0]][where[1]], scale(where)) is None
        ]


def blocks(cells: Mapping[tuple[int, int], Any]) -> Iterator[tuple[tuple[int, int], list[list[Any]]]]:
    """Yield cells in whole rectangles, each by its first row and column: the engine takes one as fast as a cell."""
    left = dict(sorted(cells.items(), key=lambda item: (item[0][1], item[0][0])))
    while left:
        top, first = next(iter(left))
        bottom, last = top, first
        while (bottom + 1, first) in left:
            bottom += 1
        while all((row, last + 1) in left for row in range(top, bottom + 1)):
            last += 1
        yield (top, first), [[left.pop((row, column)) for column in range(first, last + 1)]
                             for row in range(top, bottom + 1)]  # fmt: skip


def below(live: Live, starts: frozenset[Where]) -> set[Where]:
    """Return every cell that is worked from one of these, at once or by way of others."""
    found: set[Where] = set()
    for where in live.wiring.order:
        if any(each in starts or each in found for each in live.wiring.feeds(where)):
            found.add(where)
    return found


MAY_PAY = {
    "hay_price_entry": (100, 700), "area_entry": (1, 20), "order.price": (0.5, 20), "guard_cost_entry": (0, 40),
    "planting_minutes_entry": (0, 20), "site_cost_entry": (0, 200), "row_spacing_entry": (25, 60),
    "tree_spacing_entry": (25, 60), "mix.first_crop_age": (3, 10), "mix.full_crop_age": (10, 20),
    "frost_chance_entry": (0, 0.3), "establishment_loss_entry": (0, 0.4), "yearly_loss_entry": (0, 0.02),
    "diet_sugar_limit_entry": (8, 15), "share_cap_entry": (0.1, 0.5), "cases.later": (0, 3),
}  # fmt: skip
"""The part of a range in which a planting may pay."""
NOTHING_AFTER_PLANTING = (
    *("upkeep_cost_entry", "care_cost_entry", "fence_length_entry", "grass_price_entry", "pod_cost_entry"),
    *("cost_share_entry", "ungrazed_years_entry"),
)
"""What may make a farm spend again after it has earned: then no rate of return is shown."""


def _plain(content: Any) -> Any:
    return float(content) if isinstance(content, int | float) and not isinstance(content, bool) else content


def of_log(node: Node) -> bool:
    """Return whether an entry belongs to the season log."""
    return node.table == "log" or node.key.startswith("log_")


def unusable(node: Node) -> tuple[Any, ...]:
    """Return contents that an entry can't use: a word for a number, a number for a word, out of range, nothing."""
    nothing = (None,) if node.required else ()
    if node.low is None or node.high is None:
        return (*(("no such word",) if node.choices else ()), 7.0, *nothing)
    span = node.high - node.low
    return "a lot", node.low - 0.01 * span, node.high + 0.01 * span, *nothing


class Draw:
    """A random farm: entries drawn over their ranges, some types, groups and rows left blank.

    A share ``amiss`` of the figures in tables, and five times as many of the single figures, can't be used: words for
    numbers, numbers for words, out of range, or blank. A table loses its whole row, a single figure has a default.
    ``full`` leaves nothing blank.
    """

    def __init__(self, live: Live, seed: int, amiss: float = 0.0, *, full: bool = False) -> None:
        self.live, self.book, self.random, self.amiss = live, live.book, np.random.default_rng(seed), amiss
        self.full = full
        self.planting, self.logging = (np.random.default_rng((seed, dice)) for dice in (1, 2))
        self.drawn: dict[str, list[Any]] = {}

    def entries(self) -> dict[str, Column]:
        for node in self.book.nodes.values():
            if node.role == "entry" and not of_log(node):
                self.drawn[node.key] = [self._content(node.key) for _ in range(node.count)]
        self._types()
        if not self.full:
            self._blank_items("lab", 0.2, keep=0.8)
            self._blank_items("mix", 0.1, keep=1.0)
            self._blank_items("tally", 0.3, keep=1.0)
            self._blank_items("groups", 0.25, keep=1.0)
            self._blank_items("by_type", 0.6, keep=1.0)
        self._few_trees()
        self._months()
        self._cheap_hands()
        self._planting_that_may_pay()
        self._fitting_weights()
        self._spoil(self.drawn)
        self._log()
        return {key: tuple(column) for key, column in self.drawn.items()}

    def _spoil(self, keys: Iterable[str]) -> None:
        """Put what can't be used in a share of the cells."""
        for key in keys:
            node = self.book.nodes[key]
            amiss = self.amiss if node.table else 5 * self.amiss
            spoilt = [self._one_of(unusable(node)) if self._chance(amiss) else each for each in self.drawn[key]]
            self.drawn[key] = spoilt

    def _log(self) -> None:
        """Log some months whole, some in part, some not at all; days mostly with head.

        It throws dice of its own, so that the rest of a farm stays what its seed makes it.
        """
        kept, self.random = self.random, self.logging
        nodes = [node for node in self.book.nodes.values() if node.role == "entry" and of_log(node)]
        for node in nodes:
            self.drawn[node.key] = [self._content(node.key) for _ in range(node.count)]
        if not self.full and self._chance(0.6):
            self._blank_items("log", 0.3, keep=0.7)
            for month, days in enumerate(self.drawn["log.days"]):
                if (days is None) != (self.drawn["log.head"][month] is None) and self._chance(0.8):
                    self.drawn["log.days"][month] = self.drawn["log.head"][month] = None
        self._spoil([node.key for node in nodes])
        self.random = kept

    def _content(self, key: str) -> Any:
        node = self.book.nodes[key]
        if node.choices:
            words = [word for word in self.book.nodes[node.choices].contents if word is not None]
            word = str(self._one_of(words)) if words else None
            return word.upper() if word and self._chance(0.1) else word
        if node.low is None or node.high is None:
            return None
        if self._chance(0.15):
            return float(self._one_of((node.low, node.high)))
        drawn = float(self.random.uniform(node.low, node.high))
        return float(round(drawn)) if node.low <= round(drawn) <= node.high and self._chance(0.3) else drawn

    def _one_of(self, choices: Any) -> Any:
        return choices[int(self.random.integers(len(choices)))]

    def _chance(self, of: float) -> bool:
        return bool(self.random.random() < of)

    def _types(self) -> None:
        names = ["Wild", "Good", "Selected grafted", "No. 7", "Old lane", "Müller's best"]
        named = [name if self.full or self._chance(0.6) else None for name in names]
        self.drawn["types.name"] = named
        known = [name for name in named if name] or ["Wild"]
        self.drawn["tally.type"] = [self._one_of(known) for _ in self.drawn["tally.type"]]

    def _blank_items(self, table: str, chance: float, keep: float) -> None:
        """Leave items of a table blank, and of those that stay a share of the figures that may be blank."""
        fields = [node for node in self.book.tables[table].fields if node.role == "entry"]
        for item in range(len(self.book.tables[table].items)):
            blank = self._chance(chance)
            for node in fields:
                if blank or (not node.required and not self._chance(keep)):
                    self.drawn[node.key][item] = None

    def _few_trees(self) -> None:
        """Let most trees be weighed in several years."""
        numbers = self.drawn["tally.tree"]
        self.drawn["tally.tree"] = [each if each is None else float(self.random.integers(1, 25)) for each in numbers]

    def _months(self) -> None:
        """Name most months, and let the pods of every second farm drop within them."""
        names = self.book.tables["months"].items
        self.drawn["months.name"] = [self._one_of((each, each, each, each, None, 7.0)) for each in names]
        drops = self.drawn["months.drop"]
        if self._chance(0.5) and sum(drops) > 0:
            self.drawn["months.drop"] = [each / sum(drops) for each in drops]

    def _cheap_hands(self) -> None:
        """Let collecting cost next to nothing on some farms: at random costs it never pays."""
        if self._chance(0.3):
            for node in self.book.nodes.values():
                if node.role == "entry" and node.unit.startswith("USD") and node.low == 0:
                    self.drawn[node.key] = [0.0] * node.count

    def _planting_that_may_pay(self) -> None:
        """Let trees be cheap and hay dear on every second farm, and pods be what its herd can use: else none ever pays.

        It throws dice of its own, so that the rest of a farm stays what its seed makes it.
        """
        if self.planting.random() < 0.5:
            return
        dice = {key: self.planting.uniform(low, high) for key, (low, high) in MAY_PAY.items()}
        for key, value in dice.items():
            self.drawn[key] = [None if each is None else float(value) for each in self.drawn[key]]
        for key in NOTHING_AFTER_PLANTING:
            self.drawn[key] = [0.0]

    def _fitting_weights(self) -> None:
        nodes = self.book.nodes
        kinds = [str(word) for word in nodes["kinds.word"].contents]
        for item, kind in enumerate(self.drawn["groups.kind"]):
            if kind is not None and self._chance(0.9):
                row = kinds.index(kind.lower())
                low, high = (nodes[f"kinds.{each}"].contents[row] for each in ("lightest", "heaviest"))
                self.drawn["groups.body_weight"][item] = float(self.random.uniform(low, high))
