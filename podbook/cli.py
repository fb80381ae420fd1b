"""The commands. No arithmetic here: they read words and files, and print what the other rooms say."""

from __future__ import annotations

import csv
import json
import shlex
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Annotated

import typer

from podbook import files
from podbook.errors import BadInput, EngineFailed, NotOurWorkbook, PodbookError, Refused

AGREES, DIFFERS, USAGE, UNCHECKED = 0, 1, 2, 3
app = typer.Typer(add_completion=True, no_args_is_help=True, rich_markup_mode=None, pretty_exceptions_enable=False,
                  help="Pods as winter feed: build a workbook for a farm, and check what comes back.")  # fmt: skip


@app.command()
def build(
    file: Annotated[Path, typer.Argument(help="The workbook to make, such as farm.xlsx.")],
    trees: Annotated[Path | None, typer.Option(help="Single trees weighed, as CSV.")] = None,
    lab: Annotated[Path | None, typer.Option(help="Laboratory sheets, as CSV.")] = None,
    farm: Annotated[Path | None, typer.Option(help="The farm's own figures, types of tree and herd, as TOML.")] = None,
    region: Annotated[str, typer.Option(help="Region of the defaults.")] = "us_midatl_appal",
    replace: Annotated[bool, typer.Option("--replace", help="Overwrite the file if it is there.")] = False,
) -> None:
    """Build a workbook. Without options it holds the invented demo farm.

    Example: podbook build farm.xlsx --trees tally.csv --lab lab.csv
    """
    from podbook import regions
    from podbook.book.writer import write
    from podbook.inputs.farm import filled as filled_in
    from podbook.review.entries import refuse_slips
    from podbook.sheets import book_of

    try:
        filled = filled_in(farm=farm, trees=trees, lab=lab)
        book = book_of(regions.load(region), filled)
        refuse_slips(book)
        write(book, file, replace=replace)
    except PodbookError as problem:
        _complain(problem)
        raise typer.Exit(USAGE) from None
    except OSError as problem:
        _talk(f"{file}: can't be written ({problem.strerror}); name another file")
        raise typer.Exit(USAGE) from None
    _talk(f"{file}: built for {filled.title}. Next: open it, or check it with: podbook verify {shlex.quote(str(file))}")


@app.command()
def verify(
    file: Annotated[Path, typer.Argument(help="The workbook to check. It is never changed.")],
    engine: Annotated[str, typer.Option(help="formualizer, formulas or libreoffice.")] = "formualizer",
    all_engines: Annotated[bool, typer.Option("--all-engines", help="Every engine that is installed.")] = False,
    as_json: Annotated[bool, typer.Option("--json", help="One JSON object instead of words.")] = False,
) -> None:
    """Recalculate a workbook and check every cell against its reference function.

    Exit code: 0 all agrees, 1 something differs, 2 wrong usage, 3 could not be checked.

    Example: podbook verify farm.xlsx --all-engines
    """
    from podbook import recalc
    from podbook.review.verify import verify as verified

    if engine not in recalc.ENGINES:
        _talk(f"--engine: found '{engine}'; allowed: {', '.join(recalc.ENGINES)}")
        raise typer.Exit(USAGE)
    engines = recalc.installed() if all_engines else (engine,)
    try:
        verdict = verified(
            file, engines, lambda name: _talk(f"recalculating with {name} ...") if sys.stderr.isatty() else None
        )
    except PodbookError as problem:
        if as_json:
            print(json.dumps({"file": str(file), "agrees": None, "could_not_check": str(problem)}))
        _talk(str(problem))
        raise typer.Exit(UNCHECKED) from None
    if as_json:
        print(json.dumps(verdict.plain(), indent=1))
    else:
        from podbook.review.words import printed

        printed(verdict)
    raise typer.Exit(AGREES if verdict.agrees else DIFFERS)


@app.command()
def season(
    file: Annotated[Path, typer.Argument(help="The workbook to tell of. It is never changed.")],
) -> None:
    """Tell a workbook's winter month by month: head-days, hay and money saved, when pods run out, what to watch.

    Example: podbook season farm.xlsx
    """
    from podbook.review.season import Season
    from podbook.review.words import console

    try:
        told = Season(file)
    except PodbookError as problem:
        _talk(str(problem))
        raise typer.Exit(UNCHECKED) from None
    screen = console()
    screen.print(told.table())
    for sentence in told.sentences():
        screen.print(sentence, markup=False)


@app.command()
def outlook(
    file: Annotated[Path, typer.Argument(help="The workbook to look at. It is never changed.")],
    draws: Annotated[int, typer.Option(help="How many draws.")] = 10_000,
    seed: Annotated[int, typer.Option(help="Seed of the draws: the same seed, the same answer.")] = 1,
    vary: Annotated[
        list[str] | None,
        typer.Option(
            metavar="NAME=LOW,HIGH", help="One more figure that may turn out otherwise, such as own_rate=0.03,0.07."
        ),
    ] = None,
    alike: Annotated[
        list[str] | None,
        typer.Option(
            metavar="TYPE=SHARE",
            help="A type of tree whose trees vary, and how far they bear alike: 0 each its own, 1 as in a clone.",
        ),
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help="One JSON object instead of words.")] = False,
    as_csv: Annotated[bool, typer.Option("--csv", help="A table as CSV instead of words.")] = False,
    every_draw: Annotated[
        Path | None, typer.Option(metavar="FILE.csv", help="Write every draw to a file, too.")
    ] = None,
    into: Annotated[
        Path | None, typer.Option(metavar="FILE.xlsx", help="Write a copy of the workbook with the outlook as a sheet.")
    ] = None,
    replace: Annotated[bool, typer.Option("--replace", help="Overwrite files that are there.")] = False,
) -> None:
    """Look at what could go differently with a planting: one range at a time, and all at once in many draws.

    The ranges are those of the sheet Returns, from the poor to the good case.

    Example: podbook outlook farm.xlsx --alike "Selected grafted=0.8" --into farm-outlook.xlsx
    """
    from podbook.review import snapshot
    from podbook.review.outlook import outlook as looked
    from podbook.review.outlook import write_draws

    if as_json and as_csv:
        _talk("--json, --csv: found both; choose one")
        raise typer.Exit(USAGE)
    try:
        for path, suffix in ((every_draw, ".csv"), (into, ".xlsx")):
            if path is not None:
                files.refuse(path, suffix, replace=replace)
        with _progress(draws, "drawing") as tell:
            result = looked(file, count=draws, seed=seed, vary=vary or (), alike=alike or (), tell=tell)
        if into is not None:
            snapshot.write(result, into, replace=replace)
            _talk(f"{into}: written. Next: open its sheet Outlook")
        if every_draw is not None:
            write_draws(result, every_draw)
            _talk(f"{every_draw}: written")
    except (NotOurWorkbook, Refused, EngineFailed) as problem:
        _talk(str(problem))
        raise typer.Exit(UNCHECKED) from None
    except PodbookError as problem:
        _talk(str(problem))
        raise typer.Exit(USAGE) from None
    if as_json:
        print(json.dumps(result.plain(), indent=1))
    elif as_csv:
        csv.writer(sys.stdout).writerows((("result", "quantity", "setting", "value"), *result.rows()))
    else:
        from podbook.review.words import print_outlook

        print_outlook(result)


@app.command()
def functions(
    word: Annotated[str, typer.Argument(help="Only those whose name holds this word.")] = "",
    as_json: Annotated[bool, typer.Option("--json", help="One JSON object instead of words.")] = False,
) -> None:
    """List the reference functions: arguments, units, ranges and sources.

    Example: podbook functions energy
    """
    from podbook.reference.catalogue import catalogue, described

    found = [each for each in catalogue() if word in each.name]
    if not found:
        _talk(f"no reference function's name holds '{word}'; 'podbook functions' lists them all")
        raise typer.Exit(USAGE)
    if as_json:
        print(json.dumps({"functions": [described(each) for each in found]}, indent=1))
        return
    from podbook.review.words import print_functions

    print_functions(found)


@app.command()
def templates(
    folder: Annotated[Path, typer.Argument(help="Where the templates stand.")] = Path("templates"),
    check: Annotated[bool, typer.Option("--check", help="Write nothing; fail if one is stale.")] = False,
) -> None:
    """Build the template and its review page for every region.

    Example: podbook templates --check
    """
    from podbook.templates import stale, write_all

    if check:
        old = stale(folder)
        for name in old:
            _talk(f"{folder / name}: is stale; run 'podbook templates'")
        raise typer.Exit(DIFFERS if old else AGREES)
    for path in write_all(folder):
        _talk(f"{path}: written")


@contextmanager
def _progress(total: int, words: str) -> Iterator[Callable[[int], None]]:
    """Show how much is done, on a terminal only; what it gives is called with the number done."""
    if not sys.stderr.isatty():
        yield lambda done: None
        return
    from rich.console import Console
    from rich.progress import Progress

    with Progress(console=Console(stderr=True), transient=True) as progress:
        task = progress.add_task(words, total=total)
        yield lambda done: progress.update(task, completed=done)


def _complain(problem: PodbookError) -> None:
    _talk(str(problem))
    if isinstance(problem, BadInput) and problem.complaints[0].line is not None:
        number = len(problem.complaints)
        _talk(f"{number} {'cell' if number == 1 else 'cells'} to mend; nothing was written")


def _talk(words: str) -> None:
    print(words, file=sys.stderr)


def main() -> None:
    """Run the command line."""
    app()
