"""Sources: every coefficient with its place and mark, the lists, and the works that are named."""

from __future__ import annotations

from collections.abc import Iterable

from podbook.book.model import Block, Prose, Sheet, nodes_of
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
    return Sheet(
        "Sources",
        "Where every coefficient comes from. Locked: a change here changes what the formulas mean.",
        (marks, *coefficients.ALL, farm.lists()),
        printed=1 + len(coefficients.ALL),
        width=13.5,
        wider={"B": 12.5, "C": 18.5, "D": 18},
        label_width=46,
    )


def works(sheets: Iterable[Sheet]) -> Sheet:
    """Return the sheet Works: the bibliography of every source that the other sheets name."""
    blocks: list[Block] = [block for each in sheets for block in each.blocks]
    nodes = [node for block in blocks for node in nodes_of(block)]
    named = {node.source for node in nodes} | {node.ref.function.source for node in nodes if node.ref}
    lines = tuple(f"{key}: {source.cited}" for key, source in sorted(bibliography().items()) if key in named)
    return Sheet("Works", "The works that this book names, by their short names.", (Prose("Works", lines),), quoted=True)
