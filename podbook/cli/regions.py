"""Show regions and weather stations, and write a region's file to begin with."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING

import click

from podbook.cli.options import PATH, as_json, known_regions, one_of
from podbook.cli.talk import USAGE, complain, talk
from podbook.errors import PodbookError
from podbook.next_step import command

if TYPE_CHECKING:
    from podbook.regions import Region, Station


@click.command(short_help="List regions and weather stations, or show one.")
@click.argument(
    "words",
    nargs=-1,
    metavar="[NAME]...",
    shell_complete=one_of(known_regions),
    help="A region's name or file; with --stations, an id or words of a name.",
)
@click.option("--stations", is_flag=True, help="List weather stations of the United States.")
@click.option(
    "--start",
    type=PATH,
    metavar="FILE.toml",
    help="Write a region's file to begin with, such as mine.toml.",
)
@click.option(
    "--like",
    metavar="NAME",
    shell_complete=one_of(known_regions),
    help="Region whose figures it begins with; that of the demo farm if not said.",
)
@click.option("--replace", is_flag=True, help="Overwrite the file if it is there.")
@as_json
def regions(
    words: tuple[str, ...], stations: bool, start: Path | None, like: str | None, replace: bool, as_json: bool
) -> None:
    """List the regions, or show every figure of one; list weather stations; write a region's file of your own.

    Example: podbook regions nz
    """
    try:
        _refuse_together(words, stations=stations, start=start, like=like, replace=replace, as_json=as_json)
        if start is not None:
            _write(start, like, replace=replace)
        elif stations:
            _stations(" ".join(words), as_json=as_json)
        elif words:
            _one(words[0], as_json=as_json)
        else:
            _all(as_json=as_json)
    except PodbookError as problem:
        complain(problem)
        raise SystemExit(USAGE) from None


def _refuse_together(
    named: tuple[str, ...], *, stations: bool, start: Path | None, like: str | None, replace: bool, as_json: bool
) -> None:
    if start is not None and (stations or named or as_json):
        other = "--stations" if stations else "--json" if as_json else f"'{named[0]}'"
        raise PodbookError(f"--start: found {other} beside it; allowed: --like and --replace; run them one by one")
    if start is None and (like is not None or replace):
        other = "--replace" if like is None else "--like"
        raise PodbookError(f"{other}: found no --start beside it; allowed: with --start FILE only")
    if not stations and len(named) > 1:
        raise PodbookError(f"regions: found {len(named)} names; allowed: one region at a time, by its name or file")


def _write(path: Path, like: str | None, *, replace: bool) -> None:
    from podbook.files import drafted, refuse
    from podbook.regions import HOME, load
    from podbook.regions.starter import name_of, starter

    refuse(path, ".toml", replace=replace)
    like = like or HOME
    text = starter(load(like), name_of(path.stem))
    with drafted(path) as draft:
        draft.write_text(text, encoding="utf-8")
        load(draft)
    step = command("regions", path)
    talk(f"{path}: written, with the figures of {like}. Next: put in your own, and see it: {step}")


def _all(*, as_json: bool) -> None:
    from podbook.regions import declared_weeds, load, names
    from podbook.regions.described import summary, weed

    found = [load(name) for name in names()]
    if as_json:
        weeds = [weed(place) for place in declared_weeds()]
        print(json.dumps({"regions": [summary(region) for region in found], "declared_weed": weeds}, indent=1))
        return
    from podbook.cli.showing import show_regions

    show_regions(found, declared_weeds())


def _one(name: str, *, as_json: bool) -> None:
    from podbook.regions import load
    from podbook.regions.described import described

    region: Region = load(name)
    if as_json:
        print(json.dumps(described(region), indent=1))
        return
    from podbook.cli.showing import show_region

    show_region(region)


def _stations(words: str, *, as_json: bool) -> None:
    from podbook.regions.described import at
    from podbook.regions.stations import found, station, stations

    listed: tuple[Station, ...] = found(words) if words.strip() else stations()
    if not listed:
        listed = (station(words),)
    if as_json:
        print(json.dumps({"stations": [at(each) for each in listed]}, indent=1))
        return
    from podbook.cli.showing import show_stations

    show_stations(listed)
