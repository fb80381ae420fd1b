"""Every template, and every example farm, in every engine: all cells agree with the reference functions."""

from __future__ import annotations

from pathlib import Path

import pytest

from podbook import recalc
from podbook.proof.compare import compare
from podbook.proof.here import Here
from podbook.review.find import opened, wanted
from podbook.templates import names

ROOT = Path(__file__).parents[2]
FARMS = [path.parent / f"{path.parent.name}.xlsx" for path in sorted(ROOT.glob("worked_examples/*/farm.toml"))]
TEMPLATES = [ROOT / "templates" / f"{name}.xlsx" for name in names()]


@pytest.mark.parametrize("path", [*TEMPLATES, *FARMS], ids=lambda path: path.stem)
@pytest.mark.parametrize("engine", recalc.ENGINES)
def test_every_engine_agrees(path: Path, engine: str) -> None:
    if engine not in recalc.installed():
        pytest.skip(f"{engine} is not installed")
    found = opened(path)
    values = recalc.values(path, engine, wanted(found))
    comparison = compare(Here(found.book, found.places, found.cells, values), engine)
    assert comparison.disagreements == ()
    assert comparison.agreeing == comparison.cells == sum(node.count for node in found.book.worked) > 10_000
