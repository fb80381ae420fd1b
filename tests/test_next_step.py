"""The next command can be pasted into a shell as it stands."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest
from click.testing import CliRunner

from podbook.cli import app
from podbook.next_step import command


def test_words_are_quoted_and_a_region_of_ones_own_is_named() -> None:
    assert command("verify", Path("my farm.xlsx")) == "podbook verify 'my farm.xlsx'"
    assert command("verify", "a.xlsx", region=Path("my own.toml")) == "podbook verify a.xlsx --region 'my own.toml'"


@pytest.mark.parametrize("words", ["carry demo.xlsx new.xlsx", "build --farms farms.csv --out winter"])
def test_the_step_that_is_named_works_for_a_region_of_ones_own(
    demo: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, words: str
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("demo.xlsx").write_bytes(demo.read_bytes())
    Path("farms.csv").write_text("farm,file\nA farm,a.xlsx\n", encoding="utf-8")
    run = CliRunner().invoke
    assert run(app, ["regions", "--start", "mine.toml"]).exit_code == 0
    done = run(app, [*words.split(), "--region", "mine.toml"])
    step = re.search(r"podbook (verify .*)", done.stderr)
    assert step is not None, done.output
    assert step[1].endswith(" --region mine.toml")
    assert run(app, shlex.split(step[1])).exit_code == 0
