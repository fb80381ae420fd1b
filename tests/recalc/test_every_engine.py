"""Every region's template, and every example farm, in every engine: all cells agree with the reference functions.

A template in the other system of units has the same formulas (tests/book/test_metric_book.py) and is held against the
everyday engine alone: the slow one takes half a minute for each.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from podbook import recalc, regions
from podbook.proof.compare import compare
from podbook.proof.here import Here
from podbook.review.find import opened, wanted
from podbook.templates import names

ROOT = Path(__file__).parents[2]
FARMS = [path.parent / f"{path.parent.name}.xlsx" for path in sorted(ROOT.glob("worked_examples/*/farm.toml"))]
REGIONS = [ROOT / "templates" / f"{name}.xlsx" for name in regions.names()]
TWINS = [ROOT / "templates" / f"{name}.xlsx" for name in names() if name not in regions.names()]


@pytest.mark.parametrize("path", [*REGIONS, *FARMS], ids=lambda path: path.stem)
@pytest.mark.parametrize("engine", recalc.ENGINES)
def test_every_engine_agrees(path: Path, engine: str) -> None:
    if engine not in recalc.installed():
        pytest.skip(f"{engine} is not installed")
    assert_agrees(path, engine)


@pytest.mark.parametrize("path", TWINS, ids=lambda path: path.stem)
def test_a_template_in_metric_units_agrees(path: Path) -> None:
    assert_agrees(path, recalc.DEFAULT)


def assert_agrees(path: Path, engine: str) -> None:
    found = opened(path)
    values = recalc.values(path, engine, wanted(found))
    comparison = compare(Here(found.book, found.places, found.cells, values), engine)
    assert comparison.disagreements == ()
    assert comparison.agreeing == comparison.cells == sum(node.count for node in found.book.worked) > 10_000
