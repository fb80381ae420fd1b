"""Sources: every coefficient with its place and mark, the lists, and the bibliography."""

from __future__ import annotations

from podbook.book.model import Prose, Sheet
from podbook.sheets import coefficients, farm
from podbook.sources import bibliography


def sheet() -> Sheet:
    """Return the sheet Sources."""
    marks = Prose(
        "Marks",
        (
            "read, published: the value was read in the named document. read-secondary: in a document that reproduces it.",
            "memory, from memory: not read; the named source is where it is believed to stand. Check it before you rely on it.",
            "common practice, judgement: no source; an editable starting point. derived: worked out from figures that were read.",
        ),
    )
    works = tuple(f"{key}: {source.cited}" for key, source in sorted(bibliography().items()))
    return Sheet(
        "Sources",
        "Where every coefficient comes from. Locked: a change here changes what the formulas mean.",
        (marks, *coefficients.ALL, *farm.lists(), Prose("Works named in this book", works)),
    )
