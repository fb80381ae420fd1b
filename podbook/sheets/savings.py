"""What the pods save: the season's sums of the winter, and the price of feeds side by side."""

from __future__ import annotations

from podbook.book.model import Picture, Sheet, Single, Table
from podbook.book.node import Node, Ref, by, fixed_field, worked
from podbook.inputs.filled import GROUPS
from podbook.reference import book, feeds, picks, savings, winter
from podbook.sheets.winter import SIDES

PRICED = ("Pods left", "Pods ground", "Hay", "Stockpile", "Supplement", "Corn")
DRY, ME, TON, MONEY = "lb_dry", "Mcal", "short_ton_fed", "USD"


def sheet() -> Sheet:
    """Return the sheet Savings."""
    return Sheet(
        "Savings",
        "One winter with the pods and the same winter without them.",
        (_results(), *_pictures(), _by_group(), _totals(), _price_nodes(), _prices()),
    )


def _results() -> Single:
    def result(name: str, label: str, unit: str, formula: str, ref: Ref, look: str = "#,##0", headline: bool = True,
               scale: str = "") -> Node:  # fmt: skip
        return worked(name, label, unit, formula, ref, look=look, headline=headline, scale=scale)

    def each(name: str, label: str, unit: str, number: str, look: str = "#,##0.00") -> Node:
        return result(name, label, unit, f"=IF({number}=0,0,saving/{number})", by(book.quotient, a="saving", b=number), look, False,
                      f"cost_without/{number}")  # fmt: skip

    return Single(
        "What it saves",
        (
            result("saving", "Saved this winter", MONEY, "=cost_without-cost_with",
                   by(savings.saving, without="cost_without", with_trees="cost_with"), scale="cost_without"),
            result("offset", "Share of the feed cost", "fraction", "=IF(cost_without=0,0,saving/cost_without)",
                   by(savings.share, part="saving", whole="cost_without"), "0%", scale="cost_without/cost_without"),
            each("saving_head_day", "Saved a head and day", "USD/head/day", "herd_head_days", "0.000"),
            each("saving_area", "Saved an acre of trees", "USD/acre", "area"),
            each("saving_ton", "Saved a ton of pods eaten", "USD/short_ton_fed", "pods_eaten_fed"),
            result("hay_saved", "Hay saved", TON, "=hay_bought_without-hay_bought_with",
                   by(book.difference, a="hay_bought_without", b="hay_bought_with"), "0.0", scale="hay_bought_without"),
            result("hay_break_even", "It breaks even at a hay price of", "USD/short_ton_fed",
                   "=IF(hay_saved<=0,0,MAX(0,(pods_money-supplement_saved)/hay_saved))",
                   by(savings.break_even_hay_price, pod_cost="pods_money", supplement_saving="supplement_saved"), '0.00;-0.00;"-"', False,
                   "hay_break_even*hay_bought_without/hay_saved"),
            result("pays_from", "Pods pay for themselves", "text",
                   '=IF(hay_saved<=rounding*(1+hay_bought_without),"at none: no hay is saved",'
                   'IF(hay_break_even>rounding*(1+hay_price),"where hay costs more than that","at any price of hay"))',
                   by(savings.break_even_word, without_pods="hay_bought_without", break_even="hay_break_even", price="hay_price"), "0", False),
            result("pod_head_days", "Head-days of energy in the pods eaten", "head*day", "=IF(need_herd=0,0,pods_energy/need_herd*herd_head_days)",
                   by(savings.head_days_of_herd, energy="pods_energy", need="need_herd", head_days="herd_head_days")),
            result("out_month", "First month in which pods run out", "text",
                   '=IF(SUM(winter_runs_out)=0,"none",INDEX(months_label,MATCH(1,winter_runs_out,0)))',
                   by(winter.first_named, flags="winter.runs_out*", names="months.label*"), headline=False),
        ),
        note="Hay lost in storage and at the feeder is divided out, not added on: tons to buy = tons eaten / (1 - losses).",
    )  # fmt: skip


def _pictures() -> tuple[Picture, ...]:
    eaten = (("winter.pods_me", "pods"), ("winter.grass_energy", "stockpile"), ("winter.hay_energy", "hay"))
    bill = (("winter.money_without", "without pods"), ("winter.money_with", "with pods"))
    return (
        Picture("What meets the herd's need of energy, month by month", "stacked", "months.label", eaten, "Month", "Energy (ME), Mcal"),
        Picture("Feed bought, month by month", "columns", "months.label", bill, "Month", "Money, $"),
    )


def _by_group() -> Table:
    def row(name: str, label: str, unit: str, formula: str, ref: Ref, look: str = "#,##0", headline: bool = False) -> Node:
        return worked(f"season.{name}", label, unit, formula, ref, size=len(GROUPS), look=look, headline=headline)

    def total(name: str, label: str, unit: str, table: str, field: str, headline: bool = False) -> Node:
        return row(name, label, unit, f"=SUM({table}_{{#}}_{field})", by(book.total, values=f"{table}_{{#}}.{field}*"), headline=headline)

    rows = (
        row("label", "Kind", "text", '=IF({groups.in_order}=1,{groups.kind},"-")',
            by(book.same, when="groups.in_order", otherwise="-", value="groups.kind")),
        row("head", "Head", "head", "={groups.head_used}", by(book.same, value="groups.head_used"), "0"),
        total("animal_days", "Head-days", "head*day", "need", "head_days"),
        total("need", "Energy needed", ME, "ration", "me_need"),
        total("pods", "Pods eaten", DRY, "ration", "pods", True),
        total("from_pods", "Energy from pods", ME, "ration", "pods_me"),
        total("hay_with_pods", "Hay eaten, with pods", DRY, "ration", "hay_with"),
        total("hay_alone", "Hay eaten, without", DRY, "ration", "hay_without"),
        total("months_uneaten", "Months in which they can't eat what they need", "record", "ration", "uneaten_with"),
        row("pod_days", "Head-days, were all eaten pods theirs", "head*day",
            "=IF({need}*{served.pod_me}=0,0,pods_eaten_dry*{served.pod_me}/{need}*{animal_days})",
            by(savings.days_if_all, eaten="pods_eaten_dry", pod_me="served.pod_me"), headline=True),
    )  # fmt: skip
    return Table("season", "The season by group", GROUPS, rows)


def _totals() -> Single:
    def total(name: str, label: str, unit: str, field: str, look: str = "#,##0", headline: bool = False) -> Node:
        return worked(name, label, unit, f"=SUM(winter_{field})", by(book.total, values=f"winter.{field}*"), look=look, headline=headline)

    def money(name: str, label: str, amount: str, price: str) -> Node:
        return worked(name, label, MONEY, f"={amount}*{price}", by(savings.cost, amount=amount, price=price), look="#,##0")

    rows = [
        total("herd_head_days", "Head-days of the herd", "head*day", "head_days"),
        total("need_herd", "Energy the herd needs", ME, "me_need"),
        total("pods_dropped", "Pods dropped, dry", DRY, "dropped"),
        total("pods_eaten_dry", "Pods eaten, dry", DRY, "pods_eaten"),
        total("pods_spoiled", "Pods spoiled, dry", DRY, "spoiled"),
        worked("pods_left", "Pods left at the end, dry", DRY, "=INDEX(winter_carried_out,ROWS(winter_carried_out)*COLUMNS(winter_carried_out))",
               by(picks.last, values="winter.carried_out*"), look="#,##0"),
        total("pods_energy", "Energy from the pods eaten", ME, "pods_me"),
        total("pods_eaten_fed", "Pods eaten, as picked", TON, "pods_fed", "0.0"),
        money("pods_money", "Cost of the pods eaten", "pods_eaten_fed", "pod_cost"),
        money("stockpile_money", "Cost of the stockpile, with or without pods", "stockpile_area", "stockpile_cost"),
    ]  # fmt: skip
    for which, words in SIDES:
        rows += [
            total(f"grass_grazed_{which}", f"{words}: stockpile grazed", DRY, f"grass_eaten_{which}"),
            total(f"hay_bought_{which}", f"{words}: hay to buy", TON, f"hay_tons_{which}", "0.0"),
            total(f"supplement_bought_{which}", f"{words}: supplement to buy", TON, f"extra_tons_{which}", "0.00"),
            money(f"hay_money_{which}", f"{words}: hay", f"hay_bought_{which}", "hay_price"),
            money(f"supplement_money_{which}", f"{words}: supplement", f"supplement_bought_{which}", "supplement_price"),
        ]
    rows += [
        worked("supplement_saved", "Supplement saved", MONEY, "=supplement_money_without-supplement_money_with",
               by(book.difference, a="supplement_money_without", b="supplement_money_with"), look="#,##0", scale="supplement_money_without"),
        worked("cost_with", "With pods: feed cost of the winter", MONEY, "=hay_money_with+supplement_money_with+stockpile_money+pods_money",
               by(book.total, values=("hay_money_with", "supplement_money_with", "stockpile_money", "pods_money")), look="#,##0", headline=True),
        worked("cost_without", "Without: feed cost of the winter", MONEY, "=hay_money_without+supplement_money_without+stockpile_money",
               by(book.total, values=("hay_money_without", "supplement_money_without", "stockpile_money")), look="#,##0", headline=True),
        worked("months_differ", "Months and season differ", "flag", "=IF(ABS(SUM(winter_saved)-saving)>rounding*(1+cost_without),1,0)",
               by(savings.sums_differ, parts="winter.saved*", whole="saving", size="cost_without"), look="0"),
    ]  # fmt: skip
    return Single("The herd", tuple(rows), note="The energy of the supplement is not counted: it is bought for its protein.")


def _prices() -> Table:
    def row(name: str, label: str, unit: str, formula: str, ref: Ref, look: str = "0.000", headline: bool = False) -> Node:
        return worked(f"prices.{name}", label, unit, formula, ref, size=len(PRICED), look=look, headline=headline)

    def chosen(name: str, label: str, unit: str, nodes: tuple[str, ...], look: str) -> Node:
        return row(name, label, unit, f"=CHOOSE({{number}},{','.join(nodes)})", by(picks.item, values=nodes, position="number"), look)

    return Table(
        "prices",
        "What feeds cost, side by side (as eaten)",
        PRICED,
        (
            fixed_field("prices.number", "Column", "ordinal", (1, 2, 3, 4, 5, 6), look="0"),
            chosen("dry", "A pound of dry matter", "USD/lb_dry",
                   ("pods_left_price_dry", "pods_ground_price_dry", "hay_price_dry", "stockpile_price_dry", "supplement_price_dry", "corn_price_dry"), "0.0000"),
            chosen("me", "Energy reached (ME)", "Mcal/kg_dry", ("reached_me_whole", "reached_me_ground", "hay_me", "stockpile_me", "supplement_me", "corn_me"), "0.000"),
            chosen("cp", "Protein reached", "percent", ("reached_cp_whole", "reached_cp_ground", "hay_cp", "stockpile_cp", "supplement_cp", "corn_cp"), "0.0"),
            row("tdn", "TDN of that energy", "percent", "={me}/(me_per_de*de_per_tdn)", by(feeds.tdn_of_me), "0.0"),
            row("per_me", "A megacalorie of ME", "USD/Mcal", "=IF({me}=0,0,{dry}/({me}*kg_per_weight))",
                by(feeds.price_per_energy, price_per_dry="dry"), "0.0000", True),
            row("per_tdn", "A pound of TDN", "USD/lb_dry", "=IF({tdn}=0,0,{dry}/({tdn}/100))",
                by(feeds.price_per_nutrient, price_per_dry="dry", content="tdn"), "0.000"),
            row("per_cp", "A pound of crude protein", "USD/lb_dry", "=IF({cp}=0,0,{dry}/({cp}/100))",
                by(feeds.price_per_nutrient, price_per_dry="dry", content="cp"), "0.000", True),
        ),
        note="Hay with its losses; stockpile at its cost over what is grazed; pods ground as on the sheet Collect. A pound of protein carries the whole price of the feed.",
    )  # fmt: skip


def _price_nodes() -> Single:
    def price(name: str, label: str, formula: str, ref: Ref, unit: str = "USD/lb_dry", look: str = "0.0000") -> Node:
        return worked(name, label, unit, formula, ref, look=look)

    def of_dry(feed: str, label: str, price_of: str, dm: str) -> Node:
        return price(f"{feed}_price_dry", label, f"={price_of}/({dm}*weight_per_ton)", by(feeds.price_per_dry, price=price_of, dry_matter=dm))

    return Single(
        "Prices and contents to compare",
        (
            price("stockpile_price_dry", "Stockpile: price of a pound of dry matter that is grazed",
                  "=IF(grass_grazed_without=0,0,stockpile_money/grass_grazed_without)", by(book.quotient, a="stockpile_money", b="grass_grazed_without")),
            of_dry("supplement", "Supplement: price of a pound of dry matter", "supplement_price", "supplement_dry_matter"),
            of_dry("corn", "Corn: price of a pound of dry matter", "corn_ton_price", "corn_dry_matter"),
            price("pods_left_price_dry", "Pods left to stock: price of a pound of dry matter", "=0", by(winter.nothing_paid)),
            price("pods_ground_price_dry", "Pods collected and ground: price of a pound of dry matter that is collected",
                  "=IF(ton_dry=0,0,INDEX(ways_cost,3)/ton_dry)", by(book.quotient, a="ways.cost@3", b="ton_dry")),
        ),
    )  # fmt: skip
