"""Does planting pay at this price of hay? Forty years in three cases, on all the land and on less of it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import pictures
from story import Story, Told, figures, of_books, of_items, table, trust

POOR, USUAL, GOOD = CASES = (1, 2, 3)
ALL_LAND, LESS_LAND = "running_total.svg", "running_total_less_land.svg"
LESS = 4
"""Acres of the second workbook."""
ASKED = ("yields", "price", "losses", "later", "costs")
RETURNS = (
    "worth_own", "pays", "irr", "irr_word", "payback", "payback_word", "break_even_hay", "feed_mean", "benefit_cost",
    "worth_low", "worth_high",
)  # fmt: skip
COSTS = (
    "area", "establishment_cost", "trees_ordered", "replanting_cost", "care_yearly", "upkeep_yearly", "largest_crop",
)  # fmt: skip
ENDS = ("worth_own", "irr", "break_even_hay")
UNSURE = (
    "hay_price", "own_rate", "guard_cost", "planting_minutes", "site_cost", "care_cost", "upkeep_cost",
    "establishment_loss", "yearly_loss", "seedling_bearing_share", "frost_chance", "fence_length",
)  # fmt: skip


def _dollars(number: float) -> str:
    return f"-${-number:,.0f}" if number < 0 else f"${number:,.0f}"


def _acres(told: Told) -> str:
    return f"{told.number('area'):,.0f} acres"


def _cases(told: Told) -> tuple[str, ...]:
    return told.book.tables["cases"].items


def _by_case(told: Told, name: str, keys: Sequence[str]) -> str:
    lines = [(told.node(f"{name}.{key}").label, told, f"{name}.{key}") for key in keys]
    return of_items(_cases(told), lines, CASES)


def marks(books: Mapping[str, Told]) -> dict[str, str]:
    farm, less = books["farm"], books["less"]
    lines = [(farm.node(key).label, key, 1) for key in COSTS]
    lines += [(farm.node(f"returns.{key}").label, f"returns.{key}", USUAL) for key in ENDS]
    yields = [
        (farm.says("yields.share", place), farm.says("yields.worth", place), less.says("yields.worth", place))
        for place in range(1, farm.node("yields.share").count + 1)
    ]
    return {
        "cases": _by_case(farm, "cases", ASKED),
        "results": _by_case(farm, "returns", RETURNS),
        "results_less": _by_case(less, "returns", RETURNS),
        "both": of_books((_acres(farm), _acres(less)), lines, (farm, less)),
        "yields": table(("pods of a tree, of the plan", _acres(farm), _acres(less)), yields, range(3)),
        "trust": trust(farm, *UNSURE),
        "acres": _acres(farm),
        "less_acres": _acres(less),
        "hay_price": farm.says("hay_price"),
        "rate": farm.says("own_rate"),
        "spent": _dollars(farm.number("establishment_cost")),
        "spent_acre": _dollars(farm.number("establishment_area")),
        "worth": _dollars(farm.number("returns.worth_own", USUAL)),
        "pays": farm.says("returns.pays", USUAL),
        "irr": farm.says("returns.irr", USUAL),
        "payback": f"{farm.number('returns.payback', USUAL):.0f} years",
        "break_even": _dollars(farm.number("returns.break_even_hay", USUAL)),
        "break_even_poor": _dollars(farm.number("returns.break_even_hay", POOR)),
        "break_even_good": _dollars(farm.number("returns.break_even_hay", GOOD)),
        "yield_word": farm.says("break_even_yield_word"),
        "full_area": f"{farm.number('sizes.area', 13):,.1f} acres",
        "less_pays": less.says("returns.pays", USUAL),
        "less_worth": _dollars(less.number("returns.worth_own", USUAL)),
        "less_irr": less.says("returns.irr", USUAL),
        "less_break_even": _dollars(less.number("returns.break_even_hay", USUAL)),
        "less_yield": less.says("break_even_yield"),
    }  # fmt: skip


def drawn(books: Mapping[str, Told]) -> dict[str, str]:
    return {name: _picture(books[book]) for name, book in ((ALL_LAND, "farm"), (LESS_LAND, "less"))}


def _picture(told: Told) -> str:
    order = (USUAL, GOOD, POOR)
    names = {case: f"{_cases(told)[case - 1].lower()} case" for case in order}
    curves = {
        names[case]: list(zip(told.numbers(f"plan_{case}.year"), told.numbers(f"plan_{case}.running"), strict=True))
        for case in order
    }
    ends = "; ".join(f"{names[case]} {_dollars(curves[names[case]][-1][1])}" for case in order)
    title = f"Money in and out, added up: {_acres(told)}"
    return pictures.lines(
        title, curves, "Years after planting", "Running total, dollars", f"After forty years: {ends}."
    )


STORY = Story("does_planting_pay", {"less": figures(area=LESS)}, marks, drawn)
