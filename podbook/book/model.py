"""What a workbook is: sheets of blocks, blocks of nodes, and one reference function per formula.

A *node* is one named quantity: a single cell, or one field of a table with a cell for every item.
Nodes are found by their key (``hay_price``, or ``trees.crop`` for a table's field); in the workbook
the same key is a defined name (``hay_price``, ``trees_crop``).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Literal

from podbook.errors import BookFault
from podbook.reference.contract import Reference

Content = float | str | None
Role = Literal["entry", "fixed", "coefficient", "worked", "span"]


Binding = str | float | tuple[str, ...]
"""What feeds a parameter: a key (inside a table, the same item), ``key@3`` (the third item), ``key*`` (the whole
column), a number, or several keys stacked in an array."""


@dataclass(frozen=True)
class Ref:
    """The reference function of a formula, and which nodes feed its parameters.

    A parameter that is not bound is fed by the field of the same table, or the node, of its own name.
    """

    function: Reference
    bindings: Mapping[str, Binding]
    when: str | None = None
    """A node that is 1 where the formula applies; elsewhere the cell holds ``otherwise``."""
    otherwise: Content = 0.0
    otherwise_from: str | None = None
    """A node that holds what stands elsewhere, instead of ``otherwise``."""


def by(
    function: Reference,
    when: str | None = None,
    otherwise: Content = 0.0,
    otherwise_from: str | None = None,
    **bindings: Binding,
) -> Ref:
    """Bind a reference function to the nodes that feed it."""
    return Ref(function, bindings, when, otherwise, otherwise_from)


@dataclass(frozen=True)
class Node:
    """One named quantity of the workbook."""

    key: str
    label: str
    unit: str
    role: Role
    size: int | None = None
    """Number of items of the table it belongs to; None for a single cell."""
    contents: tuple[Content, ...] = ()
    """What stands in the cells of an entry, a fixed figure or a coefficient, item by item."""
    formula: str = ""
    """The formula as typed: defined names, and ``{field}`` for the cell of the same item."""
    ref: Ref | None = None
    low: float | None = None
    high: float | None = None
    choices: str = ""
    """Key of the list that an entry must be taken from."""
    required: bool = True
    note: str = ""
    source: str = ""
    place: str = ""
    mark: str = ""
    look: str = "0.00"
    """Number format."""
    headline: bool = False
    members: tuple[str, ...] = ()
    """The nodes that a span names together."""

    @property
    def table(self) -> str:
        """Name of the table it is a field of, or an empty string."""
        return self.key.rpartition(".")[0]

    @property
    def name(self) -> str:
        """The defined name of its cell or cells."""
        return defined_name(self.key)

    @property
    def count(self) -> int:
        """How many cells it has."""
        return 1 if self.size is None else self.size


def defined_name(key: str) -> str:
    """Return the defined name under which a node stands in the workbook."""
    return key.replace(".", "_")


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


@dataclass(frozen=True)
class Prose:
    """Lines of text."""

    title: str
    lines: tuple[str, ...]


Block = Entries | Single | Table | Prose


@dataclass(frozen=True)
class Sheet:
    """A worksheet."""

    title: str
    purpose: str
    blocks: tuple[Block, ...]


@dataclass(frozen=True)
class Book:
    """The whole workbook as podbook describes it."""

    region: str
    sheets: tuple[Sheet, ...]
    notes: Mapping[str, str] = field(default_factory=dict)

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
        return {node.name: node for node in self.nodes.values()}

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
    elif isinstance(block, Table):
        for node in block.fields:
            yield node
            if node.role == "entry":
                yield from bounds_of(node)


def bounds_of(node: Node) -> Iterator[Node]:
    """Yield the cells that state the range of an entry."""
    for which, value in (("low", node.low), ("high", node.high)):
        if value is not None:
            yield Node(f"{node.key}_{which}", f"{node.label}: {which}est allowed", node.unit, "fixed", contents=(value,))


def nodes_of_entry(entry: Entry) -> Iterator[Node]:
    """Yield the cells of a single figure: as typed, as used, its default, its range and its check."""
    from podbook.reference import book as reference

    own, typed, default = entry.name, f"{entry.name}_entry", f"{entry.name}_default"
    filled = entry.default if entry.filled is None else entry.filled
    entered = Node(
        typed,
        f"{entry.label} (as filled in)",
        entry.unit,
        "entry",
        contents=(filled,),
        low=entry.low,
        high=entry.high,
        choices=entry.choices,
        note=entry.help,
        look=entry.look,
    )
    yield entered
    origin = {"source": entry.source, "place": entry.place, "mark": entry.mark}
    yield Node(default, f"{entry.label} (default)", entry.unit, "fixed", contents=(entry.default,), look=entry.look, **origin)
    if entry.choices:
        listed = defined_name(entry.choices)
        used = f"=IF(ISNUMBER(MATCH({typed},{listed},0)),INDEX({listed},MATCH({typed},{listed},0)),{default})"
        check = f'=IF(ISNUMBER(MATCH({typed},{listed},0)),"ok","mend")'
        feed = {"entry": typed, "choices": f"{entry.choices}*"}
        yield Node(own, entry.label, entry.unit, "worked", formula=used, ref=by(reference.choice, None, 0.0, None, default=default, **feed))
        yield Node(f"{own}_check", f"{entry.label} (check)", "text", "worked", formula=check, ref=by(reference.choice_check, None, 0.0, None, **feed))
        return
    low, high = f"{own}_low", f"{own}_high"
    yield Node(low, f"{entry.label}: lowest allowed", entry.unit, "fixed", contents=(entry.low,), look=entry.look)
    yield Node(high, f"{entry.label}: highest allowed", entry.unit, "fixed", contents=(entry.high,), look=entry.look)
    bounds = {"entry": typed, "low": low, "high": high}
    yield Node(
        own,
        entry.label,
        entry.unit,
        "worked",
        formula="=IF(ISNUMBER({entry}),IF({entry}<{low},{default},IF({entry}>{high},{default},{entry})),{default})",
        ref=by(reference.accepted, None, 0.0, None, default=default, **bounds),
        look=entry.look,
    )
    yield Node(
        f"{own}_check",
        f"{entry.label} (check)",
        "text",
        "worked",
        formula='=IF(ISNUMBER({entry}),IF({entry}<{low},"mend",IF({entry}>{high},"mend","ok")),"mend")',
        ref=by(reference.entry_check, None, 0.0, None, **bounds),
    )


def entry_field(
    key: str,
    label: str,
    unit: str,
    contents: tuple[Content, ...],
    low: float | None = None,
    high: float | None = None,
    *,
    choices: str = "",
    required: bool = True,
    note: str = "",
    look: str = "0.00",
) -> Node:
    """Return a field of a table that the user fills in, item by item."""
    return Node(
        key, label, unit, "entry", len(contents), contents, low=low, high=high, choices=choices, required=required,
        note=note, look=look,
    )  # fmt: skip


def worked(
    key: str, label: str, unit: str, formula: str, ref: Ref, *, size: int | None = None, look: str = "0.00",
    headline: bool = False, note: str = "",
) -> Node:  # fmt: skip
    """Return a computed node."""
    return Node(key, label, unit, "worked", size, formula=formula, ref=ref, look=look, headline=headline, note=note)


def fixed_field(
    key: str, label: str, unit: str, contents: tuple[Content, ...], *, source: str = "", place: str = "",
    mark: str = "", look: str = "0.00",
) -> Node:  # fmt: skip
    """Return a field of a table whose figures are given, not filled in."""
    return Node(key, label, unit, "fixed", len(contents), contents, source=source, place=place, mark=mark, look=look)
