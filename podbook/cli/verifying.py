"""Check workbooks."""

from __future__ import annotations

import json
import os.path
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

import click

from podbook import files
from podbook.cli.options import PATH, as_json, known_engines, one_of, own_region
from podbook.cli.talk import (
    AGREES,
    DIFFERS,
    UNCHECKED,
    USAGE,
    know,
    print_csv,
    progress,
    talk,
)
from podbook.errors import PodbookError, listed

if TYPE_CHECKING:
    from podbook.review.many import Outcome
    from podbook.review.verify import Verdict

EXIT = {"agrees": AGREES, "differs": DIFFERS, "unchecked": UNCHECKED}


@click.command(short_help="Check workbooks: every cell against its reference function.")
@click.argument(
    "paths",
    nargs=-1,
    required=True,
    type=PATH,
    metavar="FILE...",
    help="Workbooks to check, or folders of them. None is changed.",
)
@click.option(
    "--engine",
    default="formualizer",
    show_default=True,
    metavar="ENGINE",
    shell_complete=one_of(known_engines),
    help="formualizer, formulas or libreoffice.",
)
@click.option("--all-engines", is_flag=True, help="Every engine that is installed.")
@own_region
@as_json
@click.option("--csv", "as_csv", is_flag=True, help="A table as CSV, a row a file, instead of words.")
@click.option("--report", type=PATH, metavar="FILE.html", help="Write a report, too: a page to read and to print.")
@click.option("--replace", is_flag=True, help="Overwrite the report if it is there.")
def verify(
    paths: tuple[Path, ...],
    engine: str,
    all_engines: bool,
    region: Path | None,
    as_json: bool,
    as_csv: bool,
    report: Path | None,
    replace: bool,
) -> None:
    """Recalculate workbooks and check every cell against its reference function.

    Exit code: 0 all agrees, 1 something differs, 2 wrong usage, 3 could not be checked; of many files, the worst.

    Example: podbook verify farm.xlsx --report farm.html
    """
    from podbook import recalc
    from podbook.review import many

    know(region)
    books = many.workbooks(paths)
    alone = len(books) == 1 and not os.path.isdir(paths[0])
    if engine not in recalc.ENGINES:
        _refuse(f"--engine: found '{engine}'; allowed: {listed(recalc.ENGINES)}")
    if as_json and as_csv:
        _refuse("--json, --csv: found both; choose one")
    for path in paths:
        if not many.workbooks([path]):
            _refuse(f"{path}: holds no .xlsx workbook; name files, or a folder that holds some")
    if report is not None and not alone:
        _refuse(f"--report: found {len(books)} workbooks; a report is of one: name a single file")
    if report is not None:
        try:
            files.refuse(report, ".html", replace=replace)
        except PodbookError as problem:
            _refuse(str(problem))
    found = _verified(books, recalc.installed() if all_engines else (engine,), alone)
    if report is not None and found[0].verdict is not None:
        _write(found[0].verdict, report, replace)
    if as_csv:
        print_csv([many.HEADINGS, *(each.row() for each in found)])
    elif as_json:
        print(json.dumps(found[0].plain() if alone else many.together(found), indent=1))
    else:
        _print(found, alone)
    for each in found:
        if each.problem is not None:
            talk(f"{each.problem}{_beside(each.path)}")
    raise SystemExit(max(EXIT[each.result] for each in found))


def _beside(path: Path) -> str:
    """Return in words that a workbook of that name, only with another ending, stands where a file does not."""
    other = path.with_suffix(".xlsx")
    return f"; there is {other}" if not path.exists() and other != path and other.is_file() else ""


def _refuse(words: str) -> NoReturn:
    talk(words)
    raise SystemExit(USAGE)


def _verified(books: Sequence[Path], engines: Sequence[str], alone: bool) -> list[Outcome]:
    from podbook.review import many

    number = 0
    with progress(0 if alone else len(books), "verifying") as tell:

        def step() -> None:
            nonlocal number
            number += 1
            tell(number)

        return many.outcomes(books, engines, step, _prepare_to_print)


def _prepare_to_print() -> None:
    import podbook.review.words  # noqa: F401  # takes a while, in which there is nothing else to do


def _print(found: Sequence[Outcome], alone: bool) -> None:
    from podbook.review.words import print_outcomes, printed

    if not alone:
        print_outcomes(found)
    elif found[0].verdict is not None:
        printed(found[0].verdict)


def _write(verdict: Verdict, report: Path, replace: bool) -> None:
    """Write the report, or say why it can't be written."""
    from podbook.review.report.page import write

    try:
        write(verdict, report, replace=replace)
    except PodbookError as problem:
        _refuse(str(problem))
    talk(f"{report}: written. Next: open it in a browser, and print it from there")
