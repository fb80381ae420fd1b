"""What pods save over a whole season, by group of animals: pods first, then stockpile, hay and supplement.

A group is ``head`` animals of one kind. Feed is pounds of dry matter, energy is metabolizable.
"""

from __future__ import annotations

from typing import Annotated

import numpy as np
from numpy.typing import NDArray

from podbook.reference.contract import Value, Words, reference
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


@reference("common-practice", "feeding starts low and steps up to the full share")
def mean_pod_share(
    *,
    full_share: Share,
    step_up_share: Share,
    step_up_weeks: Annotated[Value, In("week", 0, 53)],
    season_days: Days,
    days_per_week: Annotated[float, In("day/week")] = 7.0,
) -> Share:
    """Return the mean share of pods in the diet's dry matter over a season that begins with the step-up weeks.

    full (1 - (1 - step) min(1, weeks 7 / days)); ``step_up_share`` is the part of the full share fed while stepping up.
    """
    stepping = np.minimum(1.0, step_up_weeks * days_per_week / season_days)
    return full_share * (1 - (1 - step_up_share) * stepping)


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


@reference("arithmetic", "the lesser of the cap and the need")
def pods_wanted(
    *,
    head: Head,
    season_days: Days,
    intake: Annotated[Value, In("lb_dry/head/day", 0)],
    pod_share: Share,
    need: Need,
    reachable_me: Content,
) -> Dry:
    """Return the pods that a group may eat in a season: up to its cap, and no more than covers its need of energy.

    head days min(intake share, need / reachable energy); the need sets no limit where no energy is reached.
    """
    return head * season_days * np.minimum(intake * pod_share, ratio(need, reachable_me, np.inf))


@reference("arithmetic", "a short supply is shared by what each group wants")
def pods_eaten(*, pods_wanted: Dry, total_wanted: Dry, on_offer: Dry) -> Dry:
    """Return the pods that a group eats, out of what lies on offer to all groups."""
    return pods_wanted * np.minimum(1.0, ratio(on_offer, total_wanted))


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


@reference("arithmetic", "the least of need, offer and room")
def stockpile_eaten(
    *, energy_gap: Energy, total_gap: Energy, on_offer: Dry, stockpile_me: SomeContent, capacity_left: Dry
) -> Dry:
    """Return the stockpile that a group grazes; the offer is shared by the energy that each group still needs."""
    offered = on_offer * ratio(energy_gap, total_gap)
    return np.minimum(np.minimum(energy_gap / stockpile_me, offered), capacity_left)


@reference("arithmetic", "never below 0")
def gap(*, need: Amount, supplied: Amount) -> Amount:
    """Return what is still missing of a need."""
    return np.maximum(0.0, need - supplied)


@reference("arithmetic", "energy / content")
def hay_fed(*, energy_gap: Energy, hay_me: SomeContent) -> Dry:
    """Return the hay that animals must eat to fill a gap of energy."""
    return energy_gap / hay_me


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


@reference("arithmetic", "product, kilograms turned into pounds")
def season_weight(
    *,
    head: Head,
    season_days: Days,
    daily: Annotated[Value, In("kg_dry/head/day", 0)],
    kg_per_weight: Annotated[float, In("kg_dry/lb_dry")] = 0.45359237,
) -> Dry:
    """Return the pounds that a group needs or can eat in a season, from the kilograms of one head in a day."""
    return head * season_days * daily / kg_per_weight


@reference("arithmetic", "the lesser of the cap and the need")
def pods_may_eat(*, room: Dry, pod_share: Share, me_need: Energy, pod_me: Content) -> Dry:
    """Return the pods that a group may eat: the cap's share of what it can eat, and no more than covers its energy.

    The energy sets no limit where none is reached.
    """
    return np.minimum(room * pod_share, ratio(me_need, pod_me, np.inf))


@reference("arithmetic", "energy on offer / need of one head in a day")
def days_if_all(*, on_offer: Dry, pod_me: Content, need: Need) -> Annotated[Value, In("head*day", 0)]:
    """Return the head-days of energy in all the pods on offer, if one group ate them all; 0 where it needs nothing."""
    return ratio(on_offer * pod_me, need)


@reference("arithmetic", "the least of need, offer and room")
def stockpile_share(
    *,
    energy_gap: Energy,
    total_gap: Energy,
    stockpile_on_offer: Dry,
    stockpile_me: Annotated[Value, In("Mcal/kg_dry", 0.1, 5)],
    room: Dry,
    eaten: Dry,
    kg_per_weight: Annotated[float, In("kg_dry/lb_dry")] = 0.45359237,
) -> Dry:
    """Return the stockpile that a group grazes: what it still needs, its part of the offer, and the room it has left.

    The offer is shared by the energy that each group still needs; 0 where nothing is needed.
    """
    needed = energy_gap / (stockpile_me * kg_per_weight)
    offered = stockpile_on_offer * ratio(energy_gap, total_gap)
    return np.minimum(np.minimum(needed, offered), np.maximum(0.0, room - eaten))


@reference("arithmetic", "energy still missing / energy of hay")
def hay_for_gap(
    *,
    energy_gap: Energy,
    grass: Dry,
    stockpile_me: Annotated[Value, In("Mcal/kg_dry", 0.1, 5)],
    hay_me: Annotated[Value, In("Mcal/kg_dry", 0.1, 5)],
    kg_per_weight: Annotated[float, In("kg_dry/lb_dry")] = 0.45359237,
) -> Dry:
    """Return the hay that must be eaten for the energy that pods and stockpile leave missing, never below 0."""
    missing = np.maximum(0.0, energy_gap - grass * stockpile_me * kg_per_weight)
    return missing / (hay_me * kg_per_weight)


@reference("arithmetic", "need - supply, never below 0")
def protein_short(*, need: Dry, pods_cp: Dry, grass: Dry, stockpile_cp: Percent, hay: Dry, hay_cp: Percent) -> Dry:
    """Return the crude protein that pods, stockpile and hay leave missing."""
    return np.maximum(0.0, need - (pods_cp + grass * stockpile_cp / 100 + hay * hay_cp / 100))


@reference("arithmetic", "sum / head-days")
def eaten_a_day(
    *, feeds: Dry, head_days: Annotated[Value, In("head*day", 0)]
) -> Annotated[Value, In("lb_dry/head/day", 0)]:
    """Return the dry matter of all feeds that one head eats in a day; 0 for an empty group."""
    return ratio(np.sum(feeds), head_days)


@reference("arithmetic", "comparison, but for rounding")
def can_eat(
    *,
    eaten: Annotated[Value, In("lb_dry/head/day", 0)],
    head_days: Annotated[Value, In("head*day", 0)],
    room: Dry,
    rounding: Annotated[float, In("fraction")] = 1e-9,
) -> Annotated[Words, In("text")]:
    """Return "yes" where a group can eat what it needs, else "LOOK: no"."""
    return np.where(eaten * head_days <= room * (1 + rounding), "yes", "LOOK: no")


@reference("arithmetic", "energy missing = energy of stockpile and hay")
def energy_amiss(
    *,
    energy_gap: Energy,
    grass: Dry,
    hay: Dry,
    need: Energy,
    stockpile_me: Annotated[Value, In("Mcal/kg_dry", 0.1, 5)],
    hay_me: Annotated[Value, In("Mcal/kg_dry", 0.1, 5)],
    kg_per_weight: Annotated[float, In("kg_dry/lb_dry")] = 0.45359237,
    rounding: Annotated[float, In("fraction")] = 1e-9,
) -> Annotated[Value, In("flag", 0, 1)]:
    """Return 1 where stockpile and hay do not give just the energy that was missing."""
    given = (grass * stockpile_me + hay * hay_me) * kg_per_weight
    return np.where(np.abs(energy_gap - given) > rounding * (1 + need), 1.0, 0.0)


@reference("judgement", "supplement past a tenth of the ration")
def much_supplement(
    *, extra: Dry, room: Dry, most_supplement: Annotated[Value, In("fraction", 0, 1)] = 0.1
) -> Annotated[Value, In("flag", 0, 1)]:
    """Return 1 where the supplement passes its usual share of what a group can eat."""
    return np.where(np.asarray(extra) > most_supplement * room, 1.0, 0.0)


@reference("arithmetic", "sum / dry matter / what is left after each loss")
def hay_to_buy(
    *,
    fed: Dry,
    dry_matter: DryMatter,
    storage_loss: Loss,
    feeding_waste: Loss,
    weight_per_ton: Annotated[float, In("lb_fed/short_ton_fed")] = 2000.0,
) -> Tons:
    """Return the tons of hay to buy, as fed, for what all groups are to eat. Losses divide, as in hay_bought."""
    return float(np.sum(fed)) / dry_matter / ((1 - storage_loss) * (1 - feeding_waste)) / weight_per_ton


@reference("arithmetic", "sum / dry matter")
def supplement_to_buy(
    *, fed: Dry, dry_matter: DryMatter, weight_per_ton: Annotated[float, In("lb_fed/short_ton_fed")] = 2000.0
) -> Tons:
    """Return the tons of supplement to buy, as fed, for all groups."""
    return float(np.sum(fed)) / dry_matter / weight_per_ton


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


@reference("arithmetic", "area x what an acre bears in a year x share that reaches stock")
def tons_of_item(
    *,
    area: Annotated[Value, In("acre", 0)],
    values: Annotated[NDArray[np.float64], In("lb_fed/acre", 0)],
    position: Annotated[float, In("year", 1)],
    share_reaching: Share,
    weight_per_ton: Annotated[float, In("lb_fed/short_ton_fed")] = 2000.0,
) -> Tons:
    """Return the tons, as picked, that reach stock from the whole area in the year at a place of the list."""
    return area * float(values[int(position) - 1]) * share_reaching / weight_per_ton


@reference("arithmetic", "dry weight / weight as picked")
def dry_of_tons(
    *, dry: Dry, tons: Tons, weight_per_ton: Annotated[float, In("lb_fed/short_ton_fed")] = 2000.0
) -> Annotated[Value, In("lb_dry/lb_fed", 0, 1)]:
    """Return the dry matter of pods from their dry weight and their tons as picked; 0 where there are none."""
    return ratio(dry, np.asarray(tons) * weight_per_ton)


@reference("arithmetic", "dry weight / dry matter")
def tons_of_dry(
    *,
    dry: Dry,
    dry_matter: Annotated[Value, In("lb_dry/lb_fed", 0, 1)],
    weight_per_ton: Annotated[float, In("lb_fed/short_ton_fed")] = 2000.0,
) -> Tons:
    """Return the tons as picked of a dry weight; 0 where no dry matter is given."""
    return ratio(dry, dry_matter) / weight_per_ton


@reference("arithmetic", "part x offered / eaten")
def scaled_to(*, part: Energy, eaten: Dry, offered: Dry) -> Energy:
    """Return the energy of all that is offered, from the energy of what is eaten of it; 0 where nothing is eaten."""
    return ratio(part * offered, eaten)


@reference("arithmetic", "quotient")
def share(*, part: Annotated[Value, In("any")], whole: Annotated[Value, In("any")]) -> Annotated[Value, In("fraction")]:
    """Return a part as a share of the whole; 0 where there is no whole."""
    return ratio(part, whole)


@reference("arithmetic", "quotient")
def per(*, amount: Annotated[Value, In("any")], number: Annotated[Value, In("any")]) -> Annotated[Value, In("any")]:
    """Return an amount for each one of a number; 0 where the number is 0."""
    return ratio(amount, number)


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


@reference("arithmetic", "total / head / days")
def eaten_per_head_day(*, total_dry: Dry, head: Head, season_days: Days) -> Annotated[Value, In("lb_dry/head/day", 0)]:
    """Return the feed that one head eats in a day; 0 where the group is empty."""
    return ratio(total_dry, head) / season_days


@reference("arithmetic", "comparison")
def fits(
    *,
    eaten: Annotated[Value, In("lb_dry/head/day", 0)],
    capacity: Annotated[Value, In("lb_dry/head/day", 0)],
    tolerance: Annotated[float, In("lb_dry/head/day", 0)] = 1e-9,
) -> Annotated[Value, In("flag", 0, 1)]:
    """Return 1 where an animal can eat as much as is set before it, else 0."""
    return np.where(eaten <= np.asarray(capacity) + tolerance, 1.0, 0.0)
