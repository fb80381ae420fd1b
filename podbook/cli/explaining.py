"""Explain single cells."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Annotated

import typer

from podbook.cli.talk import AGREES, DIFFERS, UNCHECKED, USAGE, OwnRegion, know, talk, working
from podbook.errors import EngineFailed, NotOurWorkbook, PodbookError, Refused, UnclearName


def explain(
    name: Annotated[
        str,
        typer.Argument(
            help="The cell: its name (hay_price, tally.crop, tally.crop@3), its address (Stand!B12) or a piece of its"
            " label."
        ),
    ],
    file: Annotated[Path, typer.Argument(metavar="FILE", help="The workbook it stands in. It is never changed.")],
    region: OwnRegion = None,
    as_json: Annotated[bool, typer.Option("--json", help="One JSON object instead of words.")] = False,
    depth: Annotated[int, typer.Option(metavar="LEVELS", min=1, max=40, help="How many levels of inputs to tell.")] = 3,
) -> None:
    """Tell of one cell: its value recalculated, its formula in words, what feeds it, and whether its reference agrees.

    Exit code: 0 it agrees, 1 it does not, 2 wrong usage, 3 the file can't be read.

    Example: podbook explain hay_landed_price farm.xlsx
    """
    from podbook.review.explaining.explain import explain as explained

    know(region)
    try:
        with working(f"recalculating {file}"):
            told = explained(file, name, depth)
    except UnclearName as problem:
        if as_json:
            plain = {
                "file": str(file),
                "name": name,
                "agrees": None,
                "which_one": problem.close,
                "problem": str(problem),
            }
            print(json.dumps(plain, indent=1))
        talk(str(problem))
        raise typer.Exit(USAGE) from None
    except (NotOurWorkbook, Refused, EngineFailed) as problem:
        if as_json:
            print(json.dumps({"file": str(file), "name": name, "agrees": None, "could_not_check": str(problem)}))
        talk(str(problem))
        raise typer.Exit(UNCHECKED) from None
    except PodbookError as problem:
        talk(str(problem))
        raise typer.Exit(USAGE) from None
    if as_json:
        print(json.dumps(told.plain(), indent=1))
    else:
        from podbook.review.explaining.screen import print_explanation

        print_explanation(told)
    raise typer.Exit(AGREES if told.agrees else DIFFERS)
