"""The commands. No arithmetic here: they read words and files, and print what the other rooms say."""

from __future__ import annotations

from collections.abc import Callable

import typer

from podbook.cli.building import build, templates
from podbook.cli.carrying import carry
from podbook.cli.explaining import explain
from podbook.cli.front import greet
from podbook.cli.handbook import trees
from podbook.cli.looking_ahead import outlook
from podbook.cli.printing import handout
from podbook.cli.regions import regions
from podbook.cli.telling import functions, season
from podbook.cli.verifying import verify

WIDEST = {"max_content_width": 100}
IN_BRIEF: dict[Callable[..., None], str] = {
    build: "Build a workbook, or one for every farm of a list.",
    verify: "Check workbooks: every cell against its reference function.",
    explain: "Tell how one cell comes about.",
    carry: "Take what is filled in to a new workbook.",
    season: "Tell a workbook's winter month by month.",
    handout: "Print two pages for the barn wall: winter plan and cautions.",
    outlook: "Ask what could go differently with a planting.",
    regions: "List regions and weather stations, or show one.",
    trees: "List the kinds of pod tree, or tell one.",
    functions: "List the functions behind the cells, with their sources.",
    templates: "Build the templates of all regions.",
}
"""The commands in their order, each in one line."""

app = typer.Typer(add_completion=True, invoke_without_command=True, rich_markup_mode=None, context_settings=WIDEST,
                  pretty_exceptions_enable=False, callback=greet)  # fmt: skip

for command, words in IN_BRIEF.items():
    app.command(short_help=words, context_settings=WIDEST)(command)


def main() -> None:
    """Run the command line."""
    app()
