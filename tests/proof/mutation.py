"""The proof by mutation: every kind of change in every formula cell of the demo book, and what verification catches.

Run it with: python tests/proof/mutation.py
"""

from __future__ import annotations

import sys
import tempfile
import time
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

sys.path.append(str(Path(__file__).parents[1]))
from changes import CHANGES
from live import Live, build
from mutants import Judge, Mutant, Mutants

from podbook.proof.compare import compare
from podbook.proof.here import Here
from podbook.proof.wiring import Where
from podbook.recalc import DEFAULT


@dataclass
class Tally:
    """What came of one kind of change."""

    kind: str
    made: int = 0
    caught: int = 0
    """How many were found to differ anywhere."""
    named: int = 0
    """How many were named at the very cell that was changed, as the one in which the fault begins."""
    by_value: int = 0
    """How many show in the cell's value alone, on the demo's figures."""
    same: int = 0
    survivors: list[Mutant] = field(default_factory=list)
    unnamed: list[Mutant] = field(default_factory=list)

    def row(self) -> str:
        share = self.by_value / self.made if self.made else 0
        counts = f"{self.made:>9,}{self.caught:>9,}{self.named:>9,}{len(self.survivors):>11,}"
        return f"{self.kind:<28}{counts}{share:>10.1%}{self.same:>7,}"


HEADING = f"{'kind of change':<28}{'made':>9}{'caught':>9}{'named':>9}{'survivors':>11}{'by value':>10}{'same':>7}"


class Mutation:
    """Counts, kind by kind, what verification says of the mutants of a book."""

    def __init__(self, path: Path, cells: Sequence[Where] = ()) -> None:
        self.live = Live(path)
        self.cells = cells or self.live.formulas
        self.mutants, self.judge = Mutants(self.live), Judge(Live(path))
        self.kinds_of: Counter[Where] = Counter()
        """How many mutants each cell had."""

    def tally(self, kind: str) -> Tally:
        mutants = list(self.mutants.of((kind,), self.cells))
        self.kinds_of.update(mutant.where for mutant in mutants)
        tally = Tally(kind, made=len(mutants), same=self.mutants.same[kind])
        for mutant, judged in zip(mutants, self.judge.judged(mutants), strict=True):
            tally.by_value += judged.by_value
            tally.named += judged.named
            if judged.named or judged.found is not None or self._differs_anywhere(mutant):
                tally.caught += 1
            else:
                tally.survivors.append(mutant)
            if not judged.named:
                tally.unnamed.append(mutant)
        return tally

    def _differs_anywhere(self, mutant: Mutant) -> bool:
        live, address = self.live, self.live.address(mutant.where)
        live.put(address, mutant.stands)
        values = live.read()
        live.restore(address)
        cells = {**live.cells, address: mutant.stands}
        return bool(compare(Here(live.book, live.places, cells, values, live.wiring), DEFAULT).disagreements)


def told(live: Live, mutant: Mutant) -> str:
    """Return one mutant in words."""
    sheet, cell = live.address(mutant.where)
    return f"  {mutant.kind}: {sheet}!{cell} {live.cells[(sheet, cell)]} -> {mutant.stands!r}"


def main() -> int:
    start = time.perf_counter()
    with tempfile.TemporaryDirectory() as folder:
        mutation = Mutation(build(Path(folder, "demo.xlsx")))
        print(f"{len(mutation.cells):,} formula cells\n{HEADING}", flush=True)
        tallies = []
        for kind in CHANGES:
            tallies.append(mutation.tally(kind))
            print(tallies[-1].row(), flush=True)
    made, caught, named = (sum(getattr(each, what) for each in tallies) for what in ("made", "caught", "named"))
    least = min(mutation.kinds_of[where] for where in mutation.cells)
    print(f"{made:,} mutants in {time.perf_counter() - start:.0f} s; at least {least} kinds for every cell")
    print(f"caught {caught / made:.3%}, named at their own cell {named / made:.3%}")
    missed = [told(mutation.live, each) for tally in tallies for each in tally.survivors or tally.unnamed]
    print("\n".join(missed[:100]) or "none survived")
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())
