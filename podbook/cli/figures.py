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
    from podbook.book.model import Book
    from podbook.book.node import Node

PARTS = {
    "type": {
        "name": "types.name",
        "origin": "types.origin",
        "kind": "types.kind",
        "share": "mix.share",
        "first_crop_age": "mix.first_crop_age",
        "full_crop_age": "mix.full_crop_age",
        "own_yield": "by_type.own",
        "tree_price": "order.price",
    },
    "group": {
        name: f"groups.{name}"
        for name in (
            *("kind", "head", "body_weight", "condition", "breed_factor", "calf_weight", "mature_weight"),
            *("days_pregnant", "week_in_milk", "peak_milk", "gain"),
        )
    },
}
"""The parts of a farm's file that may stand there several times: their names, and the field of the book of each."""


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
    """List what farm.toml may name: the single figures under [figures], which a list of farms may have as columns too,
    and what each [[type]] and each [[group]] may hold.

    Example: podbook figures hay
    """
    from podbook import regions
    from podbook.book.layout import lay_out
    from podbook.inputs.filled import Filled
    from podbook.sheets import book_of, figures_of

    if units not in SYSTEMS:
        talk(f"--units: found '{units}'; allowed: {listed(SYSTEMS)}")
        raise SystemExit(USAGE)
    book = book_of(regions.load(regions.HOME), Filled("", ()), units)
    singles = [(sheet, entry.name, book.nodes[f"{entry.name}_entry"]) for sheet, entry in figures_of(book.sheets)]
    sheet_of = {key: place.sheet for key, place in lay_out(book).places.items()}
    told = {"figures": [_told(book, *each) for each in singles]} | {
        part: [_told(book, sheet_of[key], name, book.nodes[key]) for name, key in names.items()]
        for part, names in PARTS.items()
    }
    found = {
        part: [each for each in rows if word.casefold() in f"{each['name']} {each['label']}".casefold()]
        for part, rows in told.items()
    }
    if not any(found.values()):
        talk(f"no figure's name or words hold '{word}'; 'podbook figures' lists them all")
        raise SystemExit(USAGE)
    if as_json:
        print(json.dumps(found, indent=1))
        return
    from rich.table import Table

    from podbook.review.words import console

    screen = console()
    for part, rows in found.items():
        if rows:
            heading = "[figures]" if part == "figures" else f"[[{part}]]"
            table = Table(f"name, below {heading}", "what it is", "allowed", "sheet")
            for each in rows:
                table.add_row(each["name"], each["label"], each["allowed"], each["sheet"])
            screen.print(table)
    if found["figures"]:
        talk("Next: write what differs from the region's defaults into farm.toml, below [figures], as hay_price = 140")
    else:
        talk("Next: write them into farm.toml, below the part that they belong to, as head = 40")


def _told(book: Book, sheet: str, name: str, node: Node) -> dict[str, Any]:
    """Return a figure as plain data."""
    from podbook.review.entries import allowed
    from podbook.units import shown

    label, words = node.label.removesuffix(" (as filled in)"), allowed(book, node)
    return {"name": name, "label": label, "unit": shown(node.unit), "allowed": words, "sheet": sheet}
