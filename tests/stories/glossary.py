"""The glossary's figures: the defaults of the demo farm's book, as they stand in it."""

from __future__ import annotations

from story import EXAMPLES

from podbook import regions
from podbook.book.model import Book
from podbook.inputs.farm import filled
from podbook.review.amounts import amount
from podbook.sheets import book_of
from podbook.sheets.farm import STOCK
from podbook.systems import metric

PAGE = EXAMPLES / "glossary.md"
ENTRIES = (
    "share_cap", "step_up_weeks", "step_up_share", "diet_sugar_limit", "dense_cover", "seedling_bearing_share",
    "pollinator_share", "establishment_loss", "yearly_loss", "own_rate",
)  # fmt: skip
COEFFICIENTS = ("usual_ndicp", "usual_adicp")


def book() -> Book:
    """Return the demo farm's book."""
    return book_of(regions.load(regions.HOME), filled())


def marks(described: Book) -> dict[str, str]:
    """Return the glossary's figures by the names of their marks."""
    nodes = [(name, described.nodes[f"{name}_default"]) for name in ENTRIES]
    nodes += [(name, described.nodes[name]) for name in COEFFICIENTS]
    access = described.nodes["access.whole"]
    return {
        **{name: amount(node, node.contents[0]) for name, node in nodes},
        **{f"whole_{stock}": f"{access.contents[place]:.0%}" for place, stock in enumerate(STOCK[:2])},
        "joules": f"{metric('Mcal')[1].scale:g}",
    }
