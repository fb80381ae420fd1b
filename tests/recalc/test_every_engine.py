"""Every template, and every example farm, in every engine: all cells agree with the reference functions."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest
from alike import Alike

from podbook import recalc
from podbook.proof.compare import compare
from podbook.proof.here import Here
from podbook.recalc import Cell
from podbook.review.find import opened, wanted
from podbook.templates import names

ROOT = Path(__file__).parents[2]
TEMPLATES = [ROOT / "templates" / f"{name}.xlsx" for name in names()]
FARMS = [path.parent / f"{path.parent.name}.xlsx" for path in sorted(ROOT.glob("worked_examples/*/farm.toml"))]
each_book = pytest.mark.parametrize("path", [*TEMPLATES, *FARMS], ids=lambda path: path.stem)


@pytest.fixture(scope="module")
def alike(tmp_path_factory: pytest.TempPathFactory) -> Alike:
    return Alike(TEMPLATES[0], tmp_path_factory.mktemp("alike"))


def assert_agrees(path: Path, engine: str, values: Mapping[tuple[str, str], Cell]) -> None:
    found = opened(path)
    comparison = compare(Here(found.book, found.places, found.cells, values), engine)
    assert comparison.disagreements == ()
    assert comparison.agreeing == comparison.cells == sum(node.count for node in found.book.worked) > 10_000


@pytest.mark.parametrize("path", TEMPLATES, ids=lambda path: path.stem)
def test_the_slow_engine_agrees_on_a_template(path: Path, alike: Alike) -> None:
    assert_agrees(path, "formulas", alike.values(opened(path)))


@pytest.mark.parametrize("path", FARMS, ids=lambda path: path.stem)
def test_the_slow_engine_agrees_on_a_farm(path: Path) -> None:
    assert_agrees(path, "formulas", recalc.values(path, "formulas", wanted(opened(path))))


@each_book
def test_libreoffice_agrees(path: Path) -> None:
    if "libreoffice" not in recalc.installed():
        pytest.skip("LibreOffice is not installed")
    assert_agrees(path, "libreoffice", recalc.values(path, "libreoffice", wanted(opened(path))))


@each_book
def test_the_everyday_engine_agrees(path: Path) -> None:
    assert_agrees(path, recalc.DEFAULT, recalc.values(path, recalc.DEFAULT, wanted(opened(path))))


def test_a_fault_would_be_seen(alike: Alike) -> None:
    """A model that is used again must go by the figures of the book at hand."""
    one, other = TEMPLATES[0], next(path for path in TEMPLATES if path.stem == "nz")
    values = alike.values(opened(other))
    found = opened(one)
    comparison = compare(Here(found.book, found.places, found.cells, values), "formulas")
    assert len(comparison.disagreements) > 100
