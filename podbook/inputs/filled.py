"""What is filled in when a workbook is built: the trees weighed, the lab sheets, the stand and the herd."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import MISSING, dataclass, field
from typing import Any

from podbook.inputs.lab import LabSheet
from podbook.inputs.log import MonthLogged
from podbook.inputs.tally import TreeRecord
from podbook.systems import US

TYPES = tuple(f"Type {number}" for number in range(1, 7))
GROUPS = tuple(f"Group {number}" for number in range(1, 6))
LEAST_ROWS = 60


Content = float | str | None


def padded(contents: Sequence[Content], length: int) -> tuple[Content, ...]:
    """Return the contents with blanks up to the length."""
    return tuple(contents) + (None,) * (length - len(contents))


def _measured(unit: str, default: Any = MISSING) -> Any:
    """Return a field that is held in a unit of the US book."""
    return field(default=default, metadata={"unit": unit})


@dataclass(frozen=True)
class TypeOfTree:
    """One type of tree in the stand."""

    name: str
    origin: str
    share: float
    first_crop_age: float
    full_crop_age: float
    own_yield: float | None = _measured("lb_dry/tree", None)
    tree_price: float | None = None
    kind: str = ""
    """Name of its kind among the pod trees; blank for honey locust, or a tree that is not among them."""
    analysis: str = ""
    """``usual`` where the usual analysis of its kind stands in for a laboratory's sheet."""


@dataclass(frozen=True)
class Group:
    """One group of the herd, as the sheet Herd asks for it."""

    kind: str
    head: float
    body_weight: float = _measured("lb")
    condition: float = 5
    breed_factor: float = 1
    calf_weight: float = _measured("lb", 85)
    mature_weight: float = _measured("lb", 1200)
    days_pregnant: float = 0
    week_in_milk: float = 0
    peak_milk: float = _measured("lb/day", 0)
    gain: float = _measured("lb/day", 0)


@dataclass(frozen=True)
class Filled:
    """Everything that a farm fills in beyond the region's defaults."""

    title: str
    types: tuple[TypeOfTree, ...]
    records: tuple[TreeRecord, ...] = ()
    sheets: tuple[LabSheet, ...] = ()
    groups: tuple[Group, ...] = ()
    figures: dict[str, Content] = field(default_factory=dict)
    """Single figures that differ from their defaults, by name, in the units of ``units``."""
    rows: int = LEAST_ROWS
    usual: tuple[str, ...] = ()
    """What the farm's file leaves open, and what stands for it, in words."""
    units: str = US
    """System of units in which the farm's figures were given."""
    log: tuple[MonthLogged, ...] = ()
    """Months of the season log; those that the region's book does not have are left out."""

    @property
    def names(self) -> tuple[Content, ...]:
        """Names of the six types, blank where there are fewer."""
        return padded([each.name for each in self.types], len(TYPES))

    @property
    def origins(self) -> tuple[Content, ...]:
        """Origin of each type."""
        return padded([each.origin for each in self.types], len(TYPES))

    @property
    def kinds(self) -> tuple[Content, ...]:
        """Kind of tree of each type, blank where it is not said."""
        return padded([each.kind or None for each in self.types], len(TYPES))
