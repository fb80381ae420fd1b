"""What is wrong with a unit, in plain words."""

from __future__ import annotations

import math

from podbook.proof.units.found import Found, Of, said
from podbook.proof.units.measure import SAME, Measure

REASONS = (
    (frozenset(("dry", "fed")), "only a dry-matter content turns mass as fed into dry mass"),
    (frozenset(("dry", "mass")), "mass is taken for dry mass"),
    (frozenset(("fed", "mass")), "mass is taken for mass as fed"),
    (frozenset(("head",)), "a figure a head is taken for one of the herd, or the other way round"),
    (frozenset(("tree",)), "a figure a tree is taken for one of all trees, or the other way round"),
    (frozenset(("bale",)), "a figure a bale is taken for one of all bales, or the other way round"),
    (frozenset(("time",)), "a time is lost, or one too many"),
    (frozenset(("warmth",)), "a temperature is not a difference of two"),
)
"""What differs, and what is said of it."""


def missed(derived: Found, wanted: Found) -> str:
    """Return what is wrong with a unit that does not fit its cell."""
    reason = _reason(derived.measure, wanted.measure) if isinstance(derived, Of) and isinstance(wanted, Of) else ""
    return f"gives {said(derived)}, not {said(wanted)}{reason}"


def _reason(one: Measure, other: Measure) -> str:
    if one.same_kind(other):
        factor = max(one.size / other.size, other.size / one.size)
        return "" if math.isclose(factor, 1, rel_tol=SAME) else f": a factor of {factor:,.7g} is lost, or one too many"
    mine, theirs = dict(one.kinds), dict(other.kinds)
    apart = frozenset(kind for kind in mine | theirs if mine.get(kind) != theirs.get(kind))
    if not apart and one.is_point != other.is_point:
        apart = frozenset(("warmth",))
    for kinds, words in REASONS:
        if apart and apart <= kinds:
            return f": {words}"
    return ""
