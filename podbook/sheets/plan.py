"""Forty years of a planting, year by year in each case, and what the usual case would save at other yields."""

from __future__ import annotations

from podbook.book.model import Single, Table
from podbook.book.node import Node, Ref, by, fixed_field, worked
from podbook.inputs.filled import TYPES
from podbook.reference import book, planting, returns, sizes, stand
from podbook.sheets.stand import YEARS

CASES = ("Poor", "Usual", "Good")
USUAL = 2
"""Place of the usual case."""
DRY, TON, MONEY = "lb_dry", "short_ton_fed", "USD"
FLOWS = YEARS + 1
"""Flows of a case: the year of planting and all that follow."""
AGES = YEARS + 10
"""Ages up to which crops are worked out: trees may come into crop up to ten years earlier than planned."""
YIELDS = (0.0, 0.25, 0.5, 0.75, 1.0, 1.5, 2.0, 3.0)
"""Yields that are tried, as shares of the plan's."""
TRIED = tuple(place for place, share in enumerate(YIELDS, 1) if share not in (0.0, 1.0))


def ages() -> Table:
    """Return what trees bear at an age, by type."""
    def row(name: str, label: str, unit: str, formula: str, ref: Ref, look: str = "#,##0") -> Node:
        return worked(f"ages.{name}", label, unit, formula, ref, size=AGES, look=look)

    types = range(1, len(TYPES) + 1)
    return Table(
        "ages",
        "What trees bear at an age, were none ever lost",
        tuple(f"Age {age}" for age in range(1, AGES + 1)),
        (
            fixed_field("ages.age", "Age", "year", tuple(float(age) for age in range(1, AGES + 1)), look="0"),
            *(
                row(f"of_{n}", f"Type {n}", "lb_dry/acre", f"=INDEX(mix_full_area,{n})*MIN(1,MAX(0,({{age}}-INDEX(mix_first,{n})+1)/INDEX(mix_ramp,{n})))",
                    by(planting.crop_by_age, full_area=f"mix.full_area@{n}", first=f"mix.first@{n}", ramp=f"mix.ramp@{n}"))
                for n in types
            ),
            row("all", "All types", "lb_dry/acre", "=SUM({of_1}:{of_" + str(len(TYPES)) + "})", by(book.total, values=tuple(f"of_{n}" for n in types))),
        ),
        across=False,
    )  # fmt: skip


def plan(case: int) -> Table:
    """Return the year of planting and the forty that follow, in one case."""

    def of(name: str) -> str:
        return f"cases.{name}@{case}"

    def row(name: str, label: str, unit: str, formula: str, ref: Ref, look: str = "#,##0", *, first: tuple[str, Ref], headline: bool = False,
            scale: str = "") -> Node:  # fmt: skip
        return worked(f"plan_{case}.{name}", label, unit, formula, ref, size=FLOWS, look=look, headline=headline, first=first, scale=scale)

    def curve(name: str) -> str:
        read = f"INDEX(sizes_{name},{{place}})+(MIN({{borne}},largest_crop)-INDEX(sizes_crop,{{place}}))*INDEX(sizes_{name}_slope,{{place}}+1)"
        return f"=(1-frost_chance)*({read})"

    none = ("=0", by(book.same, value=0))
    loss, yearly, shift = (f"{{{of(each)}}}" for each in ("young_lost", "yearly_lost", "years_later"))
    first_cost = (f"={{{of('costs_used')}}}*establishment_cost", by(book.product, a=of("costs_used"), b="establishment_cost"))
    return Table(
        f"plan_{case}",
        f"Year by year: {CASES[case - 1].lower()} case",
        tuple(f"Year {year}" for year in range(FLOWS)),
        (
            row("trees", "Trees alive", "tree/acre",
                f"=IF({{year}}<replant_delay,trees_per_area*(1-{loss}*{{year}}/replant_delay),"
                f"trees_per_area*(1-{loss}+{loss}*replanted_share)*(1-{yearly})^MAX(0,{{year}}-replant_delay))",
                by(stand.trees_standing, age="year", establishment_loss=of("young_lost"), yearly_loss=of("yearly_lost")), "0.0",
                first=("=trees_per_area", by(book.same, value="trees_per_area"))),
            row("crop", "Pods that drop, dry, whole stand", DRY,
                f"={{{of('yields_used')}}}*area*(1-{yearly})^MAX(0,{{year}}-replant_delay)*INDEX(years_season_factor,{{year}})"
                f"*((1-{loss})*{{old}}+{loss}*replanted_share*{{young}})",
                by(planting.crop_of_case, yield_factor=of("yields_used"), loss=of("young_lost"), yearly_loss=of("yearly_lost"),
                   season_factors="years.season_factor*", first_trees="old", replanted="young"), headline=True, first=none),
            row("hay", "Hay saved", TON, curve("saved").replace("saved_slope", "hay_slope"),
                by(sizes.expected_at, crop="borne", largest="largest_crop", crops="sizes.crop*", values="sizes.saved*", slopes="sizes.hay_slope*"), "0.0",
                first=none, scale="hay_bought_without"),
            row("feed", "Feed saved", MONEY, f"={{hay}}*{{{of('price')}}}+{{other}}",
                by(sizes.feed_worth, hay_saved="hay", price=of("price")), headline=True, first=none, scale="cost_without"),
            row("grass", "Grass gained or lost", MONEY,
                "=area*open_grass*grass_price*IF({year}<=ungrazed_years,0-1,light_gain*MIN(1,{cover}/light_cover)-dense_loss*MAX(0,{cover}-dense_cover))",
                by(planting.grass_worth), first=none),
            row("cost", "Cost: planting, care, upkeep", MONEY,
                f"={{{of('costs_used')}}}*(IF({{year}}<=care_years,care_yearly,0)+upkeep_yearly+IF({{year}}>fence_life,fence_renewal,0)"
                f"+IF({{year}}=replant_delay,{{{of('replanting')}}},0))",
                by(planting.cost_of_year, cost_factor=of("costs_used"), replanting=of("replanting")), first=first_cost),
            row("paid_out", "Cost-share", MONEY, "=IF({year}=ROUND(share_year,0),cost_share,0)", by(planting.share_paid),
                first=("=IF(ROUND(share_year,0)=0,cost_share,0)", by(planting.share_paid, year=0))),
            row("flow", "Cash flow of the year", MONEY, "={feed}+{grass}+{paid_out}-{cost}", by(planting.flow, paid="paid_out"), headline=True,
                first=("={feed}+{grass}+{paid_out}-{cost}", by(planting.flow, paid="paid_out")), scale="establishment_cost"),
            row("running", "Running total", MONEY, "={running@prev}+{flow}", by(book.total, values=("running@prev", "flow")), headline=True,
                first=("={flow}", by(book.same, value="flow")), scale="establishment_cost"),
            row("running_worth", "Running total at today's worth", MONEY, "={running_worth@prev}+{flow}/(1+own_rate)^{year}",
                by(returns.running_worth, before="running_worth@prev", rate="own_rate"), first=("={flow}", by(book.same, value="flow")),
                scale="establishment_cost"),
            fixed_field(f"plan_{case}.year", "Years after planting", "year", tuple(float(year) for year in range(FLOWS)), look="0"),
            row("cover", "Crown cover", "fraction",
                "=MIN(1,{trees}*circle*(MIN(crown_max,crown_growth*{year})/2)^2/area_in_square_spacing)",
                by(stand.crown_cover, age="year", trees_standing="trees"), "0%", first=none),
            row("old", "First trees bear, none lost", "lb_dry/acre", f"=IF({{year}}<1+{shift},0,INDEX(ages_all,MIN(ROWS(ages_all),{{year}}-{shift})))",
                by(planting.crop_at, later=of("years_later"), crops="ages.all*"), first=none),
            row("young", "Replanted ones bear, none lost", "lb_dry/acre",
                f"=IF({{year}}<1+{shift}+replant_delay,0,INDEX(ages_all,MIN(ROWS(ages_all),{{year}}-{shift}-replant_delay)))",
                by(planting.crop_of_replanted, later=of("years_later"), crops="ages.all*"), first=none),
            row("borne", "Pods that drop in a year without frost", DRY, "={crop}/(1-frost_chance)", by(planting.crop_without_frost), first=none),
            row("place", "Size at which it is read", "ordinal",
                "=IF(largest_crop=0,1,MIN(last_size,ROUND(last_size*MIN({borne},largest_crop)/largest_crop+1/2,0)))",
                by(sizes.place_of_crop, crop="borne", largest="largest_crop", last="last_size"), "0", first=("=1", by(book.same, value=1))),
            row("other", "Saved besides hay", MONEY, curve("other"),
                by(sizes.expected_at, crop="borne", largest="largest_crop", crops="sizes.crop*", values="sizes.other*", slopes="sizes.other_slope*"), first=none,
                scale="cost_without"),
            row("earning", "Earning has begun", "flag", "=IF({flow}>0,1,{earning@prev})", by(returns.earning, before="earning@prev"), "0",
                first=("=IF({flow}>0,1,0)", by(returns.earning, before=0))),
            row("paid", "Paid back", "flag", "=IF({running}>=0,1,0)", by(returns.paid_back, total="running"), "0",
                first=("=IF({running}>=0,1,0)", by(returns.paid_back, total="running"))),
            row("paid_worth", "Paid back with interest", "flag", "=IF({running_worth}>=0,1,0)", by(returns.paid_back, total="running_worth"), "0",
                first=("=IF({running_worth}>=0,1,0)", by(returns.paid_back, total="running_worth"))),
        ),
        across=False,
        note="Workings stand to the right of the printed page.",
        aside=10,
    )  # fmt: skip


def tried() -> Table:
    """Return what the usual case's pods would save at other yields."""

    def row(name: str, label: str, unit: str, formula: str, ref: Ref, look: str, first: tuple[str, Ref], scale: str = "") -> Node:
        return worked(f"tried.{name}", label, unit, formula, ref, size=FLOWS, look=look, first=first, scale=scale)

    fields: list[Node] = []
    for place in TRIED:
        share, words = f"{{yields.share@{place}}}", f"{YIELDS[place - 1]:.0%} of the plan"
        crop, step = f"{share}*{{plan_{USUAL}.borne}}", f"{{place_{place}}}"
        fields += [
            row(f"place_{place}", f"{words}: size at which it is read", "ordinal",
                f"=IF(largest_crop=0,1,MIN(last_size,ROUND(last_size*MIN({crop},largest_crop)/largest_crop+1/2,0)))",
                by(sizes.place_of_yield, share=f"yields.share@{place}", crop=f"plan_{USUAL}.borne", largest="largest_crop", last="last_size"), "0",
                ("=1", by(book.same, value=1))),
            row(f"feed_{place}", f"{words}: feed saved", MONEY,
                f"=(1-frost_chance)*(INDEX(sizes_saved,{step})*{{cases.price@{USUAL}}}+INDEX(sizes_other,{step})"
                f"+(MIN({crop},largest_crop)-INDEX(sizes_crop,{step}))"
                f"*(INDEX(sizes_hay_slope,{step}+1)*{{cases.price@{USUAL}}}+INDEX(sizes_other_slope,{step}+1)))",
                by(sizes.feed_at_yield, share=f"yields.share@{place}", crop=f"plan_{USUAL}.borne", largest="largest_crop", place=f"place_{place}",
                   crops="sizes.crop*", hay="sizes.saved*", hay_slopes="sizes.hay_slope*", price=f"cases.price@{USUAL}", other="sizes.other*",
                   other_slopes="sizes.other_slope*"), "#,##0", ("=0", by(book.same, value=0)), "cost_without"),
        ]  # fmt: skip
    return Table("tried", "Other yields, usual case", tuple(f"Year {year}" for year in range(FLOWS)), tuple(fields), across=False)


def tried_worths() -> Single:
    """Return what the feed at each yield tried is worth."""
    def worth(place: int) -> Node:
        label = f"Feed saved at {YIELDS[place - 1]:.0%}, present value"
        if YIELDS[place - 1] == 0:
            return worked(f"tried_worth_{place}", label, MONEY, "=0", by(book.same, value=0), look="#,##0")
        field = f"plan_{USUAL}.feed" if YIELDS[place - 1] == 1 else f"tried.feed_{place}"
        flows = tuple(f"{field}@{year}" for year in range(2, FLOWS + 1))
        return worked(f"tried_worth_{place}", label, MONEY, f"=NPV(own_rate,{{{flows[0]}}}:{{{flows[-1]}}})",
                      by(returns.net_present_value, first=0, flows=flows, rate="own_rate"), look="#,##0", scale="cost_without")  # fmt: skip

    return Single("Other yields: what their feed is worth", tuple(worth(place) for place in range(1, len(YIELDS) + 1)))
