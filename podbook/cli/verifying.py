"""Check workbooks."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Annotated

import typer

from podbook.cli.talk import AGREES, DIFFERS, UNCHECKED, USAGE, talk
from podbook.errors import PodbookError


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
        talk(f"--engine: found '{engine}'; allowed: {', '.join(recalc.ENGINES)}")
        raise typer.Exit(USAGE)
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
    if as_json:
        print(json.dumps(verdict.plain(), indent=1))
    else:
        from podbook.review.words import printed

        printed(verdict)
    raise typer.Exit(AGREES if verdict.agrees else DIFFERS)
