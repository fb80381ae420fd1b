"""The demo book, built once for the whole room."""

from __future__ import annotations

from pathlib import Path

import pytest
from live import Live, build
from openpyxl import Workbook, load_workbook
from packages import Parts, parts_of


@pytest.fixture(scope="session")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return build(tmp_path_factory.mktemp("demo") / "demo.xlsx")


@pytest.fixture
def live(demo: Path) -> Live:
    return Live(demo)


@pytest.fixture(scope="module")
def workbook(demo: Path) -> Workbook:
    return load_workbook(demo)


@pytest.fixture(scope="session")
def parts(demo: Path) -> Parts:
    return parts_of(demo)
