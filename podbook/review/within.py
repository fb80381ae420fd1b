"""The inside of a child process that works on files from outside: bounded, and gone when its parent is."""

from __future__ import annotations

import gc
import os
import select
import signal
import sys
import threading
import time
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from functools import partial
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any

from podbook.errors import PodbookError
from podbook.limits import limit
from podbook.stopping import stop_when_told

Job = Callable[[Path], Any]
a_child = False
"""Whether this process is such a child."""


def serve(line: Connection, others: Iterable[Connection], job: Job, room: int) -> None:
    """Work on one file after the other, within bounds on memory and time; both come from the parent."""
    _settle(line, others, room)
    with suppress(EOFError, OSError):
        while True:
            path, seconds = line.recv()
            _bound_time(seconds)
            line.send(_tried(partial(job, path), path))


def deliver(
    line: Connection,
    others: Iterable[Connection],
    steps: Callable[[Path], Iterator[Any]],
    path: Path,
    room: int,
    seconds: float,
) -> None:
    """Send what each step with a file yields, while the next is taken; a problem ends them."""
    _settle(line, others, room)
    _bound_time(seconds)
    taken = steps(path)
    with ThreadPoolExecutor(max_workers=1) as sender:
        while True:
            step = _tried(lambda: next(taken, None), path)
            if step == (None, None):
                return
            sender.submit(line.send, step)


def _settle(line: Connection, others: Iterable[Connection], room: int) -> None:
    global a_child
    a_child = True
    for end in others:  # the parent's: were they open here, the parent's death would not be felt
        end.close()
    stop_when_told(os._exit)
    signal.signal(signal.SIGINT, _let_pass)
    _follow(line)
    _silence_engines()
    _sweep_seldom()
    _bound_memory(room)


def _let_pass(_number: int, _frame: object) -> None:
    """Leave an interrupt to the parent. Ignored, it would be ignored by every engine that this process starts."""


def _follow(line: Connection) -> None:
    """End this process when its parent is gone, whatever it is at."""
    if not hasattr(select, "poll"):
        return

    first = threading.get_ident()

    def wait() -> None:
        ended = select.poll()
        ended.register(line.fileno(), 0)
        ended.poll()
        signal.pthread_kill(first, signal.SIGTERM)  # another thread would leave that one asleep

    threading.Thread(target=wait, daemon=True).start()


def _tried(work: Callable[[], Any], path: Path) -> tuple[Any, tuple[str, str] | None]:
    """Return what comes of work on a file, or which problem it met and what that says."""
    try:
        return work(), None
    except PodbookError as problem:
        return None, (type(problem).__name__, str(problem))
    except MemoryError:
        return None, ("EngineFailed", f"{path}: takes more memory than allowed; take a fresh workbook")
    except BaseException as fault:  # no file from outside may stop the work on the others; engines raise more
        words = f"{path}: podbook failed on it ({type(fault).__name__}: {fault}); tell those who keep podbook"
        return None, ("EngineFailed", words)


def _sweep_seldom() -> None:
    """Look for rings of waste less often: a book is a hundred thousand things that all stay, a tenth of the time."""
    gc.freeze()
    gc.set_threshold(100_000, 50, 100)


def _silence_engines() -> None:
    """Let what engines write past Python, as they die, go nowhere; what Python says on stderr is still seen."""
    sys.stderr = os.fdopen(os.dup(2), "w")
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, 2)
    os.close(nowhere)


def _bound_memory(room: int) -> None:
    try:
        held = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[0]) * os.sysconf("SC_PAGE_SIZE")
    except OSError:  # elsewhere than on Linux
        return
    limit("AS", held + room)


def _bound_time(seconds: float) -> None:
    limit("CPU", int(time.process_time() + seconds) + 1)
