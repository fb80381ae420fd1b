"""Verify one workbook: what was filled in, every formula cell, every engine."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from podbook import recalc
from podbook.pod_trees import pod_trees
from podbook.proof.compare import Comparison, compare
from podbook.proof.evaluate import Column, Columns
from podbook.proof.here import Here
from podbook.recalc import Address, Cell
from podbook.review import own
from podbook.review.ahead import stamp
from podbook.review.asks import HOLDS, Ask, asks
from podbook.review.early import Early
from podbook.review.entries import Slip, oddities, slips
from podbook.review.figures import KeyFigure, key_figures
from podbook.review.find import Opened, check_edition, entered, located
from podbook.review.findings import Finding
from podbook.review.gate.contents import formulas, is_formula
from podbook.review.own_units import Units
from podbook.review.season import Season, as_it_should_be
from podbook.review.telling import damage, entry_finding, odd_finding, stale


@dataclass(frozen=True)
class Verdict:
    """What came of verifying one workbook."""

    path: str
    title: str
    """The farm's name, as the workbook has it."""
    comparisons: tuple[Comparison, ...]
    slips: tuple[Slip, ...]
    findings: tuple[Finding, ...]
    """Everything that was found, causes first; what only follows from a cause is listed with it."""
    figures: tuple[KeyFigure, ...]
    status: str
    """The workbook's own status line."""
    season: Season
    """The winter month by month, as it should be."""
    region: str
    digest: str
    """SHA-256 of the file: which state of it this is about."""
    snapshot: str = ""
    """What is wrong with the snapshot of the outlook, if there is one."""
    trees: tuple[str, ...] = ()
    """The species of pod tree on the farm, by the kinds of its types."""
    asks: tuple[Ask, ...] = ()
    """What its own checks of its results find, as it should be."""

    @property
    def agrees(self) -> bool:
        """Whether every cell agrees in every engine and nothing was found that counts."""
        return not any(each.counts for each in self.findings) and all(
            not each.disagreements for each in self.comparisons
        )

    @property
    def looks(self) -> bool:
        """Whether the workbook itself asks its reader to look: it may be right, and yet its winter is not."""
        return self.status != HOLDS or bool(self.asks)

    def plain(self) -> dict[str, Any]:
        """Return the verdict as plain data, for JSON."""
        return {
            "file": self.path,
            "farm": self.title,
            "agrees": self.agrees,
            "status": self.status,
            "asks_to_look_at": [asdict(each) for each in self.asks],
            "engines": [
                {
                    "engine": each.engine,
                    "cells": each.cells,
                    "agreeing": each.agreeing,
                    "worst_relative_difference": each.worst,
                }
                for each in self.comparisons
            ],
            "findings": [asdict(each) for each in self.findings],
            "figures": [asdict(each) for each in self.figures],
        }


def verify(
    path: Path,
    engines: Sequence[str],
    tell: Callable[[str], None] = lambda engine: None,
    early: Early | None = None,
) -> Verdict:
    """Verify a workbook with the engines named; ``tell`` is called with each engine's name as it begins.

    ``early`` may know already what stands in the file, and what the first engine makes of it. The file is
    opened for reading only. Raises NotOurWorkbook, Refused or EngineFailed where it can't be checked.
    """
    return examined(path, engines, tell, early)[0]


def examined(
    path: Path,
    engines: Sequence[str],
    tell: Callable[[str], None] = lambda engine: None,
    early: Early | None = None,
) -> tuple[Verdict, Opened, Mapping[Address, Cell]]:
    """Verify a workbook; return the workbook and the first engine's values, too: the very ones that were judged."""
    early = early or Early(path, engines[0])
    contents = early.contents()
    check_edition(path, contents)
    with ThreadPoolExecutor(max_workers=1) as beside:  # the everyday engine leaves Python free meanwhile
        tell(engines[0])
        first = beside.submit(early.values, contents)
        found = located(path, contents)
        added = own.own_cells(found)
        expected = _expected(found)
        _ = found.typed and found.typed.right  # kept for when the values are there
    comparisons, judged = [], []
    for engine in engines:
        if engine != engines[0]:
            tell(engine)
        values = first.result() if engine == engines[0] else recalc.values(path, engine, formulas(contents))
        here = Here(
            found.book,
            found.places,
            found.cells,
            values,
            found.wiring,
            expected,
            misnamed=found.misnamed,
            stretched=found.stretched,
            some_lost=found.typed is None,
            typed=found.typed,
        )
        comparisons.append(compare(here, engine))
        judged.append((here, values))
    here, values = judged[0]
    wrong = tuple(slips(found.book, found.places, lambda key: entered(found, values, key), here.expected))
    state = stamp.state(found)
    verdict = Verdict(
        str(path),
        found.title,
        tuple(comparisons),
        wrong,
        tuple(_findings(found, tuple(zip(judged, comparisons, strict=True)), wrong, added, state)),
        tuple(key_figures(found, values, here.expected)),
        str(entered(found, values, "status")[0]),
        as_it_should_be(here),
        found.book.region,
        hashlib.sha256(path.read_bytes()).hexdigest(),
        state,
        _species(here.expected["pod_trees.grown"]),
        asks(found.book, here.expected.__getitem__),
    )
    return verdict, found, values


def _expected(found: Opened) -> Columns | None:
    """Return what the entries make of the book; None where one of them holds a formula, which an engine works out."""
    keys = [node.key for node in found.book.nodes.values() if node.role == "entry" and node.key in found.places]
    places = [found.places[key] for key in keys]
    if any(is_formula(found.cells[(place.sheet, cell)]) for place in places for cell in place.cells):
        return None
    return Here(found.book, found.places, found.cells, {}, found.wiring, some_lost=found.typed is None).expected


def _species(grown: Column) -> tuple[str, ...]:
    """Return the species of which the farm has a type."""
    numbered = zip(pod_trees().kinds, grown, strict=True)
    return tuple(dict.fromkeys(kind.species for kind, types in numbered if isinstance(types, float) and types > 0))


Judged = tuple[tuple[Here, Mapping[Address, Cell]], Comparison]


def _findings(
    found: Opened,
    judged: Sequence[Judged],
    wrong: Sequence[Slip],
    added: Mapping[str, Mapping[str, Any]],
    state: str,
) -> Iterator[Finding]:
    """Yield what was found: what moved, what was damaged, what can't be used, then what is only worth knowing."""
    told: set[tuple[str, str, str]] = set()
    damaged = []
    units = Units(found)
    for (here, _), comparison in judged:
        for each in damage(found, here, comparison, units):
            if (each.key, each.cell, each.what) not in told:
                told.add((each.key, each.cell, each.what))
                damaged.append(each)
    (here, values), _ = judged[0]
    yield from (each for each in damaged if each.kind != "value")
    yield from map(entry_finding, wrong)
    yield from (each for each in damaged if each.kind == "value")
    if state:
        yield Finding("outlook", True, "Outlook", "", "outlook", f"the sheet Outlook {state}",
                      advice="Make it again with: podbook outlook.")  # fmt: skip
    if (old := stale(found, values, damaged=bool(damaged))) is not None:
        yield old
    yield from map(
        odd_finding, oddities(found.book, found.places, lambda key: entered(found, values, key), here.expected)
    )
    yield from own.own(found, added, values)
    yield from units.remarks(added)
    if own.formulas_to_judge(found, added):
        from podbook.review.own_rules import advice

        yield from advice(found, added)
