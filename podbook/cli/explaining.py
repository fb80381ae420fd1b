"""Explain single cells."""

from __future__ import annotations

import json
import os.path
from pathlib import Path

import click

from podbook.cli.options import PATH, as_json, own_region
from podbook.cli.talk import AGREES, DIFFERS, UNCHECKED, USAGE, know, talk, working
from podbook.errors import EngineFailed, NotOurWorkbook, PodbookError, Refused, UnclearName
from podbook.next_step import command


@click.command(short_help="Tell how one cell comes about.")
@click.argument(
    "name",
    help="The cell: its name (hay_price, tally.crop, tally.crop@3), its address (Stand!B12) or a piece of its label.",
)
@click.argument("file", type=PATH, help="The workbook it stands in. It is never changed.")
@own_region
@as_json
@click.option(
    "--depth",
    type=click.IntRange(1, 40),
    default=3,
    show_default=True,
    metavar="LEVELS",
    help="How many levels of inputs to tell.",
)
def explain(name: str, file: Path, region: Path | None, as_json: bool, depth: int) -> None:
    """Tell of one cell: its value recalculated, its formula in words, what feeds it, and whether its reference agrees.

    Exit code: 0 it agrees, 1 it does not, 2 wrong usage, 3 the file can't be read.

    Example: podbook explain hay_landed_price farm.xlsx
    """
    from podbook.review.explaining.explain import explain as explained

    know(region)
    if os.path.isfile(name) and not os.path.exists(file):
        step = command("explain", str(file), name, region=region)
        talk(f"{file}: there is no such file; name the cell first, then the workbook: {step}")
        raise SystemExit(USAGE)
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
        raise SystemExit(USAGE) from None
    except (NotOurWorkbook, Refused, EngineFailed) as problem:
        if as_json:
            print(json.dumps({"file": str(file), "name": name, "agrees": None, "could_not_check": str(problem)}))
        talk(str(problem))
        raise SystemExit(UNCHECKED) from None
    except PodbookError as problem:
        talk(str(problem))
        raise SystemExit(USAGE) from None
    if as_json:
        print(json.dumps(told.plain(), indent=1))
    else:
        from podbook.review.explaining.screen import print_explanation

        print_explanation(told)
    raise SystemExit(AGREES if told.agrees else DIFFERS)
