"""The first page: is anything wrong, the key results, what to watch out for, and what to fill in."""

from __future__ import annotations

from podbook.book.model import Prose, Sheet, Single
from podbook.book.node import Node, by, worked
from podbook.reference import book, planting, winter
from podbook.sheets.plan import USUAL
from podbook.systems import SYSTEMS

EDITION = "5"

KEY_RESULTS = (
    ("first_head_days", "Head-days of winter feed on these trees", "head*day", "pod_head_days", "#,##0", "",
     "Energy in the pods that are eaten, over the need of a head and day."),
    ("first_saving", "Saved this winter", "USD", "saving", "#,##0", "cost_without", "At the age of the trees on the sheet Farm."),
    ("first_offset", "Share of the winter's feed cost", "fraction", "offset", "0%", "cost_without/cost_without", ""),
    ("first_hay", "Hay saved", "short_ton_fed", "hay_saved", "0.0", "hay_bought_without", ""),
    ("first_area", "Saved an acre of trees", "USD/acre", "saving_area", "0.00", "cost_without/area", ""),
    ("first_ton", "Saved a ton of pods eaten", "USD/short_ton_fed", "saving_ton", "0.00", "cost_without/pods_eaten_fed", ""),
    ("first_pods", "Pods that drop this winter, dry", "lb_dry", "pod_crop", "#,##0", "", ""),
    ("first_eaten", "Of these eaten", "fraction", "eaten_share", "0%", "", "More than the herd can use is no use: Crop sizes."),
    ("first_trees", "Trees an acre", "tree/acre", "trees_per_area", "0.0", "", ""),
)  # fmt: skip
HEADLINES = ("first_head_days", "first_saving")
GROWN = (
    worked("first_grown", "Full-grown, years after planting", "year", "=MIN(plan_years-1,MAX(mix_full)+replant_delay)",
           by(planting.full_grown, full_ages="mix.full*"), look="0", note="From then on all trees bear in full, replanted ones too."),
    worked("first_grown_saving", "Saved a winter when full-grown, without frost", "USD",
           f"=(INDEX(plan_{USUAL}_feed,first_grown+1)+INDEX(plan_{USUAL}_feed,first_grown+2))/2/(1-frost_chance)",
           by(planting.mean_of_pair, flows=f"plan_{USUAL}.feed*", year="first_grown"), look="#,##0", headline=True, scale="cost_without",
           note="Mean of that winter and the next, usual case. Returns counts the winters whose crop frost takes, too."),
)  # fmt: skip


def sheet(title: str, region: str, region_label: str, units: str, rows: int) -> Sheet:
    """Return the first page."""
    blocks = (_status(title), _results(), _planting(), _watch(), _how(), _about(title, region, region_label, units, rows))
    return Sheet("Start", "Pods as winter feed", blocks, width=8.5, label_width=44)


def _status(title: str) -> Single:
    status = worked("first_status", "Is anything wrong in this book?", "text", "=status", by(book.same_word, word="status"), headline=True)
    return Single(title, (status,), headed=False)


def _results() -> Single:
    shown = tuple(
        worked(name, label, unit, f"={key}", by(book.same, value=key), look=look, headline=name in HEADLINES, scale=scale, note=note)
        for name, label, unit, key, look, scale, note in KEY_RESULTS
    )  # fmt: skip
    return Single("This winter, and when the trees are full-grown", (*shown[:2], *reversed(GROWN), *shown[2:]), headed=False)


def _planting() -> Single:
    return Single(
        "Does planting pay? Forty years, usual case",
        (
            worked("first_pays", "At your rate of interest", "text", "={returns.pays@2}", by(book.same_word, word="returns.pays@2"), headline=True),
            worked("first_worth", "Worth today, all costs paid (NPV)", "USD", "={returns.worth_own@2}", by(book.same, value="returns.worth_own@2"),
                   look="#,##0", headline=True, scale="establishment_cost", note="Poor and good cases, and when it is paid back: sheet Returns."),
            worked("first_irr", "Rate of return (IRR)", "fraction", "={returns.irr@2}", by(book.same, value="returns.irr@2"),
                   look='0.0%;-0.0%;"none"'),
        ),
        headed=False,
    )  # fmt: skip


def _watch() -> Single:
    def told(name: str, label: str, word: str) -> Node:
        return worked(name, label, "text", f"={{{word}}}" if "@" in word else f"={word}", by(book.same_word, word=word))

    def first_of(name: str, label: str, table: str) -> Node:
        return worked(name, label, "text", f'=IF(SUM({table}_there)=0,"none",INDEX({table}_what,MATCH(1,{table}_there,0)))',
                      by(winter.first_named, flags=f"{table}.there*", names=f"{table}.what*"))  # fmt: skip

    return Single(
        "What to watch out for",
        (
            told("first_sugar", "Sugar (sheet Winter)", "sugar_caution"),
            told("first_out", "First month in which pods run out (Winter)", "out_month"),
            told("first_caution", "Your kinds of tree, before all else (Cautions)", "barn_lines.words@1"),
            first_of("first_mend", "First boxed cell to mend", "mending"),
            first_of("first_unusual", "First unusual figure", "doubting"),
            first_of("first_look", "First result to look at", "looking"),
        ),
        headed=False,
        wide=True,
    )


def _how() -> Prose:
    return Prose(
        "What to fill in",
        (
            "Farm: your winter, acres, types of tree, how pods are fed. Feeds: hay and its price, stockpile, what you buy. Herd: your groups.",
            "Trees: pods picked up under single trees. Pods: the laboratory's sheets. Stand: how trees grow and what is lost.",
            "Planting: what trees, guards and fence cost. Season log, as the winter goes: what was picked up, fed and paid.",
            "Then read Savings, Returns and Checks, and print the Handout for the barn. Quick sums stands alone.",
            "A cell that says 'mend' can't be used: its default is, meanwhile. 'Unusual' is used as it stands: is it meant so?",
            "Everything but the boxed cells is locked, without a password, against slips of the hand. Your own sheets and notes are welcome.",
            "Pods are a supplement, never the whole ration. Read the sheet Cautions before the first pod is fed.",
        ),
    )


def _about(title: str, region: str, region_label: str, units: str, rows: int) -> Single:
    return Single(
        "This copy",
        (
            Node("book_edition", "Edition of the book", "text", "fixed", contents=(EDITION,)),
            Node("book_title", "Farm", "text", "fixed", contents=(title,)),
            Node("book_region", "Defaults of the region", "text", "fixed", contents=(region,), note=region_label),
            Node("book_units", "Units", "text", "fixed", contents=(units,), note=SYSTEMS[units]),
            Node("book_rows", "Rows for trees weighed", "record", "fixed", contents=(float(rows),), look="0"),
        ),
        headed=False,
    )
