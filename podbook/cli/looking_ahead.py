"""Look at what could go differently."""

from __future__ import annotations

import json
from pathlib import Path

import click

from podbook import files
from podbook.cli.options import PATH, as_json, own_region
from podbook.cli.talk import UNCHECKED, USAGE, know, print_csv, progress, talk
from podbook.errors import EngineFailed, NotOurWorkbook, PodbookError, Refused


@click.command(short_help="Ask what could go differently with a planting.")
@click.argument("file", type=PATH, help="The workbook to look at. It is never changed.")
@click.option("--draws", type=int, default=10_000, show_default=True, metavar="NUMBER", help="How many draws.")
@click.option(
    "--seed",
    type=int,
    default=1,
    show_default=True,
    metavar="NUMBER",
    help="Seed of the draws: the same seed, the same answer.",
)
@click.option(
    "--vary",
    multiple=True,
    metavar="NAME=LOW,HIGH",
    help="One more figure that may turn out otherwise, such as own_rate=0.03,0.07.",
)
@click.option(
    "--alike",
    multiple=True,
    metavar="TYPE=SHARE",
    help="A type of tree whose trees vary, and how far they bear alike: 0 each its own, 1 as in a clone.",
)
@own_region
@as_json
@click.option("--csv", "as_csv", is_flag=True, help="A table as CSV instead of words.")
@click.option("--every-draw", type=PATH, metavar="FILE.csv", help="Write every draw to a file, too.")
@click.option(
    "--into",
    type=PATH,
    metavar="FILE.xlsx",
    help="Write a copy of the workbook with the outlook as a sheet. Pictures and shapes may be lost in it.",
)
@click.option("--replace", is_flag=True, help="Overwrite files that are there.")
def outlook(
    file: Path,
    draws: int,
    seed: int,
    vary: tuple[str, ...],
    alike: tuple[str, ...],
    region: Path | None,
    as_json: bool,
    as_csv: bool,
    every_draw: Path | None,
    into: Path | None,
    replace: bool,
) -> None:
    """Look at what could go differently with a planting: one range at a time, and all at once in many draws.

    The ranges are those of the sheet Returns, from the poor to the good case.

    Example: podbook outlook farm.xlsx --alike "Selected grafted=0.8" --into farm-outlook.xlsx
    """
    from podbook.review.ahead import snapshot
    from podbook.review.ahead.drawings import told
    from podbook.review.ahead.outlook import outlook as looked
    from podbook.review.ahead.outlook import write_draws

    know(region)
    if as_json and as_csv:
        talk("--json, --csv: found both; choose one")
        raise SystemExit(USAGE)
    try:
        for path, suffix in ((every_draw, ".csv"), (into, ".xlsx")):
            if path is not None:
                files.refuse(path, suffix, replace=replace)
        with progress(draws, "drawing") as tell:
            result = looked(file, count=draws, seed=seed, vary=vary, alike=alike, tell=tell)
        if into is not None:
            missing = snapshot.write(result, into, replace=replace)
            talk(f"{into}: written. Next: open its sheet Outlook")
            if missing:
                talk(f"{into}: lacks what could not be copied: {told(missing)}; {file} still has it")
        if every_draw is not None:
            write_draws(result, every_draw)
            talk(f"{every_draw}: written")
    except (NotOurWorkbook, Refused, EngineFailed) as problem:
        if as_json:
            print(json.dumps({"file": str(file), "could_not_look": str(problem)}))
        talk(str(problem))
        raise SystemExit(UNCHECKED) from None
    except PodbookError as problem:
        talk(str(problem))
        raise SystemExit(USAGE) from None
    if as_json:
        print(json.dumps(result.plain(), indent=1))
    elif as_csv:
        print_csv([("result", "quantity", "setting", "value"), *result.rows()])
    else:
        from podbook.review.ahead.words import print_outlook

        print_outlook(result)
