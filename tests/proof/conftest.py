"""The demo book as the tests of this room hold it."""

from __future__ import annotations

from pathlib import Path

import pytest
from live import Live
from openpyxl import Workbook, load_workbook


@pytest.fixture
def live(demo: Path) -> Live:
    return Live(demo)


@pytest.fixture(scope="module")
def workbook(demo: Path) -> Workbook:
    return load_workbook(demo)
