"""What a child finds out early is what would be found out when asked; what it can't deliver costs nothing but time."""

from __future__ import annotations

import multiprocessing
import os
import signal
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from podbook import recalc
from podbook.errors import EngineFailed, NotOurWorkbook
from podbook.recalc import DEFAULT
from podbook.review import bounded, early
from podbook.review.early import Early, begun
from podbook.review.gate.read import read
from podbook.review.many import outcomes
from podbook.review.verify import verify

linux = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="there a child knows what was changed here")


def test_a_child_delivers_what_would_be_found_out_here(demo: Path) -> None:
    with begun(demo, DEFAULT) as told:
        contents = told.contents()
        values = told.values(contents)
    assert contents == read(demo)
    assert values == Early(demo, DEFAULT).values(contents)
    assert len(values) > 10_000


def test_the_verdict_is_the_same(demo: Path) -> None:
    with begun(demo, DEFAULT) as told:
        helped = verify(demo, (DEFAULT,), early=told)
    assert helped == verify(demo, (DEFAULT,))


@pytest.mark.parametrize("step", [0, 1])
@linux
def test_a_child_that_dies_costs_no_answer(demo: Path, step: int, monkeypatch: pytest.MonkeyPatch) -> None:
    parent, steps = os.getpid(), early._steps

    def dying(path: Path, engine: str) -> Iterator[object]:
        for number, each in enumerate(steps(path, engine)):
            if number == step and os.getpid() != parent:
                os.kill(os.getpid(), signal.SIGKILL)
            yield each

    monkeypatch.setattr(early, "_steps", dying)
    with begun(demo, DEFAULT) as told:
        verdict = verify(demo, (DEFAULT,), early=told)
    assert verdict == verify(demo, (DEFAULT,))


@linux
def test_a_problem_is_told_in_its_own_words(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    none = tmp_path / "none.xlsx"
    none.write_text("no workbook", encoding="utf-8")
    with begun(none, DEFAULT) as told, pytest.raises(NotOurWorkbook, match=r"none\.xlsx is not an \.xlsx workbook"):
        told.contents()
    monkeypatch.setattr(bounded, "SECONDS", 1)
    monkeypatch.setattr(bounded, "SECONDS_A_MEGABYTE", 0)
    monkeypatch.setattr(bounded, "WAITING", 60)  # the machine may be busy
    endless = tmp_path / "endless.xlsx"
    endless.write_bytes(b"")

    def without_end(path: Path, engine: str) -> Iterator[object]:
        while True:
            pass
        yield

    monkeypatch.setattr(early, "_steps", without_end)
    (found,) = outcomes([endless])
    assert isinstance(found.problem, EngineFailed)
    assert "took more than" in str(found.problem)


@linux
@pytest.mark.skipif("libreoffice" not in recalc.installed(), reason="LibreOffice is not installed")
def test_an_engine_in_a_process_of_its_own_is_not_bounded_like_the_child(
    demo: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(bounded, "SECONDS", 0)
    monkeypatch.setattr(bounded, "SECONDS_A_MEGABYTE", 0)
    (found,) = outcomes([demo], ("libreoffice",))
    assert found.problem is None
    assert found.result == "agrees"


def test_a_child_ends_with_its_block(demo: Path) -> None:
    with begun(demo, DEFAULT):
        (child,) = multiprocessing.active_children()
    assert not child.is_alive()
    assert multiprocessing.active_children() == []
