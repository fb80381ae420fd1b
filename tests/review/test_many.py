"""Many workbooks in one call: copies of a file are verified once, and what is said of each is its own."""

from __future__ import annotations

import json
import os
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from openpyxl import load_workbook

from podbook.cli import app
from podbook.recalc import DEFAULT
from podbook.review import many
from podbook.review.bounded import Answer
from podbook.review.many import outcomes
from podbook.review.verify import verify


@pytest.fixture(scope="module")
def folder(demo: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder with a workbook, a copy, another one, and two copies of what is none."""
    folder = tmp_path_factory.mktemp("returned")
    shutil.copyfile(demo, folder / "b.xlsx")
    shutil.copyfile(demo, folder / "a.xlsx")
    book = load_workbook(demo)
    book["Farm"]["A1"].value = "Another heading"
    book.save(folder / "c.xlsx")
    for name in ("d.xlsx", "e.xlsx"):
        (folder / name).write_text("no workbook", encoding="utf-8")
    return folder


def test_a_copy_is_verified_once_and_judged_like_its_original(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    worked: list[str] = []
    answers = many.answers

    def counted(paths: list[Path], *rest: Any) -> Iterator[Answer]:
        worked.extend(path.name for path in paths)
        return answers(paths, *rest)

    told = 0

    def tell() -> None:
        nonlocal told
        told += 1

    monkeypatch.setattr(many, "answers", counted)
    found = outcomes([folder / f"{name}.xlsx" for name in "abcde"], tell=tell)
    assert [each.path.name for each in found] == ["a.xlsx", "b.xlsx", "c.xlsx", "d.xlsx", "e.xlsx"]
    assert sorted(worked) == ["a.xlsx", "c.xlsx", "d.xlsx", "e.xlsx"]
    assert told == 5
    assert [each.copy_of for each in found] == [None, folder / "a.xlsx", None, None, None]
    assert found[1].verdict == verify(folder / "b.xlsx", (DEFAULT,))
    assert "e.xlsx" in str(found[4].problem)


def test_a_file_that_changes_meanwhile_is_verified_itself(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    digests = iter(("one", "one"))
    monkeypatch.setattr(many, "_digest", lambda path: next(digests))
    found = outcomes([folder / "a.xlsx", folder / "c.xlsx"])
    assert [each.copy_of for each in found] == [None, None]
    assert found[1].verdict == verify(folder / "c.xlsx", (DEFAULT,))


def test_the_command_says_what_is_a_copy(folder: Path) -> None:
    pair = [str(folder / "a.xlsx"), str(folder / "b.xlsx")]
    assert "b.xlsx: holds the same as" in CliRunner().invoke(app, ["verify", *pair], env={"COLUMNS": "300"}).stdout
    files = json.loads(CliRunner().invoke(app, ["verify", *pair, "--json"]).stdout)["files"]
    assert [each.get("copy_of") for each in files] == [None, pair[0]]


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="there are no pipes with a name here")
def test_what_is_no_file_is_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.xlsx")
    assert many._digest(tmp_path / "pipe.xlsx") == ""
