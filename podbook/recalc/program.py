"""Run a program that calculates, in a folder of its own and within a time, and leave nothing of either behind."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from functools import partial
from pathlib import Path
from typing import Any

from podbook.stopping import going_along

TRIES = 100
"""How often a folder is removed: a program that was ended may still write into it."""


@contextmanager
def scratch() -> Iterator[Path]:
    """Give an empty folder, which is gone afterwards."""
    folder = tempfile.mkdtemp(prefix="podbook-")
    with going_along(partial(_remove, folder)):
        try:
            yield Path(folder)
        finally:
            _remove(folder)


def run(
    command: list[str], seconds: float, given: bytes | None = None, **options: Any
) -> subprocess.CompletedProcess[bytes]:
    """Run a command and return what it wrote. Raises subprocess.TimeoutExpired where it takes longer than its seconds.

    With a session of its own all that it starts ends with it, too.
    """
    with subprocess.Popen(command, **options) as process, going_along(partial(_end, process)):
        try:
            out, err = process.communicate(given, timeout=seconds)
        finally:
            _end(process)
    return subprocess.CompletedProcess(command, process.returncode, out, err)


def _end(process: subprocess.Popen[bytes]) -> None:
    if process.poll() is not None:
        return
    with suppress(ProcessLookupError):
        if hasattr(os, "killpg") and os.getpgid(process.pid) == process.pid:
            os.killpg(process.pid, signal.SIGKILL)
        else:
            process.kill()


def _remove(folder: str) -> None:
    for _ in range(TRIES):
        shutil.rmtree(folder, ignore_errors=True)
        if not os.path.exists(folder):
            return
        time.sleep(0.02)
