"""What a formula leaves unsaid of units, each with its reason: the only places where the audit takes a word for it.

Keys are those of nodes, with # for any number. Units are those of the book in US customary units.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True)
class Reading:
    """What is read as what, and why."""

    unit: str
    why: str


@dataclass(frozen=True)
class Inside:
    """How something is read inside some formulas only."""

    formulas: tuple[str, ...]
    what: tuple[str, ...]
    """Keys; 1 is a number typed there, which is a plain number too."""
    unit: str
    why: str


FULLER: Mapping[str, Reading] = {
    **dict.fromkeys(
        ("groups.body_weight", "groups.mature_weight", "groups.calf_weight"),
        Reading("lb/head", "a group's row is of one head"),
    ),
    **dict.fromkeys(("groups.gain", "groups.peak_milk"), Reading("lb/head/day", "a group's row is of one head")),
    **dict.fromkeys(
        ("tree_spacing", "quick_spacing_trees"), Reading("foot/tree", "of a row, a tree has so many feet to itself")
    ),
    "tally.weight": Reading("lb_fed/tree", "a row of the tally is of one tree"),
    **dict.fromkeys(
        ("log_bale_weight", "quick_herd_bale", "quick_loss_weight"), Reading("lb_fed/bale", "the weight is of one bale")
    ),
    **dict.fromkeys(
        ("quick_herd_percent", "quick_graze_percent"),
        Reading("percent*lb_dry/lb/day", "of the body's weight, so much is eaten as dry matter"),
    ),
    "quick_dry_content": Reading("percent*lb_dry/lb_fed", "percent of the feed as fed; what is told of is dry"),
}
"""Nodes whose printed unit leaves out what their label says: entries, whose units old files print too."""

RESULTS: Mapping[str, Reading] = {
    **dict.fromkeys(
        ("months.celsius", "celsius_before"),
        Reading("delta_degC", "degrees above freezing are degrees Celsius: there 0 is freezing"),
    ),
    "tally.share": Reading("dimensionless", "one tree, shared among its years"),
    "lab.dry_matter": Reading("dimensionless", "what is not water is dry matter"),
    "ration_#.cp_need": Reading("lb", "protein is dry matter; needs are stated as mass"),
    **dict.fromkeys(("log_months", "log_months_planned"), Reading("dimensionless", "one for each month")),
    **dict.fromkeys(
        ("returns.payback", "returns.payback_later"), Reading("dimensionless", "places in the plan, a year each")
    ),
    "recovery_factor": Reading("dimensionless", "the share of a debt paid in one year"),
    "quick_spacing_square": Reading("foot/tree**0.5", "the side of the square that one tree has"),
}
"""Formulas that give a unit other than their cell's, and must give just that one."""

_YEAR_OF_PLAN = "a line of the plan is one year: what is paid a year is paid in it"
INSIDE: tuple[Inside, ...] = (
    Inside(
        ("mix.first", "mix.full", "mix.ramp", "years.bearing_#", "ages.of_#"), ("1",), "year", "the first year counts"
    ),
    Inside(
        ("order.planted", "order.pollinators", "order.again", "cases.again_#"), ("1",), "tree", "up to a whole tree"
    ),
    Inside(
        ("tally.dry", "against.dropped_seen", "against.eaten_seen"),
        ("1", "tally.moisture", "log_moisture"),
        "lb_dry/lb_fed",
        "what is not water is dry matter",
    ),
    Inside(("years.cover",), ("years.trees",), "1/acre", "crowns are counted, one a tree"),
    Inside(("plan_#.cover",), ("plan_#.trees",), "1/acre", "crowns are counted, one a tree"),
    Inside(
        ("plan_#.old", "plan_#.young"),
        ("plan_#.year", "cases.years_later", "replant_delay"),
        "ordinal",
        "line 5 of the ages is year 5",
    ),
    Inside(("first_grown",), ("1",), "year", "the year after it is in the plan too"),
    Inside(
        ("first_grown_saving",), ("first_grown",), "ordinal", "line 5 of the plan is year 5, after that of planting"
    ),
    Inside(("plan_#.cost",), ("care_yearly", "upkeep_yearly", "fence_renewal"), "USD", _YEAR_OF_PLAN),
    Inside(("fence_ownership",), ("own_rate",), "1/year", "interest is paid by the year"),
    Inside(("recovery_factor",), ("plan_years",), "ordinal", "the number of payments"),
    Inside(("log_next_factor",), ("log_seasons",), "ordinal", "seasons are counted, this one too"),
)
"""What some formulas read in another unit than it has everywhere else."""
INSIDE_OF: Mapping[str, tuple[Inside, ...]] = {
    key: tuple(each for each in INSIDE if key in each.formulas)
    for key in {key for each in INSIDE for key in each.formulas}
}

CONVERSIONS = (
    "kg_per_weight",
    "weight_per_ton",
    "area_in_square_spacing",
    "celsius_per_degree",
    "minutes_per_hour",
    "days_per_week",
    "g_per_kg",
    "kcal_per_energy",
)
"""Factors between two units of one kind: the figure of each must be just what one is of the other."""
