"""Verify workbooks in bounded child processes: one, or many at once."""

from __future__ import annotations

import hashlib
import os.path
import sys
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from contextlib import nullcontext
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from podbook.errors import PodbookError
from podbook.limits import cores
from podbook.recalc import DEFAULT
from podbook.review import early
from podbook.review.bounded import answers

if TYPE_CHECKING:
    from podbook.review.early import Early
    from podbook.review.verify import Verdict

ENGINE_SECONDS = {"formulas": 300.0, "libreoffice": 120.0}
"""How long the engines may take that run in processes of their own."""
HEADINGS = ("file", "farm", "result", "formula cells", "agreeing", "findings", "first finding", "status")


@dataclass(frozen=True)
class Outcome:
    """What came of one file."""

    path: Path
    verdict: Verdict | None
    problem: PodbookError | None = None
    """Why it could not be checked."""
    copy_of: Path | None = None
    """The file that holds the same bytes, and was verified in its place."""

    @property
    def result(self) -> str:
        """In one word."""
        if self.verdict is None:
            return "unchecked"
        return "agrees" if self.verdict.agrees else "differs"

    def row(self) -> tuple[str, ...]:
        """Return the file as a row of a table; see ``HEADINGS``."""
        if self.verdict is None:
            return (str(self.path), "", self.result, "", "", "", str(self.problem), "")
        counting = [each for each in self.verdict.findings if each.counts]
        first = f"{counting[0].address} ({counting[0].label}): {counting[0].what}" if counting else ""
        least = min(self.verdict.comparisons, key=lambda each: each.agreeing)
        numbers = (str(least.cells), str(least.agreeing), str(len(counting)))
        return (str(self.path), self.verdict.title, self.result, *numbers, first, self.verdict.status)

    def plain(self) -> dict[str, Any]:
        """Return it as plain data, for JSON."""
        if self.verdict is None:
            return {"file": str(self.path), "agrees": None, "could_not_check": str(self.problem)}
        return {**self.verdict.plain(), **({"copy_of": str(self.copy_of)} if self.copy_of else {})}

    def copied(self, path: Path) -> Outcome:
        """Return the same of a copy of the file."""
        assert self.verdict is not None
        return replace(self, path=path, verdict=replace(self.verdict, path=str(path)), copy_of=self.path)


def workbooks(paths: Sequence[Path]) -> list[Path]:
    """Return the workbooks that paths stand for: a folder stands for all in it, each only once."""
    found: list[Path] = []
    for path in paths:
        inside = sorted(path.glob("*.xlsx")) if os.path.isdir(path) else [path]
        found.extend(each for each in inside if each == path or not each.name.startswith(("~$", ".")))
    return list(dict.fromkeys(found))


def together(found: Sequence[Outcome]) -> dict[str, Any]:
    """Return many outcomes as plain data, for JSON."""
    counts = Counter(each.result for each in found)
    return {
        "files": [each.plain() for each in found],
        **{word: counts[word] for word in ("agrees", "differs", "unchecked")},
    }


def outcomes(
    paths: Sequence[Path],
    engines: Sequence[str] = (DEFAULT,),
    tell: Callable[[], None] = lambda: None,
    meanwhile: Callable[[], object] | None = None,
) -> list[Outcome]:
    """Verify workbooks, as many at once as there are cores; return their outcomes in the order of the paths.

    Of files that hold the same bytes the first is verified, and stands for the others.

    ``tell`` is called as each is done, ``meanwhile`` once while the first are worked on. A file that is broken, or
    too much, never stops the others.
    """
    done: dict[Path, Outcome] = {}
    digests = {path: _digest(path) for path in paths} if len(paths) > 1 else {}
    firsts = {digest: path for path, digest in reversed(digests.items())}
    originals = {path: firsts[digest] for path, digest in digests.items() if digest}
    copies = {path: first for path, first in originals.items() if path != first}
    # An engine in a process of its own takes more than the child that reads may take.
    soon = len(paths) == 1 and engines[0] not in ENGINE_SECONDS
    with early.begun(paths[0], engines[0]) if soon else nullcontext() as first:
        for each in _each([path for path in paths if path not in copies], engines, first, meanwhile):
            done[each.path] = each
            tell()
    for path, original in copies.items():
        found = done[original]
        if found.verdict is not None and found.verdict.digest == digests[path]:
            done[path] = found.copied(path)
            tell()
    for each in _each([path for path in copies if path not in done], engines, None, None):
        done[each.path] = each
        tell()
    return [done[path] for path in paths]


def _digest(path: Path) -> str:
    """Return the SHA-256 of a file that may be a workbook; nothing if it can't be one."""
    from podbook.review.gate.guard import FILE

    try:
        if not path.is_file() or path.stat().st_size > FILE:
            return ""
        return hashlib.sha256(path.read_bytes()).hexdigest()
    except OSError:
        return ""


def _each(
    paths: Sequence[Path], engines: Sequence[str], first: Early | None, meanwhile: Callable[[], object] | None
) -> Iterator[Outcome]:
    """Yield the outcomes; ``first`` may know of the only file already, while modules are imported here."""
    from podbook.review.verify import verify

    job = partial(verify, engines=tuple(engines), tell=_say if len(paths) == 1 else _say_nothing, early=first)
    seconds = sum(ENGINE_SECONDS.get(engine, 0.0) for engine in engines)
    for answer in answers(paths, job, cores(), seconds, meanwhile):
        yield Outcome(answer.path, answer.result, answer.problem)


def _say(engine: str) -> None:
    if sys.stderr.isatty():
        print(f"recalculating with {engine} ...", file=sys.stderr)


def _say_nothing(engine: str) -> None:
    pass
