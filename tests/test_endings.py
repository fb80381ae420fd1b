"""How commands end when the trouble is not the workbook's: an exit code and one line, never a traceback."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from podbook.book.writer import write
from podbook.cli.talk import UNREAD
from podbook.inputs.filled import Filled
from podbook.regions import HOME, load
from podbook.sheets import book_of

HOUSE = Path(__file__).parents[1]
UNCHECKED, USAGE = 3, 2
LONG = "a" * 300 + ".xlsx"
posix = pytest.mark.skipif(os.name != "posix", reason="pipes, limits and rights as Unix has them")


def podbook(words: str, folder: Path, *, stdout: object = subprocess.PIPE, **surroundings: str) -> tuple[int, str, str]:
    """Run a command in a folder; return its exit code and what it said."""
    done = subprocess.run(
        [sys.executable, "-m", "podbook", *words.split()],
        cwd=folder,
        stdout=stdout,  # type: ignore[arg-type]
        stderr=subprocess.PIPE,
        check=False,
        env={**os.environ, "PYTHONPATH": str(HOUSE), **surroundings},
        timeout=200,
    )
    return done.returncode, (done.stdout or b"").decode(errors="replace"), done.stderr.decode(errors="replace")


@posix
@pytest.mark.parametrize("words", ["verify demo.xlsx", "verify demo.xlsx --csv", "season demo.xlsx", "--help", "trees"])
def test_output_that_nobody_reads_ends_the_command_quietly(demo: Path, words: str) -> None:
    reading, writing = os.pipe()
    os.close(reading)
    try:
        code, _, err = podbook(words, demo.parent, stdout=writing)
    finally:
        os.close(writing)
    assert (code, err) == (UNREAD, "")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="there is no /dev/full")
@pytest.mark.parametrize("words", ["verify demo.xlsx", "verify demo.xlsx --json", "trees", "trees --help"])
def test_output_that_can_not_be_written_is_not_a_difference(demo: Path, words: str) -> None:
    with Path("/dev/full").open("wb") as full:
        code, _, err = podbook(words, demo.parent, stdout=full)
    assert code == UNCHECKED
    assert "No space left" in err
    assert err.count("\n") == 1


@pytest.mark.parametrize("words", ["verify farm.xlsx", "verify farm.xlsx --csv"])
def test_letters_that_the_output_lacks_are_spelled_out(tmp_path: Path, words: str) -> None:
    write(book_of(load(HOME), Filled("Ферма", ())), tmp_path / "farm.xlsx")
    code, out, err = podbook(words, tmp_path, PYTHONIOENCODING="cp1252")
    assert (code, err) == (0, "")
    assert "\\u0424\\u0435\\u0440\\u043c\\u0430" in out


@posix
@pytest.mark.skipif(hasattr(os, "geteuid") and os.geteuid() == 0, reason="root may enter every folder")
@pytest.mark.parametrize("words", ["verify shut/a.xlsx", "verify shut/a.xlsx shut/b.xlsx", "season shut/a.xlsx"])
def test_a_folder_that_may_not_be_entered(tmp_path: Path, words: str) -> None:
    (tmp_path / "shut").mkdir(mode=0)
    code, _, err = podbook(words, tmp_path)
    assert code == UNCHECKED
    assert "Traceback" not in err
    assert "Permission denied" in err


@posix
@pytest.mark.parametrize(
    ("words", "code"),
    [
        (f"verify {LONG}", UNCHECKED),
        (f"verify {LONG} {LONG[1:]}", UNCHECKED),
        (f"season {LONG}", UNCHECKED),
        (f"explain hay_price {LONG}", UNCHECKED),
        (f"carry {LONG} new.xlsx", UNCHECKED),
        (f"templates {LONG}", USAGE),
        (f"templates {LONG} --check --only {HOME}", 1),
        (f"build {LONG}", USAGE),
    ],
)
def test_a_name_that_is_too_long_is_the_one_complained_of(tmp_path: Path, words: str, code: int) -> None:
    found, _, err = podbook(words, tmp_path)
    assert found == code, err
    assert "Traceback" not in err
    assert "new.xlsx" not in err
    assert "aaaa" in err


@posix
@pytest.mark.parametrize("limit", ["-v 1000000", "-t 30", "-S -t 30"])
def test_a_limit_of_the_users_is_no_trouble(demo: Path, limit: str) -> None:
    command = f"ulimit {limit}; exec {sys.executable} -m podbook verify {demo}"
    environment = {**os.environ, "PYTHONPATH": str(HOUSE), "OPENBLAS_NUM_THREADS": "1"}
    done = subprocess.run(["bash", "-c", command], capture_output=True, text=True, check=False, env=environment)
    assert (done.returncode, done.stderr) == (0, "")


def test_a_fault_of_podbook_itself_is_told_in_a_line(monkeypatch: pytest.MonkeyPatch) -> None:
    from click.testing import CliRunner

    from podbook import pod_trees
    from podbook.cli import app

    monkeypatch.setattr(pod_trees, "pod_trees", lambda: {}["a thing"])
    done = CliRunner().invoke(app, ["trees"])
    assert done.exit_code == UNCHECKED
    assert "podbook failed (KeyError: 'a thing', test_endings.py:" in done.stderr
    assert done.stderr.count("\n") == 1
