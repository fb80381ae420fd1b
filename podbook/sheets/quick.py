"""Quick sums: small calculations that stand alone, each with its own few boxed cells.

The figures filled in at first are published worked examples, so that the published answers stand beside them.
"""

from __future__ import annotations

from dataclasses import replace

from podbook.book.model import Entries, Entry, Sheet, Single
from podbook.book.node import by, worked
from podbook.reference import book, quick, stand
from podbook.sheets import quick_feeds, quick_stock


def sheet() -> Sheet:
    """Return the sheet Quick sums."""
    blocks: tuple[tuple[Entries, Single], ...] = (
        quick_feeds.by_ton(), quick_feeds.by_bushel(), quick_feeds.adjusted(), quick_feeds.dry_and_fed(), quick_feeds.round_bale(),
        quick_feeds.square_bale(), _spacing(), quick_stock.herd_hay(), quick_stock.grazing(), quick_stock.cold_feed(),
        quick_stock.losses(), _pods(),
    )  # fmt: skip
    return Sheet(
        "Quick sums",
        "Small sums for any day. Nothing here feeds the other sheets; each sum starts with a published example.",
        tuple(block for entries, sums in blocks for block in (_of_any_day(entries), replace(sums, headed=False))),
        width=10.7,
        wider={"C": 11.5},
        label_width=42,
        sentences=13,
    )


def _of_any_day(entries: Entries) -> Entries:
    """Return entries of which no figure is unusual: an example stands in them, not a usual figure."""
    return replace(entries, rows=tuple(replace(entry, own=True) for entry in entries.rows))


def _spacing() -> tuple[Entries, Single]:
    return Entries(
        "quick_spacing",
        "7. Trees on an acre from their spacing, and the spacing for a number of trees",
        (
            Entry("quick_spacing_rows", "Distance of the rows", "foot", 40, 5, 200, look="0.0"),
            Entry("quick_spacing_trees", "Distance of trees in a row", "foot", 30, 5, 200, look="0.0"),
            Entry("quick_spacing_wanted", "Trees wanted on an acre", "tree/acre", 35, 1, 1800, look="0.0", source="moore-1948", place="Auburn, 35 trees an acre", mark="published"),
        ),
    ), Single(
        "How many, and how far apart",
        (
            worked("quick_spacing_count", "Trees on an acre", "tree/acre", "=area_in_square_spacing/(quick_spacing_rows*quick_spacing_trees)",
                   by(stand.trees_per_area, row_spacing="quick_spacing_rows", tree_spacing="quick_spacing_trees"), look="0.0", headline=True),
            worked("quick_spacing_square", "Set in squares, feet apart", "foot", "=SQRT(area_in_square_spacing/quick_spacing_wanted)",
                   by(quick.square_spacing, trees_per_area="quick_spacing_wanted"), look="0.0", headline=True),
        ),
    )  # fmt: skip


def _pods() -> tuple[Entries, Single]:
    place = "Auburn 1942-46"
    return Entries(
        "quick_pods",
        "12. Pods on an acre from trees weighed",
        (
            Entry("quick_pods_mean", "Mean of the trees weighed, as picked", "lb_fed/tree", 84.76, 0, 1000, source="moore-1948", place=f"{place}, mean of five crops", mark="derived"),
            Entry("quick_pods_trees", "Trees on an acre", "tree/acre", 35, 0, 1800, look="0.0", source="moore-1948", place=place, mark="published"),
            Entry("quick_pods_bear", "Share of the trees that bear", "fraction", 1, 0, 1, look="0%", source="moore-1948", place=f"{place}, all counted", mark="derived",
                  help="Of seedlings that nobody has sexed only a part bear pods."),
            Entry("quick_pods_matter", "Dry matter of the pods", "lb_dry/lb_fed", 0.8753, 0.3, 1, look="0.0%", source="moore-1948", place="ground pods, 12.47 % water", mark="published"),
        ),
    ), Single(
        "What an acre bears",
        (
            worked("quick_pods_area", "Pods on an acre, as picked", "lb_fed/acre", "=quick_pods_mean*quick_pods_trees*quick_pods_bear",
                   by(quick.pods_per_area, mean="quick_pods_mean", trees_per_area="quick_pods_trees", bearing_share="quick_pods_bear"), look="#,##0", headline=True,
                   note="2,967 lb in the example."),
            worked("quick_pods_tons", "In tons", "short_ton_fed/acre", "=quick_pods_area/weight_per_ton",
                   by(book.quotient, a="quick_pods_area", b="weight_per_ton")),
            worked("quick_pods_dry", "Dry", "lb_dry/acre", "=quick_pods_area*quick_pods_matter",
                   by(quick.dry_of_fed, fed="quick_pods_area", dry_matter="quick_pods_matter"), look="#,##0"),
        ),
    )  # fmt: skip
