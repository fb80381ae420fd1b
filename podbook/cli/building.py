"""Build workbooks and templates."""

from __future__ import annotations

import dataclasses
import shlex
from pathlib import Path
from typing import Annotated

import typer

from podbook.cli.talk import AGREES, DIFFERS, USAGE, complain, known_regions, progress, talk, working
from podbook.errors import PodbookError
from podbook.systems import SYSTEMS


def build(
    file: Annotated[
        Path | None, typer.Argument(metavar="FILE", help="The workbook to make, such as farm.xlsx.")
    ] = None,
    trees: Annotated[Path | None, typer.Option(metavar="FILE.csv", help="Single trees weighed, as CSV.")] = None,
    lab: Annotated[Path | None, typer.Option(metavar="FILE.csv", help="Laboratory sheets, as CSV.")] = None,
    farm: Annotated[
        Path | None, typer.Option(metavar="FILE.toml", help="The farm's own figures, types of tree and herd, as TOML.")
    ] = None,
    log: Annotated[
        Path | None, typer.Option(metavar="FILE.csv", help="What was picked up, fed and paid by month, as CSV.")
    ] = None,
    region: Annotated[
        str | None,
        typer.Option(
            metavar="NAME",
            help="Region of the defaults, by its name or file; without it the demo farm's.",
            autocompletion=known_regions,
        ),
    ] = None,
    station: Annotated[
        str | None, typer.Option(metavar="ID", help="Weather station whose temperatures are filled in.")
    ] = None,
    units: Annotated[
        str | None,
        typer.Option(
            metavar="UNITS",
            help="us or metric; without it those of the farm's file, or of the region.",
            autocompletion=lambda: list(SYSTEMS),
        ),
    ] = None,
    farms: Annotated[
        Path | None,
        typer.Option(metavar="FILE.csv", help="Many workbooks: a list of farms as CSV, a row a workbook; with --out."),
    ] = None,
    out: Annotated[Path | None, typer.Option(metavar="FOLDER", help="Folder for the workbooks of --farms.")] = None,
    replace: Annotated[bool, typer.Option("--replace", help="Overwrite the file if it is there.")] = False,
) -> None:
    """Build a workbook. Without options it holds the invented demo farm.

    Example: podbook build farm.xlsx --trees tally.csv --lab lab.csv

    Example: podbook build --farms farms.csv --out winter
    """
    if units is not None and units not in SYSTEMS:
        talk(f"--units: found '{units}'; allowed: {', '.join(SYSTEMS)}")
        raise typer.Exit(USAGE)
    if farms is not None or out is not None:
        given = {"FILE": file, "--trees": trees, "--lab": lab, "--farm": farm, "--log": log, "--station": station}
        others = [name for name, value in given.items() if value is not None]
        _build_many(farms, out, others, region, units, replace=replace)
        return
    if file is None:
        talk("FILE: found nothing; name the workbook to make, such as farm.xlsx, or a list of farms with --farms")
        raise typer.Exit(USAGE)
    from podbook import regions
    from podbook.book.writer import write
    from podbook.farm_book import Ordered, book_for
    from podbook.inputs.farm import filled as filled_in
    from podbook.review.entries import refuse_slips
    from podbook.sheets.season import months

    try:
        place = regions.know(region or regions.HOME)
        weather = None if station is None else regions.station(station)
        filled = filled_in(farm, trees, lab, log, [month.name for month in months(place)], place.units)
        if log is None and place.name != regions.HOME:
            filled = dataclasses.replace(filled, log=())  # the demo farm's log is of its own winter
        system = units or (place.units if farm is None else filled.units)
        with working(f"building {file}"):
            book = book_for(Ordered(place.name, system, filled, file, weather.id if weather else ""))
            unusual = refuse_slips(book)
            write(book, file, replace=replace)
    except PodbookError as problem:
        complain(problem)
        raise typer.Exit(USAGE) from None
    except OSError as problem:
        talk(f"{file}: can't be written ({problem.strerror}); name another file")
        raise typer.Exit(USAGE) from None
    if weather is not None:
        talk(f"temperatures: normals of {weather.title}, station {weather.id}, 1991-2020")
    for words in (*filled.usual, *unusual):
        talk(words)
    known = "" if region is None or region in regions.names() else f" --region {shlex.quote(region)}"
    command = f"podbook verify {shlex.quote(str(file))}{known}"
    talk(f"{file}: built for {filled.title}. Next: open it, or check it with: {command}")


def _build_many(
    farms: Path | None, out: Path | None, others: list[str], region: str | None, units: str | None, *, replace: bool
) -> None:
    from podbook import clients

    if farms is None or out is None:
        talk("--farms, --out: found only one; name the list of farms and the folder for their workbooks")
        raise typer.Exit(USAGE)
    if others:
        talk(f"{', '.join(others)}: can't be used with --farms; each farm's own stand in its row of the list")
        raise typer.Exit(USAGE)
    if out.exists() and not out.is_dir():
        talk(f"{out}: is not a folder; name the folder in which the workbooks are to stand")
        raise typer.Exit(USAGE)
    try:
        orders = clients.ordered(farms, out, region, units, replace=replace)
        out.mkdir(parents=True, exist_ok=True)
        with progress(len(orders), "building") as show:
            built = clients.build(orders, show, replace=replace)
    except PodbookError as problem:
        complain(problem)
        raise typer.Exit(USAGE) from None
    except OSError as problem:
        talk(f"{out}: can't be written ({problem.strerror}); name another folder")
        raise typer.Exit(USAGE) from None
    from rich.table import Table

    from podbook.review.words import console

    table = Table(*clients.HEADINGS)
    for each in built:
        table.add_row(*each.row())
    console().print(table)
    talk(f"{out}: {len(built)} built. Next: open them, or check them with: podbook verify {shlex.quote(str(out))}")


def templates(
    folder: Annotated[Path, typer.Argument(metavar="FOLDER", help="Where the templates stand.")] = Path("templates"),
    check: Annotated[bool, typer.Option("--check", help="Write nothing; fail if one is stale.")] = False,
    only: Annotated[list[str] | None, typer.Option(metavar="NAME", help="Only this template, such as nz.")] = None,
) -> None:
    """Build the template and its review page for every region.

    Example: podbook templates --check
    """
    from podbook.templates import names, stale, write_all

    wanted = only or []
    if unknown := [name for name in wanted if name not in names()]:
        talk(f"--only: found '{unknown[0]}'; allowed: {', '.join(names())}")
        raise typer.Exit(USAGE)
    if folder.exists() and not folder.is_dir():
        talk(f"{folder}: is not a folder; name the folder in which the templates stand")
        raise typer.Exit(USAGE)
    if check:
        old = stale(folder, wanted)
        for name in old:
            talk(f"{folder / name}: is stale; run 'podbook templates {shlex.quote(str(folder))}'")
        raise typer.Exit(DIFFERS if old else AGREES)
    try:
        written = write_all(folder, wanted)
    except OSError as problem:
        talk(f"{folder}: can't be written ({problem.strerror}); name another folder")
        raise typer.Exit(USAGE) from None
    for path in written:
        talk(f"{path}: written")
