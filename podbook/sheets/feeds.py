"""The feeds that pods are weighed against: hay, stockpile, supplement, corn."""

from __future__ import annotations

from podbook.book.model import Entries, Entry, Sheet, Single
from podbook.book.node import Node, by, worked
from podbook.reference import energy, feeds
from podbook.regions import Region
from podbook.sheets.regional import regional

FEEDS = ("hay", "stockpile", "supplement", "corn")


def sheet(region: Region) -> Sheet:
    """Return the sheet Feeds."""
    dm, tdn, cp = "lb_dry/lb_fed", "percent", "percent"
    hay = Entries(
        "hay_figures",
        "Hay",
        (
            regional(region, "hay_price", "Price of hay, delivered", "USD/short_ton_fed", 20, 700,
                     help="What you would pay, or could sell it for."),
            regional(region, "hay_dry_matter", "Dry matter", dm, 0.6, 0.95, look="0%"),
            regional(region, "hay_tdn", "TDN, of dry matter", tdn, 38, 70, look="0.0"),
            regional(region, "hay_cp", "Crude protein, of dry matter", cp, 3, 26, look="0.0"),
            Entry("hay_sugar", "Sugar, of dry matter", "percent", 5, 0, 20, look="0.0", mark="judgement"),
            Entry("storage_loss", "Lost in storage", "fraction", 0.1, 0, 0.5, look="0%", source="isu-hay-storage",
                  place="pad and tarp 10 %; inside 5; on the ground 25 to 35", mark="published"),
            Entry("feeding_waste", "Wasted at the feeder", "fraction", 0.13, 0, 0.5, look="0%", source="illinois-feeders",
                  place="sheeted ring 13 %; cone 5.3; open ring 20.5", mark="published"),
        ),
    )  # fmt: skip
    stockpile = Entries(
        "stockpile_figures",
        "Stockpiled pasture",
        (
            Entry("stockpile_area", "Stockpiled pasture", "acre", 15, 0, 20000, own=True, look="0.0"),
            regional(region, "stockpile_yield", "Standing at the start of the season", "lb_dry/acre", 0, 6000, look="#,##0"),
            Entry("standing_loss", "Lost standing, each month of feeding", "fraction", 0.07, 0, 0.6, look="0%", source="oregon-fescue",
                  place="about 25 % over a winter (Kallenbach 2003)", mark="derived"),
            Entry("use_share", "Share that stock eat", "fraction", 0.7, 0.2, 0.9, look="0%", source="illinois-stockpile",
                  place="strip grazing about 70 %", mark="published"),
            regional(region, "stockpile_tdn", "TDN in mid-winter, to compare feeds", tdn, 38, 75, look="0.0"),
            regional(region, "stockpile_cp", "Crude protein in mid-winter, to compare feeds", cp, 3, 26, look="0.0"),
            Entry("stockpile_cost", "Cost of stockpiling", "USD/acre", 35, 0, 500, mark="judgement",
                  help="Nitrogen, temporary fence, rent of the land for these months."),
        ),
    )  # fmt: skip
    bought = Entries(
        "bought",
        "Supplement and corn",
        (
            regional(region, "supplement_price", "Protein supplement", "USD/short_ton_fed", 50, 3000),
            Entry("supplement_dry_matter", "Dry matter", dm, 0.9, 0.6, 1, look="0%", source="unl-beef-2012", place="cubes 90 %", mark="published"),
            regional(region, "supplement_tdn", "TDN, of dry matter", tdn, 40, 95, look="0.0"),
            Entry("supplement_cp", "Crude protein, of dry matter", cp, 22.2, 10, 60, look="0.0", source="arithmetic",
                  place="20 % as fed, 90 % dry matter", mark="derived"),
            regional(region, "corn_price", "Corn", "USD/bushel", 1, 20),
            Entry("bushel_weight", "Weight of a bushel", "lb_fed/bushel", 56, 20, 70, look="0.0", source="uf-ifas-ag126",
                  place="shelled corn", mark="published"),
            Entry("corn_dry_matter", "Dry matter", dm, 0.88, 0.6, 1, look="0%", source="beeftalk-2012", place="corn", mark="published"),
            Entry("corn_tdn", "TDN, of dry matter", tdn, 88, 60, 95, look="0.0", source="beeftalk-2012", place="corn", mark="published"),
            Entry("corn_cp", "Crude protein, of dry matter", cp, 10, 6, 16, look="0.0", source="dtn-feeds-2018", place="cracked corn", mark="published"),
        ),
    )  # fmt: skip
    rows: list[Node] = []
    for feed in FEEDS:
        rows += _energy(feed)
    rows += [
        worked("corn_ton_price", "Corn: price of a ton", "USD/short_ton_fed", "=corn_price*weight_per_ton/bushel_weight",
               by(feeds.price_per_ton_from_bushel, bushel_price="corn_price")),
        worked("hay_landed_price", "Hay: price of a ton that is eaten",
               "USD/short_ton_fed", "=hay_price/((1-storage_loss)*(1-feeding_waste))",
               by(feeds.price_of_eaten, price="hay_price")),
        worked("hay_price_dry", "Hay: price of a pound of dry matter that is eaten", "USD/lb_dry",
               "=hay_landed_price/(hay_dry_matter*weight_per_ton)",
               by(feeds.price_per_dry, price="hay_landed_price", dry_matter="hay_dry_matter"), look="0.0000"),
        worked("hay_cost_per_me", "Hay: price of a megacalorie that is eaten", "USD/Mcal", "=hay_price_dry/(kg_per_weight*hay_me)",
               by(feeds.price_per_energy, price_per_dry="hay_price_dry", me="hay_me"), look="0.0000"),
    ]  # fmt: skip
    return Sheet(
        "Feeds",
        "What the pods stand in for, and what it costs.",
        (hay, stockpile, bought, Single("Energy of the feeds, on dry matter", tuple(rows))),
    )


def _energy(feed: str) -> list[Node]:
    name = feed.capitalize()
    unit = "Mcal/kg_dry"
    return [
        worked(f"{feed}_de", f"{name}: digestible energy (DE)", unit, f"=de_per_tdn*{feed}_tdn",
               by(energy.digestible_energy, tdn=f"{feed}_tdn"), look="0.000"),
        worked(f"{feed}_me", f"{name}: metabolizable energy (ME)", unit, f"=me_per_de*{feed}_de",
               by(energy.metabolizable_energy, de=f"{feed}_de"), look="0.000"),
        worked(f"{feed}_nem", f"{name}: net energy for maintenance (NEm)", unit,
               f"=MAX(0,nem_first*{feed}_me-nem_second*{feed}_me^2+nem_third*{feed}_me*{feed}_me^2-nem_constant)",
               by(energy.net_energy_maintenance, me=f"{feed}_me"), look="0.000"),
        worked(f"{feed}_neg", f"{name}: net energy for gain (NEg)", unit,
               f"=MAX(0,neg_first*{feed}_me-neg_second*{feed}_me^2+neg_third*{feed}_me*{feed}_me^2-neg_constant)",
               by(energy.net_energy_gain, me=f"{feed}_me"), look="0.000"),
    ]  # fmt: skip
