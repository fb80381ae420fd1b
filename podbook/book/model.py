"""What a workbook is: sheets of blocks, and blocks of nodes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Literal

from podbook.book.node import Content, Node, by, defined_name
from podbook.errors import BookFault
from podbook.reference import book as reference
from podbook.systems import METRIC, US, Turn, metric

TEMPERATURES = ("degF", "degC")
"""Units of which no figure is a number of times another."""
LABEL_WIDTH, FIGURE_WIDTH = 49.0, 11.5
"""Widths of a sheet's first column and of the others, in digits, where it does not say."""


@dataclass(frozen=True)
class Entry:
    """A single figure that the user fills in, with the default that is used where it is amiss."""

    name: str
    label: str
    unit: str
    default: Content
    low: float | None = None
    high: float | None = None
    choices: str = ""
    source: str = "judgement"
    place: str = ""
    mark: str = "judgement"
    help: str = ""
    look: str = "0.00"
    filled: Content = None
    """What stands in the cell when the workbook is built; the default if None."""
    local: bool = False
    """Whether its default is the region's: money is in the region's own currency then, else in US dollars."""
    own: bool = False
    """Whether it is the farm's own amount or choice, of which no figure is unusual."""


@dataclass(frozen=True)
class Entries:
    """A block of single figures to fill in."""

    name: str
    title: str
    rows: tuple[Entry, ...]

    @property
    def checks(self) -> Node:
        """The checks of all its figures under one name."""
        members = tuple(f"{entry.name}_check" for entry in self.rows)
        return Node(f"{self.name}_checks", f"{self.title}: checks", "text", "span", len(members), members=members)


@dataclass(frozen=True)
class Single:
    """A block of single computed cells, coefficients or free notes, one a row."""

    title: str
    rows: tuple[Node, ...]
    note: str = ""
    span: str = ""
    """The name of all its cells together, if they have one."""
    wide: bool = False
    """Whether its values are sentences that take the whole width of the page."""
    headed: bool = True
    """Whether it has a row of headings."""
    heads: tuple[Node, ...] = ()
    """What stands in place of the labels of its last rows, if a formula says it."""

    @property
    def together(self) -> tuple[Node, ...]:
        """All its cells under one name, if they have one."""
        members = tuple(node.key for node in self.rows)
        return (Node(self.span, self.title, "any", "span", len(members), members=members),) if self.span else ()


@dataclass(frozen=True)
class Table:
    """A table: the same fields for every item, items side by side (across) or one under the other."""

    name: str
    title: str
    items: tuple[str, ...]
    fields: tuple[Node, ...]
    across: bool = True
    note: str = ""
    open_labels: bool = False
    """Whether the labels of the items are the user's own notes."""
    aside: int = 0
    """How many of the last fields are workings that stand right of the printed page."""
    notes: bool = False
    """Whether the notes of its fields stand beside them; only if its items stand side by side."""
    headed: bool = True
    """Whether it has headings and a column of units; where not, its first field heads it and its labels say the units.
    Only if its items stand side by side."""
    heads: tuple[Node, ...] = ()
    """What stands in place of the labels of its last fields, if a formula says it."""
    tails: tuple[Node, ...] = ()
    """What stands behind the items of its last fields; the first one's label heads it. Only if it has no headings."""


@dataclass(frozen=True)
class Prose:
    """Lines of text."""

    title: str
    lines: tuple[str, ...]


@dataclass(frozen=True)
class Picture:
    """A chart of some nodes over the items of their table."""

    title: str
    kind: Literal["stacked", "columns", "lying", "line"]
    categories: str
    """Key of the node that names the items, or the table whose headings do."""
    series: tuple[tuple[str, str], ...]
    """Keys, and the words for each in the legend."""
    along: str
    """Title of the axis of items."""
    up: str
    """Title of the axis of values, with its unit."""
    end: float | None = None
    """Where the axis of items ends, if they are numbers."""
    columns: tuple[int, int] = (1, 7)
    """First and last of the columns that it covers."""
    beside: bool = False
    """Whether it stands beside the block before it."""


@dataclass(frozen=True)
class Ruled:
    """Empty lines to write on by hand, once they are on paper."""

    title: str
    count: int


Block = Entries | Single | Table | Prose | Picture | Ruled


@dataclass(frozen=True)
class Sheet:
    """A worksheet."""

    title: str
    purpose: str
    blocks: tuple[Block, ...]
    printed: int | None = None
    """How many of its blocks are printed; the rest are workings below the printed page."""
    turns: tuple[int, ...] = ()
    """Numbers of the blocks before which a page is turned; where there are none the sheet is fitted as a whole."""
    width: float = FIGURE_WIDTH
    """Width of its columns of figures, in digits."""
    wider: Mapping[str, float] = field(default_factory=dict)
    """Width of columns that are wider than the rest, by their letters."""
    label_width: float = LABEL_WIDTH
    """Width of its column of labels."""
    letters: float = 1.0
    """How much larger its letters are than those of other sheets."""
    sentences: int = 8
    """Number of the column up to which its sentences and notes run."""
    filled_in: bool = True
    """Whether it may have cells to fill in: what tells the kinds of cell apart stands on it."""
    quoted: bool = False
    """Whether its texts stand as in their sources, whatever the units of the book."""


@dataclass(frozen=True)
class Book:
    """The whole workbook as podbook describes it."""

    region: str
    sheets: tuple[Sheet, ...]
    units: str = US
    """The system of units in which its figures stand."""
    described: Book | None = None
    """The book in US customary units and dollars that this one was turned from; None if it is that book."""

    @cached_property
    def nodes(self) -> Mapping[str, Node]:
        """Every node by its key, in the order of the sheets."""
        found: dict[str, Node] = {}
        for sheet in self.sheets:
            for block in sheet.blocks:
                for node in nodes_of(block):
                    if node.key in found:
                        raise BookFault(f"two nodes are called '{node.key}'")
                    found[node.key] = node
        return found

    @cached_property
    def tables(self) -> Mapping[str, Table]:
        """Every table by its name."""
        return {block.name: block for sheet in self.sheets for block in sheet.blocks if isinstance(block, Table)}

    @cached_property
    def by_name(self) -> Mapping[str, Node]:
        """Every node by its defined name."""
        found: dict[str, Node] = {}
        for node in self.nodes.values():
            if node.name in found:
                raise BookFault(f"'{node.key}' and '{found[node.name].key}' would have one name in the file")
            found[node.name] = node
        return found

    @cached_property
    def turns(self) -> Mapping[str, Turn]:
        """How the figures of a node were turned from those in US customary units, for every one that was."""
        if self.described is None or self.units != METRIC:
            return {}
        turns = {key: metric(node.unit)[1] for key, node in self.described.nodes.items() if node.role != "span"}
        return {key: turn for key, turn in turns.items() if turn != Turn()}

    @cached_property
    def worked(self) -> tuple[Node, ...]:
        """The nodes that hold formulas."""
        return tuple(node for node in self.nodes.values() if node.role == "worked")


def nodes_of(block: Block) -> Iterator[Node]:
    """Yield the nodes of a block."""
    if isinstance(block, Entries):
        for entry in block.rows:
            yield from nodes_of_entry(entry)
        yield block.checks
    elif isinstance(block, Single):
        yield from block.rows
        yield from block.heads
        yield from block.together
    elif isinstance(block, Table):
        yield from block.heads
        yield from block.tails
        for node in block.fields:
            yield node
            if node.role == "entry":
                yield from bounds_of(node)


def bounds_of(node: Node) -> Iterator[Node]:
    """Yield the cells that state the range of an entry."""
    for which, value in (("low", node.low), ("high", node.high)):
        if value is not None:
            label = f"{node.label}: {which}est allowed"
            yield Node(f"{node.key}_{which}", label, node.unit, "fixed", contents=(value,), look=node.look)


def nodes_of_entry(entry: Entry) -> Iterator[Node]:
    """Yield the cells of a single figure: as typed, as used, its default, its range and its check."""
    typed, default = f"{entry.name}_entry", f"{entry.name}_default"
    filled = entry.default if entry.filled is None else entry.filled
    yield Node(
        typed, f"{entry.label} (as filled in)", entry.unit, "entry", contents=(filled,), low=entry.low, high=entry.high,
        choices=entry.choices, note=entry.help, look=entry.look,
    )  # fmt: skip
    yield Node(
        default, f"{entry.label} (default)", entry.unit, "fixed", contents=(entry.default,), look=entry.look,
        source=entry.source, place=entry.place, mark=entry.mark,
    )  # fmt: skip
    yield from _of_choice(entry, typed, default) if entry.choices else _of_number(entry, typed, default)


def _of_choice(entry: Entry, typed: str, default: str) -> Iterator[Node]:
    found = f"MATCH({typed},{defined_name(entry.choices)},0)"
    choices = f"{entry.choices}*"
    yield Node(
        entry.name, entry.label, entry.unit, "worked",
        formula=f"=IF(ISNUMBER({found}),INDEX({defined_name(entry.choices)},{found}),{default})",
        ref=by(reference.choice, entry=typed, choices=choices, default=default),
    )  # fmt: skip
    yield Node(
        f"{entry.name}_check", f"{entry.label} (check)", "text", "worked",
        formula=f'=IF(ISNUMBER({found}),"ok","mend")',
        ref=by(reference.choice_check, entry=typed, choices=choices),
    )  # fmt: skip


def _of_number(entry: Entry, typed: str, default: str) -> Iterator[Node]:
    low, high = f"{entry.name}_low", f"{entry.name}_high"
    yield Node(low, f"{entry.label}: lowest allowed", entry.unit, "fixed", contents=(entry.low,), look=entry.look)
    yield Node(high, f"{entry.label}: highest allowed", entry.unit, "fixed", contents=(entry.high,), look=entry.look)
    yield Node(
        entry.name, entry.label, entry.unit, "worked",
        formula="=IF(ISNUMBER({entry}),IF({entry}<{low},{default},IF({entry}>{high},{default},{entry})),{default})",
        ref=by(reference.accepted, entry=typed, low=low, high=high, default=default), look=entry.look,
    )  # fmt: skip
    if entry.own or entry.unit in TEMPERATURES:
        formula = '=IF(ISNUMBER({entry}),IF({entry}<{low},"mend",IF({entry}>{high},"mend","ok")),"mend")'
        ref = by(reference.entry_check, entry=typed, low=low, high=high)
    else:
        formula = (
            '=IF(ISNUMBER({entry}),IF(OR({entry}<{low},{entry}>{high}),"mend",'
            'IF(AND(MIN({entry},{default})>0,MAX({entry},{default})>far_times*MIN({entry},{default})),"unusual","ok")),"mend")'
        )
        ref = by(reference.usual_check, entry=typed, low=low, high=high, default=default)
    yield Node(f"{entry.name}_check", f"{entry.label} (check)", "text", "worked", formula=formula, ref=ref)
