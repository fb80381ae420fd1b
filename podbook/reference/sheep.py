"""Daily requirements of ewes: rows of NRC 1985, Table 1, between them in a straight line by weight."""

from typing import Annotated, NamedTuple

import numpy as np
from numpy.typing import NDArray

from podbook.reference.contract import Value, reference
from podbook.units import In


class Row(NamedTuple):
    """One row of the table for one ewe and day."""

    stage: int
    """1 maintenance, 2 first 15 weeks of gestation, 3 last 4 weeks or late in milk, 4 first 6 to 8 weeks in milk."""
    weight: float
    """Body weight, kg."""
    dm: float
    """Dry matter, kg."""
    me: float
    """Metabolizable energy, Mcal."""
    cp_g: float
    """Crude protein, g."""
    mark: str
    """``read`` on page 45, or ``memory``."""


ROWS = (
    Row(1, 50, 1.0, 2.0, 95, "read"),
    Row(1, 60, 1.1, 2.2, 104, "read"),
    Row(1, 70, 1.2, 2.4, 113, "read"),
    Row(1, 80, 1.3, 2.6, 122, "read"),
    Row(1, 90, 1.4, 2.8, 131, "read"),
    Row(2, 50, 1.2, 2.4, 112, "read"),
    Row(2, 60, 1.3, 2.6, 121, "read"),
    Row(2, 70, 1.4, 2.8, 130, "read"),
    Row(2, 80, 1.5, 3.0, 139, "memory"),
    Row(2, 90, 1.6, 3.2, 148, "memory"),
    Row(3, 50, 1.6, 3.4, 175, "memory"),
    Row(3, 60, 1.7, 3.6, 184, "memory"),
    Row(3, 70, 1.8, 3.8, 193, "memory"),
    Row(3, 80, 1.9, 4.0, 202, "memory"),
    Row(3, 90, 2.0, 4.2, 212, "memory"),
    Row(4, 50, 2.1, 4.9, 304, "memory"),
    Row(4, 60, 2.3, 5.4, 319, "memory"),
    Row(4, 70, 2.5, 5.9, 334, "memory"),
    Row(4, 80, 2.6, 6.1, 344, "memory"),
    Row(4, 90, 2.7, 6.3, 353, "memory"),
)
"""Stage 3 at a lambing rate of 130 to 150 %, stage 4 with a single lamb."""
TWINS = (Row(3, 70, 1.9, 4.4, 214, "memory"), Row(4, 70, 2.8, 6.6, 405, "memory"))
"""Stage 3 at a lambing rate of 180 to 225 %, stage 4 with twins: known for one weight only."""
STAGES = (1, 2, 3, 4)
TwinShare = Annotated[Value, In("fraction", 0, 1)]


@reference("nrc-sheep-1985", "Table 1, headings")
def stage(
    *,
    days_pregnant: Annotated[Value, In("day", 0, 155)],
    week_in_milk: Annotated[Value, In("week", 0, 60)],
    late_gestation_from: Annotated[float, In("day", 0, 155)] = 119,
    full_milk_weeks: Annotated[float, In("week", 0, 60)] = 8,
) -> Annotated[Value, In("dimensionless", 1, 4)]:
    """Return the stage of a ewe: 4 in full milk, 3 later in milk or from day 119 of pregnancy, 2 before it, else 1.

    Day 119 leaves the last four weeks of 147 days. The table has one heading for late gestation and for the last 4 to
    6 weeks in milk with a single lamb (from memory; an extension table after it has the same). It ends there; a ewe
    still in milk after 14 weeks stays in that row (judgement, on the safe side).
    """
    pregnant = np.where(days_pregnant >= late_gestation_from, 3.0, np.where(days_pregnant > 0, 2.0, 1.0))
    milked = np.where(week_in_milk > full_milk_weeks, 3.0, 4.0)
    return np.where(week_in_milk > 0, milked, pregnant)


@reference("nrc-sheep-1985", "Table 1, p. 46: rows with twins over those with one lamb, at 70 kg")
def rise_with_twins(
    *,
    twin_share: TwinShare,
    need: Annotated[Value, In("any", 0)],
    needs: Annotated[NDArray[np.float64], In("any", 0)],
    row: Annotated[Value, In("ordinal", 1)],
) -> Annotated[Value, In("dimensionless", 0)]:
    """Return how much more a flock needs than with one lamb a ewe, from the need with twins and that in a row of many.

    All these rows are from memory.
    """
    one = np.asarray(needs)[np.asarray(row, dtype=int) - 1]
    return np.asarray(1 + twin_share * (need / one - 1))


@reference("nrc-sheep-1985", "Table 1, p. 45-46, dry matter per animal")
def dry_matter(
    *,
    body_weight: Annotated[Value, In("kg/head", 50, 90)],
    stage: Annotated[Value, In("dimensionless", 1, 4)],
    twin_share: TwinShare,
) -> Annotated[Value, In("kg_dry/head/day")]:
    """Return the dry matter that the table gives a ewe.

    Rows marked read in ROWS were read; the others (early gestation above 70 kg, late gestation, milk) are from memory.
    """
    return _between_rows("dm", body_weight, stage, twin_share)


@reference("nrc-sheep-1985", "Table 1, p. 45-46, ME")
def energy(
    *,
    body_weight: Annotated[Value, In("kg/head", 50, 90)],
    stage: Annotated[Value, In("dimensionless", 1, 4)],
    twin_share: TwinShare,
) -> Annotated[Value, In("Mcal/head/day")]:
    """Return the metabolizable energy that a ewe needs, the mean of a flock with a share of ewes that bear twins.

    Rows marked read in ROWS were read; the others (early gestation above 70 kg, late gestation, milk) are from memory.
    """
    return _between_rows("me", body_weight, stage, twin_share)


@reference("nrc-sheep-1985", "Table 1, p. 45-46, crude protein")
def protein(
    *,
    body_weight: Annotated[Value, In("kg/head", 50, 90)],
    stage: Annotated[Value, In("dimensionless", 1, 4)],
    twin_share: TwinShare,
    g_per_kg: Annotated[float, In("g/kg")] = 1000,
) -> Annotated[Value, In("kg/head/day")]:
    """Return the crude protein that a ewe needs.

    Rows marked read in ROWS were read; the others (early gestation above 70 kg, late gestation, milk) are from memory.
    """
    return _between_rows("cp_g", body_weight, stage, twin_share) / g_per_kg


def _between_rows(column: str, body_weight: Value, stage: Value, twin_share: Value) -> NDArray[np.float64]:
    by_stage = [_interpolated(column, body_weight, one) * _with_twins(column, one, twin_share) for one in STAGES]
    return np.choose(np.asarray(stage, dtype=int) - 1, by_stage)


def _with_twins(column: str, stage: int, twin_share: Value) -> Value:
    """Return the factor for a share of ewes with twins: at any weight as at the one that is known."""
    more = next((row for row in TWINS if row.stage == stage), None)
    if more is None:
        return 1.0
    one = next(row for row in ROWS if (row.stage, row.weight) == (stage, more.weight))
    rise = float(getattr(more, column)) / float(getattr(one, column)) - 1
    return 1 + twin_share * rise


def _interpolated(column: str, body_weight: Value, stage: int) -> NDArray[np.float64]:
    rows = [row for row in ROWS if row.stage == stage]
    return np.asarray(np.interp(body_weight, [row.weight for row in rows], [getattr(row, column) for row in rows]))
