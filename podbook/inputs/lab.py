"""Laboratory sheets: one for each type of tree, whole pods or husk and seed apart, as printed."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from math import nan
from pathlib import Path

from podbook.errors import listed
from podbook.inputs.cells import Number, Percent, Row, Share, Table, shown

SCALES: dict[str, Number] = {
    "cp": Percent(1, 60),
    "ndf": Percent(5, 90),
    "ndicp": Percent(0, 100),
    "adicp": Percent(0, 100),
    "fat": Percent(0, 30),
    "ash": Percent(0.5, 25),
    "lignin": Percent(0, 100),
    "sugar": Percent(0, 70),
}
SEED = tuple(f"seed_{name}" for name in SCALES)
"""Columns that are wanted only where husk and seed were sent apart."""
WANTED = ("type", "basis", "parts", "moisture", "seed_share", *SCALES)
COLUMNS = (*WANTED, *SEED)
BASES = AS_FED, DRY = "as fed", "dry"
PARTS = WHOLE, APART = "whole", "husk and seed"
WITHIN = (("ndicp", "ndf"), ("adicp", "cp"), ("lignin", "ndf"))
"""An analysis, and the one that it is a part of."""
TYPES = 6
NAME = re.compile(r"[\w .,'()&/-]{1,30}")
"""A name, which begins with a letter too: a workbook can neither calculate it nor take it for a wildcard."""
ROUNDING = 1e-9


@dataclass(frozen=True)
class Analysis:
    """Percentages of one part of the pod, on the basis of its sheet."""

    cp: float
    ndf: float
    ndicp: float | None
    adicp: float | None
    fat: float
    ash: float
    lignin: float | None
    sugar: float


@dataclass(frozen=True)
class LabSheet:
    """The laboratory's sheet for one type of tree."""

    kind: str
    basis: str
    """``as fed`` or ``dry``."""
    parts: str
    """``whole`` or ``husk and seed``."""
    moisture: float
    """Percent water of the pods as received."""
    seed_share: float
    """Share of seed in the pod's weight."""
    first: Analysis
    """Of the whole pod, or of the husk where husk and seed were sent apart."""
    seed: Analysis | None

    @property
    def as_fed(self) -> bool:
        return self.basis == AS_FED

    @property
    def apart(self) -> bool:
        return self.parts == APART


def read(path: Path, types: Sequence[str] | None = None) -> list[LabSheet]:
    """Return the sheets of a laboratory file, or raise BadInput with a complaint for every cell that cannot be used.

    Where ``types`` are given, a sheet of any other type can't be used.
    """
    table = Table(path, WANTED, optional=SEED, wanted=",".join(COLUMNS))
    first_line: dict[str, int] = {}
    sheets = []
    for place, row in enumerate(table.rows, start=1):
        row.cells.update({column: "" for column in SEED if column not in row.cells})
        if place > TYPES:
            table.complain(row.line, "type", f"row {place}", f"at most {TYPES} types of tree")
        kind = _kind(table, row, first_line, types)
        basis = table.choice(row, "basis", BASES)
        parts = table.choice(row, "parts", PARTS)
        moisture = _moisture(table, row)
        seed_share = table.number(row, "seed_share", Share(0, 0.6))
        dry = {AS_FED: 1 - moisture / 100, DRY: 1.0}.get(basis, nan)
        first = _analysis(table, row, "", dry)
        seed = _seed(table, row, parts, dry)
        sheets.append(LabSheet(kind, basis, parts, moisture, seed_share, first, seed))
    table.settle()
    return sheets


def _kind(table: Table, row: Row, first_line: dict[str, int], types: Sequence[str] | None) -> str:
    kind = row.cells["type"]
    if not NAME.fullmatch(kind) or not kind[0].isalpha():
        table.complain(row.line, "type", shown(kind), "a name of at most 30 characters that begins with a letter")
    elif (line := first_line.setdefault(kind.casefold(), row.line)) != row.line:
        table.complain(row.line, "type", f"'{kind}' again, as on line {line}", "one row for a type of tree")
    elif types is not None and kind not in types:
        table.complain(row.line, "type", shown(kind), f"one of {listed(types)}")
    return kind


def _moisture(table: Table, row: Row) -> float:
    moisture = table.number(row, "moisture", Percent(0, 60))
    if 0 < moisture < 1:
        table.complain(row.line, "moisture", shown(row.cells["moisture"]), Percent(0, 60).allowed(f"{moisture}"))
    return moisture


def _analysis(table: Table, row: Row, part: str, dry: float) -> Analysis:
    """Read one part's analyses; ``dry`` is the dry matter in what they are a percentage of."""
    analysis = Analysis(
        cp=table.number(row, f"{part}cp", SCALES["cp"]),
        ndf=table.number(row, f"{part}ndf", SCALES["ndf"]),
        ndicp=table.optional(row, f"{part}ndicp", SCALES["ndicp"]),
        adicp=table.optional(row, f"{part}adicp", SCALES["adicp"]),
        fat=table.number(row, f"{part}fat", SCALES["fat"]),
        ash=table.number(row, f"{part}ash", SCALES["ash"]),
        lignin=table.optional(row, f"{part}lignin", SCALES["lignin"]),
        sugar=table.number(row, f"{part}sugar", SCALES["sugar"]),
    )
    for name, whole in WITHIN:
        if (getattr(analysis, name) or 0) > getattr(analysis, whole):
            found = f"{row.cells[part + name]}, with {part}{whole} {row.cells[part + whole]}"
            table.complain(row.line, part + name, found, f"at most {part}{whole}, of which it is a part")
    total = (analysis.cp + analysis.ndf + analysis.fat + analysis.ash) / dry
    non_fibre = 100 - total + (analysis.ndicp or 0) / dry
    if total > 100 + ROUNDING:
        found = f"{part}cp + {part}ndf + {part}fat + {part}ash of {total:.1f} % of dry matter"
        table.complain(row.line, f"{part}cp", found, "parts that add to at most 100 %")
    elif analysis.sugar / dry > non_fibre + ROUNDING:
        found = f"{analysis.sugar / dry:.1f} % sugar in dry matter"
        formula = "100 - cp - (ndf - ndicp) - fat - ash"
        allowed = f"at most the non-fibre carbohydrate, {non_fibre:.1f} % of dry matter ({formula})"
        table.complain(row.line, f"{part}sugar", found, allowed)
    return analysis


def _seed(table: Table, row: Row, parts: str, dry: float) -> Analysis | None:
    if parts == APART or any(scale.value(row.cells[f"seed_{name}"]) is not None for name, scale in SCALES.items()):
        return _analysis(table, row, "seed_", dry)
    for name, scale in SCALES.items():
        table.optional(row, f"seed_{name}", scale)
    return None
