"""The first page: what this is, what to fill in, the key results, and one status line."""

from __future__ import annotations

from podbook.book.model import Prose, Sheet, Single
from podbook.book.node import Node, by, worked
from podbook.reference import book
from podbook.systems import SYSTEMS

EDITION = "2"

KEY_RESULTS = (
    ("first_head_days", "Head-days of winter energy in the pods that are eaten", "head*day", "pod_head_days", "#,##0", ""),
    ("first_saving", "Saved this winter", "USD", "saving", "#,##0", "cost_without"),
    ("first_offset", "Share of the winter's feed cost", "fraction", "offset", "0%", "cost_without/cost_without"),
    ("first_hay", "Hay saved", "short_ton_fed", "hay_saved", "0.0", "hay_bought_without"),
    ("first_area", "Saved an acre of trees", "USD/acre", "saving_area", "0.00", "cost_without/area"),
    ("first_ton", "Saved a ton of pods eaten", "USD/short_ton_fed", "saving_ton", "0.00", "cost_without/pods_eaten_fed"),
    ("first_pods", "Pods that drop this winter, dry", "lb_dry", "pod_crop", "#,##0", ""),
    ("first_trees", "Trees an acre", "tree/acre", "trees_per_area", "0.0", ""),
)


def sheet(title: str, region: str, region_label: str, units: str, rows: int) -> Sheet:
    """Return the first page."""
    results = Single(
        "Key results of the winter",
        (
            worked("first_status", "Is anything wrong in this book?", "text", "=status", by(book.same_word, word="status"), headline=True),
            *(
                worked(name, label, unit, f"={shown}", by(book.same, value=shown), look=look, headline=position < 3, scale=scale)
                for position, (name, label, unit, shown, look, scale) in enumerate(KEY_RESULTS)
            ),
            worked("first_out", "First month in which pods run out", "text", "=out_month", by(book.same_word, word="out_month")),
        ),
    )  # fmt: skip
    planting = Single(
        "Does planting pay? Forty years, usual case",
        (
            worked("first_pays", "At your rate of interest", "text", "={returns.pays@2}", by(book.same_word, word="returns.pays@2")),
            worked("first_worth", "Worth today (NPV) at your rate", "USD", "={returns.worth_own@2}", by(book.same, value="returns.worth_own@2"),
                   look="#,##0", headline=True, scale="establishment_cost"),
            worked("first_irr", "Rate of return (IRR)", "fraction", "={returns.irr@2}", by(book.same, value="returns.irr@2"),
                   look='0.0%;-0.0%;"none"', headline=True, note="Poor and good cases, and when it is paid back: sheet Returns."),
        ),
    )  # fmt: skip
    what = Prose(
        title,
        (
            "What this is: how much winter feed falls from your pod trees, which stock can use it, and what it saves.",
            "Pods are a supplement, never the whole ration. Read the sheet Cautions before the first pod is fed.",
        ),
    )
    how = Prose(
        "What to fill in",
        (
            "1. Farm: your winter, your acres of trees, your types of tree, how you feed the pods.",
            "2. Feeds: your hay and its price, your stockpile, what you buy.",
            "3. Trees: pods picked up under single trees, a row for each tree and year.",
            "4. Pods: the laboratory's sheets.",
            "5. Stand: how the trees grow and what is lost.",
            "6. Herd: your groups of stock.",
            "7. Planting: what trees, guards and fence cost. Returns then says whether planting pays, in three cases; Crop sizes, how many acres your herd can use.",
            "Quick sums stands alone: a pound of TDN, a bale, hay for a herd, trees on an acre.",
            "Then read Savings, and Checks. A cell that says 'mend' shows what the book can't use; it goes on with its default meanwhile.",
            "Everything but the boxed cells is locked, without a password, against slips of the hand. Your own sheets and notes are welcome.",
        ),
    )
    about = Single(
        "This copy",
        (
            Node("book_edition", "Edition of the book", "text", "fixed", contents=(EDITION,)),
            Node("book_title", "Farm", "text", "fixed", contents=(title,)),
            Node("book_region", "Defaults of the region", "text", "fixed", contents=(region,), note=region_label),
            Node("book_units", "Units", "text", "fixed", contents=(units,), note=SYSTEMS[units]),
            Node("book_rows", "Rows for trees weighed", "record", "fixed", contents=(float(rows),), look="0"),
        ),
    )
    return Sheet("Start", "Pods as winter feed", (what, results, planting, how, about))
