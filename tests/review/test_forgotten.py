"""Of a file that was verified nothing is kept, so that memory stays flat however many are."""

from __future__ import annotations

import gc
from pathlib import Path

from podbook.proof.here import Here
from podbook.recalc import DEFAULT
from podbook.review.find import Opened
from podbook.review.gate.contents import Contents
from podbook.review.lines import Body
from podbook.review.places import Finder
from podbook.review.verify import verify

OF_A_FILE = (Contents, Opened, Finder, Body, Here)


def alive() -> int:
    gc.collect()
    return sum(isinstance(each, OF_A_FILE) for each in gc.get_objects())


def test_nothing_of_a_file_is_kept(whole: Path) -> None:
    before = alive()
    verify(whole, (DEFAULT,))
    assert alive() == before
