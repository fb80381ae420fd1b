"""Compare a workbook cell by cell with the book: its formulas as text, its values with the reference functions."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from podbook.proof.here import Here
from podbook.proof.wiring import Where
from podbook.proof.wrong import Disagreement


@dataclass(frozen=True)
class Comparison:
    """What came of comparing every formula cell with one engine's values."""

    engine: str
    cells: int
    agreeing: int
    worst: float
    """Largest relative difference among the cells that agree."""
    disagreements: tuple[Disagreement, ...]


def compare(here: Here, engine: str) -> Comparison:
    """Compare every formula cell and every given figure of a workbook with the book."""
    faults, expected = here.faults(), here.expected
    agreeing, worst = 0, 0.0
    wrong: dict[Where, tuple[Any, Any]] = {}
    for node in here.book.worked:
        for item, wanted in enumerate(expected[node.key]):
            where = (node.key, item)
            if where in faults:
                continue
            gap = here.agreement(where)
            if gap is None:
                wrong[where] = (here.get(where), wanted)
            else:
                agreeing, worst = agreeing + 1, max(worst, gap)
    total = sum(node.count for node in here.book.worked)
    return Comparison(engine, total, agreeing, worst, here.told(faults, wrong))
