"""Quick sums: hay for a herd, grazing days, cold, losses of hay."""

from __future__ import annotations

from podbook.book.model import Entries, Entry, Single
from podbook.book.node import Node, by, worked
from podbook.reference import book, cold, feeds, quick, savings

DM = "lb_dry/lb_fed"
LB_DAY = "lb_dry/head/day"


def herd_hay() -> tuple[Entries, Single]:
    place = "150 cows for 180 days"

    def iowa(name: str, label: str, unit: str, default: float, low: float, high: float, look: str = "0.0") -> Entry:
        return Entry(name, label, unit, default, low, high, source="iowa-beef-2021", place=place, mark="published", look=look)

    return Entries(
        "quick_herd",
        "8. Hay for a herd and a number of days",
        (
            iowa("quick_herd_head", "Head", "head", 150, 0, 100000, "#,##0"),
            iowa("quick_herd_body", "Body weight", "lb/head", 1200, 10, 3000, "#,##0"),
            iowa("quick_herd_percent", "Eats a day, of its body weight", "percent/day", 2.5, 0.5, 6),
            iowa("quick_herd_days", "Days of feeding", "day", 180, 1, 366, "0"),
            iowa("quick_herd_dry_matter", "Dry matter of the hay", DM, 0.85, 0.3, 1, "0%"),
            iowa("quick_herd_waste", "Wasted at the feeder", "fraction", 0.05, 0, 0.7, "0%"),
            Entry("quick_herd_storage", "Lost in storage before that", "fraction", 0, 0, 0.7, look="0%", source="iowa-beef-2021", place="none counted", mark="published"),
            Entry("quick_herd_bale", "Weight of a bale", "lb_fed", 1200, 20, 3000, look="#,##0", source="illinois-feeders", place="bale of 1200 lb", mark="published"),
        ),
    ), Single(
        "What the herd needs",
        (
            worked("quick_herd_daily", "A head eats a day", LB_DAY, "=quick_herd_body*quick_herd_percent/100",
                   by(quick.daily_intake, body_weight="quick_herd_body", percent="quick_herd_percent"), look="0.0", note="30 lb in the example."),
            worked("quick_herd_need", "The herd eats in all", "lb_dry", "=quick_herd_daily*quick_herd_head*quick_herd_days",
                   by(savings.season_need, head="quick_herd_head", season_days="quick_herd_days", need="quick_herd_daily"), look="#,##0", note="810,000 lb in the example."),
            worked("quick_herd_eaten", "Hay that is eaten", "short_ton_fed", "=quick_herd_need/(quick_herd_dry_matter*weight_per_ton)",
                   by(savings.tons_of_dry, dry="quick_herd_need", dry_matter="quick_herd_dry_matter"), look="#,##0.0", note="476 tons in the example."),
            worked("quick_herd_buy", "Hay to buy or put up", "short_ton_fed",
                   "=quick_herd_need/(quick_herd_dry_matter*weight_per_ton*(1-quick_herd_waste)*(1-quick_herd_storage))",
                   by(savings.hay_bought, hay_fed="quick_herd_need", hay_dry_matter="quick_herd_dry_matter", feeding_waste="quick_herd_waste",
                      storage_loss="quick_herd_storage"), look="#,##0.0", headline=True, note="501 tons in the example, from 476 rounded."),
            worked("quick_herd_bales", "In bales", "bale", "=quick_herd_buy*weight_per_ton/quick_herd_bale",
                   by(quick.bales_of, tons="quick_herd_buy", bale_weight="quick_herd_bale"), look="#,##0"),
        ),
        note="Losses are divided out, eaten / (1 - waste): waste is a share of what is set out. Adding it on top, eaten x (1 + waste), buys too little.",
    )  # fmt: skip


def grazing() -> tuple[Entries, Single]:
    place = "2000 lb an acre, 1400 lb cow"

    def illinois(name: str, label: str, unit: str, default: float, low: float, high: float, look: str = "0.0") -> Entry:
        return Entry(name, label, unit, default, low, high, source="illinois-stockpile", place=place, mark="published", look=look)

    def days(name: str, label: str, eaten: str, note: str) -> Node:
        return worked(name, label, "head*day/acre", f"={eaten}/quick_graze_daily", by(savings.head_days, energy=eaten, need="quick_graze_daily"),
                      look="0.0", headline=True, note=note)  # fmt: skip

    return Entries(
        "quick_graze",
        "9. Grazing days from an acre of stockpile, and from nitrogen",
        (
            illinois("quick_graze_yield", "Grass standing", "lb_dry/acre", 2000, 0, 10000, "#,##0"),
            illinois("quick_graze_use", "Share that stock eat", "fraction", 0.7, 0.1, 1, "0%"),
            illinois("quick_graze_body", "Body weight", "lb/head", 1400, 10, 3000, "#,##0"),
            illinois("quick_graze_percent", "Eats a day, of its body weight", "percent/day", 3, 0.5, 6),
            illinois("quick_graze_nitrogen", "Nitrogen spread", "lb/acre", 50, 0, 300),
            illinois("quick_graze_response", "Grass from a pound of nitrogen", "lb_dry/lb", 25, 0, 60),
            Entry("quick_graze_head", "Head", "head", 25, 1, 100000, look="#,##0", source="kentucky-stockpile", place="25 cows", mark="published"),
            Entry("quick_graze_area", "Stockpiled pasture", "acre", 1, 0, 20000, look="0.0", source="kentucky-stockpile", place="days for each acre", mark="published"),
        ),
    ), Single(
        "How long it lasts",
        (
            worked("quick_graze_daily", "A head eats a day", LB_DAY, "=quick_graze_body*quick_graze_percent/100",
                   by(quick.daily_intake, body_weight="quick_graze_body", percent="quick_graze_percent"), look="0.0", note="42 lb in the example."),
            worked("quick_graze_eaten", "Eaten of an acre", "lb_dry/acre", "=quick_graze_yield*quick_graze_use",
                   by(savings.stockpile_on_offer, area=1, stockpile_yield="quick_graze_yield", standing_loss=0, use_share="quick_graze_use"), look="#,##0"),
            days("quick_graze_days", "Grazing days of one head from an acre", "quick_graze_eaten", "33 cow-days in the example."),
            worked("quick_graze_more", "Grass from the nitrogen", "lb_dry/acre", "=quick_graze_nitrogen*quick_graze_response",
                   by(quick.grass_from_nitrogen, nitrogen="quick_graze_nitrogen", response="quick_graze_response"), look="#,##0"),
            worked("quick_graze_more_eaten", "Eaten of that", "lb_dry/acre", "=quick_graze_more*quick_graze_use",
                   by(savings.stockpile_on_offer, area=1, stockpile_yield="quick_graze_more", standing_loss=0, use_share="quick_graze_use"), look="#,##0"),
            days("quick_graze_more_days", "Grazing days from the nitrogen", "quick_graze_more_eaten", "21 cow-days in the example."),
            worked("quick_graze_herd_days", "Days that the acres feed the herd, without the nitrogen", "day", "=quick_graze_days*quick_graze_area/quick_graze_head",
                   by(quick.days_for_herd, head_days="quick_graze_days", area="quick_graze_area", head="quick_graze_head"), look="0.0"),
        ),
    )  # fmt: skip


def cold_feed() -> tuple[Entries, Single]:
    place = "cow of 1300 lb at 4 °F"

    def dakota(name: str, label: str, unit: str, default: float, low: float, high: float, look: str = "0.0", help: str = "") -> Entry:
        return Entry(name, label, unit, default, low, high, source="ndsu-lct", place=place, mark="published", look=look, help=help)

    return Entries(
        "quick_cold",
        "10. More feed in the cold",
        (
            dakota("quick_cold_air", "Temperature", "degF", 4, -50, 70, help="The example states 4 °F with the wind in it, so its wind is 0 here."),
            dakota("quick_cold_wind", "Wind", "mph", 0, 0, 50),
            dakota("quick_cold_critical", "Critical temperature of the coat", "degF", 18, -20, 70,
                   help="Cattle: heavy dry winter coat 18, dry winter coat 32, wet 59. Goats 32. Sheep: fleece 28, shorn 50."),
            dakota("quick_cold_degree", "More energy for a degree below it", "fraction/delta_degF", 0.01, 0, 0.03, "0.0%", "Dry coat 1 %, wet coat 2 %."),
            dakota("quick_cold_tdn", "Needs of TDN, without cold", LB_DAY, 12.7, 0, 60, "0.00"),
            dakota("quick_cold_forage", "TDN of the forage, of dry matter", "percent", 56, 30, 100),
        ),
    ), Single(
        "What the cold asks for",
        (
            worked("quick_cold_felt", "Temperature that stock feel", "degF", "=quick_cold_air-degrees_per_wind*quick_cold_wind",
                   by(cold.effective_temperature, temperature="quick_cold_air", wind="quick_cold_wind"), look="0.0", note="Less for the wind: a rough rule."),
            worked("quick_cold_more", "More energy needed", "fraction", "=quick_cold_degree*MAX(0,quick_cold_critical-quick_cold_felt)",
                   by(cold.cold_increase, effective_temperature="quick_cold_felt", critical_temperature="quick_cold_critical", per_degree="quick_cold_degree"),
                   look="0%", note="14 % in the example."),
            worked("quick_cold_need", "TDN needed", LB_DAY, "=quick_cold_tdn*(1+quick_cold_more)",
                   by(cold.raised_by_cold, requirement="quick_cold_tdn", increase="quick_cold_more"), note="14.48 lb in the example."),
            worked("quick_cold_extra", "TDN needed more", LB_DAY, "=quick_cold_need-quick_cold_tdn",
                   by(book.difference, a="quick_cold_need", b="quick_cold_tdn"), note="1.78 lb in the example."),
            worked("quick_cold_feed", "More forage, dry", LB_DAY, "=100*quick_cold_extra/quick_cold_forage",
                   by(quick.more_forage, more_tdn="quick_cold_extra", forage_tdn="quick_cold_forage"), look="0.0", headline=True, note="3.2 lb in the example."),
            worked("quick_cold_answer", "Can feed meet it?", "text", '=IF(quick_cold_more<=feed_ceiling,"feed can meet it","LOOK: shelter, not feed")',
                   by(quick.cold_answer, increase="quick_cold_more"), headline=True),
        ),
        note="Stock can raise their energy by 25 to 30 % in great cold, no more. Wet coats in cold can't be fed through: 110 % at 4 °F.",
    )  # fmt: skip


def losses() -> tuple[Entries, Single]:
    place = "open ring, 180 bales"

    def ring(name: str, label: str, unit: str, default: float, low: float, high: float, look: str, help: str = "") -> Entry:
        return Entry(name, label, unit, default, low, high, source="illinois-feeders", place=place, mark="published", look=look, help=help)

    return Entries(
        "quick_loss",
        "11. Hay lost in storage and at the feeder, in money",
        (
            ring("quick_loss_weight", "Weight of a bale", "lb_fed", 1200, 0, 3000, "#,##0"),
            ring("quick_loss_price", "Price of a bale", "USD/bale", 70, 0, 1000, "0.00"),
            ring("quick_loss_storage", "Lost in storage", "fraction", 0, 0, 0.7, "0%", "The example counts the feeder alone. Inside 5 %, pad and tarp 10, on the ground 25 to 35."),
            ring("quick_loss_feeder", "Wasted at the feeder", "fraction", 0.205, 0, 0.7, "0.0%", "Cone 5.3 %, sheeted ring 13, open ring 20.5, poly ring 21."),
            ring("quick_loss_bales", "Bales", "bale", 180, 0, 100000, "#,##0"),
        ),
    ), Single(
        "What is lost",
        (
            worked("quick_loss_amount", "Wasted at the feeder, of a bale", "lb_fed/bale", "=quick_loss_weight*quick_loss_feeder*(1-quick_loss_storage)",
                   by(quick.wasted_of_bale, bale_weight="quick_loss_weight", storage_loss="quick_loss_storage", feeding_waste="quick_loss_feeder"),
                   look="0.0", note="246 lb in the example."),
            worked("quick_loss_worth", "A bale is worth, when it comes to the feeder", "USD/bale", "=quick_loss_price*(1-quick_loss_storage)",
                   by(quick.left_of, amount="quick_loss_price", loss="quick_loss_storage")),
            worked("quick_loss_one", "Lost at the feeder, of a bale", "USD/bale", "=quick_loss_worth*quick_loss_feeder",
                   by(feeds.loss_in_money, bale_price="quick_loss_worth", waste="quick_loss_feeder", bales=1), note="14.35 dollars in the example."),
            worked("quick_loss_fed", "Lost at the feeder, of all bales", "USD", "=quick_loss_worth*quick_loss_feeder*quick_loss_bales",
                   by(feeds.loss_in_money, bale_price="quick_loss_worth", waste="quick_loss_feeder", bales="quick_loss_bales"), look="#,##0",
                   note="2,583 dollars in the example."),
            worked("quick_loss_stored", "Lost in storage, of all bales", "USD", "=quick_loss_price*quick_loss_storage*quick_loss_bales",
                   by(feeds.loss_in_money, bale_price="quick_loss_price", waste="quick_loss_storage", bales="quick_loss_bales"), look="#,##0"),
            worked("quick_loss_all", "Lost in all", "USD", "=quick_loss_stored+quick_loss_fed",
                   by(book.total, values=("quick_loss_stored", "quick_loss_fed")), look="#,##0", headline=True),
        ),
    )  # fmt: skip
