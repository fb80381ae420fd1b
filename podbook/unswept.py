"""A while without Python's collector of rings."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def unswept() -> Iterator[None]:
    """Let no rings be collected meanwhile: for work that makes many objects, all of which are kept to its end.

    The collector would look through all of them again and again, an eighth of the time that a build takes, and find
    nothing: a build takes no more memory without it.
    """
    if not gc.isenabled():
        yield
        return
    gc.disable()
    try:
        yield
    finally:
        gc.enable()
