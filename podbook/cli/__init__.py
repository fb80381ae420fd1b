"""The commands. No arithmetic here: they read words and files, and print what the other rooms say."""

from __future__ import annotations

import gc
import sys
from importlib import import_module
from typing import Any

import click

from podbook.cli.ending import ending, spell_out
from podbook.cli.front import greet
from podbook.stopping import stop_when_told

COMMANDS = {
    "build": "building",
    "verify": "verifying",
    "explain": "explaining",
    "carry": "carrying",
    "season": "telling",
    "handout": "printing",
    "outlook": "looking_ahead",
    "regions": "regions",
    "trees": "handbook",
    "figures": "figures",
    "functions": "telling",
    "templates": "building",
}
"""The commands in the order in which they are listed, and the module of each: a command loads its own alone."""


class Commands(click.Group):
    """The commands in their own order, whose exit codes mean what they say."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Return their names in the order in which they are listed."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Return the one of a name; where there is none, the nearest are named."""
        if cmd_name in COMMANDS:
            return command(cmd_name)
        if ctx.resilient_parsing or cmd_name.startswith("-"):
            return None
        raise click.exceptions.NoSuchCommand(cmd_name, possibilities=COMMANDS, ctx=ctx)

    def invoke(self, ctx: click.Context) -> object:
        """Run the one asked for."""
        with ending():
            return super().invoke(ctx)

    def make_context(
        self, info_name: str | None, args: list[str], parent: click.Context | None = None, **extra: Any
    ) -> click.Context:
        """Read the words of the command line; where help is asked for, it is printed."""
        with ending():
            return super().make_context(info_name, args, parent, **extra)


def command(name: str) -> click.Command:
    """Return a command by its name."""
    found = getattr(import_module(f"podbook.cli.{COMMANDS[name]}"), name)
    assert isinstance(found, click.Command)
    return found


@click.group(cls=Commands, invoke_without_command=True, context_settings={"max_content_width": 100})
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
    stop_when_told(sys.exit)
    spell_out()
    try:
        app()
    finally:
        gc.freeze()  # nor is it looked for as the command ends
