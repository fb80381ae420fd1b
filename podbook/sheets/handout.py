"""The handout: two printed pages for the barn wall, with the winter month by month and the cautions that hold here."""

from __future__ import annotations

from podbook.book.model import Prose, Ruled, Sheet, Single, Table
from podbook.book.node import Node, Ref, by, fixed_field, worked
from podbook.inputs.filled import GROUPS
from podbook.pod_trees import Caution, pod_trees
from podbook.reference import book, gates, kinds, stages, winter
from podbook.sheets.cautions import OF_STOCK
from podbook.sheets.months import ITEMS
from podbook.sheets.pod_trees import heading
from podbook.sheets.season import COUNT

TITLE = "Handout"
FED, TON = "lb_fed", "short_ton_fed"
A_HEAD = "lb_fed/head/day"
OR_BLANK, HEAD = "0.0;-0.0;", "0;-0;"
"""Nothing is printed where there is none: neither in a month nor for a group that is not there."""
CLOSELY = "0.00;-0.00;"
"""Of what must not be passed: a ewe's pods are a tenth of a kilogram."""
LOOK = (
    ("shelter", "More cold than feed can meet: out of wind and wet, dry bedding, and extra feed spread over days."),
    ("intake", "They can't eat all that they need: better hay, or pods ground. Fill no one up with whole pods poorer than hay."),
    ("protein", "The supplement would be a large part of the ration: find hay or pods with more protein."),
)  # fmt: skip
"""What to do where a month says so."""
LINES = 9
"""Cautions of kinds of tree that have a line; how many more there are is told."""
HERD = range(1, len(GROUPS) + 1)


def sheet(farm: str) -> Sheet:
    """Return the sheet Handout."""
    return Sheet(
        TITLE,
        f"{farm}: the winter plan, for the barn wall",
        (_before(), _months(), _pods(), _hay(), _look(), _daily(), _of_trees(), _of_stock(), Ruled("Notes", 7), _cautions(), _lines()),
        printed=9,
        turns=(6,),
        width=12,
        wider={"J": 7},
        label_width=30,
        letters=1.2,
        sentences=COUNT + 1,
        filled_in=False,
    )  # fmt: skip


def _before() -> Single:
    return Single(
        "Before you feed",
        (
            worked("barn_status", "Is the book in order?", "text", "=status", by(book.same_word, word="status"), headline=True),
            worked("barn_out", "Pods run out first in", "text", "=out_month", by(book.same_word, word="out_month"), headline=True),
            worked("barn_stockpile", "Stockpile that it counts on", "acre", "=stockpile_area", by(book.same, value="stockpile_area"), look="0.0",
                   note="Less of it is more hay: fill in the sheet Feeds."),
            worked("barn_cap", "Most pods in the ration", "fraction", "=full_share", by(book.same, value="full_share"), look="0%", headline=True,
                   note="Of all dry matter that they eat, once they are used to pods."),
            worked("barn_weeks", "Weeks of stepping up to it", "week", "=step_up_weeks", by(book.same, value="step_up_weeks"), look="0", headline=True,
                   note="In a month of stepping up both tables are for its first days: later more pods and less hay."),
        ),
        headed=False,
    )  # fmt: skip


def _label(table: str) -> Node:
    return worked(f"{table}.label", "Month", "text", "={months.label}", by(book.same, value="months.label"), size=COUNT, look="0", headline=True)


def _months() -> Table:
    def row(name: str, label: str, unit: str, formula: str, ref: Ref, look: str = "#,##0", scale: str = "") -> Node:
        return worked(f"barn.{name}", label, unit, formula, ref, size=COUNT, look=look, headline=True, scale=scale)

    def picked(name: str, label: str, dry: str) -> Node:
        return row(name, label, FED, f"=IF(pods_dry_matter=0,0,{{winter.{dry}}}/pods_dry_matter)",
                   by(book.quotient, a=f"winter.{dry}", b="pods_dry_matter"))  # fmt: skip

    return Table(
        "barn",
        "The winter, whole herd",
        ITEMS,
        (
            _label("barn"),
            row("days", "Days of feeding", "day", "={winter.days}", by(book.same, value="winter.days"), "0"),
            picked("dropped", "Pods dropped, lb as picked", "dropped"),
            picked("eaten", "Pods eaten, lb as picked", "pods_eaten"),
            row("grazed", "Stockpile they graze, lb DM", "lb_dry", "={winter.grass_eaten_with}", by(book.same, value="winter.grass_eaten_with")),
            row("hay", "Hay to have, tons", TON, "={winter.hay_tons_with}", by(book.same, value="winter.hay_tons_with"), "0.0",
                "winter.room_all/weight_per_ton"),
            row("extra", "Supplement to have, tons", TON, "={winter.extra_tons_with}", by(book.same, value="winter.extra_tons_with"), "0.0",
                "winter.room_all/weight_per_ton"),
            row("watch", "What to watch", "text", "={winter.watch}", by(book.same_word, word="winter.watch")),
        ),
        headed=False,
    )  # fmt: skip


def _kind(number: int) -> Node:
    """Return what a group is, for want of a name of its own."""
    def group(field: str) -> str:
        return f"groups.{field}@{number}"

    ewe, doe = (
        f'CHOOSE(1+IF({{{group("week_start")}}}>0,2,IF({{{group("days_start")}}}>0,1,0)),{{{group("kind")}}},'
        f'"{animal}, {pregnant} at the start","{animal}, in milk at the start")'
        for animal, pregnant in (("ewe", "in lamb"), ("doe", "in kid"))
    )  # fmt: skip
    return worked(
        f"barn_pods_kind_{number}", f"Group {number}", "text",
        f'=IF({{{group("is_ewe")}}}=1,{ewe},IF({{{group("is_doe")}}}=1,{doe},IF({{{group("in_order")}}}=1,{{{group("kind")}}},'
        f'IF({{amiss.any@{number}}}=1,"LOOK: mend (Herd)",""))))',
        by(stages.kind_and_stage, amiss=f"amiss.any@{number}", in_order=group("in_order"), kind=group("kind"), is_ewe=group("is_ewe"), is_doe=group("is_doe"),
           week_in_milk=group("week_start"), days_pregnant=group("days_start")),
    )  # fmt: skip


def _heads(table: str) -> tuple[Node, ...]:
    """Return how many head the groups are."""
    return tuple(
        worked(f"{table}_head_{number}", "Head", "head", f"={{groups.head_used@{number}}}",
               by(book.same, value=f"groups.head_used@{number}"), look=HEAD)
        for number in HERD
    )  # fmt: skip


def _pods() -> Table:
    def most(number: int) -> Node:
        days = f"need_{number}.head_days"
        return worked(
            f"barn_pods.group_{number}", f"Group {number}: pods a head and day, at most", A_HEAD,
            f"=IF({{{days}}}*pods_dry_matter*{{months.pod_share}}=0,0,"
            f"{{ration_{number}.wish}}/{{{days}}}/pods_dry_matter*IF({{months.stepping}}=0,1,full_share*step_up_share/{{months.pod_share}}))",
            by(winter.most_a_head, dry=f"ration_{number}.wish", head_days=days, dry_matter="pods_dry_matter", stepping="months.stepping",
               pod_share="months.pod_share"),
            size=COUNT, look=CLOSELY, headline=True,
        )  # fmt: skip

    title = "Pods as picked, lb a head and day (blank: none): never more than"
    return Table("barn_pods", title, ITEMS, (_label("barn_pods"), *map(most, HERD)), headed=False, heads=tuple(map(_kind, HERD)),
                 tails=_heads("barn_pods"))  # fmt: skip


def _hay() -> Table:
    def put_out(number: int) -> Node:
        days = f"need_{number}.head_days"
        return worked(
            f"barn_hay.group_{number}", f"Group {number}: hay a head and day", A_HEAD,
            f"=IF({{{days}}}=0,0,({{ration_{number}.hay_with}}+IF({{months.stepping}}*{{ration_{number}.hay_with}}*{{months.pod_share}}=0,0,"
            f"{{ration_{number}.pods_me}}*(1-full_share*step_up_share/{{months.pod_share}})/(hay_me*kg_per_weight)))"
            f"/{{{days}}}/(hay_dry_matter*(1-feeding_waste)))",
            by(winter.hay_put_out, dry=f"ration_{number}.hay_with", head_days=days, dry_matter="hay_dry_matter", waste="feeding_waste",
               pods_me=f"ration_{number}.pods_me", stepping="months.stepping", pod_share="months.pod_share"),
            size=COUNT, look=OR_BLANK, headline=True, scale=f"ration_{number}.room/{days}/hay_dry_matter",
        )  # fmt: skip

    kinds_again = tuple(
        worked(f"barn_hay_kind_{number}", f"Group {number}", "text", f"=barn_pods_kind_{number}",
               by(book.same_word, word=f"barn_pods_kind_{number}"))
        for number in HERD
    )  # fmt: skip
    title = "Hay to put out, lb a head and day (blank: none), when they find the pods planned"
    return Table("barn_hay", title, ITEMS, (_label("barn_hay"), *map(put_out, HERD)), headed=False, heads=kinds_again, tails=_heads("barn_hay"))


def _look() -> Single:
    return Single(
        "Where it says LOOK",
        (
            worked("barn_first", "In the book, first", "text", '=IF(entries_failed>0,first_mend,IF(results_failed>0,first_look,"nothing"))',
                   by(gates.look_first, mend="first_mend", look="first_look")),
            *(Node(f"barn_look_{name}", f"In a month: {name}", "text", "fixed", contents=(words,)) for name, words in LOOK),
        ),
        headed=False,
        wide=True,
    )  # fmt: skip


def _daily() -> Prose:
    return Prose(
        "Every day",
        (
            "Off feed, belly pain, staggering, grey sour scours, down: grain overload. Call a veterinarian at once; do not wait for morning.",
            "Pods are a supplement, never the whole ration. Long forage stays before them. Never turn hungry stock on a pile of pods.",
            "When pods run out, feed more hay. A wet coat in cold wants shelter and dry bedding, not feed alone.",
            "Know the tree: Kentucky coffeetree (short, thick, woody pods) and black locust (short, thin, flat pods) are poisonous.",
        ),
    )


def _of_trees() -> Single:
    numbers = range(1, LINES + 1)
    return Single(
        "Your kinds of tree",
        (
            worked("barn_all", "Are these all of them?", "text",
                   '=IF(MAX(barn_cautions_counted)>MAX(barn_lines_number),"LOOK: no, the sheet Cautions has more","yes")',
                   by(kinds.all_told, counted="barn_cautions.counted*", numbers="barn_lines.number*")),
            *(
                worked(f"barn_caution_{number}", f"Caution {number}", "text", f'=IF({{barn_lines.words@{number}}}="-","",{{barn_lines.words@{number}}})',
                       by(book.word_or_blank, word=f"barn_lines.words@{number}"))
                for number in numbers
            ),
        ),
        headed=False,
        wide=True,
        heads=tuple(
            worked(f"barn_about_{number}", f"Caution {number}: about", "text", f'=IF({{barn_lines.about@{number}}}="-","",{{barn_lines.about@{number}}})',
                   by(book.word_or_blank, word=f"barn_lines.about@{number}"))
            for number in numbers
        ),
    )  # fmt: skip


def _of_stock() -> Single:
    return Single(
        "Your kinds of stock",
        tuple(
            worked(f"barn_{name}", about, "text", f'=IF(told_{name}="-","",told_{name})', by(book.word_or_blank, word=f"told_{name}"))
            for name, about, _, _ in OF_STOCK
        ),
        headed=False,
        wide=True,
        heads=tuple(
            worked(f"barn_about_{name}", f"{about}: about", "text", f'=IF(told_{name}="-","","{about}")',
                   by(kinds.about_told, told=f"told_{name}", about=about))
            for name, about, _, _ in OF_STOCK
        ),
    )  # fmt: skip


def _gravest_first() -> list[tuple[int, Caution]]:
    """Return all cautions, each with its row on the sheet Cautions: poison first, then the first of each kind of tree."""
    place: dict[str, int] = {}
    ranked = []
    for row, caution in enumerate(pod_trees().cautions, 1):
        place[caution.species] = place.get(caution.species, 0) + 1
        ranked.append((caution.about != "poison", place[caution.species], row, caution))
    return [(row, caution) for *_, row, caution in sorted(ranked, key=lambda each: each[:3])]


def _cautions() -> Table:
    """Return which cautions hold here, counted through: workings."""
    ranked = _gravest_first()
    size = len(ranked)
    return Table(
        "barn_cautions",
        "Cautions of kinds of tree: which hold here",
        tuple(str(place) for place in range(1, size + 1)),
        (
            fixed_field("barn_cautions.row", "Row on the sheet Cautions", "ordinal", tuple(float(row) for row, _ in ranked), look="0"),
            fixed_field("barn_cautions.about", "About", "text", tuple(heading(caution) for _, caution in ranked)),
            worked("barn_cautions.holds", "Holds here", "flag", '=IF(INDEX(cautions_told,{row})="-",0,1)',
                   by(kinds.holds, told="cautions_told*"), size=size, look="0"),
            worked("barn_cautions.counted", "Counted through", "record", "={counted@prev}+{holds}",
                   by(book.total, values=("counted@prev", "holds")), size=size, look="0", first=("={holds}", by(book.same, value="holds"))),
        ),
        across=False,
    )  # fmt: skip


def _lines() -> Table:
    """Return what stands in the lines for cautions: workings."""
    def row(name: str, label: str, unit: str, formula: str, ref: Ref) -> Node:
        return worked(f"barn_lines.{name}", label, unit, formula, ref, size=LINES, look="0")

    return Table(
        "barn_lines",
        "Lines for cautions",
        tuple(f"Line {number}" for number in range(1, LINES + 1)),
        (
            fixed_field("barn_lines.number", "Number", "ordinal", tuple(float(number) for number in range(1, LINES + 1)), look="0"),
            row("place", "Place of the caution", "ordinal", "=IF({number}>MAX(barn_cautions_counted),0,MATCH({number},barn_cautions_counted,0))",
                by(kinds.place_of_caution, counted="barn_cautions.counted*")),
            row("about", "About", "text", '=IF({place}=0,"-",INDEX(barn_cautions_about,{place}))', by(kinds.words_at, words="barn_cautions.about*")),
            row("words", "What to know", "text", '=IF({place}=0,"-",INDEX(cautions_told,INDEX(barn_cautions_row,{place})))',
                by(kinds.caution_at, rows="barn_cautions.row*", told="cautions_told*")),
        ),
        across=False,
    )  # fmt: skip
