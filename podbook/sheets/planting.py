"""The planting: trees to order, and what they cost to plant, guard and keep."""

from __future__ import annotations

from podbook.book.model import Entries, Entry, Prose, Sheet, Single, Table
from podbook.book.node import Node, Ref, by, entry_field, worked
from podbook.inputs.filled import TYPES, Filled, padded
from podbook.reference import book, gates, planting, returns, savings
from podbook.sheets.ranges import in_range, within

COUNT = len(TYPES)
MONEY, YEARLY, TREES, PER_TREE = "USD", "USD/year", "tree", "USD/tree"
SEEDLING_PRICE, GRAFTED_PRICE = 1.0, 30.0
"""Bare-root seedling of a state nursery (Missouri 2021-22: 0.34 to 1.00 $, read); grafted stock 25 to 60 $, from memory."""


def sheet(filled: Filled) -> Sheet:
    """Return the sheet Planting."""
    order, workings = _order(filled)
    return Sheet(
        "Planting",
        "Trees to order, and what they cost. All money in dollars of the year of planting.",
        (_entries(), order, _costs(), _cautions(), _rates(), _rates_worked(), workings),
        printed=6,
        width=11.0,
    )


def _entries() -> Entries:
    return Entries(
        "planting",
        "What planting takes",
        (
            Entry("guard_cost", "Guard of a tree: tube and stake", PER_TREE, 8, 0, 300, place="tube 4 to 7 $, stake 1.50 to 3; cattle break tubes: cage 35 to 75",
                  mark="from memory", help="Stock eat young trees. A tube does not stop cattle: fence them out, or cage each tree."),
            Entry("planting_minutes", "Work of planting and guarding a tree", "minute/tree", 9, 0, 240, look="0", place="6 to 12 minutes in pasture",
                  mark="from memory", help="At the wage on the sheet Collect."),
            Entry("site_cost", "Preparing the ground", "USD/acre", 101.25, 0, 2000, source="nrcs-2012", place="mechanical, 2012; chemical 75 $",
                  mark="read-secondary", help="An old figure: ask for today's."),
            Entry("fence_length", "New fence", "foot", 2640, 0, 200000, own=True, look="#,##0", source="arithmetic", place="round 10 acres: four times 660 ft",
                  mark="derived"),
            Entry("fence_price", "Price of fence", "USD/foot", 1.8, 0, 30, place="high-tensile electric: 1.20 to 2.50 $", mark="from memory"),
            Entry("fence_life", "Life of the fence", "year", 25, 1, 40, look="0", source="isu-fencing", place="Table 6, high-tensile electric",
                  mark="published", help="After that a part of it is renewed every year."),
            Entry("fence_maintenance", "Upkeep of the fence a year, of its price", "1/year", 0.05, 0, 0.5, look="0%", source="isu-fencing",
                  place="Table 6, high-tensile electric", mark="published"),
            Entry("care_cost", "Care of a young tree", "USD/tree/year", 2, 0, 100, place="watering 1 to 3 $", mark="from memory",
                  help="Watering, weeding, mending guards."),
            Entry("care_years", "Years of such care", "year", 2, 0, 20, look="0", place="the first two summers", mark="from memory"),
            Entry("upkeep_cost", "Upkeep of the stand", "USD/acre/year", 11.35, 0, 500, source="isu-custom-rates-2021", place="mowing, mean of 8 to 15 $",
                  mark="published", help="Mowing under trees, pruning, picking up limbs."),
            Entry("ungrazed_years", "First years without grazing", "year", 0, 0, 15, look="0", place="until your stock can't hurt the trees", help="While the trees are too small for your stock."),
            Entry("grass_price", "Worth of a pound of grass that grows", "USD/lb_dry", 0.015, 0, 0.5, look="0.000", place="rented pasture, a pound grazed",
                  help="About what rented pasture costs for a pound that is grazed."),
            Entry("cost_share", "Cost-share paid to you", MONEY, 0, 0, 5000000, look="#,##0", place="none unless it is signed", help="None unless it is signed."),
            Entry("share_year", "It is paid in year", "year", 1, 0, 10, own=True, look="0", place="0 is the year of planting", help="0 is the year of planting. Whole years."),
        ),
    )  # fmt: skip


def _order(filled: Filled) -> tuple[Table, Table]:
    """Return the trees to order, and the workings."""

    def row(name: str, label: str, unit: str, formula: str, ref: Ref, look: str = "#,##0", headline: bool = False) -> Node:
        return worked(f"order.{name}", label, unit, formula, ref, size=COUNT, look=look, headline=headline)

    def up(number: str) -> str:
        return f"=ROUND({number},0)+IF({number}>ROUND({number},0)+rounding*(1+{number}),1,0)"

    prices = [each.tree_price if each.tree_price is not None else _usual_price(each.origin) for each in filled.types]
    names = ("price",)
    order = Table(
        "order",
        "Trees to order",
        TYPES,
        (
            row("label", "Type", "text", '=IF({types.in_use}=1,{types.name},"-")',
                by(book.same, when="types.in_use", otherwise="-", value="types.name")),
            entry_field("order.price", "Price of a tree", PER_TREE, padded(prices, COUNT), 0, 500,
                        note="Bare-root seedlings of a state nursery 0.34 to 1 $ (Missouri 2021-22); grafted trees 25 to 60 $ (from memory)."),
            row("state", "In order?", "text", '=IF({types.in_use}=0,"-",IF({in_order}=1,"ok","mend"))',
                by(gates.state, when="types.in_use", otherwise="-"), "0"),
            row("planted", "To plant first", TREES, up("trees_planted*{mix.share_used}"),
                by(planting.trees_to_order, trees="trees_planted", share="mix.share_used"), headline=True),
            row("pollinators", "Of these, pollinators", TREES, up("{planted}*{types.grafted}*pollinator_share"),
                by(planting.pollinators, grafted="types.grafted")),
            row("again", "To replant", TREES, up("{planted}*establishment_loss*replanted_share"),
                by(planting.trees_again, loss="establishment_loss"), headline=True),
            row("count", "To order in all", TREES, "={planted}+{again}", by(book.total, values=("planted", "again")), headline=True),
            row("cost", "Trees, guards and work: planting", MONEY, "={planted}*({price_used}+setting_cost)",
                by(planting.cost_of_trees, count="planted", price="price_used", setting="setting_cost")),
            row("again_cost", "Trees, guards and work: replanting", MONEY, "={again}*({price_used}+setting_cost)",
                by(planting.cost_of_trees, count="again", price="price_used", setting="setting_cost")),
        ),
        note="Grafted pod trees want a male or wild tree near by: order pollinators. Seedlings 0.34 to 1 $ (Missouri 2021-22), grafted 25 to 60 $ (from memory).",
    )  # fmt: skip
    workings = Table("order_workings", "Trees to order: workings", TYPES, (
            row("in_order", "Usable", "flag", f"=IF({{types.in_use}}=0,0,IF(COUNT({{price}})=0,0,IF(AND({within(names)}),1,0)))",
                in_range(names, "types.in_use"), "0"),
            row("price_used", "Price, as used", PER_TREE, "=IF({in_order}=0,0,{price})", by(book.same, when="in_order", value="price"), "0.00"),
    ))  # fmt: skip
    return order, workings


def _usual_price(origin: str) -> float:
    return GRAFTED_PRICE if origin == "grafted" else SEEDLING_PRICE


def _costs() -> Single:
    def line(name: str, label: str, unit: str, formula: str, ref: Ref, look: str = "#,##0", headline: bool = False, note: str = "") -> Node:
        return worked(name, label, unit, formula, ref, look=look, headline=headline, note=note)

    return Single(
        "What it costs",
        (
            line("planting_labour", "Work of planting a tree", PER_TREE, "=planting_minutes/minutes_per_hour*wage",
                 by(planting.worth_of_work, minutes="planting_minutes"), "0.00"),
            line("setting_cost", "Guard and work, a tree", PER_TREE, "=guard_cost+planting_labour", by(book.total, values=("guard_cost", "planting_labour")), "0.00"),
            line("trees_ordered", "Trees to order in all", TREES, "=SUM(order_count)", by(book.total, values="order.count*"), headline=True),
            line("trees_first", "Trees to plant", TREES, "=SUM(order_planted)", by(book.total, values="order.planted*")),
            line("trees_cost", "Trees, guards and work", MONEY, "=SUM(order_cost)", by(book.total, values="order.cost*")),
            line("ground_cost", "Preparing the ground", MONEY, "=area*site_cost", by(savings.cost, amount="area", price="site_cost")),
            line("fence_cost", "Fence", MONEY, "=fence_length*fence_price", by(savings.cost, amount="fence_length", price="fence_price")),
            line("fence_square", "To compare: fence round the trees, were they one square", "foot", "=2*2*SQRT(area*area_in_square_spacing)",
                 by(planting.fence_round)),
            line("establishment_cost", "Cost in the year of planting", MONEY, "=trees_cost+ground_cost+fence_cost",
                 by(book.total, values=("trees_cost", "ground_cost", "fence_cost")), headline=True),
            line("establishment_area", "The same, an acre", "USD/acre", "=establishment_cost/area", by(book.quotient, a="establishment_cost", b="area"),
                 note="A conservancy's programme paid 30 $ a tree and 450 $ an acre (New York, 2024)."),
            line("replanting_cost", "Replanting, once", MONEY, "=SUM(order_again_cost)", by(book.total, values="order.again_cost*"),
                 note="In the year named on the sheet Stand."),
            line("care_yearly", "Care of young trees, a year", YEARLY, "=trees_first*care_cost", by(savings.cost, amount="trees_first", price="care_cost")),
            line("fence_yearly", "Upkeep of the fence, a year", YEARLY, "=fence_cost*fence_maintenance",
                 by(book.product, a="fence_cost", b="fence_maintenance")),
            line("upkeep_yearly", "Upkeep of stand and fence, a year", YEARLY, "=area*upkeep_cost+fence_yearly", by(planting.upkeep, fence="fence_yearly")),
            line("fence_renewal", "Renewal of the fence past its life, a year", YEARLY, "=fence_cost/fence_life",
                 by(book.quotient, a="fence_cost", b="fence_life")),
            line("fence_ownership", "To compare: owning the fence costs a year", YEARLY,
                 "=fence_cost/fence_life+own_rate*fence_cost/2+fence_maintenance*fence_cost",
                 by(returns.ownership_average_investment, price="fence_cost", life="fence_life", rate="own_rate", maintenance="fence_maintenance"),
                 note="Price over life, interest on half of it, upkeep (Iowa State). Not used in Returns, which counts each year's money."),
        ),
        note="Lines of the first year; what follows is counted in its own year on the sheet Returns.",
    )  # fmt: skip


def _cautions() -> Prose:
    return Prose(
        "Before you plant",
        (
            "Honey locust is a declared weed in some places, and spreads: ask your weed authority first. Choose thornless trees; thorns lame stock and tyres.",
            "Know your tree: Kentucky coffeetree and black locust look alike to some and poison stock. Have pods named by someone who knows.",
            "Cost-share has rules on kind, number and guard of trees: read the contract, and count it only when it is signed.",
            "Call before you dig; mind power lines above rows. Local codes and leases may bind you.",
        ),
    )


def _rates() -> Entries:
    return Entries(
        "rates",
        "Which rate of interest?",
        (
            Entry("own_rate", "Your own rate, after inflation", "fraction", 0.05, 0, 0.2, own=True, look="0.0%", source="mercer-2014",
                  place="agroforestry studies: 4 to 8 % real, 5 most often", mark="from memory", help="What your money earns elsewhere, after inflation."),
            Entry("irr_guess", "First guess at the rate of return", "fraction", 0.05, 0, 0.05, own=True, look="0.0%", help="Leave it, unless your program finds no rate."),
            Entry("loan_rate", "A loan's rate, to turn into a real one", "fraction", 0.08, 0, 0.5, look="0.0%", help="As the bank prints it."),
            Entry("inflation", "Inflation that you expect", "fraction", 0.025, 0, 0.5, look="0.0%"),
            Entry("plan_rate_before", "Federal planning rate of the year before", "percent", 2.75, 0, 20, look="0.000", source="fr-2024-29263",
                  place="fiscal year 2024", mark="published"),
            Entry("treasury_mean", "Mean yield of long Treasury bonds", "percent", 4.5, 0, 25, look="0.000", place="look it up; the notice prints it",
                  mark="judgement"),
        ),
    )  # fmt: skip


def _rates_worked() -> Single:
    return Single(
        "The rates worked out",
        (
            worked("real_loan_rate", "That loan, after inflation", "fraction", "=(1+loan_rate)/(1+inflation)-1",
                   by(returns.real_rate, nominal="loan_rate"), look="0.0%", note="All money in this book is real: never put a bank's rate beside it as it is."),
            worked("plan_rate", "Federal planning rate by its rule", "percent",
                   "=MIN(plan_rate_before+most_change,MAX(plan_rate_before-most_change,ROUND(treasury_mean/rate_step,0)*rate_step))",
                   by(returns.plan_rate, previous="plan_rate_before"), look="0.000", note="Rounded to eighths, moved by a quarter at most: 3 % in fiscal year 2025."),
        ),
    )  # fmt: skip
