"""The stand: pods per acre, year by year for forty years, and the grass under the crowns."""

from __future__ import annotations

from podbook.book.model import Entries, Entry, Picture, Sheet, Single, Table
from podbook.book.node import Node, Ref, by, entry_field, fixed_field, worked
from podbook.inputs.filled import TYPES, Filled, padded
from podbook.reference import book, gates, picks, stand
from podbook.reference.contract import Reference
from podbook.sheets.ranges import in_range, within

COUNT = len(TYPES)
YEARS = 40


def sheet(filled: Filled) -> Sheet:
    """Return the sheet Stand."""
    return Sheet(
        "Stand",
        "What the trees bear as they age. Figures are for an acre of pasture with trees.",
        (_entries(), _whole(), _types(filled), _picture(), _years()),
        width=9.6,
        label_width=35,
        sentences=13,
        wider={"H": 10.2},
    )


def _entries() -> Entries:
    share, years = "fraction", "year"
    return Entries(
        "losses",
        "Trees and their losses",
        (
            Entry("pollinator_share", "Pollinator trees among grafted ones", share, 0.1, 0, 0.5, look="0%",
                  place="one male to 8 to 10 females by analogy", help="Grafted pod types need males or wild trees near them."),
            Entry("seedling_bearing_share", "Share of seedlings that bear", share, 0.4, 0, 1, look="0%", place="0.3 to 0.5"),
            Entry("establishment_loss", "Lost in the first years", share, 0.15, 0, 0.9, look="0%",
                  place="80 to 90 % alive in year 3 if guarded", help="Unguarded trees in stocked pasture: plan on losing more than half."),
            Entry("replanted_share", "Share of these replanted", share, 1, 0, 1, look="0%"),
            Entry("replant_after", "Replanted after", years, 2, 1, 5, look="0", help="Whole years: half a year is rounded up."),
            Entry("yearly_loss", "Lost every year after that", share, 0.005, 0, 0.2, look="0.0%"),
            Entry("alternate", "Show good and bad years?", "text", "no", choices="lists.yes",
                  help="'no' shows the mean of an on-year and an off-year in every year."),
            Entry("frost_chance", "Years in which late frost takes the crop", share, 0.17, 0, 0.9, look="0%", source="moore-1948",
                  place="1 year in 6 at Auburn, Alabama", mark="published",
                  help="Taken off as an expected loss. 0 where the trees weighed tell of frosted years: their mean has the loss already."),
            Entry("wildlife_loss", "Taken by wildlife", share, 0.1, 0, 0.9, look="0%", place="no figure read for honey locust"),
            Entry("never_picked", "Never picked up", share, 0.05, 0, 0.9, look="0%"),
            Entry("crown_growth", "Crown grows wider by", "foot/year", 1.5, 0.2, 6, look="0.0"),
            Entry("crown_max", "Widest crown", "foot", 36, 5, 80, look="0"),
            Entry("open_grass", "Grass in the open", "lb_dry/acre", 5000, 0, 20000, look="#,##0"),
            Entry("light_cover", "Crown cover that grass stands well", share, 0.35, 0.05, 1, look="0%", source="sare-ls13-255",
                  place="25 to 50 % shade", mark="published"),
            Entry("light_gain", "Grass gained at that cover", share, 0, 0, 0.5, look="0%", source="sare-gs03-024",
                  place="+15 % at moderate spacing in 2002 and 2003; equal in other trials", mark="judgement"),
            Entry("dense_cover", "Grass falls beyond a cover of", share, 0.5, 0.05, 1, look="0%"),
            Entry("dense_loss", "Grass lost per share of cover beyond that", share, 1, 0, 3, look="0.0"),
        ),
    )  # fmt: skip


def _whole() -> Single:
    def factor(name: str, label: str, formula: str, function: Reference) -> Node:
        return worked(name, label, "fraction", formula, by(function, off_to_on="stand_off_to_on"), look="0.00")

    return Single(
        "The stand as a whole",
        (
            worked("trees_per_area", "Trees an acre", "tree/acre", "=area_in_square_spacing/(row_spacing*tree_spacing)",
                   by(stand.trees_per_area), look="0.0", headline=True),
            worked("share_total", "Shares of the types add up to", "fraction", "=SUM(mix_share_used)",
                   by(book.total, values="mix.share_used*"), look="0%"),
            worked("stand_off_to_on", "Off-year to on-year, mean of the types by share", "fraction",
                   "=IF(share_total=0,1,SUMPRODUCT(mix_share_used,by_type_off_to_on)/share_total)",
                   by(book.weighted_mean, values="by_type.off_to_on*", weights="mix.share_used*", when_empty=1)),
            factor("on_factor", "On-year to mean year", "=2/(1+stand_off_to_on)", stand.on_factor),
            factor("off_factor", "Off-year to mean year", "=2*stand_off_to_on/(1+stand_off_to_on)", stand.off_factor),
            worked("alternate_shown", "Good and bad years shown", "flag", "=IF(alternate=INDEX(lists_yes,2),1,0)",
                   by(gates.is_word, entry="alternate", word="lists.yes@2"), look="0"),
            worked("share_reaching", "Share of the pods that stock find, before any spoil", "fraction",
                   "=(1-wildlife_loss)*(1-never_picked)", by(stand.share_reaching), look="0%"),
            worked("replant_delay", "Replanted after, in whole years", "year", "=ROUND(replant_after,0)", by(book.whole, number="replant_after"), look="0"),
            worked("trees_planted", "Trees to plant", "tree", "=area*trees_per_area", by(book.product, a="area", b="trees_per_area"), look="#,##0"),
            worked("trees_replanted", "Trees to replant", "tree", "=trees_planted*establishment_loss*replanted_share",
                   by(stand.trees_to_replant, trees_to_plant="trees_planted"), look="#,##0"),
        ),
    )  # fmt: skip


def _types(filled: Filled) -> Table:
    def entered(name: str, label: str, unit: str, values: list[float], low: float, high: float, look: str) -> Node:
        return entry_field(f"mix.{name}", label, unit, padded(values, COUNT), low, high, look=look)

    def row(name: str, label: str, unit: str, formula: str, ref: Ref, look: str = "0.0", headline: bool = False) -> Node:
        return worked(f"mix.{name}", label, unit, formula, ref, size=COUNT, look=look, headline=headline)

    names = ("share", "first_crop_age", "full_crop_age")
    types = filled.types
    return Table(
        "mix",
        "The stand by type",
        TYPES,
        (
            row("label", "Type", "text", '=IF({types.in_use}=1,{types.name},"-")',
                by(book.same, when="types.in_use", otherwise="-", value="types.name")),
            entered("share", "Share of the trees", "fraction", [each.share for each in types], 0, 1, "0%"),
            entered("first_crop_age", "First crop, years after planting", "year", [each.first_crop_age for each in types], 1, 30, "0"),
            entered("full_crop_age", "Full crop, years after planting", "year", [each.full_crop_age for each in types], 1, 60, "0"),
            row("in_range", "Numbers in range", "flag",
                f"=IF({{types.in_use}}=0,0,IF(COUNT({{share}}:{{full_crop_age}})<ROWS({{share}}:{{full_crop_age}}),0,IF(AND({within(names)}),1,0)))",
                in_range(names, "types.in_use"), "0"),
            row("in_order", "Usable: and the full crop not before the first", "flag", "=IF({in_range}=0,0,IF({full_crop_age}>={first_crop_age},1,0))",
                by(picks.at_least, when="in_range", number="full_crop_age", least="first_crop_age"), "0"),
            row("state", "In order?", "text", '=IF({types.in_use}=0,"-",IF({in_order}=1,"ok","mend"))',
                by(gates.state, when="types.in_use", otherwise="-"), "0"),
            row("share_used", "Share of the trees, as used", "fraction", "=IF({in_order}=0,0,{share})",
                by(book.same, when="in_order", value="share"), "0%"),
            row("first", "First crop, as used", "year", "=IF({in_order}=0,1,{first_crop_age})",
                by(book.same, when="in_order", otherwise=1, value="first_crop_age"), "0"),
            row("full", "Full crop, as used", "year", "=IF({in_order}=0,1,{full_crop_age})",
                by(book.same, when="in_order", otherwise=1, value="full_crop_age"), "0"),
            row("ramp", "Years from first to full crop, both counted", "year", "={full}-{first}+1", by(stand.ramp_years), "0"),
            row("bearing_share", "Share of the trees that bear", "fraction",
                "=IF({types.grafted}=1,1-pollinator_share,seedling_bearing_share)",
                by(stand.bearing_share, grafted="types.grafted"), "0%"),
            row("full_crop", "Crop of a tree in full bearing, if analysed", "lb_dry/tree", "={lab.in_order}*{by_type.plan}",
                by(book.product, a="lab.in_order", b="by_type.plan")),
            row("dry_matter", "Dry matter of the pods", "lb_dry/lb_fed", "={lab.dry_matter}", by(book.same, value="lab.dry_matter"), "0%"),
            row("fed_of_dry", "Pods as picked, of dry", "lb_fed/lb_dry", "=IF({dry_matter}=0,0,1/{dry_matter})",
                by(book.quotient, a=1, b="dry_matter"), "0.00"),
            row("sugar", "Sugar of the pods", "percent", "={lab.sugar_whole}", by(book.same, value="lab.sugar_whole")),
            row("me", "Energy reached (stock and form chosen)", "Mcal/kg_dry", "={lab.chosen_me}", by(book.same, value="lab.chosen_me"), "0.000"),
            row("cp", "Protein reached (stock and form chosen)", "percent", "={lab.chosen_cp}", by(book.same, value="lab.chosen_cp")),
            row("lacking", "Planted, but no crop or no lab sheet", "flag", "=IF({share_used}=0,0,IF({full_crop}*{me}=0,1,0))",
                by(gates.lacking, share="share_used", crop="full_crop"), "0"),
            row("full_area", "Pods at full crop, no losses", "lb_dry/acre", "=trees_per_area*{share_used}*{bearing_share}*{full_crop}",
                by(stand.full_crop_per_area, type_share="share_used"), "#,##0", True),
        ),
        note="Shares of the types must add up to 100 %. A grafted tree's share that bears leaves out pollinators.",
    )  # fmt: skip


def _picture() -> Picture:
    series = (("years.dry", "borne"), ("years.reaching", "that stock find"))
    return Picture("Pods an acre over the years", "line", "years.age", series, "Years after planting", "Dry pods, lb an acre", YEARS, columns=(1, 9))


def _years() -> Table:
    ages = tuple(float(age) for age in range(1, YEARS + 1))

    def row(name: str, label: str, unit: str, formula: str, ref: Ref, look: str = "#,##0", headline: bool = False) -> Node:
        return worked(f"years.{name}", label, unit, formula, ref, size=YEARS, look=look, headline=headline)

    pods = tuple(f"pods_{number}" for number in range(1, COUNT + 1))
    block = f"{{{pods[0]}}}:{{{pods[-1]}}}"
    shown = (
        fixed_field("years.age", "Years after planting", "year", ages, look="0"),
        row("trees", "Trees standing", "tree/acre",
            "=IF({age}<replant_delay,trees_per_area*(1-establishment_loss*{age}/replant_delay),"
            "trees_per_area*(1-establishment_loss+establishment_loss*replanted_share)*{standing})",
            by(stand.trees_standing), "0.0"),
        row("season_factor", "Good or bad year, and frost", "fraction",
            "=(1-frost_chance)*IF(alternate_shown=0,1,IF({pair}=1,on_factor,off_factor))",
            by(stand.season_factor, pair_year="pair", alternate="alternate_shown"), "0.00"),
        row("dry", "Pods, dry", "lb_dry/acre", f"=SUM({block})", by(book.total, values=pods), headline=True),
        row("fed", "Pods, as picked", "lb_fed/acre", f"=SUMPRODUCT({block},mix_fed_of_dry)", by(book.sum_of_products, values=pods, weights="mix.fed_of_dry*")),
        row("sugar", "Sugar", "lb_dry/acre", f"=SUMPRODUCT({block},mix_sugar)/100",
            by(stand.content_of, pods=pods, percents="mix.sugar*")),
        row("me", "Energy reached", "Mcal/acre", f"=SUMPRODUCT({block},mix_me)*kg_per_weight", by(stand.energy_of, pods=pods, contents="mix.me*")),
        row("cp", "Protein reached", "lb_dry/acre", f"=SUMPRODUCT({block},mix_cp)/100", by(stand.content_of, pods=pods, percents="mix.cp*")),
        row("reaching", "Pods that stock find", "lb_dry/acre", "={dry}*share_reaching", by(book.product, a="dry", b="share_reaching"), headline=True),
        row("cover", "Crown cover", "fraction",
            "=MIN(1,{trees}*circle*(MIN(crown_max,crown_growth*{age})/2)^2/area_in_square_spacing)",
            by(stand.crown_cover, trees_standing="trees"), "0%"),
        row("response", "Change of grass", "fraction",
            "=light_gain*MIN(1,{cover}/light_cover)-dense_loss*MAX(0,{cover}-dense_cover)", by(stand.grass_response), "0%"),
        row("grass", "Grass gained or lost", "lb_dry/acre", "=open_grass*{response}", by(stand.grass_change)),
    )  # fmt: skip
    aside = (
        fixed_field("years.pair", "1 = on-year", "flag", tuple(float(age % 2) for age in range(1, YEARS + 1)), look="0"),
        row("standing", "Alive of those standing after replanting", "fraction", "=(1-yearly_loss)^MAX(0,{age}-replant_delay)",
            by(stand.standing), "0.000"),
        *(
            row(f"bearing_{n}", f"Type {n}: crop, share of full", "fraction",
                f"=(1-establishment_loss)*{_ramp('{age}', n)}+establishment_loss*replanted_share*{_ramp('{age}-replant_delay', n)}",
                by(stand.bearing, first_crop_age=f"mix.first@{n}", full_crop_age=f"mix.full@{n}"), "0.000")
            for n in range(1, COUNT + 1)
        ),
        *(
            row(f"pods_{n}", f"Type {n}: pods, dry", "lb_dry/acre",
                f"=INDEX(mix_full_area,{n})*{{bearing_{n}}}*{{standing}}*{{season_factor}}",
                by(stand.crop_per_area, full_area=f"mix.full_area@{n}", bearing=f"bearing_{n}"))
            for n in range(1, COUNT + 1)
        ),
    )  # fmt: skip
    return Table("years", "Pods an acre, year by year", tuple(f"Year {int(age)}" for age in ages), (*shown, *aside), across=False,
                 note="Workings by type stand to the right of the printed page.", aside=len(aside))  # fmt: skip


def _ramp(age: str, number: int) -> str:
    return f"MIN(1,MAX(0,({age}-INDEX(mix_first,{number})+1)/INDEX(mix_ramp,{number})))"
