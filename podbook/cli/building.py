"""Build workbooks and templates."""

from __future__ import annotations

import shlex
from pathlib import Path
from typing import Annotated

import typer

from podbook.cli.talk import AGREES, DIFFERS, USAGE, complain, talk
from podbook.errors import PodbookError
from podbook.systems import SYSTEMS


def build(
    file: Annotated[Path, typer.Argument(help="The workbook to make, such as farm.xlsx.")],
    trees: Annotated[Path | None, typer.Option(help="Single trees weighed, as CSV.")] = None,
    lab: Annotated[Path | None, typer.Option(help="Laboratory sheets, as CSV.")] = None,
    farm: Annotated[Path | None, typer.Option(help="The farm's own figures, types of tree and herd, as TOML.")] = None,
    log: Annotated[Path | None, typer.Option(help="What was picked up, fed and paid by month, as CSV.")] = None,
    region: Annotated[str, typer.Option(help="Region of the defaults, by its name or file.")] = "us_midatl_appal",
    station: Annotated[str | None, typer.Option(help="Weather station whose temperatures are filled in.")] = None,
    units: Annotated[
        str | None, typer.Option(help="us or metric; without it those of the farm's file, or of the region.")
    ] = None,
    replace: Annotated[bool, typer.Option("--replace", help="Overwrite the file if it is there.")] = False,
) -> None:
    """Build a workbook. Without options it holds the invented demo farm.

    Example: podbook build farm.xlsx --trees tally.csv --lab lab.csv
    """
    from podbook import regions
    from podbook.book.writer import write
    from podbook.farm_book import Ordered, book_for
    from podbook.inputs.farm import filled as filled_in
    from podbook.sheets.season import months

    if units is not None and units not in SYSTEMS:
        talk(f"--units: found '{units}'; allowed: {', '.join(SYSTEMS)}")
        raise typer.Exit(USAGE)
    try:
        place = regions.load(region)
        weather = regions.station(station) if station is not None else None
        filled = filled_in(farm, trees, lab, log, [month.name for month in months(place)], place.units)
        system = units or (place.units if farm is None else filled.units)
        write(book_for(Ordered(region, system, filled, file, weather), place), file, replace=replace)
    except PodbookError as problem:
        complain(problem)
        raise typer.Exit(USAGE) from None
    except OSError as problem:
        talk(f"{file}: can't be written ({problem.strerror}); name another file")
        raise typer.Exit(USAGE) from None
    if weather is not None:
        talk(f"temperatures: normals of {weather.title}, station {weather.id}, 1991-2020")
    for words in filled.usual:
        talk(words)
    if region not in regions.names():
        known = "the other commands know the regions that come with podbook only, so they can't check it"
        talk(f"{file}: built for {filled.title}. Next: open it; {known}")
        return
    talk(f"{file}: built for {filled.title}. Next: open it, or check it with: podbook verify {shlex.quote(str(file))}")


def templates(
    folder: Annotated[Path, typer.Argument(help="Where the templates stand.")] = Path("templates"),
    check: Annotated[bool, typer.Option("--check", help="Write nothing; fail if one is stale.")] = False,
) -> None:
    """Build the template and its review page for every region.

    Example: podbook templates --check
    """
    from podbook.templates import stale, write_all

    if folder.exists() and not folder.is_dir():
        talk(f"{folder}: is not a folder; name the folder in which the templates stand")
        raise typer.Exit(USAGE)
    if check:
        old = stale(folder)
        for name in old:
            talk(f"{folder / name}: is stale; run 'podbook templates {shlex.quote(str(folder))}'")
        raise typer.Exit(DIFFERS if old else AGREES)
    try:
        written = write_all(folder)
    except OSError as problem:
        talk(f"{folder}: can't be written ({problem.strerror}); name another folder")
        raise typer.Exit(USAGE) from None
    for path in written:
        talk(f"{path}: written")
