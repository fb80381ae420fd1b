"""Hostile files through the command line: a short answer in bounded time and memory, and nothing touched."""

from __future__ import annotations

import csv
import hashlib
import io
import os
import re
import signal
import socket
import subprocess
import sys
import threading
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from hostile import AGREES, ALL, TITLE, UNCHECKED, USAGE, Hostile, Trap, zipped
from packages import Parts, cell_of, put, sheet_part

import podbook

HOUSE = Path(podbook.__file__).parents[1]
SECONDS = 10
"""Of processor time: a machine may have other work to do."""
PATIENCE = 120
"""Seconds by the clock after which a process is stopped: what waits for ever uses no processor."""
BYTES = 500 << 20
LONGEST = 20_000
"""Characters of an answer."""


@dataclass(frozen=True)
class Answer:
    """What a command said, and what it took."""

    code: int
    out: str
    err: str
    seconds: float
    bytes: int

    @property
    def said(self) -> str:
        return self.out + self.err


LAUNCHER = """
import os, subprocess, sys
process = subprocess.Popen(sys.argv[2:])
_, status, used = os.wait4(process.pid, 0)
with open(sys.argv[1], "w") as file:
    file.write(f"{os.waitstatus_to_exitcode(status)} {used.ru_utime + used.ru_stime} {used.ru_maxrss}")
"""
"""Starts a command and notes its exit code, seconds and memory: a process is charged with the memory of the one that
forked it, so it must be a small one."""


@dataclass(frozen=True)
class Room:
    """A place in which a command is run: nothing is in its folders, and nothing may be in them afterwards."""

    root: Path
    trap: Trap
    listener: socket.socket

    def file(self, content: bytes, name: str = "farm.xlsx") -> Path:
        path = self.root / "given" / name
        path.write_bytes(content)
        return path

    def run(self, *words: str) -> Answer:
        """Run a command, and see that it left nothing and fetched nothing."""
        empty = [self.root / each for each in ("here", "home", "temporary")]
        environment = {
            "PATH": os.environ["PATH"],
            "PYTHONPATH": str(HOUSE),
            "PYTHONDONTWRITEBYTECODE": "1",
            "HOME": str(empty[1]),
            "TMPDIR": str(empty[2]),
        }
        with (self.root / "out").open("wb") as out, (self.root / "err").open("wb") as err:
            process = subprocess.Popen(
                [sys.executable, "-c", LAUNCHER, str(self.root / "used"), sys.executable, "-m", "podbook", *words],
                stdin=subprocess.DEVNULL, stdout=out, stderr=err, cwd=empty[0], env=environment, start_new_session=True,
            )  # fmt: skip
            stop = threading.Timer(PATIENCE, os.killpg, (process.pid, signal.SIGKILL))
            stop.start()
            process.wait()
            stop.cancel()
        code, seconds, room = (self.root / "used").read_text().split()
        assert [list(folder.iterdir()) for folder in empty] == [[], [], []]
        with pytest.raises(BlockingIOError):
            self.listener.accept()
        said = [(self.root / each).read_bytes().decode().replace("\r\n", "\n") for each in ("out", "err")]
        unit = 1 if sys.platform == "darwin" else 1024
        return Answer(int(code), *said, float(seconds), int(room) * unit)


@pytest.fixture
def room(tmp_path: Path) -> Iterator[Room]:
    for folder in ("given", "here", "home", "temporary"):
        (tmp_path / folder).mkdir()
    os.mkfifo(tmp_path / "pipe")
    with socket.create_server(("127.0.0.1", 0)) as listener:
        listener.setblocking(False)
        address = f"http://127.0.0.1:{listener.getsockname()[1]}"
        yield Room(tmp_path, Trap(tmp_path / "pipe", address), listener)


def well_behaved(answer: Answer) -> None:
    """Complain of an answer that is none, that is too long or took too much, or that steers the terminal."""
    assert "Traceback" not in answer.said, answer.said[-2_000:]
    assert "Warning" not in answer.said, answer.said[-2_000:]
    assert "panicked" not in answer.said, answer.said[-2_000:]
    assert answer.code >= 0, f"stopped by {signal.Signals(-answer.code).name}"
    assert answer.seconds < SECONDS
    assert answer.bytes < BYTES
    assert len(answer.said) < LONGEST
    assert not re.search("[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e]", answer.said)


@pytest.mark.parametrize("hostile", ALL, ids=lambda each: each.name)
def test_verify_answers(room: Room, parts: Parts, hostile: Hostile) -> None:
    content = hostile.make(dict(parts), room.trap)
    path = room.file(content)
    before = hashlib.sha256(content).digest()
    answer = room.run("verify", str(path))
    well_behaved(answer)
    assert answer.code == hostile.code, answer.said
    assert re.search(hostile.says, answer.said), answer.said
    if hostile.code == UNCHECKED:
        assert answer.out == ""
        assert answer.err.count("\n") == 1
    assert hashlib.sha256(path.read_bytes()).digest() == before
    assert [each.name for each in path.parent.iterdir()] == [path.name]


def test_recipes_have_names_of_their_own() -> None:
    assert len({each.name for each in ALL}) == len(ALL)


@pytest.mark.parametrize("kind", ["folder", "pipe", "nothing", "loop", "device"])
def test_what_is_no_file(room: Room, kind: str) -> None:
    path = room.root / "given" / "farm.xlsx"
    if kind == "folder":
        path.mkdir()
    elif kind == "pipe":
        os.mkfifo(path)
    elif kind == "loop":
        path.symlink_to(path)
    elif kind == "device":
        path.symlink_to("/dev/zero")
    answer = room.run("verify", str(path))
    well_behaved(answer)
    assert answer.code == (USAGE if kind == "folder" else UNCHECKED)
    assert answer.err.count("\n") == 1


@pytest.mark.parametrize("name", ["[red]a[bold] [.xlsx", "\x1b[31mred.xlsx", "two\nlines.xlsx", "-a.xlsx"])
def test_names_of_files(room: Room, name: str) -> None:
    answer = room.run("verify", "--", str(room.file(b"no workbook", name)))
    well_behaved(answer)
    assert answer.code == UNCHECKED
    answer = room.run("verify", "--json", "--", str(room.file(b"no workbook", name)))
    well_behaved(answer)


OTHER_COMMANDS = (
    "season {file}",
    "outlook {file} --draws 10",
    "outlook {file} --draws 10 --csv",
    "explain hay_price {file}",
    "carry {file} {root}/new.xlsx",
    "verify {file} --json",
    "verify {file} --csv",
    "verify {file} --report {root}/new.html",
)
RANGES = "lists of ranges, each just short enough"
STEERING = "signs that steer a terminal, worked out"


@pytest.mark.parametrize("words", OTHER_COMMANDS)
@pytest.mark.parametrize("name", ["bomb by ratio", "entity from a file", "cut off", RANGES, STEERING])
def test_the_other_commands_answer(room: Room, parts: Parts, words: str, name: str) -> None:
    hostile = next(each for each in ALL if each.name == name)
    path = room.file(hostile.make(dict(parts), room.trap))
    answer = room.run(*(each.format(file=path, root=room.root) for each in words.split()))
    well_behaved(answer)
    if hostile.code == UNCHECKED:
        assert answer.code == UNCHECKED
        assert answer.err.count("\n") == 1
        assert not list(room.root.glob("new.*"))


INJECTED = ("+SUM(1)", "-2+3", "@SUM(1)", "|calc", "[/] \x9b31m")


def with_names(parts: Parts) -> bytes:
    """A farm whose own name and types of trees are what a spreadsheet would calculate."""
    changed = dict(parts)
    put(changed, *cell_of(parts, TITLE), "'=cmd|'/c calc'!A1")
    sheet, cell = cell_of(parts, "types_name")
    row = re.search(rb'<row r="%s".*?</row>' % cell[1:].encode(), parts[sheet_part(parts, sheet)])
    assert row is not None
    _, *types = re.findall(rb"<t>([^<]+)</t>", row[0])
    for old, new in zip(types, INJECTED, strict=False):
        for part in (each for each in changed if "worksheets/sheet" in each):
            changed[part] = re.sub(rb"(<[tv]>)%s(?=</)" % old, rb"\g<1>" + new.encode(), changed[part])
    return zipped(changed)


@pytest.mark.parametrize("words", ["outlook --draws 20 --alike +SUM(1)=0.5 --csv", "verify --csv"])
def test_no_field_of_csv_is_a_formula(room: Room, parts: Parts, words: str) -> None:
    path = room.file(with_names(parts))
    answer = room.run(*words.split(), "--", str(path))
    well_behaved(answer)
    assert answer.code == 0, answer.said
    rows = list(csv.reader(io.StringIO(answer.out)))
    assert len(rows) > 1
    for field in (field for row in rows for field in row):
        assert not re.match(r"[=+\-@\t\r]", field) or re.fullmatch(r"-\d.*", field), field


def test_no_field_of_the_draws_is_a_formula(room: Room, parts: Parts) -> None:
    path, draws = room.file(with_names(parts)), room.root / "draws.csv"
    answer = room.run("outlook", str(path), "--draws", "20", "--alike", "+SUM(1)=0.5", "--every-draw", str(draws))
    well_behaved(answer)
    with draws.open(newline="") as file:
        heading, *rows = csv.reader(file)
    assert any("+SUM(1)" in field for field in heading)
    assert not [field for field in heading if re.match(r"[=+\-@\t\r]", field)]
    assert all(re.fullmatch(r"-?[\d.e+-]+", field) for row in rows for field in row)


def test_names_are_printed_as_they_stand(room: Room, parts: Parts) -> None:
    answer = room.run("verify", str(room.file(with_names(parts))))
    well_behaved(answer)
    assert answer.code == AGREES, answer.said
    assert "=cmd|'/c calc'!A1)" in answer.out
