"""A story of a decision: a farm's workbook, built and recalculated, and the figures that its page tells of.

A page is written by hand but for what stands between marks, ``<!--=name-->`` and ``<!--/-->``: that is put in from the
recalculated workbook, so that no figure of a story is typed.
"""

from __future__ import annotations

import re
import tempfile
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from podbook import recalc, regions
from podbook.book.layout import lay_out
from podbook.book.node import Content, Node
from podbook.book.writer import write
from podbook.farm_book import Ordered, book_for
from podbook.inputs.farm import filled
from podbook.inputs.filled import Filled
from podbook.review.amounts import amount
from podbook.units import shown

ROOT = Path(__file__).parents[2]
EXAMPLES = ROOT / "worked_examples"
DECISIONS, DEMO = EXAMPLES / "decisions", EXAMPLES / "demo_farm"
MARK = re.compile(r"<!--=(\w+)-->(.*?)<!--/-->", re.DOTALL)
OWN = "invented, of this farm"
"""The mark of a figure that the farm's file gives."""

Change = Callable[[Filled], Filled]


class Told:
    """A workbook as the engine recalculates it."""

    def __init__(self, order: Filled, folder: Path) -> None:
        path = folder / "story.xlsx"
        self.book = book_for(Ordered(regions.HOME, order.units, order, path))
        write(self.book, path, replace=True)
        self.places = lay_out(self.book).places
        wanted: dict[str, list[str]] = {}
        for place in self.places.values():
            wanted.setdefault(place.sheet, []).extend(place.cells)
        self._values = recalc.values(path, wanted=wanted)

    def value(self, key: str, item: int = 1) -> Any:
        """Return the value of a cell; items of tables are counted from 1."""
        place = self.places[key]
        return self._values[(place.sheet, place.cells[item - 1])]

    def number(self, key: str, item: int = 1) -> float:
        """Return a cell's value that must be a number."""
        found = self.value(key, item)
        assert isinstance(found, float), f"{key}@{item} holds {found!r}"
        return found

    def numbers(self, key: str) -> list[float]:
        """Return the values of every item."""
        return [self.number(key, item) for item in range(1, self.node(key).count + 1)]

    def says(self, key: str, item: int = 1) -> str:
        """Return a cell's value with its unit, with the digits that the workbook shows."""
        return amount(self.node(key), self.value(key, item))

    def bare(self, key: str, item: int = 1) -> str:
        """Return a cell's value with the digits that the workbook shows, without its unit."""
        node = self.node(key)
        unit = "USD" if node.unit.startswith("USD") else node.unit if node.unit == "fraction" else "dimensionless"
        return amount(replace(node, unit=unit), self.value(key, item))

    def node(self, key: str) -> Node:
        return self.book.nodes[key]

    def stands(self, key: str, name: str) -> tuple[str, str, str]:
        """Return a cell's unit, its sheet, and the name by which it is asked for."""
        unit = self.node(key).unit
        return "" if unit in ("text", "fraction", "dimensionless") else shown(unit), self.places[key].sheet, name

    def mark(self, name: str) -> str:
        """Return how far the figure of a single entry can be trusted: its default's mark, or that it is the farm's."""
        default = self.book.nodes[f"{name}_default"]
        return default.mark if self.value(f"{name}_entry") == default.contents[0] else OWN


@dataclass(frozen=True)
class Story:
    """A story: its folder, what is changed in its workbook besides, and what is told of them."""

    folder: str
    changes: Mapping[str, Change]
    """Names of the workbooks that are told of besides ``farm``, each with what is changed in it."""
    marks: Callable[[Mapping[str, Told]], Mapping[str, str]]
    """What stands between the marks of its page, by their names."""
    pictures: Callable[[Mapping[str, Told]], Mapping[str, str]]
    """Its pictures, by the names of their files."""
    looks: Mapping[str, str] = field(default_factory=dict)
    """Names of the workbooks of which a check says LOOK, as the page says too, each with the check."""

    @property
    def path(self) -> Path:
        return DECISIONS / self.folder

    @property
    def page(self) -> Path:
        return self.path / "README.md"

    def told(self) -> dict[str, Told]:
        """Return its workbooks, built now: the farm's own and the changed ones."""
        own = filled(self.path / "farm.toml", DEMO / "tally.csv", DEMO / "lab.csv")
        with tempfile.TemporaryDirectory() as folder:
            return {
                name: Told(change(own), Path(folder))
                for name, change in {"farm": lambda each: each, **self.changes}.items()
            }


def figures(**contents: Content) -> Change:
    """Return the change that types other single figures."""
    return lambda own: replace(own, figures={**own.figures, **contents})


def shares(*parts: float) -> Change:
    """Return the change that plants other shares of the types."""
    return lambda own: replace(
        own, types=tuple(replace(each, share=part) for each, part in zip(own.types, parts, strict=True))
    )


def herd(times: float) -> Change:
    """Return the change that keeps so many times the head."""
    return lambda own: replace(own, groups=tuple(replace(each, head=each.head * times) for each in own.groups))


def table(headings: Sequence[str], rows: Sequence[Sequence[str]], numbers: Collection[int] = ()) -> str:
    """Return a table as Markdown; columns of figures are set to the right."""
    ruler = ["--:" if place in numbers else "---" for place in range(len(headings))]
    return "\n".join("| " + " | ".join(row) + " |" for row in (headings, ruler, *rows))


def of_items(headings: Sequence[str], lines: Sequence[tuple[str, Told, str]], items: Sequence[int]) -> str:
    """Return a table of fields, a column for each of some items: words, workbook and key of each line."""
    rows = [
        (words, *(told.bare(key, item) for item in items), *told.stands(key, f"`{key}`")) for words, told, key in lines
    ]
    return table(("figure", *headings, "unit", "sheet", "cell"), rows, range(1, len(headings) + 1))


def of_books(headings: Sequence[str], lines: Sequence[tuple[str, str, int]], books: Sequence[Told]) -> str:
    """Return a table of cells, a column for each of some workbooks: words, key and item of each line."""
    rows = []
    for words, key, item in lines:
        name = f"`{key}@{item}`" if books[0].node(key).size else f"`{key}`"
        rows.append((words, *(told.bare(key, item) for told in books), *books[0].stands(key, name)))
    return table(("figure", *headings, "unit", "sheet", "cell"), rows, range(1, len(headings) + 1))


def trust(told: Told, *names: str, **words: str) -> str:
    """Return a table of single entries: what stands there, how far it can be trusted, and where it stands.

    An entry is called by its label, or by these words where its label is short of a block's heading.
    """
    called = {name: told.node(name).label for name in names} | words
    rows = [
        (label, told.says(name), told.mark(name), told.places[f"{name}_entry"].sheet, f"`{name}`")
        for name, label in called.items()
    ]
    return table(("figure", "here", "mark", "sheet", "cell"), rows, (1,))


def filled_page(text: str, marks: Mapping[str, str], name: str) -> str:
    """Return a page with what belongs between its marks."""

    def put(found: re.Match[str]) -> str:
        if found[1] not in marks:
            raise KeyError(f"{name}: '{found[1]}' stands in a mark; there are {', '.join(sorted(marks))}")
        words = marks[found[1]]
        block = f"\n\n{words}\n\n" if "\n" in words else words
        return f"<!--={found[1]}-->{block}<!--/-->"

    return MARK.sub(put, text)
