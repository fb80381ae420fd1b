"""The demo book, built once for the whole house."""

from __future__ import annotations

from pathlib import Path

import pytest
from packages import Parts, parts_of

from podbook import regions
from podbook.book.writer import write
from podbook.inputs.farm import filled
from podbook.sheets import book_of


@pytest.fixture(scope="session")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("demo") / "demo.xlsx"
    write(book_of(regions.load("us_midatl_appal"), filled()), path)
    return path


@pytest.fixture(scope="session")
def parts(demo: Path) -> Parts:
    return parts_of(demo)
