"""Are all entries of a row or column numbers in their ranges? The same words for every table."""

from __future__ import annotations

from collections.abc import Sequence

from podbook.book.node import Ref, by
from podbook.reference import gates


def within(names: Sequence[str]) -> str:
    """Return the conditions that every one of the entries lies in its range, as they stand inside AND()."""
    return ",".join(f"{{{name}}}>={{{name}:low}},{{{name}}}<={{{name}:high}}" for name in names)


def in_range(names: Sequence[str], when: str | None = None, otherwise: float = 0) -> Ref:
    """Return the reference of a formula made of ``within``."""
    return by(gates.in_range, when, otherwise, entries=tuple(names), lows=tuple(f"{name}_low" for name in names),
              highs=tuple(f"{name}_high" for name in names))  # fmt: skip
