"""Quick sums: prices of feeds, dry and as fed, bales."""

from __future__ import annotations

from podbook.book.model import Entries, Entry, Single
from podbook.book.node import by, worked
from podbook.reference import book, feeds, quick, stand

DM = "lb_dry/lb_fed"


def by_ton() -> tuple[Entries, Single]:
    ringwall = "grass hay at 100 dollars a ton"
    return Entries(
        "quick_ton",
        "1. A feed priced by the ton: what a pound of TDN and of protein costs",
        (
            Entry("quick_ton_price", "Price of a ton", "USD/short_ton_fed", 100, 1, 5000, source="beeftalk-2012", place=ringwall, mark="published"),
            Entry("quick_ton_dry_matter", "Dry matter", DM, 0.88, 0.05, 1, look="0%", source="beeftalk-2012", place=ringwall, mark="published"),
            Entry("quick_ton_tdn", "TDN, of dry matter", "percent", 58, 0, 120, look="0.0", source="beeftalk-2012", place=ringwall, mark="published"),
            Entry("quick_ton_cp", "Crude protein, of dry matter", "percent", 10, 0, 100, look="0.0"),
        ),
    ), Single(
        "What it costs",
        (
            worked("quick_ton_dry_price", "A pound of dry matter", "USD/lb_dry", "=quick_ton_price/(weight_per_ton*quick_ton_dry_matter)",
                   by(feeds.price_per_dry, price="quick_ton_price", dry_matter="quick_ton_dry_matter"), look="0.000"),
            worked("quick_ton_per_tdn", "A pound of TDN", "USD/lb_dry", "=IF(quick_ton_tdn=0,0,100*quick_ton_dry_price/quick_ton_tdn)",
                   by(feeds.price_per_nutrient, price_per_dry="quick_ton_dry_price", content="quick_ton_tdn"), look="0.000", headline=True,
                   note="10 cents in the example. Divided by the content, never multiplied."),
            worked("quick_ton_per_cp", "A pound of crude protein", "USD/lb_dry", "=IF(quick_ton_cp=0,0,100*quick_ton_dry_price/quick_ton_cp)",
                   by(feeds.price_per_nutrient, price_per_dry="quick_ton_dry_price", content="quick_ton_cp"), look="0.000", headline=True,
                   note="It carries the whole price of the feed. 0 where the feed has none."),
        ),
    )  # fmt: skip


def by_bushel() -> tuple[Entries, Single]:
    ringwall = "corn at 6 dollars a bushel of 60 lb"
    return Entries(
        "quick_grain",
        "2. A grain priced by the bushel",
        (
            Entry("quick_grain_price", "Price of a bushel", "USD/bushel", 6, 0.1, 100, source="beeftalk-2012", place=ringwall, mark="published"),
            Entry("quick_grain_bushel", "Weight of a bushel", "lb_fed/bushel", 60, 10, 100, look="0.0", source="beeftalk-2012", place=ringwall,
                  mark="published", help="Standard: shelled corn 56 lb a bushel, wheat 60 lb a bushel, barley 48 lb a bushel, oats 32 lb a bushel."),
            Entry("quick_grain_dry_matter", "Dry matter", DM, 0.88, 0.05, 1, look="0%", source="beeftalk-2012", place=ringwall, mark="published"),
            Entry("quick_grain_tdn", "TDN, of dry matter", "percent", 88, 0, 120, look="0.0", source="beeftalk-2012", place=ringwall, mark="published"),
            Entry("quick_grain_cp", "Crude protein, of dry matter", "percent", 10, 0, 100, look="0.0", source="dtn-feeds-2018", place="cracked corn", mark="published"),
        ),
    ), Single(
        "What it costs, by the bushel",
        (
            worked("quick_grain_ton", "A ton", "USD/short_ton_fed", "=weight_per_ton*quick_grain_price/quick_grain_bushel",
                   by(feeds.price_per_ton_from_bushel, bushel_price="quick_grain_price", bushel_weight="quick_grain_bushel")),
            worked("quick_grain_dry_price", "A pound of dry matter", "USD/lb_dry", "=quick_grain_ton/(weight_per_ton*quick_grain_dry_matter)",
                   by(feeds.price_per_dry, price="quick_grain_ton", dry_matter="quick_grain_dry_matter"), look="0.000"),
            worked("quick_grain_per_tdn", "A pound of TDN", "USD/lb_dry", "=IF(quick_grain_tdn=0,0,100*quick_grain_dry_price/quick_grain_tdn)",
                   by(feeds.price_per_nutrient, price_per_dry="quick_grain_dry_price", content="quick_grain_tdn"), look="0.000", headline=True,
                   note="12.9 cents in the example."),
            worked("quick_grain_per_cp", "A pound of crude protein", "USD/lb_dry", "=IF(quick_grain_cp=0,0,100*quick_grain_dry_price/quick_grain_cp)",
                   by(feeds.price_per_nutrient, price_per_dry="quick_grain_dry_price", content="quick_grain_cp"), look="0.000", headline=True),
        ),
    )  # fmt: skip


def adjusted() -> tuple[Entries, Single]:
    place = "grass hay, and hay with legumes"
    return Entries(
        "quick_other",
        "3. What a second hay is worth beside the first, by its TDN",
        (
            Entry("quick_other_price", "First hay: price of a ton", "USD/short_ton_fed", 50, 1, 2000, source="penn-state-1993", place=place, mark="published"),
            Entry("quick_other_first_tdn", "First hay: TDN, of dry matter", "percent", 38, 20, 100, look="0.0", source="penn-state-1993", place=place, mark="published"),
            Entry("quick_other_tdn", "Second hay: TDN, of dry matter", "percent", 59, 20, 100, look="0.0", source="penn-state-1993", place=place, mark="published"),
            Entry("quick_other_asked", "Second hay: price asked for a ton", "USD/short_ton_fed", 70, 0, 2000, source="penn-state-1993", place=place, mark="published"),
        ),
    ), Single(
        "What it is worth",
        (
            worked("quick_other_worth", "Second hay: worth a ton", "USD/short_ton_fed", "=quick_other_price*quick_other_tdn/quick_other_first_tdn",
                   by(feeds.adjusted_price, price="quick_other_price", tdn="quick_other_first_tdn", other_tdn="quick_other_tdn"), headline=True,
                   note="77.63 in the example. For two hays of equal dry matter."),
            worked("quick_other_gain", "Worth more than is asked (below 0: less)", "USD/short_ton_fed", "=quick_other_worth-quick_other_asked",
                   by(book.difference, a="quick_other_worth", b="quick_other_asked")),
        ),
    )  # fmt: skip


def dry_and_fed() -> tuple[Entries, Single]:
    hay, feed, pods = "a ton of hay of 82 % dry matter", "24 lb of dry matter in a feed of 70 %", "ground pods, 12.47 % water"
    return Entries(
        "quick_dry",
        "4. As fed to dry, and dry to as fed",
        (
            Entry("quick_dry_fed", "Weight as fed", "lb_fed", 2000, 0, 1000000, look="#,##0", source="penn-state-1993", place=hay, mark="published"),
            Entry("quick_dry_fed_matter", "Its dry matter", DM, 0.82, 0.05, 1, look="0%", source="penn-state-1993", place=hay, mark="published"),
            Entry("quick_dry_wanted", "Weight of dry matter wanted", "lb_dry", 24, 0, 1000000, look="#,##0.0", source="radunz-2018", place=feed, mark="published"),
            Entry("quick_dry_feed_matter", "Dry matter of that feed", DM, 0.7, 0.05, 1, look="0%", source="radunz-2018", place=feed, mark="published"),
            Entry("quick_dry_content", "Protein (or TDN, sugar) as fed, as a lab prints it", "percent", 8.58, 0, 100, source="moore-1948", place=pods, mark="published"),
            Entry("quick_dry_sheet_matter", "Dry matter of that sheet", DM, 0.8753, 0.05, 1, look="0.0%", source="moore-1948", place=pods, mark="published"),
        ),
    ), Single(
        "What it comes to",
        (
            worked("quick_dry_weight", "Dry matter in the weight as fed", "lb_dry", "=quick_dry_fed*quick_dry_fed_matter",
                   by(quick.dry_of_fed, fed="quick_dry_fed", dry_matter="quick_dry_fed_matter"), look="#,##0.0", headline=True, note="1,640 lb in the example."),
            worked("quick_dry_as_fed", "Weight as fed to give that dry matter", "lb_fed", "=quick_dry_wanted/quick_dry_feed_matter",
                   by(stand.as_picked, dry="quick_dry_wanted", dry_matter="quick_dry_feed_matter"), look="#,##0.0", headline=True, note="34 lb in the example."),
            worked("quick_dry_percent", "The content, of dry matter", "percent", "=quick_dry_content/quick_dry_sheet_matter",
                   by(quick.content_dry, content_fed="quick_dry_content", dry_matter="quick_dry_sheet_matter"), headline=True),
        ),
    )  # fmt: skip


def round_bale() -> tuple[Entries, Single]:
    return Entries(
        "quick_round",
        "5. A round bale: its weight from its size",
        (
            Entry("quick_round_width", "Width", "foot", 4, 1, 10, source="banta-agproud", place="bale of 4 x 5 ft", mark="published"),
            Entry("quick_round_diameter", "Diameter", "foot", 5, 1, 10, source="banta-agproud", place="bale of 4 x 5 ft", mark="published"),
            Entry("quick_round_density", "Weight of a cubic foot", "lb_fed/foot**3", 11.21, 2, 30, source="banta-agproud", place="round bales", mark="published",
                  help="Weigh one bale to find yours."),
            Entry("quick_round_price", "Price of a ton", "USD/short_ton_fed", 142, 0, 2000, source="southern-ag-today-2024", place="bale of 880 lb", mark="published"),
        ),
    ), Single(
        "What a round bale weighs and costs",
        (
            worked("quick_round_volume", "Volume", "foot**3", "=circle*(quick_round_diameter/2)^2*quick_round_width",
                   by(quick.round_bale_volume, width="quick_round_width", diameter="quick_round_diameter"), look="0.0", note="79 cubic feet in the example."),
            worked("quick_round_weight", "Weight", "lb_fed", "=quick_round_volume*quick_round_density",
                   by(quick.bale_weight, volume="quick_round_volume", density="quick_round_density"), look="#,##0", headline=True, note="880 lb in the example."),
            worked("quick_round_cost", "Price of the bale", "USD", "=quick_round_weight*quick_round_price/weight_per_ton",
                   by(feeds.bale_price, price="quick_round_price", bale_weight="quick_round_weight"), note="62 dollars in the example."),
        ),
    )  # fmt: skip


def square_bale() -> tuple[Entries, Single]:
    return Entries(
        "quick_square",
        "6. A square bale: its weight from its size",
        (
            Entry("quick_square_length", "Length", "foot", 8, 0.5, 12, help="A small square bale: 3 x 1.5 x 1.17 ft."),
            Entry("quick_square_width", "Width", "foot", 3, 0.5, 6),
            Entry("quick_square_height", "Height", "foot", 3, 0.5, 6),
            Entry("quick_square_density", "Weight of a cubic foot", "lb_fed/foot**3", 11, 2, 30, help="Weigh one bale to find yours."),
        ),
    ), Single(
        "What a square bale weighs",
        (
            worked("quick_square_volume", "Volume", "foot**3", "=quick_square_length*quick_square_width*quick_square_height",
                   by(quick.square_bale_volume, length="quick_square_length", width="quick_square_width", height="quick_square_height"), look="0.0"),
            worked("quick_square_weight", "Weight", "lb_fed", "=quick_square_volume*quick_square_density",
                   by(quick.bale_weight, volume="quick_square_volume", density="quick_square_density"), look="#,##0", headline=True),
        ),
    )  # fmt: skip
