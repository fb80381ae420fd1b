"""Verdicts and lists as a person reads them in a terminal."""

from __future__ import annotations

from collections.abc import Sequence

from rich.console import Console
from rich.table import Table

from podbook.proof.compare import Disagreement
from podbook.reference.contract import Reference
from podbook.review.outlook import NPV, PAYBACK, SAVED, Outlook
from podbook.review.verify import Verdict
from podbook.units import In, shown

MOST_FOLLOWERS = 10


def console() -> Console:
    """Return the screen to print on: as wide as the terminal, or so wide that no line of a file is broken in two."""
    screen = Console(highlight=False)
    return screen if screen.is_terminal else Console(highlight=False, width=1000)


def printed(verdict: Verdict) -> None:
    """Print a verdict: what was filled in wrongly, each engine's count, and every disagreement."""
    screen = console()
    screen.print(verdict.path, style="bold", markup=False)
    if verdict.slips:
        screen.print(
            f"{len(verdict.slips)} filled-in {'cell' if len(verdict.slips) == 1 else 'cells'} the book can't use:"
        )
        for slip in verdict.slips:
            screen.print(f"  {slip}", markup=False)
    table = Table("engine", "formula cells", "agree", "worst relative difference")
    for each in verdict.comparisons:
        table.add_row(each.engine, f"{each.cells:,}", f"{each.agreeing:,}", f"{each.worst:.1e}")
    screen.print(table)
    seen: set[tuple[str, str]] = set()
    for comparison in verdict.comparisons:
        for one in comparison.disagreements:
            if one.began_here and (one.address, one.what) not in seen:
                seen.add((one.address, one.what))
                _tell(screen, one, comparison.engine)
        _followers(screen, [one for one in comparison.disagreements if not one.began_here])
    if verdict.snapshot:
        screen.print(
            f"The sheet Outlook {verdict.snapshot}; make it again with: podbook outlook", markup=False, style="bold"
        )
    screen.print(f"The workbook's own status: {verdict.status}", markup=False)
    screen.print(
        "All agrees." if verdict.agrees else "Something differs: mend what is named above, first things first."
    )


def _tell(screen: Console, one: Disagreement, engine: str) -> None:
    screen.print(f"{one.address} ({one.label}): {one.what} [{engine}]", markup=False, style="bold")
    screen.print(f"    stands:  {one.stands}", markup=False)
    screen.print(f"    should:  {one.should}", markup=False)
    if one.followers:
        screen.print(f"    {one.followers} other cells differ because of it")


def _followers(screen: Console, followers: Sequence[Disagreement]) -> None:
    for one in followers[:MOST_FOLLOWERS]:
        screen.print(
            f"  {one.address} ({one.label}): {one.stands}, should be {one.should}; began at {one.began_at}",
            markup=False,
        )
    if len(followers) > MOST_FOLLOWERS:
        screen.print(f"  and {len(followers) - MOST_FOLLOWERS} more; --json lists them all")


BAR = 24
"""Widest bar of a swing, in letters."""


def print_outlook(result: Outlook) -> None:
    """Print what could go differently: the swings, the widest first, and the bands of the draws."""
    screen = console()
    headings = ("from", "likely", "to", "NPV at lowest, $", "NPV at highest, $", "swing", "feed saved a year, $")
    table = Table("one at a time", *headings, title="Usual case, all else as planned", title_justify="left")
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
    for name, unit, look in ((NPV, "$", ",.0f"), (SAVED, "$", ",.0f"), (PAYBACK, "years", ",.1f")):
        bands.add_row(f"{name}, {unit}", *(f"{each:{look}}" for each in (result.likely[name], *result.band(name))))
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


def print_functions(functions: Sequence[Reference]) -> None:
    """Print reference functions with arguments, units, ranges and source."""
    screen = console()
    for function in functions:
        screen.print(f"{function.name} -> {_measure(function.returns)}", style="bold", markup=False)
        screen.print(f"    {(function.__doc__ or '').strip().splitlines()[0]}", markup=False)
        for each in function.parameters:
            default = "" if each.default is None else f" = {each.default:g}"
            screen.print(f"    {each.name}{default}  {_measure(each.measured)}", markup=False)
        screen.print(f"    source: {function.source}, {function.place}", markup=False)
    screen.print(f"{len(functions)} functions")


def _measure(measured: In) -> str:
    low = "" if measured.low == float("-inf") else f"{measured.low:g}"
    high = "" if measured.high == float("inf") else f"{measured.high:g}"
    unit = "word" if measured.unit == "text" else shown(measured.unit)
    return f"[{unit}]" + (f" {low}..{high}" if low or high else "")
