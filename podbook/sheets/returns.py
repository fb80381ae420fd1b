"""Forty years of a planting in three cases: cash flow, what it is worth, its rate of return, and what it breaks even at."""

from __future__ import annotations

from podbook.book.model import Picture, Prose, Sheet, Single, Table
from podbook.book.node import Node, Ref, by, entry_field, fixed_field, worked
from podbook.inputs.filled import TYPES
from podbook.reference import book, break_even, gates, picks, planting, returns
from podbook.sheets.coefficients import coefficient
from podbook.sheets.plan import CASES, FLOWS, USUAL, YIELDS, ages, plan, tried, tried_worths
from podbook.sheets.ranges import in_range, within
from podbook.sheets.stand import YEARS

TON, MONEY, YEARLY = "short_ton_fed", "USD", "USD/year"
SHARE, YEARS_OR_NONE = '0.0%;-0.0%;"-"', '0.0;-0.0;"-"'
"""Looks that show a 0 as a dash: there is no such figure, and the word below says why."""


def sheet() -> Sheet:
    """Return the sheet Returns."""
    (cases, cases_worked), (results, results_worked), (yields, yields_worked) = _cases(), _results(), _yields()
    return Sheet(
        "Returns",
        "Does planting pay? Forty years, in dollars of the year of planting: no inflation in money or rates.",
        (cases, results, *_pictures(), _notes(), plan(USUAL), yields, _break_even(),
         cases_worked, results_worked, yields_worked, _coefficients(), ages(),
         *(plan(number) for number in range(1, len(CASES) + 1) if number != USUAL), tried(), tried_worths()),
        printed=8,
        width=10.5,
        label_width=41,
    )  # fmt: skip


def _cases() -> tuple[Table, Table]:
    """Return the cases as filled in, and what is worked from them."""

    def entered(name: str, label: str, unit: str, values: tuple[float, ...], low: float, high: float, look: str, note: str) -> Node:
        return entry_field(f"cases.{name}", label, unit, values, low, high, look=look, note=note)

    def row(name: str, label: str, unit: str, formula: str, ref: Ref, look: str = "0.00") -> Node:
        return worked(f"cases.{name}", label, unit, formula, ref, size=len(CASES), look=look)

    def used(name: str, label: str, plain: int) -> Node:
        return row(f"{name}_used", label, "fraction", f"=IF({{in_order}}=0,{plain},{{{name}}})",
                   by(book.same, when="in_order", otherwise=float(plain), value=name))  # fmt: skip

    names = ("yields", "hay", "losses", "later", "costs")
    filled_in = Table(
        "cases",
        "Three cases",
        CASES,
        (
            entered("yields", "Pods of a tree, of the plan", "fraction", (0.7, 1, 1.25), 0, 5, "0%", "100 % is the plan on the sheet Trees."),
            entered("hay", "Price of hay, of the price on Feeds", "fraction", (0.75, 1, 1.3), 0.1, 5, "0%",
                    "US hay of 2014 to 2023: 40 % below to 60 % above."),
            entered("losses", "Trees lost, of the losses on Stand", "fraction", (2, 1, 0.6), 0, 10, "0%", "Young and grown trees alike."),
            entered("later", "First crop comes later by", "year", (2, 0, -1), -10, 20, "0", "Whole years; below 0 is earlier."),
            entered("costs", "Costs, of those on Planting", "fraction", (1.15, 1, 0.9), 0.1, 5, "0%", "Planting, care and upkeep alike."),
            row("state", "In order?", "text", '=IF({in_order}=1,"ok","mend")', by(gates.state), "0"),
        ),
        note="Keep the usual case at 100 % and 0: it is the plan of the other sheets. Poor and good are yours; the figures here are a judgement.",
        notes=True,
    )  # fmt: skip
    workings = Table(
        "cases_workings",
        "Three cases: workings",
        CASES,
        (
            row("in_order", "Usable", "flag",
                f"=IF(COUNT({{yields}}:{{costs}})<ROWS({{yields}}:{{costs}}),0,IF(AND({within(names)}),1,0))", in_range(names), "0"),
            used("yields", "Pods of a tree, as used", 1),
            row("price", "Price of hay", "USD/short_ton_fed", "=hay_price*IF({in_order}=0,1,{hay})",
                by(book.product, when="in_order", otherwise_from="hay_price", a="hay_price", b="hay")),
            row("young_lost", "Lost in the first years", "fraction", "=MIN(most_lost,establishment_loss*IF({in_order}=0,1,{losses}))",
                by(planting.loss_of_case, when="in_order", otherwise_from="establishment_loss", loss="establishment_loss", factor="losses", most="most_lost"), "0%"),
            row("yearly_lost", "Lost every year after that", "fraction", "=MIN(most_lost,yearly_loss*IF({in_order}=0,1,{losses}))",
                by(planting.loss_of_case, when="in_order", otherwise_from="yearly_loss", loss="yearly_loss", factor="losses", most="most_lost"), "0.0%"),
            row("years_later", "First crop later by", "year", "=IF({in_order}=0,0,ROUND({later},0))",
                by(book.whole, when="in_order", number="later"), "0"),
            used("costs", "Costs, as used", 1),
            row("differs", "Not the plan of the other sheets", "flag",
                "=IF(ABS({yields_used}-1)+ABS({price}/hay_price-1)+ABS({young_lost}-establishment_loss)+ABS({yearly_lost}-yearly_loss)"
                "+ABS({costs_used}-1)>rounding,1,IF({years_later}=0,0,1))",
                by(planting.differs, price="price"), "0"),
            *(
                row(f"again_{number}", f"Type {number}: trees to replant", "tree",
                    f"=ROUND({{order.planted@{number}}}*{{young_lost}}*replanted_share,0)"
                    f"+IF({{order.planted@{number}}}*{{young_lost}}*replanted_share>ROUND({{order.planted@{number}}}*{{young_lost}}*replanted_share,0)+rounding,1,0)",
                    by(planting.trees_again, planted=f"order.planted@{number}", loss="young_lost"), "0")
                for number in range(1, len(TYPES) + 1)
            ),
            row("replanting", "Replanting", MONEY,
                "=" + "+".join(f"{{again_{number}}}*({{order.price_used@{number}}}+setting_cost)" for number in range(1, len(TYPES) + 1)),
                by(planting.cost_of_all_trees, counts=tuple(f"again_{number}" for number in range(1, len(TYPES) + 1)), prices="order.price_used*",
                   setting="setting_cost"), "#,##0"),
        ),
    )  # fmt: skip
    return filled_in, workings


def _results() -> tuple[Table, Table]:
    """Return what the cases return, and the workings."""

    def row(name: str, label: str, unit: str, formula: str, ref: Ref, look: str = "#,##0", headline: bool = False, scale: str = "establishment_cost") -> Node:
        return worked(f"returns.{name}", label, unit, formula, ref, size=len(CASES), look=look, headline=headline, scale=scale if unit in (MONEY, YEARLY) else "")

    plan = "plan_{#}"
    later = f"{{{plan}.flow@2}}:{{{plan}.flow@{FLOWS}}}"
    years = tuple(f"{plan}.flow@{place}" for place in range(2, FLOWS + 1))

    def worth(name: str, label: str, rate: str, headline: bool = False) -> Node:
        return row(name, label, MONEY, f"={{{plan}.flow@1}}+NPV({rate},{later})",
                   by(returns.net_present_value, first=f"{plan}.flow@1", flows=years, rate=rate), headline=headline)  # fmt: skip

    def of_column(name: str, label: str, unit: str, field: str, look: str) -> Node:
        return row(name, label, unit, f"={{{plan}.{field}@1}}+NPV(own_rate,{{{plan}.{field}@2}}:{{{plan}.{field}@{FLOWS}}})",
                   by(returns.net_present_value, first=f"{plan}.{field}@1", flows=tuple(f"{plan}.{field}@{place}" for place in range(2, FLOWS + 1)),
                      rate="own_rate"), look)  # fmt: skip

    def paid(name: str, label: str, total: str, flag: str, headline: bool) -> tuple[Node, Node]:
        run, at = f"plan_{{#}}_{total}", f"{{{name}_at}}"
        rise = f"(INDEX({run},{at})-INDEX({run},{at}-1))"
        return (
            row(f"{name}_at", f"{label}: first flow at which it is", "ordinal", f"=IF(SUM(plan_{{#}}_{flag})=0,0,MATCH(1,plan_{{#}}_{flag},0))",
                by(picks.position_or_none, word=1, words=f"{plan}.{flag}*"), "0"),
            row(name, label, "year", f"=IF({at}=0,0,IF({at}=1,0,{at}-2-INDEX({run},{at}-1)/{rise}))",
                by(returns.payback, cumulative=f"{plan}.{total}*", never=0), YEARS_OR_NONE, headline),
        )  # fmt: skip

    payback = paid("payback", "Paid back after", "running", "paid", True)
    payback_later = paid("payback_later", "Paid back with interest after", "running_worth", "paid_worth", False)
    results = Table(
        "returns",
        "What it returns",
        CASES,
        (
            worth("worth_own", "Worth today (NPV) at your rate", "own_rate", True),
            row("pays", "Does it pay at your rate?", "text", '=IF({worth_own}>0,"it pays","it does not pay")', by(returns.word_of_worth, npv="worth_own")),
            row("irr", "Rate of return (IRR)", "fraction", "=IF({irr_stands}=0,0,IRR(plan_{#}_flow,irr_guess))",
                by(returns.internal_rate, when="irr_stands", flows=f"{plan}.flow*", guess="irr_guess"), SHARE, True),
            row("irr_word", "Is it one rate? Published: 9 to 25 %", "text",
                '=IF({irr_stands}=1,IF({irr}>irr_band_high,"LOOK: above 25 %","one rate"),IF({total}<=0,"never earned back",'
                'IF({spends_again}>0,"spends again later","see the flows")))',
                by(returns.word_of_rate, stands="irr_stands", turned_back="spends_again", rate="irr")),
            payback[1],
            row("payback_word", "Paid back in 40 years?", "text", '=IF(SUM(plan_{#}_paid)>0,"yes","not in 40 years")', by(returns.word_of_payback, paid=f"{plan}.paid*")),
            row("break_even_hay", "Hay price at which it breaks even", "USD/short_ton_fed",
                "=IF({hay_worth}<=rounding*(1+hay_bought_without),0,MAX(0,{cases.price}-{worth_own}/{hay_worth}))",
                by(break_even.hay_price, price="cases.price", npv="worth_own", tons_worth="hay_worth", without_pods="hay_bought_without"),
                "#,##0", True),
            row("feed_mean", "Feed saved a year, mean of 40 years", YEARLY, f"=SUM({{{plan}.feed@2}}:{{{plan}.feed@{FLOWS}}})/plan_years",
                by(planting.yearly_mean, flows=tuple(f"{plan}.feed@{place}" for place in range(2, FLOWS + 1))), "#,##0", True, "cost_without"),
            payback_later[1],
            row("payback_later_word", "With interest in 40 years?", "text", '=IF(SUM(plan_{#}_paid_worth)>0,"yes","not in 40 years")',
                by(returns.word_of_payback, paid=f"{plan}.paid_worth*")),
            worth("worth_low", "Worth today (NPV) at 3 %", "low_rate"),
            worth("worth_middle", "Worth today (NPV) at 5 %", "middle_rate"),
            worth("worth_high", "Worth today (NPV) at 7 %", "high_rate"),
            row("yearly", "NPV as an even sum a year", YEARLY, "=IF(own_rate=0,{worth_own}/plan_years,0-PMT(own_rate,plan_years,{worth_own}))",
                by(returns.equal_annual_value, npv="worth_own", rate="own_rate", years="plan_years"), "#,##0", scale=""),
            row("benefit_cost", "Benefit a dollar of cost (BCR)", "dimensionless",
                "=IF({costs_worth}=0,0,({worth_own}+{costs_worth})/{costs_worth})", by(returns.benefit_cost, npv="worth_own", costs="costs_worth"), "0.00"),
            of_column("costs_worth", "Worth today of all costs", MONEY, "cost", "#,##0"),
            row("total", "All money in and out, no interest", MONEY, "=SUM(plan_{#}_flow)", by(book.total, values=f"{plan}.flow*")),
        ),
        note="NPV: all years' money at its worth today, less what it costs; year 0 is not discounted. IRR only where money is spent first and earned after.",
    )  # fmt: skip
    workings = Table(
        "returns_workings",
        "What it returns: workings",
        CASES,
        (
            row("spends_again", "Years of spending after the first of earning", "record", '=SUMIF(plan_{#}_flow,"<0",plan_{#}_earning)',
                by(returns.turned_back, flows=f"{plan}.flow*", earning=f"{plan}.earning*"), "0"),
            row("irr_stands", "One rate of return, from 0 to 100 %", "flag",
                f'=IF({{spends_again}}>0,0,IF({{total}}<=0,0,IF(COUNTIF(plan_{{#}}_flow,"<0")=0,0,IF({{{plan}.flow@1}}+NPV(irr_highest,{later})<0,1,0))))',
                by(returns.irr_stands, flows=f"{plan}.flow*"), "0"),
            row("too_good", "Above what was published", "flag", "=IF({irr}>irr_band_high,1,0)", by(picks.over, value="irr", limit="irr_band_high", tolerance=0), "0"),
            payback[0],
            payback_later[0],
            of_column("hay_worth", "Hay saved over the years, discounted", TON, "hay", "#,##0.0"),
        ),
    )  # fmt: skip
    return results, workings


def _pictures() -> tuple[Picture, Picture]:
    order = (USUAL, *(number for number in range(len(CASES), 0, -1) if number != USUAL))
    running = tuple((f"plan_{number}.running", f"{CASES[number - 1].lower()} case") for number in order)
    worth = (("returns.worth_own", "worth today"),)
    return (
        Picture("Money in and out, added up from the year of planting", "line", f"plan_{USUAL}.year", running, "Years after planting",
                "Running total, $", YEARS, columns=(1, 6)),
        Picture("Worth today (NPV) at your rate", "columns", "cases", worth, "Case", "NPV, $", columns=(7, 11), beside=True),
    )  # fmt: skip


def _notes() -> Prose:
    return Prose(
        "How far to trust it",
        (
            "Published rates of return for honey locust with sheep run from 9 to 25 % (Wilson 1991, 1994: abstracts read). Far above that, look for a slip.",
            "Every year's pods go through the winter of the sheet Crop sizes: the same herd, months and caps. Pods that the herd can't eat save nothing.",
            "Pods of young stands count as good as those of the full-grown stand. Frost takes all of it in its share of the years. Good and bad years count where Stand shows them.",
            "A planting is a bet of decades: prices, climate, pests and law change. Have your own adviser look before you borrow on it.",
        ),
    )


def _break_even() -> Single:
    return Single(
        "At what yield does it break even?",
        (
            worked("break_even_yield", "It breaks even at pods of, about", "fraction",
                   "=IF(first_up<2,0,INDEX(yields_share,first_up-1)+(INDEX(yields_share,first_up)-INDEX(yields_share,first_up-1))"
                   "*(0-worth_before)/(INDEX(yields_worth,first_up)-worth_before))",
                   by(break_even.yield_share, yields="yields.share*", worths="yields.worth*"), look='0%;-0%;"-"', headline=True,
                   note="Of the usual case's pods of a tree, read between the yields tried above."),
            worked("break_even_yield_word", "Is there such a yield?", "text",
                   '=IF(SUM(yields_up)=0,"not up to 300 %",IF(INDEX(yields_up,1)=1,"pays without pods","yes, read between those tried"))',
                   by(break_even.word_of_yield, flags="yields.up*")),
        ),
    )  # fmt: skip


def _coefficients() -> Single:
    return Single(
        "Rates and limits",
        (
            worked("worth_before", "Net present value at the yield tried before", MONEY, "=IF(first_up<2,0,INDEX(yields_worth,first_up-1))",
                   by(break_even.worth_before, worths="yields.worth*"), look="#,##0", scale="establishment_cost"),
            worked("first_up", "First yield tried that pays", "ordinal", "=IF(SUM(yields_up)=0,0,MATCH(1,yields_up,0))",
                   by(picks.position_or_none, word=1, words="yields.up*"), look="0"),
            worked("recovery_factor", "Capital recovery at your own rate", "1/year",
                   "=IF(own_rate=0,1/plan_years,own_rate/(1-(1+own_rate)^(0-plan_years)))",
                   by(returns.capital_recovery_factor, rate="own_rate", years="plan_years"), look="0.00000"),
            coefficient("low_rate", "Low rate", 0.03, "fraction", "fr-2024-29263", "federal planning rate, fiscal year 2025"),
            coefficient("middle_rate", "Middle rate", 0.05, "fraction", "mercer-2014", "agroforestry studies", "memory"),
            coefficient("high_rate", "High rate", 0.07, "fraction", "omb-a94", "base case of 1992"),
            coefficient("plan_years", "Years after planting", YEARS, "year", "arithmetic", ""),
            coefficient("irr_highest", "Highest rate of return that is looked for", 1, "fraction", "judgement", "", "judgement"),
            coefficient("irr_band_high", "Highest rate published for honey locust", 0.25, "fraction", "wilson-1994", "9 to 25 % with sheep"),
            coefficient("most_lost", "Most trees that can be lost", 0.9, "fraction", "judgement", "as on the sheet Stand", "judgement"),
            coefficient("rate_step", "Federal planning rate: rounded to", 0.125, "percent", "fr-2024-29263", "Pub. L. 93-251, section 80(a)"),
            coefficient("most_change", "Federal planning rate: most change in a year", 0.25, "percent", "fr-2024-29263", "Pub. L. 93-251, section 80(a)"),
        ),
    )  # fmt: skip


def _yields() -> tuple[Table, Table]:
    """Return other yields, and the workings."""

    def row(name: str, label: str, unit: str, formula: str, ref: Ref, look: str, scale: str = "") -> Node:
        return worked(f"yields.{name}", label, unit, formula, ref, size=len(YIELDS), look=look, scale=scale)

    feeds = tuple(f"tried_worth_{place}" for place in range(1, len(YIELDS) + 1))
    usual = f"returns.worth_own@{USUAL}"
    plan = f"tried_worth_{YIELDS.index(1.0) + 1}"
    items = tuple(f"{share:.0%}" for share in YIELDS)
    tried = Table(
        "yields",
        "Usual case, were the trees to bear more or less",
        items,
        (
            fixed_field("yields.share", "Pods of a tree, of the usual case", "fraction", YIELDS, look="0%"),
            row("feed", "Worth today of the feed saved", MONEY, f"=CHOOSE({{number}},{','.join(feeds)})", by(picks.item, values=feeds, position="number"),
                "#,##0", "cost_without"),
            row("worth", "Worth today (NPV)", MONEY, f"={{{usual}}}-{plan}+{{feed}}",
                by(break_even.worth_at_yield, npv=usual, feed_worth=plan, tried_worth="feed"), "#,##0", "establishment_cost"),
        ),
    )  # fmt: skip
    workings = Table("yields_workings", "Other yields: workings", items, (
            fixed_field("yields.number", "Column", "ordinal", tuple(float(place) for place in range(1, len(YIELDS) + 1)), look="0"),
            row("up", "Not below 0", "flag", "=IF({worth}>=0,1,0)", by(returns.paid_back, total="worth"), "0"),
    ))  # fmt: skip
    return tried, workings
