"""Build workbooks and templates."""

from __future__ import annotations

import dataclasses
import os.path
from pathlib import Path

import click

from podbook.cli.options import PATH, known_regions, one_of, own_file
from podbook.cli.talk import AGREES, DIFFERS, USAGE, complain, progress, talk, working
from podbook.errors import PodbookError, listed
from podbook.next_step import command
from podbook.systems import SYSTEMS


@click.command(short_help="Build a workbook, or one for every farm of a list.")
@click.argument("file", required=False, type=PATH, help="The workbook to make, such as farm.xlsx.")
@click.option("--trees", type=PATH, metavar="FILE.csv", help="Single trees weighed, as CSV.")
@click.option("--lab", type=PATH, metavar="FILE.csv", help="Laboratory sheets, as CSV.")
@click.option("--farm", type=PATH, metavar="FILE.toml", help="The farm's own figures, types of tree and herd, as TOML.")
@click.option("--log", type=PATH, metavar="FILE.csv", help="What was picked up, fed and paid by month, as CSV.")
@click.option(
    "--region",
    metavar="NAME",
    shell_complete=one_of(known_regions),
    help="Region of the defaults, by its name or file; without it the demo farm's.",
)
@click.option("--station", metavar="ID", help="Weather station whose temperatures are filled in.")
@click.option(
    "--units",
    metavar="UNITS",
    shell_complete=one_of(lambda: SYSTEMS),
    help="us or metric; without it those of the farm's file, or of the region.",
)
@click.option(
    "--farms",
    type=PATH,
    metavar="FILE.csv",
    help="Many workbooks: a list of farms as CSV, a row a workbook; with --out.",
)
@click.option("--out", type=PATH, metavar="FOLDER", help="Folder for the workbooks of --farms.")
@click.option("--replace", is_flag=True, help="Overwrite the file if it is there.")
def build(
    file: Path | None,
    trees: Path | None,
    lab: Path | None,
    farm: Path | None,
    log: Path | None,
    region: str | None,
    station: str | None,
    units: str | None,
    farms: Path | None,
    out: Path | None,
    replace: bool,
) -> None:
    """Build a workbook. Without options it holds the invented demo farm.

    Example: podbook build farm.xlsx --trees tally.csv --lab lab.csv

    Example: podbook build --farms farms.csv --out winter
    """
    if units is not None and units not in SYSTEMS:
        talk(f"--units: found '{units}'; allowed: {listed(SYSTEMS)}")
        raise SystemExit(USAGE)
    if farms is not None or out is not None:
        given = {"FILE": file, "--trees": trees, "--lab": lab, "--farm": farm, "--log": log, "--station": station}
        others = [name for name, value in given.items() if value is not None]
        _build_many(farms, out, others, region, units, replace=replace)
        return
    if file is None:
        talk("FILE: found nothing; name the workbook to make, such as farm.xlsx, or a list of farms with --farms")
        raise SystemExit(USAGE)
    from podbook import regions
    from podbook.book.writer import write
    from podbook.farm_book import Ordered, book_for
    from podbook.inputs.farm import filled as filled_in
    from podbook.review.before_building import refuse_slips
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
            unusual = refuse_slips(book, {row: each.typed for row, each in enumerate(filled.records) if each.typed})
            write(book, file, replace=replace)
    except PodbookError as problem:
        complain(problem)
        raise SystemExit(USAGE) from None
    if weather is not None:
        talk(f"temperatures: normals of {weather.title}, station {weather.id}, 1991-2020")
    for words in (*filled.usual, *unusual):
        talk(words)
    step = command("verify", file, region=own_file(region))
    talk(f"{file}: built for {filled.title}. Next: open it, or check it with: {step}")


def _build_many(
    farms: Path | None, out: Path | None, others: list[str], region: str | None, units: str | None, *, replace: bool
) -> None:
    from podbook import clients

    if farms is None or out is None:
        talk("--farms, --out: found only one; name the list of farms and the folder for their workbooks")
        raise SystemExit(USAGE)
    if others:
        talk(f"{', '.join(others)}: can't be used with --farms; each farm's own stand in its row of the list")
        raise SystemExit(USAGE)
    if os.path.exists(out) and not os.path.isdir(out):
        talk(f"{out}: is not a folder; name the folder in which the workbooks are to stand")
        raise SystemExit(USAGE)
    try:
        orders = clients.ordered(farms, out, region, units, replace=replace)
        _make(out)
        with progress(len(orders), "building") as show:
            built = clients.build(orders, show, replace=replace)
    except PodbookError as problem:
        complain(problem)
        raise SystemExit(USAGE) from None
    from rich.table import Table

    from podbook.review.words import console

    table = Table(*clients.HEADINGS)
    for each in built:
        table.add_row(*each.row())
    console().print(table)
    step = command("verify", out, region=own_file(region))
    talk(f"{out}: {len(built)} built. Next: open them, or check them with: {step}")


def _make(folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as problem:
        talk(f"{folder}: can't be made ({problem.strerror}); name another folder")
        raise SystemExit(USAGE) from None


@click.command(short_help="Build the templates of all regions.")
@click.argument(
    "folder", default=Path("templates"), type=PATH, help="Where the templates stand; in 'templates' if not said."
)
@click.option("--check", is_flag=True, help="Write nothing; fail if one is stale.")
@click.option("--only", multiple=True, metavar="NAME", help="Only this template, such as nz.")
def templates(folder: Path, check: bool, only: tuple[str, ...]) -> None:
    """Build the template and its review page for every region.

    Example: podbook templates --check
    """
    from podbook.templates import names, stale, write_all

    if unknown := [name for name in only if name not in names()]:
        talk(f"--only: found '{unknown[0]}'; allowed: {listed(names())}")
        raise SystemExit(USAGE)
    if os.path.exists(folder) and not os.path.isdir(folder):
        talk(f"{folder}: is not a folder; name the folder in which the templates stand")
        raise SystemExit(USAGE)
    if check:
        old = stale(folder, only)
        for name in old:
            talk(f"{folder / name}: is stale; run: {command('templates', folder)}")
        raise SystemExit(DIFFERS if old else AGREES)
    _make(folder)
    try:
        written = write_all(folder, only)
    except PodbookError as problem:
        complain(problem)
        raise SystemExit(USAGE) from None
    for path in written:
        talk(f"{path}: written")
