"""The demo book, built once for the whole house."""

from __future__ import annotations

import gc
from pathlib import Path

import pytest
from packages import Parts, parts_of

from podbook import regions
from podbook.book.writer import write
from podbook.inputs.farm import filled
from podbook.sheets import book_of

gc.set_threshold(200_000, 20, 100)
"""Fixtures hold books and engines, millions of objects that stay: looking through them took a tenth of the time."""


@pytest.fixture(scope="session")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("demo") / "demo.xlsx"
    write(book_of(regions.load("us_midatl_appal"), filled()), path)
    return path


@pytest.fixture(scope="session")
def parts(demo: Path) -> Parts:
    return parts_of(demo)


LONGEST = (
    "recalc/test_every_engine.py",
    "tests/test_cli.py",
    "review/test_returned.py",
    "review/test_fuzz.py",
    "review/test_hostile_cli.py",
    "proof/test_seeded_faults.py",
    "proof/test_mutation.py",
    "review/test_outlook.py",
    "review/test_carry.py",
    "review/test_carry_told.py",
    "review/test_explain.py",
    "proof/test_curve.py",
)
"""Files that take longest: begun first, so that none is still at it when the others are done."""


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    places = {name: place for place, name in enumerate(LONGEST)}
    items.sort(key=lambda item: places.get("/".join(item.path.parts[-2:]), len(places)))
