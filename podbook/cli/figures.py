"""List the single figures that a farm's file, or a list of farms, may name."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import click

from podbook.cli.options import as_json, one_of
from podbook.cli.talk import USAGE, talk
from podbook.errors import listed
from podbook.systems import SYSTEMS, US

if TYPE_CHECKING:
    from podbook.book.model import Book, Entry


@click.command(short_help="List the figures that a farm's file may name.")
@click.argument("word", default="", help="Only those whose name or words hold this.")
@click.option(
    "--units",
    default=US,
    show_default=True,
    metavar="UNITS",
    shell_complete=one_of(lambda: SYSTEMS),
    help="us or metric.",
)
@as_json
def figures(word: str, units: str, as_json: bool) -> None:
    """List the single figures of the book: the names under [figures] in farm.toml, and of columns in a list of farms.

    Example: podbook figures hay
    """
    from podbook import regions
    from podbook.inputs.filled import Filled
    from podbook.sheets import book_of, figures_of

    if units not in SYSTEMS:
        talk(f"--units: found '{units}'; allowed: {listed(SYSTEMS)}")
        raise SystemExit(USAGE)
    book = book_of(regions.load(regions.HOME), Filled("", ()), units)
    told = [_told(book, sheet, entry) for sheet, entry in figures_of(book.sheets)]
    found = [each for each in told if word.casefold() in f"{each['name']} {each['label']}".casefold()]
    if not found:
        talk(f"no figure's name or words hold '{word}'; 'podbook figures' lists them all")
        raise SystemExit(USAGE)
    if as_json:
        print(json.dumps({"figures": found}, indent=1))
        return
    from rich.table import Table

    from podbook.review.words import console

    table = Table("name", "what it is", "allowed", "sheet")
    for each in found:
        table.add_row(each["name"], each["label"], each["allowed"], each["sheet"])
    screen = console()
    screen.print(table)
    talk("Next: write those that differ from the region's defaults into farm.toml, below [figures], as hay_price = 140")


def _told(book: Book, sheet: str, entry: Entry) -> dict[str, Any]:
    """Return a figure as plain data."""
    from podbook.review.entries import allowed
    from podbook.units import shown

    words = allowed(book, book.nodes[f"{entry.name}_entry"])
    return {"name": entry.name, "label": entry.label, "unit": shown(entry.unit), "allowed": words, "sheet": sheet}
