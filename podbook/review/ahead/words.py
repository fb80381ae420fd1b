"""What could go differently, on the screen."""

from __future__ import annotations

from rich.table import Table

from podbook.review.ahead.outlook import NPV, PAYBACK, SAVED, Outlook
from podbook.review.words import console

BAR = 24
"""Widest bar of a swing, in letters."""


def print_outlook(result: Outlook) -> None:
    """Print what could go differently: the swings, the widest first, and the bands of the draws."""
    screen = console()
    money = result.money
    headings = (
        "from",
        "likely",
        "to",
        f"NPV at lowest, {money}",
        f"NPV at highest, {money}",
        "swing",
        f"feed saved a year, {money}",
    )
    table = Table(
        "one at a time",
        *headings,
        title="Usual case, all else as planned",
        title_justify="left",
    )
    widest = max((each.width for each in result.swings), default=0)
    for each in result.swings:
        bar = "#" * round(BAR * each.width / widest) if widest else ""
        saved = f"{each.low[SAVED]:,.0f} to {each.high[SAVED]:,.0f}"
        limits = (f"{one:g}" for one in (each.quantity.low, each.quantity.likely, each.quantity.high))
        table.add_row(each.quantity.label, *limits, f"{each.low[NPV]:,.0f}", f"{each.high[NPV]:,.0f}", bar, saved)
    screen.print(table)
    bands = Table(
        f"{result.count:,} draws, seed {result.seed}", "as planned", "10 of 100 below", "median", "10 of 100 above"
    )
    for name, unit, look in ((NPV, money, ",.0f"), (SAVED, money, ",.0f"), (PAYBACK, "years", ",.1f")):
        figures = (result.likely[name], *result.band(name))
        bands.add_row(
            f"{name}, {unit}", *("never" if name == PAYBACK and not one else f"{one:{look}}" for one in figures)
        )
    screen.print(bands)
    for one in result.kin:
        screen.print(
            f"Trees of {one.name} are alike by {one.alike:g}: what they bear together varies by {one.spread:.0%}.",
            markup=False,
        )
    screen.print(
        f"The planting pays in {result.paying:.1%} of the draws; it is paid back in 40 years in {result.paid_back:.1%}."
    )
    screen.print("Ranges are from the sheet Returns; what is not in them is not in here. A planning aid, no promise.")
