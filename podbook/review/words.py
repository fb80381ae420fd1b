"""Verdicts and lists as a person reads them in a terminal."""

from __future__ import annotations

from collections.abc import Sequence

from rich.console import Console
from rich.table import Table

from podbook.proof.compare import Disagreement
from podbook.reference.contract import Reference
from podbook.review.verify import Verdict
from podbook.units import In, shown

MOST_FOLLOWERS = 10


def _console() -> Console:
    console = Console(highlight=False, soft_wrap=False)
    if not console.is_terminal:
        console = Console(highlight=False, width=160)
    return console


def printed(verdict: Verdict) -> None:
    """Print a verdict: what was filled in wrongly, each engine's count, and every disagreement."""
    console = _console()
    console.print(verdict.path, style="bold", markup=False)
    if verdict.slips:
        console.print(
            f"{len(verdict.slips)} filled-in {'cell' if len(verdict.slips) == 1 else 'cells'} the book can't use:"
        )
        for slip in verdict.slips:
            console.print(f"  {slip}", markup=False)
    table = Table("engine", "formula cells", "agree", "worst relative difference")
    for each in verdict.comparisons:
        table.add_row(each.engine, f"{each.cells:,}", f"{each.agreeing:,}", f"{each.worst:.1e}")
    console.print(table)
    seen: set[tuple[str, str]] = set()
    for comparison in verdict.comparisons:
        for one in comparison.disagreements:
            if one.began_here and (one.address, one.what) not in seen:
                seen.add((one.address, one.what))
                _tell(console, one, comparison.engine)
        _followers(console, [one for one in comparison.disagreements if not one.began_here])
    console.print(f"The workbook's own status: {verdict.status}", markup=False)
    console.print(
        "All agrees." if verdict.agrees else "Something differs: mend what is named above, first things first."
    )


def _tell(console: Console, one: Disagreement, engine: str) -> None:
    console.print(f"{one.address} ({one.label}): {one.what} [{engine}]", markup=False, style="bold")
    console.print(f"    stands:  {one.stands}", markup=False)
    console.print(f"    should:  {one.should}", markup=False)
    if one.followers:
        console.print(f"    {one.followers} other cells differ because of it")


def _followers(console: Console, followers: Sequence[Disagreement]) -> None:
    for one in followers[:MOST_FOLLOWERS]:
        console.print(
            f"  {one.address} ({one.label}): {one.stands}, should be {one.should}; began at {one.began_at}",
            markup=False,
        )
    if len(followers) > MOST_FOLLOWERS:
        console.print(f"  and {len(followers) - MOST_FOLLOWERS} more; --json lists them all")


def print_functions(functions: Sequence[Reference]) -> None:
    """Print reference functions with arguments, units, ranges and source."""
    console = _console()
    for function in functions:
        console.print(f"{function.name} -> {_measure(function.returns)}", style="bold", markup=False)
        console.print(f"    {(function.__doc__ or '').strip().splitlines()[0]}", markup=False)
        for each in function.parameters:
            default = "" if each.default is None else f" = {each.default:g}"
            console.print(f"    {each.name}{default}  {_measure(each.measured)}", markup=False)
        console.print(f"    source: {function.source}, {function.place}", markup=False)
    console.print(f"{len(functions)} functions")


def _measure(measured: In) -> str:
    low = "" if measured.low == float("-inf") else f"{measured.low:g}"
    high = "" if measured.high == float("inf") else f"{measured.high:g}"
    unit = "word" if measured.unit == "text" else shown(measured.unit)
    return f"[{unit}]" + (f" {low}..{high}" if low or high else "")
