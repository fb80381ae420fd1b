"""The season log: what was really picked up, fed and paid, month by month; the comparison stands in logged.py."""

from __future__ import annotations

from podbook.book.model import Entries, Entry, Picture, Prose, Sheet, Table
from podbook.book.node import Content, Node, Ref, by, entry_field, fixed_field, worked
from podbook.inputs.filled import Filled
from podbook.inputs.log import SCALES, MonthLogged
from podbook.reference import book, gates, log
from podbook.regions import Region
from podbook.sheets import logged
from podbook.sheets.farm import KINDS_OF_YEAR
from podbook.sheets.months import ITEMS
from podbook.sheets.ranges import in_range
from podbook.sheets.season import COUNT, months

MONEY, TON, FED = "USD", "short_ton_fed", "lb_fed"
FIGURES = (
    ("picked", "pods_picked_lb", "Pods picked up", FED, "#,##0", "Under the trees, whether fed at once or not. Blank where nobody weighs them."),
    ("fed", "pods_fed_lb", "Pods fed", FED, "#,##0", "What stock pick up by themselves can't be weighed: leave it blank."),
    ("hay_tons", "hay_fed_ton", "Hay fed, weighed", TON, "0.0", "As fed, put out at the feeder."),
    ("hay_bales", "hay_fed_bales", "Hay fed, bales", "bale", "0", "Instead of a weight, or besides it. The weight of a bale stands below."),
    ("supplement", "supplement_fed_lb", "Supplement fed", FED, "#,##0", ""),
    ("hay_money", "hay_money", "Paid for hay", MONEY, "#,##0", "Or what the hay fed this month has cost you."),
    ("supplement_money", "supplement_money", "Paid for supplement", MONEY, "#,##0", ""),
    ("collecting_money", "collecting_money", "Paid for collecting", MONEY, "#,##0", "Collecting, drying and grinding pods."),
    ("days", "days_fed", "Days fed", "day", "0", "Days and head go together: fill in both."),
    ("head", "head_fed", "Head fed", "head", "0", "All stock that were fed, of every group."),
)  # fmt: skip
"""Field, column of the log's file, label, unit, number format and note of every figure."""
NAMES = tuple(name for name, *_ in FIGURES)


def sheet(region: Region, filled: Filled) -> Sheet:
    """Return the sheet Season log."""
    return Sheet(
        "Season log",
        "What was really picked up, fed and paid, beside the plan. Fill in a month when it is over.",
        (
            logged.so_far(), _table(region, filled), _entries(), logged.year_of_trees(), logged.next_year(), _cautions(),
            logged.totals(), *_pictures(), logged.by_month(),
        ),
        width=8.7,
        label_width=43,
        sentences=13,
        wider={"B": 9.3, **dict.fromkeys(("D", "G", "I", "R", "AA", "AF", "AG", "AT", "AU"), 10.3), **dict.fromkeys(("T", "AI", "AW"), 11)},
    )  # fmt: skip


def _table(region: Region, filled: Filled) -> Table:
    known = {each.month: each for each in filled.log}
    rows: list[MonthLogged | None] = [known.get(month.name) for month in months(region)]

    def entered(name: str, column: str, label: str, unit: str, look: str, note: str) -> Node:
        scale = SCALES[column]
        contents: tuple[Content, ...] = tuple(None if row is None else getattr(row, name) for row in rows)
        return entry_field(f"log.{name}", label, unit, contents, scale.low, scale.high, required=False, look=look, note=note)  # fmt: skip

    def row(name: str, label: str, unit: str, formula: str, ref: Ref, look: str = "0") -> Node:
        return worked(f"log.{name}", label, unit, formula, ref, size=COUNT, look=look)

    labels = tuple(item if row is None or not row.note else row.note for item, row in zip(ITEMS, rows, strict=True))
    shown = (
        row("label", "Month", "text", "={months.label}", by(book.same, value="months.label")),
        *(entered(*figure) for figure in FIGURES),
        row("state", "In order?", "text", '=IF({amiss}>0,"mend",IF({fitting}=0,"-","ok"))', by(log.state_of_row)),
    )
    fits = tuple(f"{name}_fits" for name in NAMES)
    aside = (
        *(
            row(f"{name}_fits", f"{label}: can be used", "flag",
                f"=IF(ISNUMBER({{{name}}}),IF({{{name}}}<{{{name}:low}},0,IF({{{name}}}>{{{name}:high}},0,1)),0)", in_range((name,)))
            for name, _, label, *_ in FIGURES
        ),
        row("fitting", "Figures that can be used", "record", f"=SUM({{{fits[0]}}}:{{{fits[-1]}}})", by(book.total, values=fits)),
        _amiss("feed_amiss", "Pods and feed that can't be used", NAMES[:5]),
        _amiss("rest_amiss", "Money, days and head that can't be used", NAMES[5:]),
        row("amiss", "Figures amiss in all, and days without head", "record",
            "={feed_amiss}+{rest_amiss}+ABS({days_fits}-{head_fits})",
            by(log.unpaired, amiss="all_amiss", days_fit="days_fits", head_fit="head_fits")),
        row("all_amiss", "Figures that can't be used", "record", "={feed_amiss}+{rest_amiss}", by(book.total, values=("feed_amiss", "rest_amiss"))),
        *(_counted(quantity.name, quantity.figures) for quantity in logged.QUANTITIES),
        row("begun", "Logged", "flag", "=IF({amiss}>0,0,IF({fitting}>0,1,0))", by(log.begun)),
        row("in_season", "A month of the season", "flag", "=IF(OR({months.days_used}>0,{months.drop_used}>0),1,0)",
            by(log.in_season, days="months.days_used", drop="months.drop_used")),
        fixed_field("log.place", "Place of the month", "ordinal", tuple(float(place) for place in range(1, COUNT + 1)), look="0"),
        row("reached", "Place, if logged", "ordinal", "={place}*{begun}", by(book.product, a="place", b="begun")),
        row("days_due", "Days of feeding in the plan, if logged", "day", "={months.days_used}*{begun}",
            by(book.product, a="months.days_used", b="begun")),
        row("drop_due", "Pods that drop, if they were picked up", "fraction", "={months.drop_used}*{dropped_counts}",
            by(book.product, a="months.drop_used", b="dropped_counts"), "0%"),
        *(
            worked(f"log.{each.name}_due", f"{each.label}: planned, if logged", each.unit,
                   f"={{against.{each.name}_plan}}*{{{each.name}_counts}}",
                   by(book.product, a=f"against.{each.name}_plan", b=f"{each.name}_counts"), size=COUNT, look=each.look, scale=each.scale)
            for each in logged.QUANTITIES
        ),
    )  # fmt: skip
    return Table("log", "What was seen", labels, (*shown, *aside), across=False, open_labels=True, aside=len(aside),
                 note="The first column is yours for notes. Leave blank what you did not weigh or count; 0 is a figure. "
                 "A month with a figure that can't be used counts as not logged.")  # fmt: skip


def _amiss(name: str, label: str, figures: tuple[str, ...]) -> Node:
    """Return how many of some entries are neither blank nor usable."""
    formula = "=" + "+".join(f'IF({{{each}}}="",0,1-{{{each}_fits}})' for each in figures)
    ref = by(gates.optional_states, entries=figures, lows=tuple(f"{each}_low" for each in figures),
             highs=tuple(f"{each}_high" for each in figures), asked=0)  # fmt: skip
    return worked(f"log.{name}", label, "record", formula, ref, size=COUNT, look="0")


def _counted(name: str, figures: tuple[str, ...]) -> Node:
    """Return whether a quantity is logged in a month: one of its figures, or of days and head both."""
    label = f"{logged.QUANTITY[name].label}: logged"
    if name == "head_days":
        formula, ref = "{days_fits}*{head_fits}", by(log.counts_both, days_fit="days_fits", head_fit="head_fits")
    else:
        several = ",".join(f"{{{each}_fits}}" for each in figures)
        formula = several if len(figures) == 1 else f"MAX({several})"
        ref = by(log.counts, fits=tuple(f"{each}_fits" for each in figures))
    return worked(f"log.{name}_counts", label, "flag", f"=IF({{amiss}}>0,0,{formula})", ref, size=COUNT, look="0")


def _entries() -> Entries:
    return Entries(
        "log_figures",
        "To read the log by",
        (
            Entry("log_moisture", "Moisture of the pods as weighed", "fraction", 0.1247, 0, 0.7, look="0.0%", source="moore-1948",
                  place="ground pods, 12.47 % water", mark="published", help="Fresh from the ground in a wet autumn they hold far more."),
            Entry("log_share_picked", "Share of what dropped that was picked up", "fraction", 0.9, 0.05, 1, look="0%",
                  help="Of what dropped under these trees: stock, deer and grass keep the rest."),
            Entry("log_share_trees", "Share of the bearing trees they came from", "fraction", 1, 0.01, 1, own=True, look="0%",
                  place="1 = all of them", help="12 of 120 trees: 0.1. Choose them without looking at their crop."),
            Entry("log_bale_weight", "Weight of a bale", FED, 880, 20, 3000, look="#,##0", source="southern-ag-today-2024",
                  place="round bale of 880 lb", mark="published", help="As it is fed out. Weigh one."),
            Entry("log_frost", "Did late frost take this year's crop?", "text", "no", choices="lists.yes",
                  help="Or most of it. Such a year says nothing of what the trees bear."),
            Entry("log_year", "On-year or off-year for most trees", "text", KINDS_OF_YEAR[0], choices="lists.bearing",
                  help="As planned: the mean of both, unless the sheet Stand shows good and bad years."),
            Entry("log_seasons", "Seasons on which the yield planned with rests", "year", 1, 1, 40, own=True, look="0",
                  help="Trees weighed in four years: 4. This year's log then moves it by a fifth."),
        ),
    )  # fmt: skip


def _pictures() -> tuple[Picture, ...]:
    def picture(name: str, title: str, up: str, columns: tuple[int, int]) -> Picture:
        series = ((f"against.{name}_plan", "planned"), (f"against.{name}_seen", "logged"))
        return Picture(title, "columns", "months.label", series, "Month", up, columns=columns, beside=True)

    return (
        picture("dropped", "Pods dropped, month by month", "Dry pods, lb", (4, 8)),
        picture("hay", "Hay fed, month by month", "Hay, tons", (9, 13)),
    )


def _cautions() -> Prose:
    return Prose(
        "Before you plan by it",
        (
            "One year says little: a tree of this kind bears heavily in one year and little in the next, and weather moves all of them at once.",
            "The book never changes its own plan. Type the yield above in the boxed cell 'Your own figure' on the sheet Trees in next year's book, if you trust it.",
            "Stock that ate more pods than the plan allows: hay first, fewer pods. At signs of grain overload call a veterinarian.",
        ),
    )
