"""A month of the winter: pods and grass carried on, what each group eats of them, and what is still missing.

Feed is pounds of dry matter, energy is metabolizable.
"""

from typing import Annotated

import numpy as np

from podbook.reference.contract import Value, Words, reference
from podbook.reference.guard import added, ratio
from podbook.units import In

Share = Annotated[Value, In("fraction", 0, 1)]
Dry = Annotated[Value, In("lb_dry", 0)]
Energy = Annotated[Value, In("Mcal", 0)]
PerPound = Annotated[Value, In("Mcal/lb_dry", 0, 3)]
PerKilogram = Annotated[Value, In("Mcal/kg_dry", 0.1, 5)]
Percent = Annotated[Value, In("percent", 0, 100)]
HeadDays = Annotated[Value, In("head*day", 0)]
Flag = Annotated[Value, In("flag", 0, 1)]
Factor = Annotated[float, In("kg_dry/lb_dry")]
Count = Annotated[float, In("record", 0)]
Text = Annotated[Words, In("text")]


@reference("arithmetic", "what is left of the crop after wildlife, times what is never found")
def not_found(*, dropped: Dry, to_wildlife: Dry, found_share: Share) -> Dry:
    """Return the pods of a month that neither stock nor machine ever picks up, of those that wildlife leaves."""
    return (dropped - to_wildlife) * (1 - found_share)


@reference("arithmetic", "carried in + dropped - lost")
def on_ground(*, carried_in: Dry, dropped: Dry, to_wildlife: Dry, unfound: Dry) -> Dry:
    """Return the pods that lie there in a month, or in store, before any spoil."""
    return carried_in + dropped - to_wildlife - unfound


@reference("arithmetic", "the lesser of what is offered and what is wanted")
def taken(*, offered: Dry, wanted: Dry) -> Dry:
    """Return how much is eaten of an offer."""
    return np.minimum(offered, wanted)


@reference("arithmetic", "offered / wanted, at most 1")
def share_of_wish(*, offered: Dry, wanted: Dry) -> Share:
    """Return the share of what all groups want that an offer covers; 0 where nothing is wanted."""
    return np.where(np.asarray(wanted) == 0, 0.0, np.minimum(1.0, ratio(offered, wanted)))


@reference("arithmetic", "in - out, but for rounding")
def does_not_close(
    *,
    opening: Dry,
    come: Dry,
    gone: Annotated[Value, In("lb_dry", 0)],
    closing: Annotated[Value, In("lb_dry")],
    rounding: Annotated[float, In("fraction")] = 1e-9,
) -> Flag:
    """Return 1 where what was there and came does not equal what went and what is left."""
    difference = np.abs(opening + come - float(np.sum(gone)) - closing)
    return np.where(difference > rounding * (1 + opening + come), 1.0, 0.0)


@reference("arithmetic", "standing x monthly loss x share of the month")
def standing_loss_of_month(*, standing: Dry, standing_loss: Share, share_fed: Share) -> Dry:
    """Return the grass lost standing in the part of a month in which stock are fed."""
    return standing * standing_loss * share_fed


@reference("arithmetic", "the cap of what they can eat, and of what their need makes them eat")
def pods_wish(
    *,
    room: Dry,
    cap: Annotated[Value, In("fraction", 0, 0.9)],
    need: Energy,
    pod_me: PerPound,
    best_me: Annotated[Value, In("Mcal/lb_dry", 0.05, 3)],
) -> Dry:
    """Return the pods that a group may eat in a month, so that they stay under their cap of what it eats in all.

    A group that needs less than it can eat eats less: with the rest of its need in the richest other feed, pods are
    the share c of the diet at c need / (best (1 - c) + c pods); poorer other feed only lowers the share.
    """
    return np.minimum(room * cap, cap * need / (best_me * (1 - cap) + cap * pod_me))


@reference("arithmetic", "the richer of grass and hay")
def best_of(
    *,
    grass_me: PerPound,
    hay_me: PerKilogram,
    kg_per_weight: Factor = 0.45359237,
) -> PerPound:
    """Return the energy in a pound of the richest feed besides pods."""
    return np.maximum(grass_me, hay_me * kg_per_weight)


@reference("arithmetic", "share or sugar of the diet above its cap, but for rounding")
def past_cap(
    *,
    diet_share: Share,
    full_share: Share,
    diet_sugar: Percent,
    diet_sugar_limit: Percent,
    hay_sugar: Percent,
    rounding: Annotated[float, In("fraction")] = 1e-9,
) -> Flag:
    """Return 1 where pods pass their share of the diet, or its sugar passes its limit or that of the hay alone."""
    past_share = diet_share > full_share * (1 + rounding)
    past_sugar = diet_sugar > np.maximum(diet_sugar_limit, hay_sugar) * (1 + rounding)
    return np.where(past_share | past_sugar, 1.0, 0.0)


@reference("arithmetic", "wished for and not there, where there are trees that bear")
def pods_run_out(*, wish: Dry, on_offer: Dry, pod_crop: Dry) -> Flag:
    """Return 1 in a month in which stock would eat more pods than there are; 0 where no tree bears."""
    return np.where((np.asarray(pod_crop) > 0) & (np.asarray(wish) > on_offer), 1.0, 0.0)


@reference("arithmetic", "TDN x 0.04409 x 0.82, in pounds")
def grass_energy(
    *,
    tdn: Percent,
    de_per_tdn: Annotated[float, In("Mcal/kg_dry/percent")] = 0.04409,
    me_per_de: Annotated[float, In("fraction", 0, 1)] = 0.82,
    kg_per_weight: Factor = 0.45359237,
) -> PerPound:
    """Return the metabolizable energy in a pound of grass, from its TDN (NRC Beef 1996, p. 126: read)."""
    return tdn * de_per_tdn * me_per_de * kg_per_weight


@reference("arithmetic", "the lesser of what is missing and the room left")
def grass_wish(*, gap: Energy, grass_me: PerPound, room: Dry, eaten: Dry) -> Dry:
    """Return the grass that a group would graze: for the energy it misses, as far as it has room; 0 for poor grass."""
    return np.minimum(ratio(gap, grass_me), np.maximum(0.0, room - eaten))


@reference("arithmetic", "energy still missing / energy of hay")
def hay_for(
    *, gap: Energy, grass: Dry, grass_me: PerPound, hay_me: PerKilogram, kg_per_weight: Factor = 0.45359237
) -> Dry:
    """Return the hay to be eaten for the energy that pods and grass leave missing, never below 0."""
    return np.maximum(0.0, gap - grass * grass_me) / (hay_me * kg_per_weight)


@reference("arithmetic", "need - supply, never below 0")
def protein_missing(*, need: Dry, pods_cp: Dry, grass: Dry, grass_cp: Percent, hay: Dry, hay_cp: Percent) -> Dry:
    """Return the crude protein that pods, grass and hay leave missing."""
    return np.maximum(0.0, need - (pods_cp + grass * grass_cp / 100 + hay * hay_cp / 100))


@reference("arithmetic", "sum, compared with the room but for rounding")
def cannot_eat(*, feeds: Dry, room: Dry, rounding: Annotated[float, In("fraction")] = 1e-9) -> Flag:
    """Return 1 where the feeds that cover a need are more than a group can eat."""
    return float(float(np.sum(feeds)) > room * (1 + rounding))


@reference("judgement", "supplement past a tenth of the ration")
def leans_on_supplement(
    *, extra: Dry, room: Dry, most_supplement: Annotated[Value, In("fraction", 0, 1)] = 0.1
) -> Flag:
    """Return 1 where the supplement passes its usual share of what a group can eat."""
    return np.where(np.asarray(extra) > most_supplement * room, 1.0, 0.0)


@reference("arithmetic", "sum / dry matter / what is left after each loss")
def hay_tons(
    *,
    eaten: Dry,
    hay_dry_matter: Annotated[Value, In("lb_dry/lb_fed", 0.05, 1)],
    storage_loss: Annotated[Value, In("fraction", 0, 0.95)],
    feeding_waste: Annotated[Value, In("fraction", 0, 0.95)],
    weight_per_ton: Annotated[float, In("lb_fed/short_ton_fed")] = 2000.0,
) -> Annotated[Value, In("short_ton_fed", 0)]:
    """Return the tons of hay to buy, as fed, for all that is eaten. Losses divide; they are not added on."""
    return added(eaten) / hay_dry_matter / ((1 - storage_loss) * (1 - feeding_waste)) / weight_per_ton


@reference("arithmetic", "dry matter / head-days / dry matter of the feed / what is left after waste")
def fed_a_head(
    *,
    dry: Dry,
    head_days: HeadDays,
    dry_matter: Annotated[Value, In("lb_dry/lb_fed", 0, 1)],
    waste: Annotated[Value, In("fraction", 0, 0.95)],
) -> Annotated[Value, In("lb_fed/head/day", 0)]:
    """Return what is to be put out a head and day, as fed, so that a month's dry matter is eaten; 0 where none is."""
    return ratio(ratio(dry, head_days), dry_matter * (1 - waste))


@reference("arithmetic", "dry matter / head-days / dry matter of the feed, in the first days of a month of stepping up")
def most_a_head(
    *,
    dry: Dry,
    head_days: HeadDays,
    dry_matter: Annotated[Value, In("lb_dry/lb_fed", 0, 1)],
    stepping: Annotated[Value, In("day", 0)],
    step_up_share: Share,
    full_share: Share,
    pod_share: Share,
) -> Annotated[Value, In("lb_fed/head/day", 0)]:
    """Return the most pods a head and day, as fed, that is right on every day of a month; 0 where none are.

    A month's cap is the mean of its days: where some of them are days of stepping up, the first ones must have less.
    """
    first_days = np.where(stepping > 0, ratio(full_share * step_up_share, pod_share), 1.0)
    return np.where(
        pod_share == 0,
        0.0,
        fed_a_head.function(dry=dry, head_days=head_days, dry_matter=dry_matter, waste=0.0) * first_days,
    )


@reference("arithmetic", "sugars by their shares")
def sugar_of_diet(*, pods_eaten: Dry, diet_share: Share, pods_sugar: Percent, hay_sugar: Percent) -> Percent:
    """Return the sugar of the whole diet, percent of dry matter; grass and supplement count as hay."""
    mixed = diet_share * pods_sugar + (1 - diet_share) * hay_sugar
    return np.where(np.asarray(pods_eaten) == 0, hay_sugar, mixed)


@reference("arithmetic", "the gravest first")
def word_of_month(
    *, days: Annotated[float, In("day", 0)], unmet: Count, uneaten: Count, leans: Count, out_word: Text
) -> Text:
    """Return what to watch in a month, the gravest first: cold, intake, protein, pods."""
    if days == 0:
        return "-"
    if unmet > 0:
        return "LOOK: shelter"
    if uneaten > 0:
        return "LOOK: intake"
    return "LOOK: protein" if leans > 0 else out_word


@reference("arithmetic", "the first one with a 1")
def first_named(*, flags: Flag, names: Text) -> Text:
    """Return the name of the first month, or of whatever is named, that has a 1, or "none"."""
    found = [str(name) for flag, name in zip(np.atleast_1d(flags), np.atleast_1d(names), strict=True) if flag == 1]
    return found[0] if found else "none"


@reference("arithmetic", "zero")
def nothing() -> Dry:
    """Return what lies there before the first month."""
    return 0.0


@reference("arithmetic", "lying there x what spoils in a month")
def spoiled(*, on_ground: Dry, collected: Flag, stored_loss: Share, ground_loss: Share) -> Dry:
    """Return the pods that spoil in a month: on the ground, or in store where they are collected."""
    return on_ground * np.where(np.asarray(collected) == 1, stored_loss, ground_loss)


@reference("arithmetic", "sum of amounts x prices")
def money_of_month(
    *, amounts: Annotated[Value, In("short_ton_fed", 0)], prices: Annotated[Value, In("USD/short_ton_fed", 0)]
) -> Annotated[Value, In("USD", 0)]:
    """Return what a month's purchases and pods cost."""
    return float(np.dot(amounts, prices))


@reference("arithmetic", "before - fed - after, but for rounding")
def store_open(
    *,
    stores: Annotated[Value, In("short_ton_fed")],
    tons: Annotated[Value, In("short_ton_fed")],
    after: Annotated[Value, In("short_ton_fed")],
    rounding: Annotated[float, In("fraction")] = 1e-9,
) -> Flag:
    """Return 1 where the hay in store, less what is fed, is not what is left; with pods first, then without."""
    stores = np.asarray(stores)
    gaps = np.abs(stores - tons - after)
    return float(gaps.max() > rounding * (1 + stores[1]))


@reference("arithmetic", "part of the sum")
def part_of_diet(*, part: Dry, feeds: Dry) -> Share:
    """Return a feed as a share of all feeds; 0 where it is not fed."""
    return part / float(np.sum(feeds)) if part else 0.0


@reference("arithmetic", "count")
def groups_unmet(*, met: Flag, head_days: HeadDays) -> Annotated[Value, In("record", 0)]:
    """Return how many groups that are fed have a cold that feed can't meet."""
    return float(np.sum((np.asarray(met) == 0) & (np.asarray(head_days) > 0)))


@reference("arithmetic", "one of two")
def word_of_pods(*, runs_out: Flag) -> Text:
    """Return whether pods run out in a month."""
    return "pods run out" if runs_out == 1 else "in order"


@reference("arithmetic", "zero: stock pick them up themselves")
def nothing_paid() -> Annotated[Value, In("USD/lb_dry", 0)]:
    """Return the price of pods that are left to the stock."""
    return 0.0


@reference("arithmetic", "weight x energy")
def energy_in_hay(*, eaten: Dry, hay_me: PerKilogram, kg_per_weight: Factor = 0.45359237) -> Energy:
    """Return the energy in the hay eaten."""
    return eaten * hay_me * kg_per_weight
