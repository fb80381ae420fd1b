"""Fields worked out in one call have the values that they have item by item, and functions that mix items are seen."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from live import Draw, Live

from podbook.book.model import Book, Sheet, Table
from podbook.book.node import Node, by, entry_field, fixed_field, worked
from podbook.errors import BookFault
from podbook.inputs.filled import Filled
from podbook.proof import evaluate, fields
from podbook.proof.evaluate import Column, Columns, Unusable, end_to_end
from podbook.proof.rings import rings
from podbook.proof.wiring import Wiring
from podbook.reference.contract import reference
from podbook.reference.trees import Crop
from podbook.regions import HOME, load
from podbook.sheets import book_of

ONE_BY_ONE = 10**9


def both_ways(book: Book, entries: Columns, patch: pytest.MonkeyPatch) -> tuple[Columns, Columns, int]:
    """Return a book's values by fields and item by item, and how many nodes were worked out in one call."""
    count = 0
    together = fields.Fields.together

    def counted(self: fields.Fields, node: Node, alone: Callable[..., Any]) -> list[Any] | None:
        nonlocal count
        found = together(self, node, alone)
        count += found is not None
        return found

    with patch.context() as patched:
        patched.setattr(evaluate.Fields, "together", counted)
        by_fields = end_to_end(book, entries, Wiring(book))
    with patch.context() as patched:
        patched.setattr(fields, "LEAST", ONE_BY_ONE)
        by_items = end_to_end(book, entries, Wiring(book))
    return by_fields, by_items, count


def differing(one: Columns, other: Columns) -> list[tuple[str, int, Any, Any]]:
    def same(a: Any, b: Any) -> bool:
        if isinstance(a, Unusable) or isinstance(b, Unusable):
            return isinstance(a, Unusable) and isinstance(b, Unusable) and str(a) == str(b)
        if isinstance(a, float) and isinstance(b, float):
            return abs(a - b) <= 1e-12 * max(1.0, abs(b))
        return type(a) is type(b) and bool(a == b)

    assert one.keys() == other.keys()
    return [
        (key, item, a, b)
        for key in other
        for item, (a, b) in enumerate(zip(one[key], other[key], strict=True))
        if not same(a, b)
    ]


@pytest.mark.parametrize("seed", range(6))
def test_a_random_farm_comes_out_the_same(live: Live, monkeypatch: pytest.MonkeyPatch, seed: int) -> None:
    entries = Draw(live, seed, amiss=0.02 * (seed % 3), full=seed == 5).entries()
    by_fields, by_items, together = both_ways(live.book, entries, monkeypatch)
    assert differing(by_fields, by_items) == []
    assert together > 300


def test_a_metric_book_comes_out_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    book = book_of(load(HOME), Filled("A farm", ()), "metric")
    entries = {node.key: node.contents for node in book.nodes.values() if node.role == "entry"}
    by_fields, by_items, together = both_ways(book, entries, monkeypatch)
    assert differing(by_fields, by_items) == []
    assert together > 300


@reference("arithmetic", "for these tests")
def doubled(*, crop: Crop) -> Crop:
    """Return twice the crop."""
    return 2 * crop


@reference("arithmetic", "for these tests")
def from_mean(*, crop: Crop) -> Crop:
    """Return the crop and its mean: of several at once the mean of all, which it must not take."""
    return crop + np.mean(crop)


@reference("arithmetic", "for these tests")
def summed(*, crop: Crop) -> Crop:
    """Return the sum of what it is given."""
    return float(np.sum(crop))


def table(function: Any, crops: Column, **more: Any) -> tuple[Book, Columns]:
    """Return a book of one table in which a function is fed by the crop of its own item."""
    size = len(crops)
    nodes = (
        entry_field("heap.crop", "Crop", "lb_dry/tree", crops),
        fixed_field("heap.counted", "Counted", "flag", tuple(float(item % 2) for item in range(size))),
        worked("heap.found", "Found", "lb_dry/tree", "", by(function, **more), size=size),
    )
    heap = Table("heap", "Heap", tuple(map(str, range(size))), nodes)
    return Book("none", (Sheet("Heap", "", (heap,)),)), {"heap.crop": crops}


@pytest.mark.parametrize("function", [from_mean, summed])
def test_a_function_that_mixes_items_is_called_for_each(function: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    book, entries = table(function, tuple(float(each) for each in range(1, 9)))
    by_fields, by_items, together = both_ways(book, entries, monkeypatch)
    assert by_fields["heap.found"] == by_items["heap.found"]
    assert together == 0


def test_what_is_no_number_is_no_reason_to_go_one_by_one(monkeypatch: pytest.MonkeyPatch) -> None:
    crops: Column = (1.0, "much", 3.0, None, 5.0, True, 7.0, 8.0)
    book, entries = table(doubled, crops)
    by_fields, by_items, together = both_ways(book, entries, monkeypatch)
    assert differing(by_fields, by_items) == []
    assert together == 1
    assert by_fields["heap.found"][::2] == (2.0, 6.0, 10.0, 14.0)
    assert [item for item, each in enumerate(by_fields["heap.found"]) if isinstance(each, Unusable)] == [1, 3, 5]


def test_where_the_gate_is_shut_nothing_is_called(monkeypatch: pytest.MonkeyPatch) -> None:
    crops: Column = ("much", *(float(each) for each in range(1, 12)))
    book, entries = table(doubled, crops, when="counted", otherwise="-")
    by_fields, by_items, together = both_ways(book, entries, monkeypatch)
    assert differing(by_fields, by_items) == []
    assert together == 1
    assert by_fields["heap.found"][:4] == ("-", 2.0, "-", 6.0)


def test_a_result_that_is_not_finite_is_told_of_its_own_item(monkeypatch: pytest.MonkeyPatch) -> None:
    book, entries = table(doubled, (1.0, 2.0, 1e308, 4.0, 5.0, 6.0, 7.0))
    by_fields, by_items, _ = both_ways(book, entries, monkeypatch)
    assert differing(by_fields, by_items) == []
    assert isinstance(by_fields["heap.found"][2], Unusable)


def test_rings_come_after_what_feeds_them() -> None:
    graph = {"a": ("b",), "b": ("c", "d"), "c": ("b",), "d": ("e",), "e": (), "f": ("f", "a")}
    found = [set(each) for each in rings(graph)]
    assert sorted(map(sorted, found)) == [["a"], ["b", "c"], ["d"], ["e"], ["f"]]
    place = {key: at for at, each in enumerate(found) for key in each}
    assert all(place[feed] <= place[key] for key, feeds in graph.items() for feed in feeds)


def test_cells_that_feed_each_other_in_a_ring_are_refused() -> None:
    size = 3
    nodes = (
        worked("heap.one", "One", "lb_dry/tree", "", by(doubled, crop="other@prev"), size=size,
               first=("", by(doubled, crop=1.0))),
        worked("heap.other", "Other", "lb_dry/tree", "", by(doubled, crop="one"), size=size),
    )  # fmt: skip
    sound = Book("none", (Sheet("Heap", "", (Table("heap", "Heap", ("a", "b", "c"), nodes),)),))
    assert end_to_end(sound, {})["heap.other"] == (4.0, 16.0, 64.0)
    ring = (worked("heap.one", "One", "lb_dry/tree", "", by(doubled, crop="other"), size=size), nodes[1])
    with pytest.raises(BookFault, match="feeds itself"):
        end_to_end(Book("none", (Sheet("Heap", "", (Table("heap", "Heap", ("a", "b", "c"), ring),)),)), {})
