"""What pods save over a whole season, by group of animals: pods first, then stockpile, hay and supplement.

A group is ``head`` animals of one kind. Feed is pounds of dry matter, energy is metabolizable.
"""

from typing import Annotated

import numpy as np
from numpy.typing import NDArray

from podbook.reference.contract import Value, reference
from podbook.reference.guard import ratio
from podbook.units import In

Share = Annotated[Value, In("fraction", 0, 1)]
Loss = Annotated[Value, In("fraction", 0, 0.95)]
Percent = Annotated[Value, In("percent", 0, 100)]
Head = Annotated[Value, In("head", 0)]
Days = Annotated[Value, In("day", 1, 366)]
Dry = Annotated[Value, In("lb_dry", 0)]
Energy = Annotated[Value, In("Mcal", 0)]
Need = Annotated[Value, In("Mcal/head/day", 0)]
Content = Annotated[Value, In("Mcal/lb_dry", 0, 3)]
SomeContent = Annotated[Value, In("Mcal/lb_dry", 0.05, 3)]
DryMatter = Annotated[Value, In("lb_dry/lb_fed", 0.05, 1)]
Tons = Annotated[Value, In("short_ton_fed", 0)]
Money = Annotated[Value, In("USD")]
Amount = Annotated[Value, In("any", 0)]
"""An amount in whatever unit the cell has."""


@reference("arithmetic", "(limit - base) / (pod - base)")
def sugar_cap(*, diet_sugar_limit: Percent, base_sugar: Percent, pod_sugar: Percent) -> Share:
    """Return the share of pods in the diet at which the diet reaches a limit of sugar; all of dry matter.

    1 where the pods themselves are within the limit, 0 where the rest of the diet is at or above it already.
    """
    room = np.maximum(0.0, diet_sugar_limit - base_sugar)
    within = np.asarray(pod_sugar) <= diet_sugar_limit
    return np.where(within, 1.0, room / np.where(within | (room == 0), 1.0, pod_sugar - base_sugar))


@reference("arithmetic", "minimum")
def pod_share_cap(*, share_cap: Share, sugar_cap: Share) -> Share:
    """Return the lower of the two caps on pods in the diet."""
    return np.minimum(share_cap, sugar_cap)


@reference("arithmetic", "product")
def energy_from(*, dry: Dry, me: Content) -> Energy:
    """Return the metabolizable energy in a weight of feed."""
    return dry * me


@reference("arithmetic", "product")
def protein_from(*, dry: Dry, cp: Percent) -> Dry:
    """Return the crude protein in a weight of feed."""
    return dry * cp / 100


@reference("arithmetic", "product")
def season_need(*, head: Head, season_days: Days, need: Amount) -> Amount:
    """Return what a group needs in a season, of energy or of protein, from the need of one head in a day."""
    return head * season_days * need


@reference("arithmetic", "product")
def stockpile_on_offer(
    *,
    area: Annotated[Value, In("acre", 0)],
    stockpile_yield: Annotated[Value, In("lb_dry/acre", 0)],
    standing_loss: Share,
    use_share: Share,
) -> Dry:
    """Return the stockpiled grass that stock can graze: yield less what is lost standing, times the share they use."""
    return area * stockpile_yield * (1 - standing_loss) * use_share


@reference("arithmetic", "never below 0")
def gap(*, need: Amount, supplied: Amount) -> Amount:
    """Return what is still missing of a need."""
    return np.maximum(0.0, need - supplied)


@reference("arithmetic", "divided by what is left after each loss")
def hay_bought(
    *,
    hay_fed: Dry,
    hay_dry_matter: DryMatter,
    feeding_waste: Loss,
    storage_loss: Loss,
    weight_per_ton: Annotated[float, In("lb_fed/short_ton_fed")] = 2000.0,
) -> Tons:
    """Return the tons of hay to buy, as fed, for the hay that is to be eaten.

    Losses divide, (1 - waste) (1 - loss); a loss added on top, x (1 + loss), buys too little.
    """
    return hay_fed / ((1 - feeding_waste) * (1 - storage_loss)) / hay_dry_matter / weight_per_ton


@reference("arithmetic", "protein / content")
def supplement_fed(*, protein_gap: Dry, supplement_cp: Percent) -> Dry:
    """Return the supplement that fills a gap of crude protein; 0 where it has no protein."""
    return ratio(protein_gap, np.asarray(supplement_cp) / 100)


@reference("arithmetic", "dry / dry matter")
def supplement_bought(
    *,
    fed: Dry,
    supplement_dry_matter: DryMatter,
    weight_per_ton: Annotated[float, In("lb_fed/short_ton_fed")] = 2000.0,
) -> Tons:
    """Return the tons of supplement to buy, as fed."""
    return fed / supplement_dry_matter / weight_per_ton


@reference("arithmetic", "product")
def cost(*, amount: Amount, price: Amount) -> Money:
    """Return what an amount costs at its price."""
    return amount * price


@reference("arithmetic", "difference")
def saving(*, without: Money, with_trees: Money) -> Money:
    """Return what the trees save: the cost without them less the cost with them."""
    return without - with_trees


@reference("arithmetic", "energy / need of the herd x its head-days")
def head_days_of_herd(
    *, energy: Energy, need: Energy, head_days: Annotated[Value, In("head*day", 0)]
) -> Annotated[Value, In("head*day", 0)]:
    """Return for how many of its head-days an energy feeds a herd; 0 where it needs nothing."""
    return ratio(energy, need) * head_days


@reference("arithmetic", "area x what an acre bears in a year")
def area_times_item(
    *,
    area: Annotated[Value, In("acre", 0)],
    values: Annotated[NDArray[np.float64], In("lb_dry/acre", 0)],
    position: Annotated[float, In("year", 1)],
) -> Dry:
    """Return what the whole area bears in the year at a place of the list, the first being 1."""
    return area * float(values[int(position) - 1])


@reference("arithmetic", "dry weight / dry matter")
def tons_of_dry(
    *,
    dry: Dry,
    dry_matter: Annotated[Value, In("lb_dry/lb_fed", 0, 1)],
    weight_per_ton: Annotated[float, In("lb_fed/short_ton_fed")] = 2000.0,
) -> Tons:
    """Return the tons as picked of a dry weight; 0 where no dry matter is given."""
    return ratio(dry, dry_matter) / weight_per_ton


@reference("arithmetic", "quotient")
def share(*, part: Annotated[Value, In("any")], whole: Annotated[Value, In("any")]) -> Annotated[Value, In("fraction")]:
    """Return a part as a share of the whole; 0 where there is no whole."""
    return ratio(part, whole)


@reference("arithmetic", "(cost of pods - supplement saved) / hay saved")
def break_even_hay_price(
    *, pod_cost: Money, supplement_saving: Money, hay_saved: Annotated[Value, In("short_ton_fed")]
) -> Annotated[Value, In("USD/short_ton_fed", 0)]:
    """Return the price of hay at which pods cost as much as they save, never below 0; 0 where no hay is saved."""
    price = ratio(pod_cost - supplement_saving, hay_saved)
    return np.where(np.asarray(hay_saved) > 0, np.maximum(0.0, price), 0.0)


@reference("arithmetic", "energy / need of one head in a day")
def head_days(*, energy: Energy, need: Need) -> Annotated[Value, In("head*day", 0)]:
    """Return for how many head-days an energy suffices; 0 where nothing is needed."""
    return ratio(energy, need)


@reference("arithmetic", "head-days x kilograms a day, in pounds")
def pounds(
    *,
    head_days: Annotated[Value, In("head*day", 0)],
    daily: Annotated[Value, In("kg_dry/head/day", 0)],
    kg_per_weight: Annotated[float, In("kg_dry/lb_dry")] = 0.45359237,
) -> Dry:
    """Return the pounds that a group needs or can eat, from the kilograms of one head in a day."""
    return head_days * daily / kg_per_weight


@reference("arithmetic", "energy eaten / need of the group x its head-days")
def days_if_all(
    *, eaten: Dry, pod_me: Content, need: Energy, animal_days: Annotated[Value, In("head*day", 0)]
) -> Annotated[Value, In("head*day", 0)]:
    """Return the head-days of energy in the pods eaten, were one group to eat them all; 0 where it reaches none."""
    return ratio(eaten * pod_me, need) * animal_days


@reference("arithmetic", "product")
def stockpile_at_start(
    *,
    area: Annotated[Value, In("acre", 0)],
    stockpile_yield: Annotated[Value, In("lb_dry/acre", 0)],
    use_share: Share,
) -> Dry:
    """Return the stockpiled grass that stock can graze, at the start of the winter: yield times the share they use."""
    return area * stockpile_yield * use_share


@reference("arithmetic", "sum of dry / sum as picked")
def dry_of_fed(
    *,
    dry: Annotated[NDArray[np.float64], In("lb_dry/acre", 0)],
    fed: Annotated[NDArray[np.float64], In("lb_fed/acre", 0)],
) -> Annotated[Value, In("lb_dry/lb_fed", 0, 1)]:
    """Return the dry matter of the pods of all types together; 0 where there are none."""
    return ratio(float(np.sum(dry)), float(np.sum(fed)))


@reference("arithmetic", "sum of the months - season, but for rounding")
def sums_differ(
    *,
    parts: Money,
    whole: Money,
    size: Money,
    rounding: Annotated[float, In("fraction")] = 1e-9,
) -> Annotated[Value, In("flag", 0, 1)]:
    """Return 1 where the months do not add up to the season."""
    return np.where(np.abs(float(np.sum(parts)) - whole) > rounding * (1 + size), 1.0, 0.0)
