"""Tell what a workbook says."""

from __future__ import annotations

import json
from pathlib import Path

import click

from podbook.cli.options import PATH, as_json, own_region
from podbook.cli.talk import UNCHECKED, USAGE, know, talk, working
from podbook.errors import PodbookError


@click.command(short_help="Tell a workbook's winter month by month.")
@click.argument("file", type=PATH, help="The workbook to tell of. It is never changed.")
@own_region
@as_json
def season(file: Path, region: Path | None, as_json: bool) -> None:
    """Tell a workbook's winter month by month: head-days, hay and money saved, when pods run out, what to watch.

    Example: podbook season farm.xlsx
    """
    from podbook.review.season import STATUS, WATCHING, WHO_DECIDES, read

    know(region)
    try:
        with working(f"recalculating {file}"):
            told = read(file)
    except PodbookError as problem:
        if as_json:
            print(json.dumps({"file": str(file), "could_not_tell": str(problem)}))
        talk(str(problem))
        raise SystemExit(UNCHECKED) from None
    if as_json:
        print(json.dumps({"file": str(file), **told.plain()}, indent=1))
        return
    from podbook.review.words import console

    screen = console()
    screen.print(told.table())
    for sentence in told.sentences():
        screen.print(sentence)
    if told.watched():
        screen.print(f"{WATCHING}:")
        for word, meaning in told.watched():
            screen.print(f"    {word}: {meaning}.")
        screen.print(WHO_DECIDES)
    screen.print(f"The workbook's own status: {told[STATUS]}")
    for each in told.asks:
        screen.print(f"    {each}")


@click.command(short_help="List the functions behind the cells, with their sources.")
@click.argument("word", default="", help="Only those whose name holds this word.")
@as_json
def functions(word: str, as_json: bool) -> None:
    """List the reference functions: arguments, units, ranges and sources.

    Example: podbook functions energy
    """
    from podbook.reference.catalogue import catalogue, described

    found = [each for each in catalogue() if word.casefold() in each.name]
    if not found:
        talk(f"no reference function's name holds '{word}'; 'podbook functions' lists them all")
        raise SystemExit(USAGE)
    if as_json:
        print(json.dumps({"functions": [described(each) for each in found]}, indent=1))
        return
    from podbook.review.words import print_functions

    print_functions(found)
