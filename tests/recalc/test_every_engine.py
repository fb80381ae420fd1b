"""Every template, and every example farm, in every engine: all cells agree with the reference functions.

The slow engine takes one template, and the demo farm in the README's first command. That all
templates hold the same formulas is shown beside it, but for the sheet Cautions, which has more lines in some regions.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from podbook import recalc
from podbook.proof.compare import compare
from podbook.proof.here import Here
from podbook.review.find import opened, wanted
from podbook.review.gate.contents import is_formula
from podbook.review.gate.read import read
from podbook.templates import names

ROOT = Path(__file__).parents[2]
FARMS = [path.parent / f"{path.parent.name}.xlsx" for path in sorted(ROOT.glob("worked_examples/*/farm.toml"))]
TEMPLATES = [ROOT / "templates" / f"{name}.xlsx" for name in names()]
SLOW = "formulas"
ITS_TEMPLATE = ROOT / "templates" / "us_midatl_appal_metric.xlsx"
ITS_BOOKS = (ITS_TEMPLATE.stem,)
EVERY = [
    (path, engine)
    for engine in recalc.ENGINES
    for path in (*TEMPLATES, *FARMS)
    if engine != SLOW or path.stem in ITS_BOOKS
]


@pytest.mark.parametrize(("path", "engine"), EVERY, ids=[f"{engine}-{path.stem}" for path, engine in EVERY])
def test_every_engine_agrees(path: Path, engine: str) -> None:
    if engine not in recalc.installed():
        pytest.skip(f"{engine} is not installed")
    found = opened(path)
    values = recalc.values(path, engine, wanted(found))
    comparison = compare(Here(found.book, found.places, found.cells, values), engine)
    assert comparison.disagreements == ()
    assert comparison.agreeing == comparison.cells == sum(node.count for node in found.book.worked) > 10_000


@pytest.mark.parametrize("path", TEMPLATES, ids=lambda path: path.stem)
def test_a_template_holds_the_formulas_that_the_slow_engine_proved(path: Path) -> None:
    def formulas(book: Path) -> dict[tuple[str, str], str]:
        sheets = read(book).sheets
        return {(sheet, cell): text for sheet in sheets if sheet != "Cautions"
                for cell, text in sheets[sheet].items() if is_formula(text)}  # fmt: skip

    assert formulas(path) == formulas(ITS_TEMPLATE)
