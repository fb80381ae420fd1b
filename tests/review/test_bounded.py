"""Work in child processes: what one file does to its child, the others never feel."""

from __future__ import annotations

import os
import signal
import sys
from pathlib import Path
from typing import Any

import pytest

from podbook.errors import EngineFailed, NotOurWorkbook, Refused
from podbook.review import bounded
from podbook.review.bounded import Answer, answers, one

linux = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="the bounds are Linux's")


def job(path: Path) -> Any:
    """Do what the name of the file says."""
    word = path.name
    if word == "refused":
        raise Refused("refused: why")
    if word == "broken":
        raise NotOurWorkbook("broken: why")
    if word == "bug":
        raise KeyError("a thing")
    if word == "killed":
        os.kill(os.getpid(), signal.SIGKILL)
    if word == "greedy":
        return len(bytearray(8 << 30))
    while word == "endless":
        pass
    return f"{word} done in another process: {os.getpid() != PARENT}"


def number(path: Path) -> int:
    """Return the number of the process that this is done in."""
    return os.getpid()


PARENT = os.getpid()


def by_name(*words: str, children: int = 2) -> dict[str, Answer]:
    return {each.path.name: each for each in answers([Path(word) for word in words], job, children)}


@linux
def test_one_broken_file_never_stops_the_others(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(bounded, "SECONDS", 1)
    found = by_name("a", "refused", "broken", "bug", "killed", "greedy", "endless", "b", "c")
    assert [found[word].result for word in "abc"] == [f"{word} done in another process: True" for word in "abc"]
    kinds = {word: type(each.problem) for word, each in found.items() if each.problem is not None}
    assert kinds == {
        "refused": Refused,
        "broken": NotOurWorkbook,
        **dict.fromkeys(("bug", "killed", "greedy", "endless"), EngineFailed),
    }
    assert str(found["refused"].problem) == "refused: why"
    assert "KeyError" in str(found["bug"].problem)
    assert "took more than 1 s" in str(found["endless"].problem)
    assert "memory" in str(found["greedy"].problem)


def test_a_child_is_replaced_after_so_many_files(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(bounded, "FILES_A_CHILD", 2)
    assert len({each.result for each in answers([Path(str(name)) for name in range(7)], number, 1)}) == 4


def test_one_file_gives_its_result_or_raises_its_problem() -> None:
    assert one(Path("a"), job) == "a done in another process: True"
    with pytest.raises(Refused, match="why"):
        one(Path("refused"), job)
