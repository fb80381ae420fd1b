"""Of a file that was verified nothing is kept, so that memory stays flat however many are."""

from __future__ import annotations

import gc
from pathlib import Path

from podbook.proof.here import Here
from podbook.recalc import DEFAULT
from podbook.review.find import Opened
from podbook.review.gate import guard
from podbook.review.gate.contents import Contents
from podbook.review.gate.parts import Scan
from podbook.review.lines import Body
from podbook.review.places import Finder
from podbook.review.verify import verify

OF_A_FILE = (Contents, Opened, Finder, Body, Here)


def count(kinds: type | tuple[type, ...]) -> int:
    return sum(isinstance(each, kinds) for each in gc.get_objects())


def alive() -> int:
    gc.collect()
    return count(OF_A_FILE)


def test_nothing_of_a_file_is_kept(whole: Path) -> None:
    before = alive()
    verify(whole, (DEFAULT,))
    assert alive() == before


def test_what_the_gate_took_is_let_go_at_once(whole: Path) -> None:
    """Not only when Python looks for rings, which it does seldom."""
    gc.collect()
    gc.disable()
    try:
        before = count(Scan)
        assert guard.check(whole)
        assert count(Scan) == before
    finally:
        gc.enable()
