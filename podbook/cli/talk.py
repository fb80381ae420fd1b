"""What the commands share: exit codes, talk on stderr, progress."""

from __future__ import annotations

import csv
import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from podbook.errors import BadInput, PodbookError
from podbook.harmless import for_csv, plain

AGREES, DIFFERS, USAGE, UNCHECKED = 0, 1, 2, 3
"""Exit codes: all agrees, something differs, wrong usage, could not be checked."""
INTERRUPTED = 130
"""Exit code of a command that was interrupted, as shells have it: click's own would say that something differs."""
UNREAD = 141
"""Exit code of a command whose output nobody reads to its end, as shells have it."""


def know(region: Path | None) -> None:
    """Make a user's own region known, or end the command with a complaint."""
    if region is None:
        return
    from podbook.regions import know as known

    try:
        known(region)
    except PodbookError as problem:
        complain(problem)
        raise SystemExit(USAGE) from None


@contextmanager
def progress(total: int, words: str) -> Iterator[Callable[[int], None]]:
    """Show how much is done, on a terminal only; what it gives is called with the number done."""
    if not total or not sys.stderr.isatty():
        yield lambda done: None
        return
    from rich.console import Console
    from rich.progress import Progress

    with Progress(console=Console(stderr=True), transient=True) as progress:
        task = progress.add_task(words, total=total)
        yield lambda done: progress.update(task, completed=done)


@contextmanager
def working(words: str) -> Iterator[None]:
    """Show that something is being done that takes a while, on a terminal only."""
    if not sys.stderr.isatty():
        yield
        return
    from rich.console import Console

    with Console(stderr=True).status(plain(words)):
        yield


def print_csv(rows: Iterable[Sequence[object]]) -> None:
    """Print a table as CSV, in which no text is taken for a formula."""
    csv.writer(sys.stdout, lineterminator="\n").writerows(map(for_csv, rows))


def complain(problem: PodbookError) -> None:
    talk(str(problem))
    if isinstance(problem, BadInput) and problem.complaints[0].line is not None:
        number = len(problem.complaints)
        talk(f"{number} {'place' if number == 1 else 'places'} to mend; nothing was written")


def talk(words: str) -> None:
    print(plain(words), file=sys.stderr)
