"""Small sums of every week: bales, dry and as fed, hay for a herd, grazing days, cold, losses, spacing of trees."""

from math import pi
from typing import Annotated

import numpy as np

from podbook.reference.contract import Value, Words, reference
from podbook.reference.guard import ratio
from podbook.units import In

Feet = Annotated[Value, In("foot", 0, 40)]
Volume = Annotated[Value, In("foot**3", 0)]
Fed = Annotated[Value, In("lb_fed", 0)]
FedOfBale = Annotated[Value, In("lb_fed/bale", 0)]
DryMatter = Annotated[Value, In("lb_dry/lb_fed", 0, 1)]
Loss = Annotated[Value, In("fraction", 0, 1)]
WeightPerTon = Annotated[float, In("lb_fed/short_ton_fed")]
HeadDays = Annotated[Value, In("head*day/acre", 0)]
SquareFeet = Annotated[float, In("foot**2/acre")]


@reference("arithmetic", "weight x dry matter")
def dry_of_fed(*, fed: Fed, dry_matter: DryMatter) -> Annotated[Value, In("lb_dry", 0)]:
    """Return the dry matter in a weight as fed."""
    return fed * dry_matter


@reference("arithmetic", "content / dry matter")
def content_dry(
    *, content_fed: Annotated[Value, In("percent*lb_dry/lb_fed", 0, 100)], dry_matter: DryMatter
) -> Annotated[Value, In("percent", 0)]:
    """Return a content as percent of dry matter from what a sheet prints as fed; 0 where no dry matter is given."""
    return ratio(content_fed, dry_matter)


@reference("banta-agproud", "round bales: 3.14 x radius squared x width")
def round_bale_volume(*, width: Feet, diameter: Feet, circle: Annotated[float, In("fraction", 3, 3.2)] = pi) -> Volume:
    """Return the volume of a round bale from its width and its diameter. Read."""
    return circle / 4 * diameter**2 * width


@reference("arithmetic", "length x width x height")
def square_bale_volume(*, length: Feet, width: Feet, height: Feet) -> Volume:
    """Return the volume of a square bale."""
    return length * width * height


@reference("banta-agproud", "volume x 11.21 lb a cubic foot")
def bale_weight(*, volume: Volume, density: Annotated[Value, In("lb_fed/foot**3", 0, 40)]) -> Fed:
    """Return the weight of a bale from its volume and how tightly it is packed. Read, for round bales."""
    return density * volume


@reference("common-practice", "body weight x percent that is eaten a day")
def daily_intake(
    *, body_weight: Annotated[Value, In("lb/head", 0)], percent: Annotated[Value, In("percent*lb_dry/lb/day", 0, 10)]
) -> Annotated[Value, In("lb_dry/head/day", 0)]:
    """Return the dry matter that a head eats in a day, as a percent of its body weight."""
    return percent / 100 * body_weight


@reference("arithmetic", "tons / weight of a bale")
def bales_of(
    *,
    tons: Annotated[Value, In("short_ton_fed", 0)],
    bale_weight: FedOfBale,
    weight_per_ton: WeightPerTon = 2000.0,
) -> Annotated[Value, In("bale", 0)]:
    """Return how many bales make up the tons; 0 where a bale weighs nothing."""
    return ratio(np.asarray(tons) * weight_per_ton, bale_weight)


@reference("illinois-stockpile", "25 lb of grass for each pound of nitrogen")
def grass_from_nitrogen(
    *,
    nitrogen: Annotated[Value, In("lb/acre", 0, 500)],
    response: Annotated[Value, In("lb_dry/lb", 0, 100)],
) -> Annotated[Value, In("lb_dry/acre", 0)]:
    """Return the grass that nitrogen adds to an acre. Read."""
    return response * nitrogen


@reference("arithmetic", "grazing days of an acre x acres / head")
def days_for_herd(
    *, head_days: HeadDays, area: Annotated[Value, In("acre", 0)], head: Annotated[Value, In("head", 0)]
) -> Annotated[Value, In("day", 0)]:
    """Return for how many days the grass of all acres feeds a herd; 0 for an empty herd."""
    return ratio(head_days * area, head)


@reference("ndsu-lct", "TDN / TDN of the forage")
def more_forage(
    *, more_tdn: Annotated[Value, In("lb_dry/head/day")], forage_tdn: Annotated[Value, In("percent", 0, 130)]
) -> Annotated[Value, In("lb_dry/head/day")]:
    """Return the forage that holds an amount of TDN, dry; 0 where the forage has none. Read."""
    return ratio(more_tdn, np.asarray(forage_tdn) / 100)


@reference("ohio-cold-2023", "ceiling of 25 to 30 %")
def cold_answer(
    *,
    increase: Annotated[Value, In("fraction", 0, 5)],
    feed_ceiling: Annotated[float, In("fraction", 0, 1)] = 0.30,
) -> Annotated[Words, In("text")]:
    """Return whether feed can make up for the cold, or stock need shelter. Read; the upper end is taken."""
    return np.where(np.asarray(increase) > feed_ceiling, "LOOK: shelter, not feed", "feed can meet it")


@reference("arithmetic", "what is left of it")
def left_of(*, amount: Annotated[Value, In("any", 0)], loss: Loss) -> Annotated[Value, In("any", 0)]:
    """Return what is left of an amount after a loss."""
    return amount - amount * loss


@reference("illinois-feeders", "weight of a bale x share wasted")
def wasted_of_bale(*, bale_weight: FedOfBale, storage_loss: Loss, feeding_waste: Loss) -> FedOfBale:
    """Return the hay of a bale that is trampled or soiled, of what is left of it after storage. Read."""
    return bale_weight * (1 - storage_loss) * feeding_waste


@reference("arithmetic", "root of the area of a tree")
def square_spacing(
    *, trees_per_area: Annotated[Value, In("tree/acre", 0)], area_in_square_spacing: SquareFeet = 43560.0
) -> Annotated[Value, In("foot", 0)]:
    """Return the distance of trees set in squares, for a number of trees on an acre; 0 where there are none."""
    return np.sqrt(ratio(area_in_square_spacing, trees_per_area))


@reference("arithmetic", "product")
def pods_per_area(
    *,
    mean: Annotated[Value, In("lb_fed/tree", 0)],
    trees_per_area: Annotated[Value, In("tree/acre", 0)],
    bearing_share: Annotated[Value, In("fraction", 0, 1)],
) -> Annotated[Value, In("lb_fed/acre", 0)]:
    """Return the pods on an acre, as picked, from the mean of trees weighed and the share of trees that bear."""
    return bearing_share * trees_per_area * mean
