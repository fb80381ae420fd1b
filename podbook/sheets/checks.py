"""Checks: is every figure in order, and does the book close?"""

from __future__ import annotations

from collections.abc import Sequence

from podbook.book.model import Sheet, Single
from podbook.book.node import Node, Ref, by, worked
from podbook.inputs.filled import GROUPS
from podbook.reference import book, collecting, gates
from podbook.sheets import which

ENTRY_CHECKS = (
    ("winter", "The winter (Farm)", ("winter.checks",)),
    ("land", "The trees (Farm)", ("land.checks",)),
    ("ration", "Pods in the ration (Farm)", ("ration.checks",)),
    ("months", "The months (Farm)", ("months.state",)),
    ("types", "Types of tree (Farm)", ("types.name_check", "types.origin_check", "types.kind_check")),
    ("hay", "Hay (Feeds)", ("hay_figures.checks",)),
    ("stockpile", "Stockpile (Feeds)", ("stockpile_figures.checks",)),
    ("bought", "Supplement and corn (Feeds)", ("bought.checks",)),
    ("tally", "Trees weighed (Trees)", ("tally.state", "by_type.own_check")),
    ("access", "Access to the seed (Pods)", ("access.whole_check", "access.ground_check")),
    ("lab", "Lab sheets (Pods)", ("lab.state", "lab.optional_state")),
    ("losses", "Trees and their losses (Stand)", ("losses.checks",)),
    ("mix", "The stand by type (Stand)", ("mix.state",)),
    ("groups", "Groups (Herd)", ("amiss.any",)),
    ("critical", "Critical temperatures (Herd)", ("critical.checks",)),
    ("log", "The season log (Season log)", ("log.state", "log_figures.checks")),
    ("collecting", "Collecting, storing, grinding (Collect)", ("collecting.checks",)),
    ("planting", "What planting takes, and rates (Planting)", ("planting.checks", "rates.checks")),
    ("order", "Price of trees (Planting)", ("order.state",)),
    ("cases", "Three cases (Returns)", ("cases.state",)),
    ("sums_of_feeds", "Feeds, dry and as fed (Quick sums)", ("quick_ton.checks", "quick_grain.checks", "quick_other.checks", "quick_dry.checks")),
    ("sums_of_hay", "Bales, hay, grazing (Quick sums)", ("quick_round.checks", "quick_square.checks", "quick_herd.checks", "quick_graze.checks")),
    ("sums_of_rest", "Cold, losses, trees (Quick sums)", ("quick_cold.checks", "quick_loss.checks", "quick_spacing.checks", "quick_pods.checks")),
)
UNUSUAL = ("land.checks", "ration.checks", "hay_figures.checks", "stockpile_figures.checks", "bought.checks", "tally.state", "losses.checks",
           "log_figures.checks", "collecting.checks", "planting.checks", "rates.checks")  # fmt: skip
"""Checks that tell unusual figures."""


def sheet(before: Sequence[Sheet]) -> Sheet:
    """Return the sheet Checks, of the sheets before it."""
    to_mend = tuple(span for _, _, spans in ENTRY_CHECKS for span in spans)
    results = _results()
    return Sheet(
        "Checks",
        "Zero is good. Anything else: mend the cell that says 'mend', or look at the result that says 'LOOK'.",
        (
            _summary(),
            _entries(),
            results,
            _unusual(),
            *which.firsts("mending", "Boxed cells to mend: which", "mend", to_mend),
            which.results("looking", "Results to look at: which", results),
            *which.firsts("doubting", "Unusual figures: which", "unusual", [span for span in to_mend if span in UNUSUAL]),
            *which.names(before, to_mend),
        ),
        printed=3,
    )


def _unusual() -> Single:
    """Return how many figures are far from their defaults, or from others of their kind, by where they stand."""
    parts = ((name, label, tuple(span for span in spans if span in UNUSUAL)) for name, label, spans in ENTRY_CHECKS)
    rows = tuple(_count("unusual", name, label, spans) for name, label, spans in parts if spans)
    return Single("Unusual figures", rows, span="entries_unusual")


def _key(span: str) -> str:
    return span.replace(".checks", "_checks")


def _summary() -> Single:
    return Single(
        "In all",
        (
            worked("entries_failed", "Boxed cells to mend", "record", "=SUM(entries_to_mend)", by(book.total, values="entries_to_mend*"), look="0"),
            worked("results_failed", "Results to look at", "record", "=SUM(results_to_look_at)", by(book.total, values="results_to_look_at*"), look="0"),
            worked("unusual_figures", "Unusual figures: meant so, or a slip of the hand?", "record", "=SUM(entries_unusual)",
                   by(book.total, values="entries_unusual*"), look="0"),
            worked("status", "Status", "text",
                   '=IF(entries_failed>0,"LOOK: boxed cells to mend, see Checks",IF(results_failed>0,"LOOK: a result wants a look, see Checks","All checks hold"))',
                   by(gates.status), headline=True),
        ),
        note="Where a boxed cell can't be used the book goes on with the default, and a row or a column that can't be used is left out.",
    )  # fmt: skip


def _entries() -> Single:
    rows = tuple(_count("mend", name, label, spans) for name, label, spans in ENTRY_CHECKS)
    return Single("Boxed cells to mend", rows, span="entries_to_mend")


def _count(word: str, name: str, label: str, spans: tuple[str, ...]) -> Node:
    """Return how often a word stands in some checks, or how many flags are up."""
    key = f"check_{name}" if word == "mend" else f"{word}_{name}"
    if spans[0] in which.FLAGS:
        return worked(key, label, "record", f"=SUM({spans[0].replace('.', '_')})", by(book.total, values=f"{spans[0]}*"), look="0")
    return worked(key, label, "record", "=" + "+".join(f'COUNTIF({_key(span).replace(".", "_")},"{word}")' for span in spans),
                  by(gates.count_word, spans=tuple(f"{_key(span)}*" for span in spans), word=word), look="0")  # fmt: skip


def _results() -> Single:
    def row(name: str, label: str, formula: str, ref: Ref, note: str) -> Node:
        return worked(f"check_{name}", label, "record", formula, ref, look="0", note=note)

    def total(name: str, label: str, *spans: str, note: str) -> Node:
        return row(name, label, "=" + "+".join(f"SUM({span.replace('.', '_')})" for span in spans),
                   by(book.total, values=tuple(f"{span}*" for span in spans)), note)  # fmt: skip

    return Single(
        "Results to look at",
        (
            total("fed", "Months in which more pods were fed than the plan allows", "against.past",
                  note="Season log: hay first, fewer pods. Signs of grain overload: call a veterinarian."),
            total("cap", "Months in which pods pass their cap in the diet", "winter.past_cap", note="Winter: share and sugar of what the herd eats."),
            total("lacking", "Types planted without a crop or a lab sheet", "mix.lacking", note="Trees and Pods: they count as bearing nothing."),
            row("shares", "Shares of the types do not add up to 100 %", "=IF(ABS(share_total-1)>share_rounding,1,0)",
                by(gates.apart, value="share_total", wanted=1, tolerance="share_rounding"), "Stand: shares of the trees."),
            row("closure", "Lab sheets whose parts add up to more than 100 %", '=COUNTIF(lab_closure,">100")+COUNTIF(lab_seed_closure,">100")',
                by(gates.count_over, spans=("lab.closure*", "lab.seed_closure*"), limit=100), "Pods: protein, fibre, fat and ash. A laboratory error, or a wrong basis."),
            total("young", "Rows of trees not yet in full crop that a type is planned with", "by_type.young",
                  note="Trees: type a tree's full crop as your own figure; their mean is too low, and Stand lowers it again."),
            total("sugar", "Lab sheets with more sugar than non-fibre carbohydrate", "lab.sugar_over", "lab.seed_sugar_over",
                  note="Pods: sugar is a part of non-fibre carbohydrate."),
            total("spoils", "Types whose crop can't be stockpiled or stored", "types.spoils",
                  note="Farm, Pod trees: it feeds while it falls. The sheet Winter would carry it on."),
            row("drop", "Shares of the pods that drop do not add up to 100 %", "=IF(ABS(drop_total-1)>share_rounding,1,0)",
                by(gates.apart, value="drop_total", wanted=1, tolerance="share_rounding"), "Farm: shares of the drop by month."),
            total("cold", "Groups and months whose cold can't be met by feed", "winter.unmet", note="Needs: shelter, not feed. Wet coats in cold can't be fed through."),
            total("eat", "Groups and months that can't eat what they need, with pods", "winter.uneaten",
                  note="Rations: better hay, or ground pods. Whole pods poorer than hay don't help stock that are full."),
            total("eat_without", "The same, without pods", "winter.uneaten_without", note="Rations: this herd is short without pods too."),
            total("balance", "Months in which pods, grass or hay do not close", "winter.pods_open", "winter.grass_open_with", "winter.grass_open_without",
                  "winter.hay_open", note="Winter: a fault of the book, or a formula was changed."),
            row("season", "Months and season differ", "=months_differ", by(book.same, value="months_differ"), "Savings: the same."),
            total("birth", "Groups and months with young at foot, but no milk filled in", *(f"need_{number}.milkless" for number in range(1, len(GROUPS) + 1)),
                  note="Herd: fill in weeks in milk and milk at its peak; until then they are fed as dry."),
            row("free", "Pods are collected and ground at no cost", "=IF(pods_collected=0,0,IF(pod_cost=0,1,0))",
                by(collecting.ground_for_nothing), "Farm: fill in the cost of a ton eaten; the sheet Collect works it out."),
            row("herd", "No group that can be used", "=IF(SUM(groups_in_order)=0,1,0)", by(gates.none_in_order, flags="groups.in_order*"), "Herd: without stock nothing is saved."),
            total("protein", "Groups and months that lean on the supplement", "winter.leans", note="Rations: find hay or pods with more protein."),
            row("sizes", "Crop of nothing is not the winter without pods", "=sizes_off", by(book.same, value="sizes_off"),
                "Crop sizes: a fault of the book, or a formula was changed."),
            row("usual", "The usual case is not the plan of the other sheets", "=INDEX(cases_differs,2)", by(book.same, value="cases.differs@2"),
                "Returns: keep the usual case at 100 % and 0."),
            total("too_good", "Rates of return above those published", "returns.too_good", note="Returns: 9 to 25 % with sheep (1991, 1994). Look for a slip."),
            row("errors", "Error values among the results", "=IF(ISERROR(saving),1,0)+IF(ISERROR(pod_head_days),1,0)+IF(ISERROR(trees_planted),1,0)+IF(ISERROR(SUM(returns_irr)),1,0)",
                by(gates.errors, values=("saving", "pod_head_days", "trees_planted", "returns.irr@1", "returns.irr@2", "returns.irr@3")), "A formula or a cell was damaged."),
        ),
        span="results_to_look_at",
    )  # fmt: skip
