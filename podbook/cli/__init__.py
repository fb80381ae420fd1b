"""The commands. No arithmetic here: they read words and files, and print what the other rooms say."""

from __future__ import annotations

import gc

import click

from podbook.cli.building import build, templates
from podbook.cli.carrying import carry
from podbook.cli.explaining import explain
from podbook.cli.figures import figures
from podbook.cli.front import greet
from podbook.cli.handbook import trees
from podbook.cli.looking_ahead import outlook
from podbook.cli.printing import handout
from podbook.cli.regions import regions
from podbook.cli.talk import INTERRUPTED
from podbook.cli.telling import functions, season
from podbook.cli.verifying import verify

COMMANDS = (build, verify, explain, carry, season, handout, outlook, regions, trees, figures, functions, templates)
"""The commands in the order in which they are listed."""


class Commands(click.Group):
    """The commands in their own order, whose exit codes mean what they say."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Return their names in the order in which they are listed."""
        return list(self.commands)

    def invoke(self, ctx: click.Context) -> object:
        """Run the one asked for."""
        try:
            return super().invoke(ctx)
        except KeyboardInterrupt:
            raise SystemExit(INTERRUPTED) from None


@click.group(cls=Commands, commands=COMMANDS, invoke_without_command=True, context_settings={"max_content_width": 100})
@click.pass_context
def app(context: click.Context) -> None:
    """Pods as winter feed: build a workbook for a farm, and check what comes back.

    Example: podbook build demo.xlsx
    """
    if context.invoked_subcommand is None:
        greet()


def main() -> None:
    """Run the command line."""
    gc.set_threshold(100_000, 50, 100)  # a command is short, and what it makes stays: looking for waste is in vain
    app()
