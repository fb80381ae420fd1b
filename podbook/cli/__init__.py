"""The commands. No arithmetic here: they read words and files, and print what the other rooms say."""

from __future__ import annotations

import typer

from podbook.cli.building import build, templates
from podbook.cli.carrying import carry
from podbook.cli.explaining import explain
from podbook.cli.handbook import trees
from podbook.cli.looking_ahead import outlook
from podbook.cli.printing import handout
from podbook.cli.regions import regions
from podbook.cli.telling import functions, season
from podbook.cli.verifying import verify

app = typer.Typer(add_completion=True, no_args_is_help=True, rich_markup_mode=None, pretty_exceptions_enable=False,
                  help="Pods as winter feed: build a workbook for a farm, and check what comes back.")  # fmt: skip

for command in (build, verify, explain, carry, season, handout, outlook, regions, trees, functions, templates):
    app.command()(command)


def main() -> None:
    """Run the command line."""
    app()
