"""Verify one workbook: what was filled in, every formula cell, every engine."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from podbook import recalc
from podbook.proof.compare import Comparison, compare
from podbook.review import snapshot
from podbook.review.entries import Slip, slips
from podbook.review.find import entered, opened, wanted


@dataclass(frozen=True)
class Verdict:
    """What came of verifying one workbook."""

    path: str
    comparisons: tuple[Comparison, ...]
    slips: tuple[Slip, ...]
    status: str
    """The workbook's own status line."""
    snapshot: str = ""
    """What is wrong with the snapshot of the outlook, if there is one."""

    @property
    def agrees(self) -> bool:
        """Whether every cell agrees in every engine, every entry can be used, and no snapshot is stale."""
        return not self.slips and not self.snapshot and all(not each.disagreements for each in self.comparisons)

    def plain(self) -> dict[str, Any]:
        """Return the verdict as plain data, for JSON."""
        return {
            "file": self.path,
            "agrees": self.agrees,
            "status": self.status,
            "engines": [
                {
                    "engine": each.engine,
                    "cells": each.cells,
                    "agreeing": each.agreeing,
                    "worst_relative_difference": each.worst,
                    "disagreements": [
                        {**asdict(one), "began_here": one.began_here} for one in each.disagreements
                    ],
                }
                for each in self.comparisons
            ],
            "entries": [asdict(each) for each in self.slips],
            "outlook": self.snapshot,
        }  # fmt: skip


def verify(path: Path, engines: Sequence[str], tell: Callable[[str], None] = lambda engine: None) -> Verdict:
    """Verify a workbook with the engines named; ``tell`` is called with each engine's name as it begins.

    The file is opened for reading only. Raises NotOurWorkbook, Refused or EngineFailed where it can't be checked.
    """
    found = opened(path)
    comparisons, first = [], None
    for engine in engines:
        tell(engine)
        values = recalc.values(path, engine, wanted(found))
        first = first or values
        comparisons.append(compare(found.book, found.places, found.cells, values, engine))
    values = first or {}
    return Verdict(
        str(path),
        tuple(comparisons),
        tuple(slips(found.book, found.places, lambda key: entered(found, values, key))),
        str(entered(found, values, "status")[0]),
        snapshot.state(found),
    )
