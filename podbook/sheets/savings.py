"""What the pods save over one whole season: fed first, then stockpile, hay and supplement for the rest.

The season is one period. Every quantity is worked for each group and then added up, so that a period
can be a month without a change in the words.
"""

from __future__ import annotations

from podbook.book.model import Sheet, Single, Table
from podbook.book.node import Node, Ref, by, fixed_field, worked
from podbook.inputs.filled import GROUPS, TYPES
from podbook.reference import book, feeds, gates, savings
from podbook.reference.contract import Reference
from podbook.sheets.farm import FORMS, STOCK

COUNT = len(GROUPS)
PRICED = ("Pods", "Hay", "Stockpile", "Supplement", "Corn")
DRY, ME, TON, MONEY = "lb_dry", "Mcal", "short_ton_fed", "USD"


def sheet() -> Sheet:
    """Return the sheet Savings."""
    return Sheet(
        "Savings",
        "One winter with the pods and the same winter without them.",
        (_results(), _offer(), _reach(), _pods(), _season(), _totals(), _price_nodes(), _prices()),
    )


def _results() -> Single:
    def result(name: str, label: str, unit: str, formula: str, ref: Ref, look: str = "#,##0", headline: bool = True) -> Node:
        return worked(name, label, unit, formula, ref, look=look, headline=headline)

    def each(name: str, label: str, unit: str, number: str, look: str = "#,##0.00") -> Node:
        return result(name, label, unit, f"=IF({number}=0,0,saving/{number})", by(savings.per, amount="saving", number=number), look, False)

    return Single(
        "What it saves",
        (
            result("saving", "Saved this winter", MONEY, "=cost_without-cost_with",
                   by(savings.saving, without="cost_without", with_trees="cost_with")),
            result("offset", "Share of the feed cost", "fraction", "=IF(cost_without=0,0,saving/cost_without)",
                   by(savings.share, part="saving", whole="cost_without"), "0%"),
            each("saving_head_day", "Saved a head and day", "USD/head/day", "herd_head_days", "0.000"),
            each("saving_acre", "Saved an acre of trees", "USD/acre", "area"),
            each("saving_ton", "Saved a ton of pods eaten", "USD/short_ton_fed", "pods_eaten_fed"),
            result("hay_saved", "Hay saved", TON, "=hay_bought_without-hay_bought_with", by(book.difference, a="hay_bought_without", b="hay_bought_with"), "0.0"),
            result("hay_break_even", "It breaks even at a hay price of", "USD/short_ton_fed",
                   "=IF(hay_saved<=0,0,MAX(0,(pods_money-supplement_money_without+supplement_money_with)/hay_saved))",
                   by(savings.break_even_hay_price, pod_cost="pods_money", supplement_saving="supplement_saved"), "0.00", False),
            result("pod_head_days", "Head-days of energy in the pods", "head*day", "=IF(need_herd=0,0,pods_energy/need_herd*herd_head_days)",
                   by(savings.head_days_of_herd, energy="pods_energy", need="need_herd", head_days="herd_head_days")),
        ),
        note="Hay lost in storage and at the feeder is divided out, not added on: tons to buy = tons eaten / (1 - losses).",
    )  # fmt: skip


def _offer() -> Table:
    def row(name: str, label: str, unit: str, formula: str, ref: Ref, look: str = "0.0") -> Node:
        return worked(f"offer.{name}", label, unit, formula, ref, size=len(TYPES), look=look)

    reached = [
        row(f"{content}_{position}", f"Reached by {stock}, {label}", unit,
            f"=CHOOSE(form_row,{{lab.{content}_{stock}_{FORMS[0]}}},{{lab.{content}_{stock}_{FORMS[1]}}})",
            by(gates.item, values=tuple(f"lab.{content}_{stock}_{form}" for form in FORMS), position="form_row"), look)
        for content, label, unit, look in (("me", "energy (ME)", "Mcal/kg_dry", "0.000"), ("cp", "crude protein", "percent", "0.0"))
        for position, stock in enumerate(STOCK, 1)
    ]  # fmt: skip
    return Table(
        "offer",
        "This winter's pods by type",
        TYPES,
        (
            row("label", "Type", "text", '=IF({types.in_use}=1,{types.name},"-")',
                by(book.same, when="types.in_use", otherwise="-", value="types.name")),
            row("dry", "Pods, dry", "lb_dry/acre", "=INDEX(years_pods_{#},stand_age)",
                by(gates.item, values="years.pods_{#}*", position="stand_age"), "#,##0"),
            row("share", "Share of the pods", "fraction", "=IF(SUM(offer_dry)=0,0,{dry}/SUM(offer_dry))",
                by(gates.share_of_all, part="dry", parts="offer.dry*"), "0%"),
            *reached,
        ),
    )  # fmt: skip


def _reach() -> Table:
    def row(content: str, label: str, unit: str, look: str) -> Node:
        return worked(f"reach.{content}", label, unit, f"=SUMPRODUCT(offer_share,offer_{content}_{{#}})",
                      by(book.sum_of_products, values="offer.share*", weights=f"offer.{content}_{{#}}*"), size=len(STOCK), look=look)  # fmt: skip

    return Table(
        "reach",
        "What each kind of stock reaches of these pods",
        STOCK,
        (row("me", "Energy (ME)", "Mcal/kg_dry", "0.000"), row("cp", "Crude protein", "percent", "0.0")),
    )


def _pods() -> Single:
    return Single(
        "Pods on offer, and the caps",
        (
            worked("pods_on_offer", "Pods that reach stock, dry", DRY, "=area*INDEX(years_reaching,stand_age)",
                   by(savings.area_times_item, values="years.reaching*", position="stand_age"), look="#,##0", headline=True),
            worked("pods_on_offer_fed", "The same, as picked", TON, "=area*INDEX(years_fed,stand_age)*share_reaching/weight_per_ton",
                   by(savings.tons_of_item, values="years.fed*", position="stand_age"), look="0.0"),
            worked("pods_dry_matter", "Dry matter of these pods", "lb_dry/lb_fed",
                   "=IF(pods_on_offer_fed=0,0,pods_on_offer/(pods_on_offer_fed*weight_per_ton))",
                   by(savings.dry_of_tons, dry="pods_on_offer", tons="pods_on_offer_fed"), look="0%"),
            worked("pods_sugar", "Sugar of these pods", "percent", "=SUMPRODUCT(offer_share,lab_sugar_whole)",
                   by(book.sum_of_products, values="offer.share*", weights="lab.sugar_whole*"), look="0.0"),
            worked("sugar_cap", "Most pods by the sugar of the diet", "fraction",
                   "=IF(pods_sugar<=diet_sugar_limit,1,MAX(0,diet_sugar_limit-hay_sugar)/(pods_sugar-MIN(hay_sugar,diet_sugar_limit)))",
                   by(savings.sugar_cap, base_sugar="hay_sugar", pod_sugar="pods_sugar"), look="0%"),
            worked("full_share", "Most pods in the ration", "fraction", "=MIN(share_cap,sugar_cap)", by(savings.pod_share_cap), look="0%", headline=True),
            worked("pod_share", "The same, mean of the season with its step-up", "fraction",
                   "=full_share*(1-(1-step_up_share)*MIN(1,step_up_weeks*days_per_week/season_days))",
                   by(savings.mean_pod_share), look="0%"),
            worked("stockpile_on_offer", "Stockpile that stock can graze", DRY,
                   "=stockpile_area*stockpile_yield*(1-standing_loss)*use_share",
                   by(savings.stockpile_on_offer, area="stockpile_area"), look="#,##0"),
            worked("sugar_caution", "Sugar", "text",
                   '=IF(sugar_cap<share_cap,"LOOK: sugar sets the cap; step up slowly","in order")',
                   by(gates.either, less="sugar_cap", more="share_cap", yes="LOOK: sugar sets the cap; step up slowly", no="in order")),
        ),
    )  # fmt: skip


def _row(name: str, label: str, unit: str, formula: str, ref: Ref, look: str = "#,##0", headline: bool = False) -> Node:
    return worked(f"season.{name}", label, unit, formula, ref, size=COUNT, look=look, headline=headline)


def _season() -> Table:
    weight = "kg_per_weight"
    rows = [
        _row("label", "Kind", "text", '=IF({groups.in_order}=1,{groups.kind},"-")',
             by(book.same, when="groups.in_order", otherwise="-", value="groups.kind")),
        _row("head", "Head", "head", "={groups.head_used}", by(book.same, value="groups.head_used"), "0"),
        _row("head_days", "Head-days", "head*day", "={head}*season_days", by(book.product, a="head", b="season_days")),
        _row("me_need", "Energy needed", ME, "={head}*season_days*{groups.need_me}", by(savings.season_need, need="groups.need_me")),
        _row("cp_need", "Protein needed", DRY, "={head}*season_days*{groups.need_cp}/kg_per_weight",
             by(savings.season_weight, daily="groups.need_cp")),
        _row("room", "Most they can eat", DRY, "={head}*season_days*{groups.eats}/kg_per_weight",
             by(savings.season_weight, daily="groups.eats")),
        _row("pod_me", "Energy reached in pods", "Mcal/lb_dry", "=IF({groups.in_order}=0,0,INDEX(reach_me,{groups.species})*kg_per_weight)",
             by(gates.scaled_item, when="groups.in_order", values="reach.me*", position="groups.species", factor=weight), "0.000"),
        _row("pod_cp", "Protein reached in pods", "percent", "=IF({groups.in_order}=0,0,INDEX(reach_cp,{groups.species}))",
             by(gates.item, when="groups.in_order", values="reach.cp*", position="groups.species"), "0.0"),
        _row("wanted", "Pods they may eat", DRY, "=IF({pod_me}=0,{room}*pod_share,MIN({room}*pod_share,{me_need}/{pod_me}))",
             by(savings.pods_may_eat)),
        _row("pods", "Pods they eat", DRY, "=IF(pods_may_eat=0,0,{wanted}*MIN(1,pods_on_offer/pods_may_eat))",
             by(savings.pods_eaten, pods_wanted="wanted", total_wanted="pods_may_eat", on_offer="pods_on_offer"), headline=True),
        _row("pods_me", "Energy from pods", ME, "={pods}*{pod_me}", by(savings.energy_from, dry="pods", me="pod_me")),
        _row("pods_cp", "Protein from pods", DRY, "={pods}*{pod_cp}/100", by(savings.protein_from, dry="pods", cp="pod_cp")),
        _row("pod_days", "Head-days, were all pods theirs", "head*day",
             "=IF({groups.need_me}=0,0,pods_on_offer*{pod_me}/{groups.need_me})",
             by(savings.days_if_all, on_offer="pods_on_offer", need="groups.need_me"), headline=True),
        *_winter("with", "With pods", "pods_me", "pods_cp", "pods"),
        *_winter("without", "Without", None, None, None),
        _row("much_extra", "With pods: supplement past its usual share", "flag",
             "=IF({head_days}=0,0,IF({extra_with}>most_supplement*{room},1,0))", by(savings.much_supplement, extra="extra_with"), "0"),
    ]  # fmt: skip
    return Table("season", "The season by group", GROUPS, tuple(rows),
                 note="Stock eat pods up to their cap, then the stockpile, then hay; a protein supplement fills what protein is short.")  # fmt: skip


def _winter(which: str, words: str, pods_me: str | None, pods_cp: str | None, pods: str | None) -> list[Node]:
    """Return the rows of one winter: what is missing, and what fills it."""
    gap, grass, hay, short, extra, dry, fits = (
        f"{field}_{which}" for field in ("gap", "grass", "hay", "short", "extra", "dry", "fits")
    )
    minus_me = f"-{{{pods_me}}}" if pods_me else ""
    minus_dry = f"-{{{pods}}}" if pods else ""
    plus_cp = f"{{{pods_cp}}}+" if pods_cp else ""
    plus_dry = f"{{{pods}}}+" if pods else ""
    return [
        _row(gap, f"{words}: energy still missing", ME, f"=MAX(0,{{me_need}}{minus_me})",
             by(savings.gap, need="me_need", supplied=pods_me or 0)),
        _row(grass, f"{words}: stockpile eaten", DRY,
             f"=IF(herd_gap_{which}=0,0,MIN({{{gap}}}/(stockpile_me*kg_per_weight),stockpile_on_offer*{{{gap}}}/herd_gap_{which},MAX(0,{{room}}{minus_dry})))",
             by(savings.stockpile_share, energy_gap=gap, total_gap=f"herd_gap_{which}", eaten=pods or 0)),
        _row(hay, f"{words}: hay eaten", DRY,
             f"=MAX(0,{{{gap}}}-{{{grass}}}*stockpile_me*kg_per_weight)/(hay_me*kg_per_weight)",
             by(savings.hay_for_gap, energy_gap=gap, grass=grass)),
        _row(short, f"{words}: protein short", DRY,
             f"=MAX(0,{{cp_need}}-({plus_cp}{{{grass}}}*stockpile_cp/100+{{{hay}}}*hay_cp/100))",
             by(savings.protein_short, need="cp_need", pods_cp=pods_cp or 0, grass=grass, hay=hay)),
        _row(extra, f"{words}: supplement eaten", DRY, f"={{{short}}}/(supplement_cp/100)",
             by(savings.supplement_fed, protein_gap=short, supplement_cp="supplement_cp")),
        _row(f"amiss_{which}", f"{words}: energy does not balance", "flag",
             f"=IF(ABS({{{gap}}}-({{{grass}}}*stockpile_me+{{{hay}}}*hay_me)*kg_per_weight)>rounding*(1+{{me_need}}),1,0)",
             by(savings.energy_amiss, energy_gap=gap, grass=grass, hay=hay, need="me_need"), "0"),
        _row(dry, f"{words}: eaten a head and day", "lb_dry/head/day",
             f"=IF({{head_days}}=0,0,({plus_dry}{{{grass}}}+{{{hay}}}+{{{extra}}})/{{head_days}})",
             by(savings.eaten_a_day, feeds=tuple(each for each in (pods, grass, hay, extra) if each)), "0.0"),
        _row(fits, f"{words}: can they eat it?", "text",
             f'=IF({{groups.in_order}}=0,"-",IF({{{dry}}}*{{head_days}}<={{room}}*(1+rounding),"yes","LOOK: no"))',
             by(savings.can_eat, when="groups.in_order", otherwise="-", eaten=dry)),
    ]  # fmt: skip


def _totals() -> Single:
    def total(name: str, label: str, unit: str, field: str, look: str = "#,##0") -> Node:
        return worked(name, label, unit, f"=SUM(season_{field})", by(book.total, values=f"season.{field}*"), look=look)

    def money(name: str, label: str, amount: str, price: str) -> Node:
        return worked(name, label, MONEY, f"={amount}*{price}", by(savings.cost, amount=amount, price=price), look="#,##0")

    def tons(name: str, label: str, field: str, dm: str, function: Reference, losses: str = "") -> Node:
        return worked(name, label, TON, f"=SUM(season_{field})/{dm}{losses}/weight_per_ton",
                      by(function, fed=f"season.{field}*", dry_matter=dm), look="0.0")  # fmt: skip

    rows = [
        total("herd_head_days", "Head-days of the herd", "head*day", "head_days"),
        total("need_herd", "Energy the herd needs", ME, "me_need"),
        total("pods_may_eat", "Pods the herd may eat, dry", DRY, "wanted"),
        total("pods_eaten", "Pods eaten, dry", DRY, "pods"),
        total("pods_energy_eaten", "Energy from pods", ME, "pods_me"),
        worked("pods_energy", "Energy on offer in pods, as this herd reaches it", ME,
               "=IF(pods_eaten=0,0,pods_on_offer*pods_energy_eaten/pods_eaten)",
               by(savings.scaled_to, part="pods_energy_eaten", eaten="pods_eaten", offered="pods_on_offer"), look="#,##0"),
        worked("pods_left", "Pods left over, dry", DRY, "=MAX(0,pods_on_offer-pods_may_eat)", by(savings.gap, need="pods_on_offer", supplied="pods_may_eat"), look="#,##0"),
        worked("pods_eaten_fed", "Pods eaten, as picked", TON, "=IF(pods_dry_matter=0,0,pods_eaten/pods_dry_matter/weight_per_ton)",
               by(savings.tons_of_dry, dry="pods_eaten", dry_matter="pods_dry_matter"), look="0.0"),
        money("pods_money", "Cost of the pods eaten", "pods_eaten_fed", "pod_cost"),
        money("stockpile_money", "Cost of the stockpile, with or without pods", "stockpile_area", "stockpile_cost"),
    ]  # fmt: skip
    for which, words in (("with", "With pods"), ("without", "Without")):
        rows += [
            total(f"herd_gap_{which}", f"{words}: energy missing", ME, f"gap_{which}"),
            tons(f"hay_bought_{which}", f"{words}: hay to buy", f"hay_{which}", "hay_dry_matter", savings.hay_to_buy, "/((1-storage_loss)*(1-feeding_waste))"),
            tons(f"supplement_bought_{which}", f"{words}: supplement to buy", f"extra_{which}", "supplement_dry_matter", savings.supplement_to_buy),
            money(f"hay_money_{which}", f"{words}: hay", f"hay_bought_{which}", "hay_price"),
            money(f"supplement_money_{which}", f"{words}: supplement", f"supplement_bought_{which}", "supplement_price"),
        ]
    rows += [
        worked("supplement_saved", "Supplement saved", MONEY, "=supplement_money_without-supplement_money_with",
               by(book.difference, a="supplement_money_without", b="supplement_money_with"), look="#,##0"),
        worked("cost_with", "With pods: feed cost of the winter", MONEY, "=hay_money_with+supplement_money_with+stockpile_money+pods_money",
               by(book.total, values=("hay_money_with", "supplement_money_with", "stockpile_money", "pods_money")), look="#,##0", headline=True),
        worked("cost_without", "Without: feed cost of the winter", MONEY, "=hay_money_without+supplement_money_without+stockpile_money",
               by(book.total, values=("hay_money_without", "supplement_money_without", "stockpile_money")), look="#,##0", headline=True),
    ]  # fmt: skip
    return Single("The herd", tuple(rows), note="The energy of the supplement is not counted: it is bought for its protein.")


def _prices() -> Table:
    def row(name: str, label: str, unit: str, formula: str, ref: Ref, look: str = "0.000", headline: bool = False) -> Node:
        return worked(f"prices.{name}", label, unit, formula, ref, size=len(PRICED), look=look, headline=headline)

    def chosen(name: str, label: str, unit: str, nodes: tuple[str, ...], look: str) -> Node:
        return row(name, label, unit, f"=CHOOSE({{number}},{','.join(nodes)})", by(gates.item, values=nodes, position="number"), look)

    return Table(
        "prices",
        "What feeds cost, side by side (as eaten)",
        PRICED,
        (
            fixed_field("prices.number", "Column", "ordinal", (1, 2, 3, 4, 5), look="0"),
            chosen("dry", "A pound of dry matter", "USD/lb_dry",
                   ("pods_price_dry", "hay_price_dry", "stockpile_price_dry", "supplement_price_dry", "corn_price_dry"), "0.0000"),
            chosen("me", "Energy reached (ME)", "Mcal/kg_dry", ("pods_me_chosen", "hay_me", "stockpile_me", "supplement_me", "corn_me"), "0.000"),
            chosen("cp", "Protein reached", "percent", ("pods_cp_chosen", "hay_cp", "stockpile_cp", "supplement_cp", "corn_cp"), "0.0"),
            row("tdn", "TDN of that energy", "percent", "={me}/(me_per_de*de_per_tdn)", by(feeds.tdn_of_me), "0.0"),
            row("per_me", "A megacalorie of ME", "USD/Mcal", "=IF({me}=0,0,{dry}/({me}*kg_per_weight))",
                by(feeds.price_per_energy, price_per_dry="dry"), "0.0000", True),
            row("per_tdn", "A pound of TDN", "USD/lb_dry", "=IF({tdn}=0,0,{dry}/({tdn}/100))",
                by(feeds.price_per_nutrient, price_per_dry="dry", content="tdn"), "0.000"),
            row("per_cp", "A pound of crude protein", "USD/lb_dry", "=IF({cp}=0,0,{dry}/({cp}/100))",
                by(feeds.price_per_nutrient, price_per_dry="dry", content="cp"), "0.000", True),
        ),
        note="Hay with its losses; stockpile at its cost an acre; pods at the cost of collecting them. A pound of protein carries the whole price of the feed.",
    )  # fmt: skip


def _price_nodes() -> Single:
    def price(name: str, label: str, formula: str, ref: Ref, unit: str = "USD/lb_dry", look: str = "0.0000") -> Node:
        return worked(name, label, unit, formula, ref, look=look)

    def of_dry(feed: str, label: str, price_of: str, dm: str) -> Node:
        return price(f"{feed}_price_dry", label, f"={price_of}/({dm}*weight_per_ton)", by(feeds.price_per_dry, price=price_of, dry_matter=dm))

    return Single(
        "Prices and contents to compare",
        (
        price("stockpile_price_dry", "Stockpile: price of a pound of dry matter that is eaten",
              "=IF(stockpile_yield=0,0,stockpile_cost/(stockpile_yield*(1-standing_loss)*use_share))", by(feeds.stockpile_price)),
        of_dry("supplement", "Supplement: price of a pound of dry matter", "supplement_price", "supplement_dry_matter"),
        of_dry("corn", "Corn: price of a pound of dry matter", "corn_ton_price", "corn_dry_matter"),
        price("pods_price_dry", "Pods: price of a pound of dry matter",
              "=IF(pods_dry_matter=0,0,pod_cost/(pods_dry_matter*weight_per_ton))", by(feeds.pods_price, price="pod_cost", dry_matter="pods_dry_matter")),
        price("pods_me_chosen", "Pods: energy reached by the stock chosen", "=INDEX(reach_me,stock_row)",
              by(gates.item, values="reach.me*", position="stock_row"), "Mcal/kg_dry", "0.000"),
        price("pods_cp_chosen", "Pods: protein reached by the stock chosen", "=INDEX(reach_cp,stock_row)",
              by(gates.item, values="reach.cp*", position="stock_row"), "percent", "0.0"),
        ),
    )  # fmt: skip
