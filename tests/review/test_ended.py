"""Commands that are ended from outside: neither a process nor a file of theirs is left."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from packages import Parts, packed

from podbook import recalc

HOUSE = Path(recalc.__file__).parents[2]
PATIENCE = 60
"""Seconds by the clock, on a machine that has other work to do."""

pytestmark = pytest.mark.skipif(not Path("/proc/self/environ").exists(), reason="processes are looked for in /proc")


def marked(mark: str) -> dict[int, str]:
    """Return the processes that have inherited a mark, and their commands."""
    found = {}
    for folder in Path("/proc").glob("[0-9]*"):
        try:
            if mark.encode() in (folder / "environ").read_bytes():
                found[int(folder.name)] = (folder / "cmdline").read_bytes().replace(b"\0", b" ").decode()
        except OSError:
            continue
    return {number: command for number, command in found.items() if command}


def until(true: Callable[[], bool], what: str) -> None:
    end = time.monotonic() + PATIENCE
    while not true():
        assert time.monotonic() < end, what
        time.sleep(0.02)


def heed_signals() -> None:
    """Undo what a shell does to a command in the background, and nohup to any."""
    for number in (signal.SIGINT, signal.SIGHUP):
        signal.signal(number, signal.SIG_DFL)


def at_work(engine: str) -> Callable[[dict[int, str]], bool]:
    """Return what says whether an engine is at work; the everyday one is in the children, of which there are two."""
    program = {"formulas": "formulas_engine", "libreoffice": "soffice.bin"}.get(engine)
    if program is None:
        return lambda found: len(found) >= 3
    return lambda found: any(program in command for command in found.values())


@pytest.mark.parametrize("engine", recalc.ENGINES)
@pytest.mark.parametrize(
    ("number", "group"),
    [(signal.SIGTERM, False), (signal.SIGKILL, False), (signal.SIGINT, True), (signal.SIGHUP, True)],
    ids=["told to end", "killed", "interrupted", "terminal closed"],
)
def test_nothing_is_left(
    demo: Path, parts: Parts, tmp_path: Path, engine: str, number: signal.Signals, group: bool
) -> None:
    if engine not in recalc.installed():
        pytest.skip(f"{engine} is not here")
    given, temporary = tmp_path / "given", tmp_path / "temporary"
    given.mkdir()
    temporary.mkdir()
    shutil.copyfile(demo, given / "a.xlsx")
    packed(given / "b.xlsx", {**parts, "xl/media/image9.png": b""})  # no copy, but another file
    mark = str(temporary)
    command = [sys.executable, "-m", "podbook", "verify", str(given), "--engine", engine]
    process = subprocess.Popen(
        command,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        text=True,
        env={**os.environ, "PYTHONPATH": str(HOUSE), "TMPDIR": mark},
        start_new_session=True,
        preexec_fn=heed_signals,
    )
    try:
        until(lambda: at_work(engine)(marked(mark)), "it never began")
        time.sleep(0.2)  # as it forks, Python itself may lose an interrupt
        (os.killpg if group else os.kill)(process.pid, number)
        said = process.communicate(timeout=PATIENCE)[1]
        assert process.returncode in (-number, 128 + number)
        until(lambda: not marked(mark), "processes are left")
        assert (list(temporary.rglob("*")), said) == ([], "")
    finally:
        for each in marked(mark):
            os.kill(each, signal.SIGKILL)
        shutil.rmtree(temporary)
