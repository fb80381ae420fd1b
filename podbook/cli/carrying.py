"""Carry inputs from one workbook into another."""

from __future__ import annotations

import json
from pathlib import Path

import click

from podbook.cli.options import PATH, as_json, known_regions, one_of, own_file
from podbook.cli.talk import AGREES, DIFFERS, UNCHECKED, USAGE, talk, working
from podbook.errors import EngineFailed, NotOurWorkbook, PodbookError, Refused, listed
from podbook.next_step import command
from podbook.systems import SYSTEMS


@click.command(short_help="Take what is filled in to a new workbook.")
@click.argument("old", type=PATH, help="The workbook that is filled in. It is never changed.")
@click.argument("new", type=PATH, help="The workbook to make, such as farm-new.xlsx.")
@click.option(
    "--region",
    metavar="NAME",
    shell_complete=one_of(known_regions),
    help="Region of the defaults, by its name or file; that of the old one if not said.",
)
@click.option(
    "--units",
    metavar="UNITS",
    shell_complete=one_of(lambda: SYSTEMS),
    help="us or metric; that of the old one if not said.",
)
@click.option("--replace", is_flag=True, help="Overwrite the new file if it is there.")
@as_json
def carry(old: Path, new: Path, region: str | None, units: str | None, replace: bool, as_json: bool) -> None:
    """Carry what is filled in in a workbook, of any edition, into a new one of today's, and list what became of it.

    A figure that is still its default is not carried: the new default stands. Exit code: 0 all was carried,
    1 something was left behind, 2 wrong usage, 3 the old workbook could not be read.

    Example: podbook carry farm.xlsx farm-new.xlsx
    """
    from podbook import regions
    from podbook.review.carrying.carry import carry as carried

    if units is not None and units not in SYSTEMS:
        talk(f"--units: found '{units}'; allowed: {listed(SYSTEMS)}")
        raise SystemExit(USAGE)
    own = own_file(region)
    try:
        if region is not None:
            region = regions.know(region).name
        with working(f"carrying what is filled in in {old}"):
            done = carried(old, new, region, units, replace=replace)
    except (NotOurWorkbook, Refused, EngineFailed) as problem:
        if as_json:
            print(json.dumps({"old": str(old), "complete": None, "could_not_carry": str(problem)}))
        talk(str(problem))
        raise SystemExit(UNCHECKED) from None
    except PodbookError as problem:
        talk(str(problem))
        raise SystemExit(USAGE) from None
    if as_json:
        print(json.dumps(done.plain(), indent=1))
    else:
        from podbook.review.words import console

        screen = console()
        screen.print(done.table())
        for sentence in done.sentences():
            screen.print(sentence)
    talk(f"{new}: {done.summary} Next: {command('verify', new, region=own)}")
    raise SystemExit(AGREES if done.complete else DIFFERS)
