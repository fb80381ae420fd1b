"""Carry inputs from one workbook into another."""

from __future__ import annotations

import json
import shlex
from pathlib import Path
from typing import Annotated

import typer

from podbook.cli.talk import AGREES, DIFFERS, UNCHECKED, USAGE, known_regions, talk, working
from podbook.errors import EngineFailed, NotOurWorkbook, PodbookError, Refused
from podbook.systems import SYSTEMS


def carry(
    old: Annotated[Path, typer.Argument(metavar="OLD", help="The workbook that is filled in. It is never changed.")],
    new: Annotated[Path, typer.Argument(metavar="NEW", help="The workbook to make, such as farm-new.xlsx.")],
    region: Annotated[
        str | None,
        typer.Option(
            metavar="NAME",
            help="Region of the defaults, by its name or file; that of the old one if not said.",
            autocompletion=known_regions,
        ),
    ] = None,
    units: Annotated[
        str | None,
        typer.Option(
            metavar="UNITS",
            help="us or metric; that of the old one if not said.",
            autocompletion=lambda: list(SYSTEMS),
        ),
    ] = None,
    replace: Annotated[bool, typer.Option("--replace", help="Overwrite the new file if it is there.")] = False,
    as_json: Annotated[bool, typer.Option("--json", help="One JSON object instead of words.")] = False,
) -> None:
    """Carry what is filled in in a workbook, of any edition, into a new one of today's, and list what became of it.

    A figure that is still its default is not carried: the new default stands. Exit code: 0 all was carried,
    1 something was left behind, 2 wrong usage, 3 the old workbook could not be read.

    Example: podbook carry farm.xlsx farm-new.xlsx
    """
    from podbook import regions
    from podbook.review.carrying.carry import carry as carried

    if units is not None and units not in SYSTEMS:
        talk(f"--units: found '{units}'; allowed: {', '.join(SYSTEMS)}")
        raise typer.Exit(USAGE)
    try:
        if region is not None and Path(region).is_file():
            region = regions.know(region).name
        with working(f"carrying what is filled in in {old}"):
            done = carried(old, new, region, units, replace=replace)
    except (NotOurWorkbook, Refused, EngineFailed) as problem:
        if as_json:
            print(json.dumps({"old": str(old), "complete": None, "could_not_carry": str(problem)}))
        talk(str(problem))
        raise typer.Exit(UNCHECKED) from None
    except PodbookError as problem:
        talk(str(problem))
        raise typer.Exit(USAGE) from None
    except OSError as problem:
        talk(f"{new}: can't be written ({problem.strerror}); name another file")
        raise typer.Exit(USAGE) from None
    if as_json:
        print(json.dumps(done.plain(), indent=1))
    else:
        from podbook.review.words import console

        screen = console()
        screen.print(done.table())
        for sentence in done.sentences():
            screen.print(sentence)
    talk(f"{new}: {done.summary} Next: podbook verify {shlex.quote(str(new))}")
    raise typer.Exit(AGREES if done.complete else DIFFERS)
