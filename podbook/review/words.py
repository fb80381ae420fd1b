"""Verdicts and lists as a person reads them in a terminal."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import Any

from rich.console import Console
from rich.table import Table
from rich.text import Text

from podbook.harmless import plain
from podbook.reference.contract import Reference
from podbook.review.figures import KeyFigure
from podbook.review.findings import Finding
from podbook.review.folding import blocks, span
from podbook.review.many import Outcome
from podbook.review.verify import Verdict
from podbook.units import In, shown

MOST_FOLLOWERS = 6
"""How many cells that only follow from another are named."""
MOST_ALIKE = 2
"""How many findings of one kind in one row or column are told at length."""
MOST_NAMED = 3
"""How many rows of a block are named."""
STILL_LOOK = (
    "But the workbook itself asks you to look, as its status says: its formulas are right, its results may not be fine."
)


class Screen(Console):
    """A screen on which every text stands as it is: no markup, and nothing in it steers the terminal."""

    def __init__(self, width: int | None = None) -> None:
        super().__init__(highlight=False, markup=False, emoji=False, width=width)

    def render_str(self, text: str, **options: Any) -> Text:
        """Return a text as it is printed."""
        return super().render_str(plain(text, one_line=True), **options)

    def on_broken_pipe(self) -> None:
        """Leave it to the command, which knows how to end."""
        raise BrokenPipeError


def console() -> Console:
    """Return the screen to print on: as wide as the terminal, or so wide that no line of a file is broken in two."""
    screen = Screen()
    return screen if screen.is_terminal else Screen(width=1000)


def printed(verdict: Verdict) -> None:
    """Print a verdict: what counts, causes first; key figures three ways; each engine's count; the user's own."""
    screen = console()
    screen.print(f"{verdict.path} ({verdict.title or 'without a name'})", style="bold")
    counting = [each for each in verdict.findings if each.counts]
    told = blocks(counting)
    alike = Counter((block[0].key, block[0].kind) for block in told if len(block) == 1)
    shown: Counter[tuple[str, str]] = Counter()
    for block in told:
        each = block[0]
        kin = (each.key, each.kind)
        if len(block) > 1:
            _tell_block(screen, block)
            continue
        shown[kin] += 1
        if shown[kin] <= MOST_ALIKE or not each.key:
            tell(screen, each)
        elif shown[kin] == alike[kin]:
            screen.print(f"and {alike[kin] - MOST_ALIKE} more cells of '{each.label}', to {each.address}")
    if not all(each.right for each in verdict.figures):
        print_figures(screen, verdict.figures)
    table = Table("engine", "formula cells", "agree", "worst relative difference")
    for comparison in verdict.comparisons:
        row = (comparison.engine, f"{comparison.cells:,}", f"{comparison.agreeing:,}", f"{comparison.worst:.1e}")
        table.add_row(*row)
    screen.print(table)
    for each in verdict.findings:
        if not each.counts:
            where = f"{each.address} ({each.label})" if each.sheet else each.label
            screen.print(". ".join(filter(None, (f"{where}: {each.what}", each.effect, each.advice))))
    screen.print(f"The workbook's own status: {verdict.status}")
    for ask in verdict.asks:
        screen.print(f"    {ask}")
    number = f"{len(counting)} {'finding' if len(counting) == 1 else 'findings'}"
    screen.print("All agrees." if verdict.agrees else f"{number}: mend what is named above, first things first.")
    if verdict.agrees and verdict.looks:
        screen.print(STILL_LOOK)


def print_outcomes(found: Sequence[Outcome]) -> None:
    """Print a table of many files, a row a file."""
    screen = console()
    table = Table("file", "farm", "result", "formula cells", "agree", "findings", "first finding")
    for each in found:
        table.add_row(*each.row()[:-1])
    screen.print(table)
    for each in found:
        if each.verdict is not None and each.verdict.agrees and each.verdict.looks:
            screen.print(f"{each.path}: its formulas are right, but it says itself: {each.verdict.status}")
    counts = Counter(each.result for each in found)
    results = (word for word in ("agrees", "differs", "unchecked") if counts[word])
    screen.print(", ".join(f"{counts[word]} {said(word, counts[word])}" for word in results))
    for each in found:
        if each.copy_of is not None:
            screen.print(f"{each.path}: holds the same as {each.copy_of}, byte for byte", markup=False)


def said(result: str, number: int) -> str:
    """Return a result as it is said of so many workbooks."""
    return result if number == 1 else result.removesuffix("s")


def tell(screen: Console, each: Finding) -> None:
    """Print one finding: what happened, what stands and should stand there, what it does, what to do."""
    where = f"{each.address} ({each.label})" if each.address != each.label else each.address
    screen.print(f"{where}: {each.what}", style="bold")
    for words, text in (
        ("stands", each.stands), ("should", each.should), ("effect", each.effect), ("to do", each.advice),
    ):  # fmt: skip
        if text:
            screen.print(f"    {words}:  {text}")
    if each.followers:
        named = ", ".join(each.followers[:MOST_FOLLOWERS])
        more = f" and {len(each.followers) - MOST_FOLLOWERS} more" if len(each.followers) > MOST_FOLLOWERS else ""
        screen.print(f"    follow:  {named}{more}")


def _tell_block(screen: Console, block: Sequence[Finding]) -> None:
    """Print what was done to the formulas of a block of cells."""
    labels = list(dict.fromkeys(each.label for each in block))
    more = f" and {len(labels) - MOST_NAMED} more" if len(labels) > MOST_NAMED else ""
    screen.print(f"{span(block)}, {len(block)} cells: {block[0].what}", style="bold")
    screen.print(f"    cells:  {', '.join(labels[:MOST_NAMED])}{more}")
    screen.print(f"    effect of each:  {block[0].effect}")
    screen.print(
        "    to do:  Put the formulas back (--report and --json have each), or carry what is filled in into a fresh"
        " workbook with 'podbook carry'."
    )


def print_figures(screen: Console, figures: Sequence[KeyFigure]) -> None:
    """Print the key figures three ways."""
    table = Table("key figure", "stored in the file", "by its own formulas", "as it should be", "")
    for each in figures:
        row = (each.label, each.stored, each.own, each.should, "" if each.right else "LOOK")
        table.add_row(*row)
    screen.print(table)


def print_functions(functions: Sequence[Reference]) -> None:
    """Print reference functions with arguments, units, ranges and source."""
    screen = console()
    for function in functions:
        screen.print(f"{function.name} -> {_measure(function.returns)}", style="bold")
        screen.print(f"    {(function.__doc__ or '').strip().splitlines()[0]}")
        for each in function.parameters:
            default = "" if each.default is None else f" = {each.default:g}"
            screen.print(f"    {each.name}{default}  {_measure(each.measured)}")
        screen.print(f"    source: {function.source}, {function.place}")
    screen.print(f"{len(functions)} functions")


def _measure(measured: In) -> str:
    low = "" if measured.low == float("-inf") else f"{measured.low:g}"
    high = "" if measured.high == float("inf") else f"{measured.high:g}"
    unit = "word" if measured.unit == "text" else shown(measured.unit)
    return f"[{unit}]" + (f" {low}..{high}" if low or high else "")
