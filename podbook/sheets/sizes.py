"""What the herd makes of crops of different sizes: the same winter, solved for each of them."""

from __future__ import annotations

from podbook.book.model import Picture, Sheet, Single, Table
from podbook.book.node import Node, Ref, by, fixed_field, worked
from podbook.inputs.filled import GROUPS, TYPES
from podbook.reference import book, picks, savings, sizes, stages, winter
from podbook.sheets.coefficients import coefficient
from podbook.sheets.farm import STOCK
from podbook.sheets.months import ITEMS
from podbook.sheets.season import COUNT

DRY, ME, TON, MONEY = "lb_dry", "Mcal", "short_ton_fed", "USD"
LAST = 12
SIZES = tuple(f"Size {number}" for number in range(LAST + 1))
MONTHS = range(1, COUNT + 1)
HERD = range(1, len(GROUPS) + 1)


def sheet() -> Sheet:
    """Return the sheet Crop sizes."""
    return Sheet(
        "Crop sizes",
        "What this herd makes of a crop of any size, by the months and caps of the sheet Winter.",
        (_curve(), _picture(), _whole(), _types(), _limits(), _reached(), _served(), _months(), *(_month(number) for number in MONTHS)),
        printed=4,
        width=11.5,
    )  # fmt: skip


def _curve() -> Table:
    def row(name: str, label: str, unit: str, formula: str, ref: Ref, look: str = "#,##0", headline: bool = False, scale: str = "",
            first: tuple[str, Ref] | None = None) -> Node:  # fmt: skip
        return worked(f"sizes.{name}", label, unit, formula, ref, size=len(SIZES), look=look, headline=headline, scale=scale, first=first)

    def months(field: str) -> tuple[str, ...]:
        return tuple(f"size_{number}.{field}" for number in MONTHS)

    def added(field: str) -> str:
        return "(" + "+".join(f"{{{each}}}" for each in months(field)) + ")"

    def slope(name: str, label: str, unit: str, of: str, size: str) -> Node:
        return row(name, label, unit, f"=IF({{crop}}<={{crop@prev}},0,({{{of}}}-{{{of}@prev}})/({{crop}}-{{crop@prev}}))",
                   by(sizes.slope, value=of, before=f"{of}@prev", crop_before="crop@prev"), "0.000000",
                   scale=f"{size}/crop", first=("=0", by(winter.nothing)))  # fmt: skip

    return Table(
        "sizes",
        "From no pods to as many as the herd can use",
        SIZES,
        (
            row("crop", "Pods that drop, dry", DRY, "=largest_crop*{number}/last_size",
                by(sizes.crop_of_size, largest="largest_crop", last="last_size"), headline=True),
            row("area", "Acres of this stand in its best year", "acre", "=IF(MAX(years_dry)=0,0,{crop}/MAX(years_dry))",
                by(sizes.acres_for, borne="years.dry*"), "#,##0.0"),
            row("fed", "Pods eaten, as picked", TON, f"=IF(grown_dry_matter=0,0,{added('eaten')}/grown_dry_matter/weight_per_ton)",
                by(sizes.pods_tons, eaten=months("eaten"), dry_matter="grown_dry_matter"), "0.0"),
            row("hay", "Hay to buy", TON, f"={added('hay')}/hay_dry_matter/((1-storage_loss)*(1-feeding_waste))/weight_per_ton",
                by(winter.hay_tons, eaten=months("hay")), "0.0", scale="hay_bought_without"),
            row("extra", "Supplement to buy", TON, f"={added('short')}/(supplement_cp/100)/supplement_dry_matter/weight_per_ton",
                by(sizes.supplement_tons, short=months("short")), "0.00", scale="need_herd/weight_per_ton"),
            row("saved", "Hay saved", TON, "={hay@1}-{hay}", by(book.difference, a="hay@1", b="hay"), "0.0", True, scale="hay_bought_without"),
            row("other", "Saved besides hay, less cost of pods", MONEY, "=({extra@1}-{extra})*supplement_price-{fed}*pod_cost",
                by(sizes.other_saved, supplement_before="extra@1", supplement="extra", pods="fed"), "#,##0", scale="cost_without"),
            row("money", "Saved in all, at the hay price of Feeds", MONEY, "={saved}*hay_price+{other}",
                by(sizes.feed_worth, hay_saved="saved", price="hay_price"), "#,##0", True, scale="cost_without"),
            slope("hay_slope", "Hay saved by one pound more", "short_ton_fed/lb_dry", "saved", "hay_bought_without"),
            slope("other_slope", "Saved besides by one pound more", "USD/lb_dry", "other", "cost_without"),
            fixed_field("sizes.number", "Size", "ordinal", tuple(float(number) for number in range(LAST + 1)), look="0"),
        ),
        across=False,
        aside=3,
        note="Pods as good as those of this stand full-grown. A crop between two sizes is read along a straight line; beyond the last, as the last.",
    )  # fmt: skip


def _picture() -> Picture:
    return Picture("What a winter's crop saves, by its size", "line", "sizes.area", (("sizes.money", "saved in all"),),
                   "Acres of this stand in its best year", "Saved a winter, $")  # fmt: skip


def _whole() -> Single:
    return Single(
        "The pods of this stand, full-grown",
        (
            worked("largest_crop", "Largest crop that the herd can use, dry", DRY, "=MAX(grown_fills)",
                   by(sizes.largest_crop, fills="grown.fills*"), look="#,##0", headline=True),
            worked("grown_dry_matter", "Dry matter", "lb_dry/lb_fed", "=IF(SUM(grown_mix_fed)=0,0,SUM(grown_mix_share)/SUM(grown_mix_fed))",
                   by(sizes.dry_of_mix, shares="grown_mix.share*", fed="grown_mix.fed*"), look="0%"),
            worked("grown_sugar", "Sugar", "percent", "=SUMPRODUCT(grown_mix_share,lab_sugar_whole)",
                   by(book.sum_of_products, values="grown_mix.share*", weights="lab.sugar_whole*"), look="0.0"),
            worked("grown_sugar_cap", "Most of them by the sugar of the diet", "fraction",
                   "=IF(grown_sugar<=diet_sugar_limit,1,MAX(0,diet_sugar_limit-hay_sugar)/(grown_sugar-MIN(hay_sugar,diet_sugar_limit)))",
                   by(savings.sugar_cap, base_sugar="hay_sugar", pod_sugar="grown_sugar"), look="0%"),
            worked("grown_full_share", "Most of them in the ration", "fraction", "=MIN(share_cap,grown_sugar_cap)",
                   by(savings.pod_share_cap, sugar_cap="grown_sugar_cap"), look="0%"),
        ),
    )  # fmt: skip


def _limits() -> Single:
    return Single(
        "Sizes: workings",
        (
            coefficient("last_size", "Number of the last size", LAST, "ordinal", "arithmetic", ""),
            worked("sizes_off", "Without pods, not as the sheet Winter", "flag",
                   "=IF(ABS(INDEX(sizes_hay,1)-hay_bought_without)>rounding*(1+hay_bought_without),1,0)",
                   by(sizes.sizes_off, smallest="sizes.hay@1", without_pods="hay_bought_without"), look="0"),
        ),
    )  # fmt: skip


def _types() -> Table:
    def row(name: str, label: str, unit: str, formula: str, ref: Ref, look: str = "0%") -> Node:
        return worked(f"grown_mix.{name}", label, unit, formula, ref, size=len(TYPES), look=look)

    return Table(
        "grown_mix",
        "Types in them",
        TYPES,
        (
            row("label", "Type", "text", '=IF({types.in_use}=1,{types.name},"-")',
                by(book.same, when="types.in_use", otherwise="-", value="types.name")),
            row("share", "Share of the pods", "fraction", "=IF(SUM(mix_full_area)=0,0,{mix.full_area}/SUM(mix_full_area))",
                by(picks.share_of_all, part="mix.full_area", parts="mix.full_area*")),
            row("fed", "Pods as picked, of a pound of dry ones", "lb_fed/lb_dry", "={share}*{mix.fed_of_dry}",
                by(book.product, a="share", b="mix.fed_of_dry"), "0.00"),
        ),
    )  # fmt: skip


def _reached() -> Table:
    def row(content: str, label: str, unit: str, look: str) -> Node:
        return worked(f"grown_reach.{content}", label, unit, f"=SUMPRODUCT(grown_mix_share,offer_{content}_{{#}})",
                      by(book.sum_of_products, values="grown_mix.share*", weights=f"offer.{content}_{{#}}*"), size=len(STOCK), look=look)  # fmt: skip

    return Table(
        "grown_reach",
        "What each kind of stock reaches of them",
        STOCK,
        (row("me", "Energy (ME)", "Mcal/kg_dry", "0.000"), row("cp", "Crude protein", "percent", "0.0")),
    )


def _served() -> Table:
    def row(name: str, label: str, unit: str, formula: str, ref: Ref, look: str) -> Node:
        return worked(f"grown_served.{name}", label, unit, formula, ref, size=len(GROUPS), look=look)

    return Table(
        "grown_served",
        "What each group reaches of them",
        GROUPS,
        (
            row("me", "Energy in pods", "Mcal/lb_dry", "=IF({groups.in_order}=0,0,INDEX(grown_reach_me,{groups.species})*kg_per_weight)",
                by(picks.scaled_item, when="groups.in_order", values="grown_reach.me*", position="groups.species", factor="kg_per_weight"), "0.000"),
            row("cp", "Protein in pods", "percent", "=IF({groups.in_order}=0,0,INDEX(grown_reach_cp,{groups.species}))",
                by(picks.item, when="groups.in_order", values="grown_reach.cp*", position="groups.species"), "0.0"),
        ),
    )  # fmt: skip


def _months() -> Table:
    def row(name: str, label: str, unit: str, formula: str, ref: Ref, look: str = "#,##0", first: tuple[str, Ref] | None = None) -> Node:
        return worked(f"grown.{name}", label, unit, formula, ref, size=COUNT, look=look, first=first)

    def wish(group: int) -> Node:
        need, pod = f"{{ration_{group}.me_need}}", f"{{grown_served.me@{group}}}"
        return row(
            f"wish_{group}", f"Pods that group {group} may eat", DRY,
            f"=MIN({{ration_{group}.room}}*{{cap}},{{cap}}*{need}/({{winter.best_me}}*(1-{{cap}})+{{cap}}*{pod}))",
            by(winter.pods_wish, room=f"ration_{group}.room", need=f"ration_{group}.me_need", pod_me=f"grown_served.me@{group}", best_me="winter.best_me"),
        )  # fmt: skip

    wishes = tuple(f"wish_{group}" for group in HERD)
    block = f"{{{wishes[0]}}}:{{{wishes[-1]}}}"
    return Table(
        "grown",
        "The months, with the pods of this stand full-grown",
        ITEMS,
        (
            row("label", "Month", "text", "={months.label}", by(book.same, value="months.label"), "0"),
            row("arriving", "Of a year's crop, comes to lie there or into store", "fraction",
                "={months.drop_used}*(1-wildlife_loss)*found_share", by(sizes.arriving, drop="months.drop_used"), "0.0%"),
            row("spoiling", "Of what lies there, spoils", "fraction", "=IF(pods_collected=1,stored_loss,{months.ground_loss_used})",
                by(sizes.spoiling, collected="pods_collected", ground_loss="months.ground_loss_used"), "0%"),
            row("cap", "Most pods in the ration", "fraction",
                "=IF({months.days_used}=0,0,grown_full_share*(1-(1-step_up_share)*{months.stepping}/{months.days_used}))",
                by(stages.share_in_month, full_share="grown_full_share", stepping="months.stepping", days="months.days_used"), "0%"),
            *(wish(group) for group in HERD),
            row("wish", "Pods that the herd may eat", DRY, f"=SUM({block})", by(book.total, values=wishes)),
            row("wish_me", "Energy in them", ME, "=" + "+".join(f"{{{each}}}*{{grown_served.me@{group}}}" for group, each in zip(HERD, wishes, strict=True)),
                by(book.sum_of_products, values=wishes, weights="grown_served.me*")),
            row("held", "Of a year's crop, there in the month if none was eaten before", "fraction", "=({held@prev}+{arriving})*(1-{spoiling})",
                by(sizes.held, before="held@prev"), "0.0%", first=("={arriving}*(1-{spoiling})", by(sizes.held, before=0))),
            row("owed", "Pods that lack in the month for those eaten before", DRY,
                "=({owed@prev}+IF({held@prev}=0,0,{wish@prev}))*(1-{spoiling})",
                by(sizes.owed, before="owed@prev", held_before="held@prev", wish_before="wish@prev"), first=("=0", by(book.same, value=0))),
            row("fills", "Crop from which on the month has enough", DRY, "=IF({wish}*{held}=0,0,({wish}+{owed})/{held})", by(sizes.crop_that_fills)),
        ),
    )  # fmt: skip


def _month(number: int) -> Table:
    """Return one month of the winter, solved for every size of crop."""
    last = f"size_{number - 1}"

    def row(name: str, label: str, unit: str, formula: str, ref: Ref, look: str = "#,##0", scale: str = "") -> Node:
        return worked(f"size_{number}.{name}", label, unit, formula.replace("@M", f"@{number}"), ref, size=len(SIZES), look=look, scale=scale)

    def ask(group: int) -> Node:
        need, wish, pod = f"{{ration_{group}.me_need@M}}", f"{{grown.wish_{group}@M}}", f"{{grown_served.me@{group}}}"
        return row(
            f"ask_{group}", f"Group {group}: stockpile they would graze", DRY,
            f"=IF({{winter.grass_me@M}}=0,0,MIN(MAX(0,{need}-{{share}}*{wish}*{pod})/{{winter.grass_me@M}},MAX(0,{{ration_{group}.room@M}}-{{share}}*{wish})))",
            by(sizes.would_graze, need=f"ration_{group}.me_need@{number}", room=f"ration_{group}.room@{number}", wish=f"grown.wish_{group}@{number}",
               pod_me=f"grown_served.me@{group}", grass_me=f"winter.grass_me@{number}"),
        )  # fmt: skip

    def short(group: int) -> Node:
        wish, pod, grass = f"{{grown.wish_{group}@M}}", f"{{grown_served.me@{group}}}", f"{{ask_{group}}}*{{grass_share}}"
        return row(
            f"short_{group}", f"Group {group}: protein short", DRY,
            f"=MAX(0,{{ration_{group}.cp_need@M}}-({{share}}*{wish}*{{grown_served.cp@{group}}}+{grass}*{{months.grass_cp_used@M}}"
            f"+MAX(0,{{ration_{group}.me_need@M}}-{{share}}*{wish}*{pod}-{grass}*{{winter.grass_me@M}})/(hay_me*kg_per_weight)*hay_cp)/100)",
            by(sizes.protein_short, cp_need=f"ration_{group}.cp_need@{number}", me_need=f"ration_{group}.me_need@{number}",
               wish=f"grown.wish_{group}@{number}", pod_me=f"grown_served.me@{group}", pod_cp=f"grown_served.cp@{group}", ask=f"ask_{group}",
               grass_me=f"winter.grass_me@{number}", grass_cp=f"months.grass_cp_used@{number}"),
            scale=f"ration_{group}.cp_need@{number}",
        )  # fmt: skip

    asks, shorts = (tuple(f"{word}_{group}" for group in HERD) for word in ("ask", "short"))
    before = f"{{{last}.left}}" if number > 1 else "0"
    standing = f"{{{last}.grass_left}}" if number > 1 else "stockpile_start"
    rows = (
        row("offer", "Pods on offer", DRY, f"=({before}+{{sizes.crop}}*{{grown.arriving@M}})*(1-{{grown.spoiling@M}})",
            by(sizes.on_offer, left=f"{last}.left" if number > 1 else 0, crop="sizes.crop", arriving=f"grown.arriving@{number}",
               spoiling=f"grown.spoiling@{number}"), scale="sizes.crop"),
        row("eaten", "Pods eaten", DRY, "=MIN({offer},{grown.wish@M})", by(winter.taken, offered="offer", wanted=f"grown.wish@{number}")),
        row("left", "Pods left at the end", DRY, "={offer}-{eaten}", by(book.difference, a="offer", b="eaten"), scale="sizes.crop"),
        row("share", "Share of that which the herd may eat", "fraction", "=IF({grown.wish@M}=0,0,MIN(1,{offer}/{grown.wish@M}))",
            by(winter.share_of_wish, offered="offer", wanted=f"grown.wish@{number}"), "0%"),
        *(ask(group) for group in HERD),
        row("ask", "Stockpile the herd would graze", DRY, f"=SUM({{{asks[0]}}}:{{{asks[-1]}}})", by(book.total, values=asks)),
        row("grass_offer", "Stockpile on offer", DRY, f"={standing}*(1-standing_loss*{{months.share_fed@M}})",
            by(sizes.still_standing, standing=f"{last}.grass_left" if number > 1 else "stockpile_start", share_fed=f"months.share_fed@{number}")),
        row("grazed", "Stockpile grazed", DRY, "=MIN({grass_offer},{ask})", by(winter.taken, offered="grass_offer", wanted="ask")),
        row("grass_left", "Stockpile left", DRY, "={grass_offer}-{grazed}", by(book.difference, a="grass_offer", b="grazed"), scale="grass_offer"),
        row("grass_share", "Share of what they would graze", "fraction", "=IF({ask}=0,0,MIN(1,{grass_offer}/{ask}))",
            by(winter.share_of_wish, offered="grass_offer", wanted="ask"), "0%"),
        row("hay", "Hay eaten", DRY,
            "=MAX(0,{winter.me_need@M}-{share}*{grown.wish_me@M}-{grazed}*{winter.grass_me@M})/(hay_me*kg_per_weight)",
            by(sizes.hay_of_herd, need=f"winter.me_need@{number}", wishes_me=f"grown.wish_me@{number}", grass_me=f"winter.grass_me@{number}"),
            scale=f"winter.room_all@{number}"),
        *(short(group) for group in HERD),
        row("short", "Protein short", DRY, f"=SUM({{{shorts[0]}}}:{{{shorts[-1]}}})", by(book.total, values=shorts), scale=f"winter.head_days@{number}"),
    )  # fmt: skip
    return Table(f"size_{number}", f"Month {number}", SIZES, rows)
