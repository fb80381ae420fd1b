"""Bounds on what a process may use, as far as its own bounds leave room for them."""

from __future__ import annotations

import os
from contextlib import suppress


def limit(kind: str, wanted: int) -> None:
    """Bound what this process may use of a kind, such as "CPU"; a bound of the user's that is lower stays.

    Does nothing on Windows, which has no such bounds.
    """
    try:
        import resource
    except ImportError:
        return
    number = getattr(resource, f"RLIMIT_{kind}")
    _, hard = resource.getrlimit(number)
    soft = wanted if hard == resource.RLIM_INFINITY else min(wanted, hard)
    with suppress(ValueError, OSError):
        resource.setrlimit(number, (soft, hard))


def cores() -> int:
    """Return how many processes may well work side by side: Windows can't wait for more than 61."""
    if hasattr(os, "sched_getaffinity"):
        return min(61, len(os.sched_getaffinity(0)))
    return min(61, os.cpu_count() or 1)
