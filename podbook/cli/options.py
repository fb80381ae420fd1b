"""What the commands take alike: files, values that a shell completes, and options that several have."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from pathlib import Path

import click

PATH = click.Path(path_type=Path)
"""A file or folder; whether it is there, and fit, the rooms behind the commands say in their own words."""

own_region = click.option(
    "--region",
    type=PATH,
    metavar="FILE.toml",
    help="The region's file, if the workbook was built for one of your own.",
)
as_json = click.option("--json", "as_json", is_flag=True, help="One JSON object instead of words.")


def one_of(names: Callable[[], Iterable[str]]) -> Callable[[click.Context, click.Parameter, str], list[str]]:
    """Return what completes a word begun in a shell to one of some names."""
    return lambda context, parameter, begun: [name for name in names() if name.startswith(begun)]


def known_regions() -> Iterable[str]:
    """Return the names of the regions."""
    from podbook.regions import known

    return known()


def known_engines() -> Iterable[str]:
    """Return the names of the engines."""
    from podbook.recalc import ENGINES

    return ENGINES


def own_file(region: str | None) -> str | None:
    """Return a region's file, if it is of the user's own."""
    from podbook import regions

    return None if region is None or region in regions.names() else region
