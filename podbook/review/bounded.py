"""Work on files from outside in child processes, each bounded in time and memory.

A child that is stopped, or that dies, costs one file its answer; the others are worked on by the next child.
"""

from __future__ import annotations

import multiprocessing
import signal
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from functools import partial
from multiprocessing.connection import Connection, wait
from multiprocessing.process import BaseProcess
from pathlib import Path
from typing import Any, cast

from podbook import recalc
from podbook.errors import EngineFailed, NotOurWorkbook, PodbookError, Refused
from podbook.recalc import DEFAULT, Address, Cell, Wanted
from podbook.review import within
from podbook.review.within import Job

SECONDS = 10
"""Of processor time for one file: a full book takes about 2 s, one with 1,500 trees 12 s."""
SECONDS_A_MEGABYTE = 15
"""More of it for a large file, by its size packed: a book of 1,500 trees has 1.3 MB."""
WAITING = 12
"""How many times longer than its processor time a file may take in all: the machine may be busy."""
BYTES = 1 << 30
"""Address space more than a child starts with: a full book needs 0.3 GB, of which 0.1 GB is used."""
ENGINE_BYTES = 8 << 30
"""More of it where engines run in processes of their own, which inherit the bound."""
FILES_A_CHILD = 100
"""After so many files a child is replaced: memory stays flat."""

PATIENCE = 5
"""Seconds in which a child that is told to end may tidy up."""

_ours: set[Connection] = set()
"""The ends of the children's lines that are this process's: a child closes them, for it inherits them."""
_PROBLEMS = {each.__name__: each for each in (NotOurWorkbook, Refused, EngineFailed)}


@dataclass(frozen=True)
class Answer:
    """What came of one file."""

    path: Path
    result: Any = None
    problem: PodbookError | None = None
    """Why there is no result."""


def answers(
    paths: Sequence[Path],
    job: Job,
    children: int,
    engine_seconds: float = 0,
    meanwhile: Callable[[], object] | None = None,
) -> Iterator[Answer]:
    """Yield the answer for each file, in the order in which they come.

    ``engine_seconds`` is how long engines may take that run in processes of their own, which have their own bounds;
    ``meanwhile`` is called once, when the first children are at work.
    """
    waiting = list(reversed(paths))
    crew: list[_Child] = []
    try:
        while waiting or crew:
            while waiting and len(crew) < min(children, len(paths)):
                crew.append(_Child(job, engine_seconds))
                crew[-1].give(waiting.pop())
            if meanwhile is not None:
                meanwhile()
                meanwhile = None
            soonest = min(each.deadline for each in crew) - time.monotonic()
            wait([each.line for each in crew], timeout=max(0.0, soonest))
            for child in tuple(crew):
                answer = child.answer()
                if answer is None:
                    continue
                yield answer
                if child.spent or not waiting:
                    child.dismiss()
                    crew.remove(child)
                else:
                    child.give(waiting.pop())
    finally:
        for child in crew:
            child.dismiss()


def one(path: Path, job: Job) -> Any:
    """Return what a job makes of one file, in a child process unless this is one; raise the problem it meets."""
    if within.a_child:
        return job(path)
    (answer,) = answers([path], job, 1)
    if answer.problem is not None:
        raise answer.problem
    return answer.result


@contextmanager
def ahead(path: Path, steps: Callable[[Path], Iterator[Any]]) -> Iterator[Connection]:
    """Let a child take steps with one file; give the line on which it delivers what each of them yields.

    The child ends with the block, wherever it is. The line may be handed to another child.
    """
    context = _context()
    line, theirs = context.Pipe(duplex=False)
    args = (theirs, (*_ours, line), steps, path, BYTES, allowed(path))
    process: BaseProcess = context.Process(target=within.deliver, args=args)
    process.start()
    theirs.close()
    try:
        yield line
    finally:
        _end(line, process)


def delivered(line: Connection) -> Any:
    """Return what a child delivers next; None if it died. Raises the problem that it met."""
    try:
        result, problem = line.recv()
    except (EOFError, OSError):
        return None
    if problem is not None:
        raise _problem(problem)
    return result


def values(path: Path, wanted: Wanted) -> dict[Address, Cell]:
    """Return the values of cells as the everyday engine works them out.

    Raises EngineFailed where they can't be worked out within bounds.
    """
    return cast("dict[Address, Cell]", one(path, partial(recalc.values, engine=DEFAULT, wanted=wanted)))


class _Child:
    """A child process, and the file it works on."""

    def __init__(self, job: Job, engine_seconds: float) -> None:
        context = _context()
        self.line, theirs = context.Pipe()
        room = BYTES + (ENGINE_BYTES if engine_seconds else 0)
        _ours.add(self.line)
        self.process: BaseProcess = context.Process(target=within.serve, args=(theirs, tuple(_ours), job, room))
        self.process.start()
        theirs.close()
        self.engine_seconds, self.files, self.spent = engine_seconds, 0, False

    def give(self, path: Path) -> None:
        self.path = path
        self.files += 1
        self.seconds = allowed(path) + self.engine_seconds
        self.deadline = time.monotonic() + WAITING * self.seconds
        with suppress(OSError):  # it died: its answer says so
            self.line.send((path, self.seconds))

    def answer(self) -> Answer | None:
        """Return the answer if there is one: what the child says, or that it died or is late."""
        if self.line.poll():
            try:
                result, problem = self.line.recv()
            except (EOFError, OSError):
                self.process.join()
                late = self.process.exitcode == -getattr(signal, "SIGXCPU", 0)
                return self._gone(
                    f"took more than {self.seconds:.0f} s" if late else "could not be worked on to its end"
                )
            self.spent = self.files >= FILES_A_CHILD
            return Answer(self.path, result, problem and _problem(problem))
        if time.monotonic() >= self.deadline:
            return self._gone(f"was stopped after {WAITING * self.seconds:.0f} s")
        return None

    def _gone(self, what: str) -> Answer:
        self.spent = True
        return Answer(
            self.path, problem=EngineFailed(f"{self.path}: {what}; make it smaller, or take a fresh workbook")
        )

    def dismiss(self) -> None:
        _end(self.line, self.process)


def _context() -> Any:
    return multiprocessing.get_context("fork" if "fork" in multiprocessing.get_all_start_methods() else None)


def _end(line: Connection, process: BaseProcess) -> None:
    _ours.discard(line)
    line.close()
    process.terminate()
    process.join(PATIENCE)
    if process.is_alive():
        process.kill()
        process.join()


def _problem(told: tuple[str, str]) -> PodbookError:
    return _PROBLEMS.get(told[0], EngineFailed)(told[1])


def allowed(path: Path) -> float:
    """Return the processor time that a file may take, in seconds."""
    try:
        size = path.stat().st_size
    except OSError:
        size = 0
    return SECONDS + SECONDS_A_MEGABYTE * min(size, 4 << 20) / (1 << 20)
