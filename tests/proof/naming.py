"""What verification names, and a complaint where that is not the cell it should name."""

from __future__ import annotations

from pathlib import Path

from mutants import Mutant
from packages import Parts, packed, put

from podbook.proof.wiring import Where
from podbook.proof.wrong import Disagreement
from podbook.recalc import DEFAULT, Address
from podbook.review.verify import verify


def named_first(found: tuple[Disagreement, ...], where: Where) -> bool:
    """Return whether a cell is the first that is named, and the only one in which a fault is said to begin."""
    return [(each.key, each.item) for each in found if each.began_here] == [where] and found[0].began_here


def complaint(mutant: Mutant, found: tuple[Disagreement, ...]) -> str:
    kind, (key, item), stands = mutant
    began = [f"{each.key}[{each.item}] ({each.what})" for each in found if each.began_here]
    return f"{kind} in {key}[{item}], now {stands}: named {', '.join(began[:4]) or 'nothing'}"


def through_the_file(parts: Parts, path: Path, where: Address, stands: object) -> tuple[Disagreement, ...]:
    """Write a workbook with one cell changed, and return what verification says of it."""
    changed = dict(parts)
    put(changed, *where, stands)
    verdict = verify(packed(path, changed), (DEFAULT,))
    assert not verdict.agrees
    return verdict.comparisons[0].disagreements
