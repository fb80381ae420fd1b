"""What the season log says: seen beside planned, by month and so far, and what the trees bore in the year."""

from __future__ import annotations

from dataclasses import dataclass

from podbook.book.model import Single, Table
from podbook.book.node import Node, Ref, by, worked
from podbook.inputs.filled import TYPES
from podbook.reference import book, gates, log, picks, savings
from podbook.sheets.months import ITEMS
from podbook.sheets.season import COUNT

DRY, TON, MONEY, YIELD = "lb_dry", "short_ton_fed", "USD", "lb_dry/tree"


@dataclass(frozen=True)
class Quantity:
    """Something that is planned and logged."""

    name: str
    label: str
    unit: str
    figures: tuple[str, ...]
    """Fields of the log that it is worked from."""
    plan: tuple[str, Ref]
    seen: tuple[str, Ref]
    look: str = "#,##0"
    scale: str = ""
    """How exact its plan is."""


def _paid(name: str, label: str, plan: tuple[str, Ref], scale: str = "") -> Quantity:
    return Quantity(f"{name}_paid", label, MONEY, (f"{name}_money",), plan,
                    (f"{{log.{name}_money}}", by(book.same, when=f"log.{name}_paid_counts", value=f"log.{name}_money")), scale=scale)  # fmt: skip


ROOM_TONS = "winter.room_all/weight_per_ton"
QUANTITIES = (
    Quantity("dropped", "Pods dropped, dry", DRY, ("picked",), ("={winter.dropped}", by(book.same, value="winter.dropped")),
             ("{log.picked}*(1-log_moisture)/(log_share_picked*log_share_trees)",
              by(log.pods_dropped_dry, when="log.dropped_counts", picked="log.picked", moisture="log_moisture", share_picked="log_share_picked",
                 share_trees="log_share_trees"))),
    Quantity("eaten", "Pods fed, dry", DRY, ("fed",), ("={winter.pods_eaten}", by(book.same, value="winter.pods_eaten")),
             ("{log.fed}*(1-log_moisture)", by(log.pods_fed_dry, when="log.eaten_counts", fed="log.fed", moisture="log_moisture"))),
    Quantity("hay", "Hay fed", TON, ("hay_tons", "hay_bales"),
             ("={winter.hay_tons_with}*(1-storage_loss)", by(log.hay_planned, bought="winter.hay_tons_with")),
             ("IF({log.hay_tons_fits}=1,{log.hay_tons},0)+IF({log.hay_bales_fits}=1,{log.hay_bales},0)*log_bale_weight/weight_per_ton",
              by(log.hay_fed, when="log.hay_counts", tons="log.hay_tons", tons_fit="log.hay_tons_fits", bales="log.hay_bales",
                 bales_fit="log.hay_bales_fits", bale_weight="log_bale_weight")), "0.0", ROOM_TONS),
    Quantity("extra", "Supplement fed", "lb_fed", ("supplement",),
             ("={winter.extra_tons_with}*weight_per_ton", by(log.weight_of_tons, tons="winter.extra_tons_with")),
             ("{log.supplement}", by(book.same, when="log.extra_counts", value="log.supplement")), scale="winter.room_all"),
    Quantity("head_days", "Head-days fed", "head*day", ("days", "head"), ("={winter.head_days}", by(book.same, value="winter.head_days")),
             ("{log.days}*{log.head}", by(book.product, when="log.head_days_counts", a="log.days", b="log.head"))),
    _paid("hay", "Paid for hay", ("={winter.hay_tons_with}*hay_price", by(savings.cost, amount="winter.hay_tons_with", price="hay_price")),
          f"{ROOM_TONS}*hay_price"),
    _paid("supplement", "Paid for supplement",
          ("={winter.extra_tons_with}*supplement_price", by(savings.cost, amount="winter.extra_tons_with", price="supplement_price")),
          f"{ROOM_TONS}*supplement_price"),
    _paid("collecting", "Paid for collecting", ("={winter.pods_fed}*pod_cost", by(savings.cost, amount="winter.pods_fed", price="pod_cost"))),
)  # fmt: skip
QUANTITY = {each.name: each for each in QUANTITIES}
PAID = tuple(each.name for each in QUANTITIES if each.unit == MONEY)


def by_month() -> Table:
    """Return the months of the plan beside those of the log."""
    rows = [_row("label", "Month", "text", "={months.label}", by(book.same, value="months.label"), "0")]
    for each in QUANTITIES:
        plan, seen, counts = f"{each.name}_plan", f"{each.name}_seen", f"log.{each.name}_counts"
        scale = each.scale or f"against.{plan}"
        rows += [
            _row(plan, f"{each.label}: planned", each.unit, *each.plan, each.look, scale=each.scale),
            _row(seen, f"{each.label}: logged", each.unit, f"=IF({{{counts}}}=0,0,{each.seen[0]})", each.seen[1], f'{each.look};;"-"', headline=True),
            _row(f"{each.name}_gap", f"{each.label}: difference", each.unit, f"=IF({{{counts}}}=0,0,{{{seen}}}-{{{plan}}})",
                 by(book.difference, when=counts, a=seen, b=plan), f'{each.look};-{each.look};"-"', scale=scale),
            _row(f"{each.name}_part", f"{each.label}: difference, of the plan", "fraction",
                 f"=IF({{{counts}}}=0,0,IF({{{plan}}}<=rounding*(1+{{{seen}}}),0,{{{each.name}_gap}}/{{{plan}}}))",
                 by(log.part_of_plan, when=counts, gap=f"{each.name}_gap", plan=plan, seen=seen), '0%;-0%;"-"',
                 scale=f"{each.name}_part*{scale}/{plan}"),
        ]  # fmt: skip
    rows += [
        _row("past", "More pods were fed than the plan lets the herd eat", "flag",
             "=IF({log.eaten_counts}=0,0,IF({eaten_seen}>{winter.wish}*(1+rounding),1,0))",
             by(log.past_cap, when="log.eaten_counts", fed="eaten_seen", wish="winter.wish"), "0"),
        _row("watch", "What to watch", "text",
             '=IF({log.eaten_counts}=0,"-",IF({past}=0,"in order",IF({winter.days}>0,"LOOK: past the cap","LOOK: no feeding in the plan")))',
             by(log.word_on_pods, when="log.eaten_counts", otherwise="-", days="winter.days"), "0"),
    ]  # fmt: skip
    return Table("against", "Month by month", ITEMS, tuple(rows), note="- is nothing: not logged, or 0. A month that is not logged has no difference.")


def _row(name: str, label: str, unit: str, formula: str, ref: Ref, look: str, *, headline: bool = False, scale: str = "") -> Node:
    return worked(f"against.{name}", label, unit, formula, ref, size=COUNT, look=look, headline=headline, scale=scale)


def so_far() -> Single:
    """Return how far through the season the log is."""
    return Single(
        "How far the log is",
        (
            worked("log_months", "Months logged", "month", "=SUM(log_begun)", by(book.total, values="log.begun*"), look="0", headline=True),
            worked("log_months_planned", "Months of the season, with feeding or pods", "month", "=SUM(log_in_season)",
                   by(book.total, values="log.in_season*"), look="0"),
            worked("log_last", "Last month logged", "text", '=IF(SUM(log_begun)=0,"none",INDEX(months_label,MAX(log_reached)))',
                   by(log.last_place, places="log.place*", flags="log.begun*", names="months.label*")),
            worked("log_share_days", "Days of feeding in the months logged", "fraction",
                   "=IF(season_days=0,0,SUM(log_days_due)/season_days)",
                   by(log.share_logged, logged="log.days_due*", whole="season_days"), look="0%", note="Of the season's."),
            worked("log_share_drop", "Pods that drop in the months in which they were picked up", "fraction",
                   "=IF(drop_total=0,0,SUM(log_drop_due)/drop_total)",
                   by(log.share_logged, logged="log.drop_due*", whole="drop_total"), look="0%", note="Of the year's, as planned on the sheet Farm."),
        ),
    )  # fmt: skip


def totals() -> Single:
    """Return the season so far: the plan over the months that are logged, and what was seen in them."""
    rows: list[Node] = []
    for each in QUANTITIES:
        plan, seen, gap = (f"logged_{each.name}_{which}" for which in ("plan", "seen", "gap"))
        rows += [
            worked(plan, f"{each.label}: planned", each.unit, f"=SUM(log_{each.name}_due)",
                   by(book.total, values=f"log.{each.name}_due*"), look=each.look, scale=_season_scale(each)),
            worked(seen, f"{each.label}: logged", each.unit, f"=SUM(against_{each.name}_seen)",
                   by(book.total, values=f"against.{each.name}_seen*"), look=each.look, headline=True),
            *_gap(each.name, each.label, each.unit, each.look, plan, seen, gap, _season_scale(each) or plan),
        ]  # fmt: skip
    plan, seen, gap = "logged_money_plan", "logged_money_seen", "logged_money_gap"
    for which, words in ((plan, "planned"), (seen, "logged")):
        parts = tuple(f"logged_{name}_{which.rpartition('_')[2]}" for name in PAID)
        rows.append(worked(which, f"Paid in all: {words}", MONEY, "=" + "+".join(parts), by(book.total, values=parts), look="#,##0",
                           headline=which == seen, scale="cost_without" if which == plan else ""))  # fmt: skip
    rows += _gap("money", "Paid in all", MONEY, "#,##0", plan, seen, gap, "cost_without")
    return Single(
        "The season so far: only the months in which each was logged, in plan and log",
        tuple(rows),
        note="Hay planned is what reaches the feeder: bought, less what is lost in storage. Hay may be paid for before it is fed: compare money over a whole season.",
        headed=False,
    )


def _season_scale(each: Quantity) -> str:
    return {"hay": "hay_bought_without", "extra": "hay_bought_without*weight_per_ton", "hay_paid": "cost_without", "supplement_paid": "cost_without"}.get(each.name, "")  # fmt: skip


def _gap(name: str, label: str, unit: str, look: str, plan: str, seen: str, gap: str, scale: str) -> list[Node]:
    return [
        worked(gap, f"{label}: difference", unit, f"={seen}-{plan}", by(book.difference, a=seen, b=plan), look=look, scale=scale),
        worked(f"logged_{name}_part", f"{label}: difference, of the plan", "fraction", f"=IF({plan}<=rounding*(1+{seen}),0,{gap}/{plan})",
               by(log.part_of_plan, gap=gap, plan=plan, seen=seen), look="0%", scale=f"logged_{name}_part*{scale}/{plan}"),
    ]  # fmt: skip


def year_of_trees() -> Single:
    """Return what a tree bore this year, beside the plan, and what to multiply the yields with."""
    return Single(
        "What the trees bore this year",
        (
            worked("log_trees", "Trees standing that bear, or will", "tree", "=area*INDEX(years_trees,stand_age)*SUMPRODUCT(mix_share_used,mix_bearing_share)",
                   by(log.bearing_trees, trees="years.trees*", shares="mix.share_used*", bearing_shares="mix.bearing_share*"), look="#,##0"),
            _tree("log_tree_seen", "Pods of such a tree, dry: logged", "logged_dropped_seen", True),
            _tree("log_tree_plan", "The same: planned for these months, frost taken off", "logged_dropped_plan", False),
            worked("log_tree_expected", "The same: for a year of this kind without frost", YIELD,
                   "=IF(log_planned_factor=0,0,log_tree_plan/log_planned_factor)*log_year_factor",
                   by(log.yield_expected, planned="log_tree_plan", planned_factor="log_planned_factor", year_factor="log_year_factor"), look="0.0"),
            worked("log_ratio", "Logged to expected", "fraction", "=IF(log_tree_expected=0,0,log_tree_seen/log_tree_expected)",
                   by(book.quotient, a="log_tree_seen", b="log_tree_expected"), look="0.00", headline=True),
            worked("log_kind_planned", "The plan takes this year for", "text",
                   '=IF(alternate_shown=0,"mean of both",IF(INDEX(years_pair,stand_age)=1,"on-year","off-year"))',
                   by(log.kind_in_plan, alternate="alternate_shown", pairs="years.pair*")),
            worked("log_year_row", "Kind of year filled in: row of the list", "ordinal", "=MATCH(log_year,lists_bearing,0)",
                   by(picks.position, word="log_year", words="lists.bearing*"), look="0"),
            worked("log_planned_factor", "Planned: this year to a mean year, with frost", "fraction", "=INDEX(years_season_factor,stand_age)",
                   by(picks.item, values="years.season_factor*", position="stand_age")),
            worked("log_year_factor", "A year of this kind to a mean year, no frost", "fraction",
                   "=CHOOSE(log_year_row,IF(alternate_shown=0,1,IF(INDEX(years_pair,stand_age)=1,on_factor,off_factor)),on_factor,off_factor)",
                   by(log.factor_of_year, kind="log_year_row", alternate="alternate_shown", pairs="years.pair*")),
            worked("log_complete", "Every month in which pods drop is logged", "flag", "=IF(log_share_drop>=1-share_rounding,1,0)",
                   by(log.drop_complete, share="log_share_drop"), look="0"),
            worked("log_frosted", "Frost took the crop", "flag", "=IF(log_frost=INDEX(lists_yes,2),1,0)",
                   by(gates.is_word, entry="log_frost", word="lists.yes@2"), look="0"),
            worked("log_year_counts", "The year says something of the yield", "flag",
                   "=IF(AND(log_complete=1,log_frosted=0,log_tree_expected>0),1,0)",
                   by(log.year_counts, complete="log_complete", frosted="log_frosted", expected="log_tree_expected"), look="0"),
            worked("log_verdict", "What it says", "text",
                   '=IF(log_complete=0,"wait: not all months in which pods drop are logged",IF(log_tree_expected=0,"no crop is planned to compare with",'
                   'IF(log_frosted=1,"frost took the crop: keep the plan","one year: move the plan with care")))',
                   by(log.word_on_year, expected="log_tree_expected", complete="log_complete", frosted="log_frosted")),
            worked("log_next_factor", "Yields to plan with next year, to this year's", "fraction",
                   "=IF(log_year_counts=0,1,(log_seasons+log_ratio)/(log_seasons+1))",
                   by(log.next_factor, when="log_year_counts", otherwise=1, ratio="log_ratio", seasons="log_seasons"), look="0.00", headline=True,
                   note="The plan weighs as many years as it rests on, this year one. 1 until the drop is logged."),
        ),
        note="One year says little: trees bear heavily in one year and little in the next.",
    )  # fmt: skip


def _tree(name: str, label: str, dry: str, headline: bool) -> Node:
    return worked(name, label, YIELD, f"=IF(log_trees=0,0,{dry}/log_trees)", by(log.yield_of_tree, dry=dry, trees="log_trees"),
                  look="0.0", headline=headline)  # fmt: skip


def next_year() -> Table:
    """Return the yields to plan with next year, as a suggestion to be typed in."""

    def row(name: str, label: str, unit: str, formula: str, ref: Ref, look: str = "0.0", headline: bool = False) -> Node:
        return worked(f"next_year.{name}", label, unit, formula, ref, size=len(TYPES), look=look, headline=headline)

    return Table(
        "next_year",
        "To plan with next year",
        TYPES,
        (
            row("label", "Type", "text", '=IF({types.in_use}=1,{types.name},"-")',
                by(book.same, when="types.in_use", otherwise="-", value="types.name")),
            row("plan", "Crop planned with this year", YIELD, "=IF({types.in_use}=0,0,{by_type.plan})",
                by(book.same, when="types.in_use", value="by_type.plan")),
            row("yield", "Yield to plan with next year", YIELD, "={plan}*log_next_factor", by(book.product, a="plan", b="log_next_factor"), headline=True),
        ),
        note="A tree in full crop, dry. One factor for all types; the trees weighed on the sheet Trees tell them apart.",
    )  # fmt: skip
