"""Check workbooks."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from podbook import files
from podbook.cli.talk import AGREES, DIFFERS, UNCHECKED, USAGE, talk
from podbook.errors import PodbookError

if TYPE_CHECKING:
    from podbook.review.verify import Verdict


def verify(
    file: Annotated[Path, typer.Argument(help="The workbook to check. It is never changed.")],
    engine: Annotated[str, typer.Option(help="formualizer, formulas or libreoffice.")] = "formualizer",
    all_engines: Annotated[bool, typer.Option("--all-engines", help="Every engine that is installed.")] = False,
    as_json: Annotated[bool, typer.Option("--json", help="One JSON object instead of words.")] = False,
    report: Annotated[
        Path | None, typer.Option(metavar="FILE.html", help="Write a report, too: a page to read and to print.")
    ] = None,
    replace: Annotated[bool, typer.Option("--replace", help="Overwrite the report if it is there.")] = False,
) -> None:
    """Recalculate a workbook and check every cell against its reference function.

    Exit code: 0 all agrees, 1 something differs, 2 wrong usage, 3 could not be checked.

    Example: podbook verify farm.xlsx --all-engines --report farm.html
    """
    from podbook import recalc
    from podbook.review.verify import verify as verified

    if engine not in recalc.ENGINES:
        talk(f"--engine: found '{engine}'; allowed: {', '.join(recalc.ENGINES)}")
        raise typer.Exit(USAGE)
    if report is not None:
        try:
            files.refuse(report, ".html", replace=replace)
        except PodbookError as problem:
            talk(str(problem))
            raise typer.Exit(USAGE) from None
    engines = recalc.installed() if all_engines else (engine,)
    try:
        verdict = verified(
            file, engines, lambda name: talk(f"recalculating with {name} ...") if sys.stderr.isatty() else None
        )
    except PodbookError as problem:
        if as_json:
            print(json.dumps({"file": str(file), "agrees": None, "could_not_check": str(problem)}))
        talk(str(problem))
        raise typer.Exit(UNCHECKED) from None
    if report is not None:
        _write(verdict, report, replace)
    if as_json:
        print(json.dumps(verdict.plain(), indent=1))
    else:
        from podbook.review.words import printed

        printed(verdict)
    raise typer.Exit(AGREES if verdict.agrees else DIFFERS)


def _write(verdict: Verdict, report: Path, replace: bool) -> None:
    """Write the report, or say why it can't be written."""
    from podbook.review.report.page import write

    try:
        write(verdict, report, replace=replace)
    except PodbookError as problem:
        talk(str(problem))
        raise typer.Exit(USAGE) from None
    except OSError as problem:
        talk(f"{report}: can't be written ({problem.strerror}); name another file")
        raise typer.Exit(USAGE) from None
    talk(f"{report}: written. Next: open it in a browser, and print it from there")
