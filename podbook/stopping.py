"""End a process when it is told to end, so that it takes along what it started and leaves nothing half made."""

from __future__ import annotations

import os
import signal
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import partial

SIGNALS = tuple(getattr(signal, name) for name in ("SIGTERM", "SIGHUP") if hasattr(signal, name))
"""To be ended by another process, and by a terminal that is closed."""

_going_along: list[Callable[[], None]] = []
_told = False


def stop_when_told(leave: Callable[[int], object]) -> None:
    """Leave this process, though none that it forks, when it is told to end; ``leave`` is given shells' exit code.

    ``sys.exit`` lets every block come to its end first, though what Python tidies up at that moment may swallow it;
    ``os._exit`` leaves at once.
    """
    _going_along.clear()  # in a process that was forked, all of it is the parent's
    for number in SIGNALS:
        if signal.getsignal(number) is not signal.SIG_IGN:  # as nohup has it
            signal.signal(number, partial(_stop, leave))
    if hasattr(os, "register_at_fork"):
        os.register_at_fork(after_in_child=_as_usual)


@contextmanager
def going_along(end: Callable[[], None]) -> Iterator[None]:
    """End something that the block makes, perhaps in another thread, when this process is told to end."""
    _going_along.append(end)
    try:
        if _told:
            end()
        yield
    finally:
        _going_along.remove(end)


def _stop(leave: Callable[[int], object], number: int, _frame: object) -> None:
    global _told
    _told = True
    for end in reversed(tuple(_going_along)):
        end()
    leave(128 + number)


def _as_usual() -> None:
    for number in SIGNALS:
        if signal.getsignal(number) is not signal.SIG_IGN:
            signal.signal(number, signal.SIG_DFL)
