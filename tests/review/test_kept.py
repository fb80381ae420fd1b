"""What is kept from one workbook to the next never shows in its verdict."""

from __future__ import annotations

from pathlib import Path

import pytest

from podbook import regions
from podbook.book.writer import write
from podbook.inputs.filled import Filled
from podbook.recalc import DEFAULT
from podbook.review import find
from podbook.review.verify import verify
from podbook.sheets import book_of
from podbook.systems import METRIC, US


def forget() -> None:
    find._described.cache_clear()
    find._KINDS.clear()


@pytest.fixture(scope="module")
def farms(tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    """Return workbooks that differ by name, by rows, by region and units."""
    folder = tmp_path_factory.mktemp("farms")
    made = []
    for number, (title, region, units, rows) in enumerate(
        [
            ("First farm (invented)", "nz", METRIC, 60),
            ("Second farm (invented)", "nz", METRIC, 60),
            ("Third farm (invented)", "nz", METRIC, 61),
            ("Fourth farm (invented)", "us_ozarks", US, 60),
        ]
    ):
        made.append(folder / f"{number}.xlsx")
        write(book_of(regions.load(region), Filled(title=title, types=(), rows=rows), units), made[-1])
    return made


def test_a_verdict_is_the_same_whatever_was_verified_before(farms: list[Path]) -> None:
    forget()
    in_turn = [verify(path, (DEFAULT,)) for path in farms]
    assert len(find._KINDS) == 3 == find.KEPT
    for path, verdict in zip(farms, in_turn, strict=True):
        forget()
        assert verify(path, (DEFAULT,)) == verdict
    assert [each.title for each in in_turn[:2]] == ["First farm (invented)", "Second farm (invented)"]
