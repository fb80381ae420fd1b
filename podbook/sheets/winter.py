"""The winter, month by month: pods, grass and hay carried on, and the same winter without pods."""

from __future__ import annotations

from podbook.book.model import Sheet, Single, Table
from podbook.book.node import Node, Ref, by, worked
from podbook.inputs.filled import GROUPS, TYPES
from podbook.reference import book, picks, savings, stand, winter
from podbook.sheets.farm import FORMS, STOCK
from podbook.sheets.months import ITEMS
from podbook.sheets.season import COUNT

DRY, ME, TON, MONEY = "lb_dry", "Mcal", "short_ton_fed", "USD"
SIDES = (("with", "With pods"), ("without", "Without"))


def sheet() -> Sheet:
    """Return the sheet Winter."""
    return Sheet(
        "Winter",
        "Month by month: pods dropped, carried on, eaten; stockpile grazed down; hay for the rest. And the same winter without pods.",
        (_months(), _offer(), _reach(), _pods()),
        label_width=40,
    )


def _row(
    name: str, label: str, unit: str, formula: str, ref: Ref, look: str = "#,##0", *, headline: bool = False,
    first: tuple[str, Ref] | None = None, scale: str = "",
) -> Node:  # fmt: skip
    return worked(f"winter.{name}", label, unit, formula, ref, size=COUNT, look=look, headline=headline, first=first, scale=scale)


def _months() -> Table:
    return Table(
        "winter", "The months", ITEMS, (*_pod_flow(), *_grass_flow("with", "With pods"), *_grass_flow("without", "Without"), *_bought(), *_watch()),
        note="Hay to buy: eaten / (1 - waste) / (1 - loss in store). Pods are dry matter, as everything here but hay and supplement. "
        "What a machine misses counts as never picked up.",
    )  # fmt: skip


def _all(table: str, field: str) -> str:
    """Return the sum of a field over the groups' tables, month by month."""
    return "=" + "+".join(f"{{{table}_{number}.{field}}}" for number in range(1, len(GROUPS) + 1))


def _feeds(table: str, field: str) -> tuple[str, ...]:
    return tuple(f"{table}_{number}.{field}" for number in range(1, len(GROUPS) + 1))


def _pod_flow() -> list[Node]:
    zero = ("=0", by(winter.nothing))
    gone = ("to_wildlife", "unfound", "spoiled", "pods_eaten")
    return [
        _row("label", "Month", "text", "={months.label}", by(book.same, value="months.label"), "0"),
        _row("days", "Days of feeding", "day", "={months.days_used}", by(book.same, value="months.days_used"), "0"),
        _row("carried_in", "Pods left from the month before", DRY, "={carried_out@prev}", by(book.same, value="carried_out@prev"), first=zero),
        _row("dropped", "Pods dropped", DRY, "=pod_crop*{months.drop_used}", by(book.product, a="pod_crop", b="months.drop_used")),
        _row("to_wildlife", "Taken by wildlife", DRY, "={dropped}*wildlife_loss", by(book.product, a="dropped", b="wildlife_loss")),
        _row("unfound", "Never picked up", DRY, "=({dropped}-{to_wildlife})*(1-found_share)", by(winter.not_found)),
        _row("on_ground", "Lying there, or in store", DRY, "={carried_in}+{dropped}-{to_wildlife}-{unfound}", by(winter.on_ground)),
        _row("spoiled", "Spoiled", DRY, "={on_ground}*IF(pods_collected=1,stored_loss,{months.ground_loss_used})",
             by(winter.spoiled, collected="pods_collected", ground_loss="months.ground_loss_used")),
        _row("on_offer", "Pods on offer", DRY, "={on_ground}-{spoiled}", by(book.difference, a="on_ground", b="spoiled")),
        _row("wish", "Pods the herd may eat", DRY, _all("ration", "wish"), by(book.total, values=_feeds("ration", "wish"))),
        _row("pods_share", "Share of that which is there", "fraction", "=IF({wish}=0,0,MIN(1,{on_offer}/{wish}))",
             by(winter.share_of_wish, offered="on_offer", wanted="wish"), "0%"),
        _row("pods_eaten", "Pods eaten", DRY, "=MIN({on_offer},{wish})", by(winter.taken, offered="on_offer", wanted="wish"), headline=True),
        _row("carried_out", "Pods left at the end", DRY, "={on_offer}-{pods_eaten}", by(book.difference, a="on_offer", b="pods_eaten")),
        _row("pods_open", "Pods: the month does not close", "flag",
             "=IF(ABS({carried_in}+{dropped}-({to_wildlife}+{unfound}+{spoiled}+{pods_eaten})-{carried_out})>rounding*(1+{carried_in}+{dropped}),1,0)",
             by(winter.does_not_close, opening="carried_in", come="dropped", gone=gone, closing="carried_out"), "0"),
        _row("runs_out", "Pods run out", "flag", "=IF(pod_crop=0,0,IF({wish}>{on_offer},1,0))", by(winter.pods_run_out), "0"),
        _row("grass_me", "Stockpile: energy in a pound", "Mcal/lb_dry", "={months.grass_tdn_used}*de_per_tdn*me_per_de*kg_per_weight",
             by(winter.grass_energy, tdn="months.grass_tdn_used"), "0.000"),
        _row("best_me", "Richest feed besides pods: energy in a pound", "Mcal/lb_dry", "=MAX({grass_me},hay_me*kg_per_weight)", by(winter.best_of), "0.000"),
    ]  # fmt: skip


def _grass_flow(which: str, words: str) -> list[Node]:
    standing, lost, offer, ask, share, eaten, left, open_ = (
        f"{field}_{which}" for field in ("standing", "lost", "grass_offer", "grass_ask", "grass_share", "grass_eaten", "grass_left", "grass_open")
    )  # fmt: skip
    return [
        _row(standing, f"{words}: stockpile standing", DRY, f"={{{left}@prev}}", by(book.same, value=f"{left}@prev"),
             first=("=stockpile_start", by(book.same, value="stockpile_start"))),
        _row(lost, f"{words}: lost standing", DRY, f"={{{standing}}}*standing_loss*{{months.share_fed}}",
             by(winter.standing_loss_of_month, standing=standing, share_fed="months.share_fed")),
        _row(offer, f"{words}: stockpile on offer", DRY, f"={{{standing}}}-{{{lost}}}", by(book.difference, a=standing, b=lost)),
        _row(ask, f"{words}: stockpile the herd would graze", DRY, _all("ration", f"ask_{which}"), by(book.total, values=_feeds("ration", f"ask_{which}"))),
        _row(share, f"{words}: share of that which is there", "fraction", f"=IF({{{ask}}}=0,0,MIN(1,{{{offer}}}/{{{ask}}}))",
             by(winter.share_of_wish, offered=offer, wanted=ask), "0%"),
        _row(eaten, f"{words}: stockpile grazed", DRY, f"=MIN({{{offer}}},{{{ask}}})", by(winter.taken, offered=offer, wanted=ask), headline=True),
        _row(left, f"{words}: stockpile left", DRY, f"={{{offer}}}-{{{eaten}}}", by(book.difference, a=offer, b=eaten)),
        _row(open_, f"{words}: the month does not close", "flag",
             f"=IF(ABS({{{standing}}}-({{{lost}}}+{{{eaten}}})-{{{left}}})>rounding*(1+{{{standing}}}),1,0)",
             by(winter.does_not_close, opening=standing, come=0, gone=(lost, eaten), closing=left), "0"),
    ]  # fmt: skip


def _bought() -> list[Node]:
    rows = []
    for which, words in SIDES:
        hay, tons, store, after, extra, bought = (
            f"{field}_{which}" for field in ("hay", "hay_tons", "hay_store", "hay_after", "extra", "extra_tons")
        )
        pods = which == "with"
        money = f"{{{tons}}}*hay_price+{{{bought}}}*supplement_price" + ("+{pods_fed}*pod_cost" if pods else "")
        rows += [
            _row(hay, f"{words}: hay eaten", DRY, _all("ration", hay), by(book.total, values=_feeds("ration", hay)), headline=True, scale="room_all"),
            _row(tons, f"{words}: hay to buy", TON, f"={{{hay}}}/hay_dry_matter/((1-storage_loss)*(1-feeding_waste))/weight_per_ton",
                 by(winter.hay_tons, eaten=(hay,)), "0.0", scale="room_all/weight_per_ton"),
            _row(store, f"{words}: hay in store", TON, f"={{{after}@prev}}", by(book.same, value=f"{after}@prev"), "0.0",
                 first=(f"=hay_bought_{which}", by(book.same, value=f"hay_bought_{which}")), scale=f"hay_bought_{which}"),
            _row(after, f"{words}: hay in store after", TON, f"={{{store}}}-{{{tons}}}", by(book.difference, a=store, b=tons), "0.0",
                 scale=f"hay_bought_{which}"),
            _row(extra, f"{words}: supplement eaten", DRY, _all("ration", extra), by(book.total, values=_feeds("ration", extra)), scale="room_all"),
            _row(bought, f"{words}: supplement to buy", TON, f"={{{extra}}}/supplement_dry_matter/weight_per_ton",
                 by(savings.supplement_bought, fed=extra), "0.00", scale="room_all/weight_per_ton"),
        ]  # fmt: skip
        if pods:
            rows.append(
                _row("pods_fed", "Pods eaten, as picked", TON, "=IF(pods_dry_matter=0,0,{pods_eaten}/pods_dry_matter/weight_per_ton)",
                     by(savings.tons_of_dry, dry="pods_eaten", dry_matter="pods_dry_matter"), "0.0")
            )  # fmt: skip
        amounts = (tons, bought, *(["pods_fed"] if pods else []))
        prices = ("hay_price", "supplement_price", *(["pod_cost"] if pods else []))
        rows.append(
            _row(f"money_{which}", f"{words}: feed bought, and pods", MONEY, f"={money}",
                 by(winter.money_of_month, amounts=amounts, prices=prices), headline=True)
        )  # fmt: skip
    rows += [
        _row("saved", "Saved in the month", MONEY, "={money_without}-{money_with}",
             by(book.difference, a="money_without", b="money_with"), headline=True, scale="money_without"),
        _row("hay_open", "Hay: the store does not close", "flag",
             "=IF(MAX(ABS({hay_store_with}-{hay_tons_with}-{hay_after_with}),ABS({hay_store_without}-{hay_tons_without}-{hay_after_without}))"
             ">rounding*(1+{hay_store_without}),1,0)",
             by(winter.store_open, stores=("hay_store_with", "hay_store_without"), tons=("hay_tons_with", "hay_tons_without"),
                after=("hay_after_with", "hay_after_without")), "0"),
        _row("head_days", "Head-days of the herd", "head*day", _all("need", "head_days"), by(book.total, values=_feeds("need", "head_days"))),
        _row("me_need", "Energy the herd needs", ME, _all("ration", "me_need"), by(book.total, values=_feeds("ration", "me_need"))),
        _row("room_all", "Most the herd can eat", DRY, _all("ration", "room"), by(book.total, values=_feeds("ration", "room"))),
        _row("pods_me", "Energy from pods", ME, _all("ration", "pods_me"), by(book.total, values=_feeds("ration", "pods_me"))),
        _row("grass_energy", "Energy from the stockpile", ME, "={grass_eaten_with}*{grass_me}", by(savings.energy_from, dry="grass_eaten_with", me="grass_me")),
        _row("hay_energy", "Energy from hay", ME, "={hay_with}*hay_me*kg_per_weight", by(winter.energy_in_hay, eaten="hay_with"), scale="me_need"),
        _row("diet_share", "Pods in the diet", "fraction",
             "=IF({pods_eaten}=0,0,{pods_eaten}/({pods_eaten}+{grass_eaten_with}+{hay_with}+{extra_with}))",
             by(winter.part_of_diet, part="pods_eaten", feeds=("pods_eaten", "grass_eaten_with", "hay_with", "extra_with")), "0%"),
        _row("diet_sugar", "Sugar of the diet", "percent",
             "=IF({pods_eaten}=0,hay_sugar,{diet_share}*pods_sugar+(1-{diet_share})*hay_sugar)", by(winter.sugar_of_diet), "0.0"),
        _row("past_cap", "Pods past their cap", "flag",
             "=IF(OR({diet_share}>full_share*(1+rounding),{diet_sugar}>MAX(diet_sugar_limit,hay_sugar)*(1+rounding)),1,0)", by(winter.past_cap), "0"),
    ]  # fmt: skip
    return rows


def _watch() -> list[Node]:
    return [
        _row("unmet", "Groups whose cold feed can't meet", "record",
             "=" + "+".join(f"IF({{need_{n}.head_days}}=0,0,1-{{need_{n}.met}})" for n in range(1, len(GROUPS) + 1)),
             by(winter.groups_unmet, met=_feeds("need", "met"), head_days=_feeds("need", "head_days")), "0"),
        _row("uneaten", "Groups that can't eat what they need", "record", _all("ration", "uneaten_with"),
             by(book.total, values=_feeds("ration", "uneaten_with")), "0"),
        _row("uneaten_without", "The same, without pods", "record", _all("ration", "uneaten_without"),
             by(book.total, values=_feeds("ration", "uneaten_without")), "0"),
        _row("leans", "Groups that lean on the supplement", "record", _all("ration", "leans_with"),
             by(book.total, values=_feeds("ration", "leans_with")), "0"),
        _row("watch", "What to watch", "text",
             '=IF({days}=0,"-",IF({unmet}>0,"LOOK: shelter",IF({uneaten}>0,"LOOK: intake",IF({leans}>0,"LOOK: protein",{out_word}))))',
             by(winter.word_of_month), "0"),
        _row("out_word", "Pods in the month", "text", '=IF({runs_out}=1,"pods run out","in order")',
             by(winter.word_of_pods), "0"),
    ]  # fmt: skip


def _offer() -> Table:
    def row(name: str, label: str, unit: str, formula: str, ref: Ref, look: str = "0.0") -> Node:
        return worked(f"offer.{name}", label, unit, formula, ref, size=len(TYPES), look=look)

    reached = [
        row(f"{content}_{position}", f"Reached by {stock}, {label}", unit,
            f"=CHOOSE(form_row,{{lab.{content}_{stock}_{FORMS[0]}}},{{lab.{content}_{stock}_{FORMS[1]}}})",
            by(picks.item, values=tuple(f"lab.{content}_{stock}_{form}" for form in FORMS), position="form_row"), look)
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
                by(picks.item, values="years.pods_{#}*", position="stand_age"), "#,##0"),
            row("share", "Share of the pods", "fraction", "=IF(SUM(offer_dry)=0,0,{dry}/SUM(offer_dry))",
                by(picks.share_of_all, part="dry", parts="offer.dry*"), "0%"),
            row("fed", "Pods, as picked", "lb_fed/acre", "={dry}*{mix.fed_of_dry}", by(book.product, a="dry", b="mix.fed_of_dry"), "#,##0"),
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
        "The crop, the caps, the stockpile",
        (
            worked("season_days", "Days of feeding", "day", "=SUM(months_days_used)", by(book.total, values="months.days_used*"), look="0"),
            worked("drop_total", "Shares of the drop add up to", "fraction", "=SUM(months_drop_used)", by(book.total, values="months.drop_used*"), look="0%"),
            worked("pods_collected", "Pods are collected", "flag", "=IF(form_row=2,1,0)", by(picks.equals, number="form_row", wanted=2), look="0"),
            worked("found_share", "Share of the pods picked up, of those that wildlife leaves", "fraction", "=IF(pods_collected=1,share_collected,1-never_picked)",
                   by(stand.found_share, collected="pods_collected", collected_share="share_collected"), look="0%"),
            worked("pod_crop", "Pods that drop this winter, dry", DRY, "=area*INDEX(years_dry,stand_age)",
                   by(savings.area_times_item, values="years.dry*", position="stand_age"), look="#,##0", headline=True),
            worked("pods_dry_matter", "Dry matter of these pods", "lb_dry/lb_fed", "=IF(SUM(offer_fed)=0,0,SUM(offer_dry)/SUM(offer_fed))",
                   by(savings.dry_of_fed, dry="offer.dry*", fed="offer.fed*"), look="0%"),
            worked("eaten_share", "Of the pods that drop, eaten", "fraction", "=IF(pod_crop=0,0,SUM(winter_pods_eaten)/pod_crop)",
                   by(book.sum_over, values="winter.pods_eaten*", whole="pod_crop"), look="0%",
                   note="Wildlife, spoilage and the herd's own limits take the rest: the sheet Crop sizes tells how many it can use."),
            worked("pods_sugar", "Sugar of these pods", "percent", "=SUMPRODUCT(offer_share,lab_sugar_whole)",
                   by(book.sum_of_products, values="offer.share*", weights="lab.sugar_whole*"), look="0.0"),
            worked("sugar_cap", "Most pods by the sugar of the diet", "fraction",
                   "=IF(pods_sugar<=diet_sugar_limit,1,MAX(0,diet_sugar_limit-hay_sugar)/(pods_sugar-MIN(hay_sugar,diet_sugar_limit)))",
                   by(savings.sugar_cap, base_sugar="hay_sugar", pod_sugar="pods_sugar"), look="0%"),
            worked("full_share", "Most pods in the ration", "fraction", "=MIN(share_cap,sugar_cap)", by(savings.pod_share_cap), look="0%", headline=True),
            worked("sugar_caution", "Sugar", "text",
                   '=IF(sugar_cap<share_cap,"Sugar sets the cap: step up slowly, keep long forage in front of them","The share of pods sets the cap: step up slowly")',
                   by(picks.either, less="sugar_cap", more="share_cap", yes="Sugar sets the cap: step up slowly, keep long forage in front of them",
                      no="The share of pods sets the cap: step up slowly")),
            worked("stockpile_start", "Stockpile that stock can graze, at the start", DRY, "=stockpile_area*stockpile_yield*use_share",
                   by(savings.stockpile_at_start, area="stockpile_area"), look="#,##0"),
        ),
        note="Pods are never the sole feed: sheep on ground pods alone wasted away in six weeks (Grootfontein). Signs of grain overload: call a veterinarian.",
    )  # fmt: skip
