"""Nodes: the named quantities of the workbook, each formula with its reference function.

A *node* is one named quantity: a single cell, or one field of a table with a cell for every item.
Nodes are found by their key (``hay_price``, or ``trees.crop`` for a table's field); in the workbook
the same key is a defined name (``hay_price``, ``trees_crop``).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from podbook.reference.contract import Reference

Content = float | str | None
Role = Literal["entry", "fixed", "coefficient", "worked", "span"]


Binding = str | float | tuple[str, ...]
"""What feeds a parameter: a key (inside a table, the same item), ``key@3`` (the third item), ``key@prev`` (the item
before), ``key*`` (the whole column), a number, or several keys stacked in an array."""


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
    first_formula: str = ""
    """The formula of the first item where it differs from the rest: it has no item before it."""
    first_ref: Ref | None = None
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
    scale: str = ""
    """Keys (the same item, or single cells), multiplied and divided as in ``cost/area``, whose size says how exact this
    one can be, where it is what is left of large numbers."""
    members: tuple[str, ...] = ()
    """The nodes that a span names together."""
    worded: bool = False
    """Whether its contents are words of the book's own, which say another unit in a book of other units."""

    def formula_of(self, item: int) -> str:
        """Return the formula of an item as typed, with the item's number in place of ``{#}``."""
        typed = self.first_formula if self.first_formula and item == 0 else self.formula
        return typed.replace("{#}", str(item + 1))

    def ref_of(self, item: int) -> Ref | None:
        """Return the reference of an item's formula."""
        return self.first_ref if self.first_ref is not None and item == 0 else self.ref

    @cached_property
    def table(self) -> str:
        """Name of the table it is a field of, or an empty string."""
        return self.key.rpartition(".")[0]

    @cached_property
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
    headline: bool = False, note: str = "", first: tuple[str, Ref] | None = None, scale: str = "",
) -> Node:  # fmt: skip
    """Return a computed node; ``first`` is the formula and the reference of the first item, where they differ."""
    first_formula, first_ref = first or ("", None)
    return Node(
        key, label, unit, "worked", size, formula=formula, ref=ref, look=look, headline=headline, note=note,
        first_formula=first_formula, first_ref=first_ref, scale=scale,
    )  # fmt: skip


def fixed_field(
    key: str, label: str, unit: str, contents: tuple[Content, ...], *, source: str = "", place: str = "",
    mark: str = "", look: str = "0.00",
) -> Node:  # fmt: skip
    """Return a field of a table whose figures are given, not filled in."""
    return Node(key, label, unit, "fixed", len(contents), contents, source=source, place=place, mark=mark, look=look)
