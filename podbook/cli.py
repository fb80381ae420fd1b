"""The commands. No arithmetic here: they read words and files, and print what the other rooms say."""

from __future__ import annotations

import json
import shlex
import sys
from pathlib import Path
from typing import Annotated

import typer

from podbook.errors import BadInput, PodbookError

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
