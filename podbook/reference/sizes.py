"""What a herd makes of crops of different sizes: the same winter, with the same months and caps, for each of them.

Feed is pounds of dry matter, energy is metabolizable. Between two sizes a result is read along a straight line. Lists
run along the first axis, so that many draws can stand side by side along the last one.
"""

from typing import Annotated

import numpy as np
from numpy.typing import NDArray

from podbook.reference.contract import Value, reference
from podbook.reference.guard import added, ratio
from podbook.units import In

Share = Annotated[Value, In("fraction", 0, 1)]
Dry = Annotated[Value, In("lb_dry", 0)]
Energy = Annotated[Value, In("Mcal", 0)]
PerPound = Annotated[Value, In("Mcal/lb_dry", 0, 3)]
PerKilogram = Annotated[Value, In("Mcal/kg_dry", 0.1, 5)]
Percent = Annotated[Value, In("percent", 0, 100)]
Content = Annotated[Value, In("lb_dry/lb_fed", 0, 1)]
Tons = Annotated[Value, In("short_ton_fed", 0)]
Place = Annotated[Value, In("ordinal", 1)]
Factor = Annotated[Value, In("fraction", 0)]
Number = Annotated[Value, In("any")]
Numbers = Annotated[NDArray[np.float64], In("any")]
KgPerWeight = Annotated[float, In("kg_dry/lb_dry")]
WeightPerTon = Annotated[float, In("lb_fed/short_ton_fed")]


@reference("arithmetic", "the month that takes most")
def largest_crop(*, fills: Numbers) -> Dry:
    """Return the crop from which on every month has as many pods as the herd may eat: more save nothing more."""
    most: Value = np.max(fills, axis=0)
    return most


@reference("arithmetic", "held over and arrived, less what spoils")
def held(*, before: Factor, arriving: Share, spoiling: Share) -> Factor:
    """Return the share of a year's crop that is there in a month where none was eaten before.

    Above 1 where the shares filled in for the months add up to more: each may be up to 1.
    """
    return (before + arriving) * (1 - spoiling)


@reference("arithmetic", "owed and eaten before, less what would have spoiled of it")
def owed(*, before: Dry, held_before: Factor, wish_before: Dry, spoiling: Share) -> Dry:
    """Return by how much the pods there in a month are fewer, where the herd ate as much as it may before.

    Before the first pods fall it eats none.
    """
    return (before + np.where(np.asarray(held_before) == 0, 0.0, wish_before)) * (1 - spoiling)


@reference("arithmetic", "(wish + owed) / held")
def crop_that_fills(*, wish: Dry, owed: Dry, held: Factor) -> Dry:
    """Return the crop from which on a month has as many pods as the herd may eat, after months that had too.

    0 for a month in which it may eat none, or in which none have fallen yet.
    """
    return np.where(np.asarray(wish) * held == 0, 0.0, ratio(wish + owed, held))


@reference("arithmetic", "equal steps")
def crop_of_size(
    *, largest: Dry, number: Annotated[Value, In("ordinal", 0)], last: Annotated[Value, In("ordinal", 1)]
) -> Dry:
    """Return the crop of a size, from nothing (number 0) to the largest (the last number)."""
    return largest * number / last


@reference("arithmetic", "crop / the largest crop that an acre bears")
def acres_for(
    *, crop: Dry, borne: Annotated[NDArray[np.float64], In("lb_dry/acre", 0)]
) -> Annotated[Value, In("acre", 0)]:
    """Return the acres that drop a crop in the best year of the stand; 0 for a stand that bears nothing."""
    return ratio(crop, np.max(borne, axis=0))


@reference("arithmetic", "hay at its price, and the rest")
def feed_worth(
    *,
    hay_saved: Annotated[Value, In("short_ton_fed")],
    price: Annotated[Value, In("USD/short_ton_fed", 0)],
    other: Annotated[Value, In("USD")],
) -> Annotated[Value, In("USD")]:
    """Return what a winter's pods save: hay, and what else."""
    return hay_saved * price + other


@reference("arithmetic", "sum of dry / sum as picked")
def dry_of_mix(
    *,
    shares: Annotated[NDArray[np.float64], In("fraction", 0, 1)],
    fed: Annotated[NDArray[np.float64], In("lb_fed/lb_dry", 0)],
) -> Content:
    """Return the dry matter of a mix of pods; 0 where there are none."""
    return ratio(added(shares), added(fed))


@reference("arithmetic", "share of the drop, less wildlife, less what is never found")
def arriving(*, drop: Share, wildlife_loss: Share, found_share: Share) -> Share:
    """Return the share of a year's crop that comes to lie there for stock, or into store, in a month."""
    return drop * (1 - wildlife_loss) * found_share


@reference("arithmetic", "in store or on the ground")
def spoiling(*, collected: Annotated[Value, In("flag", 0, 1)], stored_loss: Share, ground_loss: Share) -> Share:
    """Return the share of the pods that spoils in a month."""
    return np.where(np.asarray(collected) == 1, stored_loss, ground_loss)


@reference("arithmetic", "left and arrived, less what spoils")
def on_offer(*, left: Dry, crop: Dry, arriving: Share, spoiling: Share) -> Dry:
    """Return the pods on offer in a month of the winter."""
    return (left + crop * arriving) * (1 - spoiling)


@reference("arithmetic", "the lesser of what is missing and the room left")
def would_graze(*, need: Energy, room: Dry, share: Share, wish: Dry, pod_me: PerPound, grass_me: PerPound) -> Dry:
    """Return the grass that a group would graze where it has a share of the pods that it may eat; 0 for poor grass."""
    missing = np.maximum(0.0, need - share * wish * pod_me)
    return np.minimum(ratio(missing, grass_me), np.maximum(0.0, room - share * wish))


@reference("arithmetic", "left standing x what a part of a month leaves")
def still_standing(*, standing: Dry, standing_loss: Share, share_fed: Share) -> Dry:
    """Return the grass on offer in a month: what stood before it, less what is lost standing."""
    return standing * (1 - standing_loss * share_fed)


@reference("arithmetic", "energy still missing / energy of hay")
def hay_of_herd(
    *,
    need: Energy,
    share: Share,
    wishes_me: Energy,
    grazed: Dry,
    grass_me: PerPound,
    hay_me: PerKilogram,
    kg_per_weight: KgPerWeight = 0.45359237,
) -> Dry:
    """Return the hay that the whole herd eats in a month: for the energy that pods and grass leave missing.

    It is the sum of that of the groups, as no group gets more energy from pods and grass than it needs.
    """
    return np.maximum(0.0, need - share * wishes_me - grazed * grass_me) / (hay_me * kg_per_weight)


@reference("arithmetic", "need - supply, never below 0")
def protein_short(
    *,
    cp_need: Dry,
    me_need: Energy,
    share: Share,
    wish: Dry,
    pod_me: PerPound,
    pod_cp: Percent,
    ask: Dry,
    grass_share: Share,
    grass_me: PerPound,
    grass_cp: Percent,
    hay_me: PerKilogram,
    hay_cp: Percent,
    kg_per_weight: KgPerWeight = 0.45359237,
) -> Dry:
    """Return the crude protein that a group is short of, with its share of pods and of grass, and hay for the rest."""
    pods, grass = share * wish, ask * grass_share
    hay = np.maximum(0.0, me_need - pods * pod_me - grass * grass_me) / (hay_me * kg_per_weight)
    return np.maximum(0.0, cp_need - (pods * pod_cp + grass * grass_cp + hay * hay_cp) / 100)


@reference("arithmetic", "sum / protein of the supplement / dry matter")
def supplement_tons(
    *, short: Dry, supplement_cp: Percent, supplement_dry_matter: Content, weight_per_ton: WeightPerTon = 2000.0
) -> Tons:
    """Return the tons of supplement to buy for the protein that is short in all months."""
    return added(short) / (supplement_cp / 100) / supplement_dry_matter / weight_per_ton


@reference("arithmetic", "sum / dry matter")
def pods_tons(*, eaten: Dry, dry_matter: Content, weight_per_ton: WeightPerTon = 2000.0) -> Tons:
    """Return the tons of pods, as picked, that are eaten in all months; 0 where no dry matter is given."""
    return ratio(added(eaten), dry_matter) / weight_per_ton


@reference("arithmetic", "supplement saved - cost of the pods")
def other_saved(
    *,
    supplement_before: Tons,
    supplement: Tons,
    supplement_price: Annotated[Value, In("USD/short_ton_fed", 0)],
    pods: Tons,
    pod_cost: Annotated[Value, In("USD/short_ton_fed", 0)],
) -> Annotated[Value, In("USD")]:
    """Return what a crop saves besides hay: supplement that need not be bought, less what its pods cost."""
    return (supplement_before - supplement) * supplement_price - pods * pod_cost


@reference("arithmetic", "rise / run, from the size before")
def slope(*, value: Number, before: Number, crop: Dry, crop_before: Dry) -> Number:
    """Return how much a result rises for a pound of crop between two sizes; 0 where they are the same."""
    return ratio(value - before, crop - crop_before)


@reference("arithmetic", "the largest size that is no larger, but for the last")
def place_of_crop(*, crop: Dry, largest: Dry, last: Annotated[Value, In("ordinal", 1)]) -> Place:
    """Return from which size, the first being 1, a result is read: the crop lies between it and the size after.

    The inverse of ``crop_of_size``. A crop just at a size may be read from the one before, which says the same. Read
    from below, a small crop's result is exact however large the others are, and that of no crop is 0.
    """
    return _place(crop, largest, last)


def _place(crop: Value, largest: Value, last: Value) -> Value:
    number = np.floor(ratio(last * np.minimum(crop, largest), largest))
    place: Value = np.minimum(last, 1 + number)
    return place


@reference("arithmetic", "along a straight line from size to size")
def expected_at(
    *, crop: Dry, largest: Dry, place: Place, crops: Numbers, values: Numbers, slopes: Numbers, frost_chance: Share
) -> Number:
    """Return the result to be expected where frost takes the whole crop in a share of the years.

    ``crop`` is that of the other years, of any size; beyond the largest it gives what the largest gives.
    """
    where = np.asarray(place, dtype=int) - 1
    other_years = _at(values, where) + (np.minimum(crop, largest) - _at(crops, where)) * _at(slopes, where + 1)
    return (1 - frost_chance) * other_years


def _at(values: NDArray[np.float64], where: NDArray[np.int_]) -> Value:
    """Return the value at a place of a list; where each draw has a list of its own, that of the same draw."""
    if values.ndim == 1:
        found: Value = values[where]
        return found
    picked: Value = np.take_along_axis(values, np.broadcast_to(where, values.shape[1:])[np.newaxis], axis=0)[0]
    return picked


@reference("arithmetic", "the largest size that is no larger, but for the last")
def place_of_yield(*, share: Factor, crop: Dry, largest: Dry, last: Annotated[Value, In("ordinal", 1)]) -> Place:
    """Return from which size a share of a crop is read, as ``place_of_crop`` does."""
    return _place(share * crop, largest, last)


@reference("arithmetic", "hay at its price, and the rest, along straight lines from size to size")
def feed_at_yield(
    *,
    share: Factor,
    crop: Dry,
    largest: Dry,
    place: Place,
    crops: Numbers,
    hay: Numbers,
    hay_slopes: Numbers,
    price: Annotated[Value, In("USD/short_ton_fed", 0)],
    other: Numbers,
    other_slopes: Numbers,
    frost_chance: Share,
) -> Annotated[Value, In("USD")]:
    """Return what a share of a crop is expected to save, where frost takes all of it in a share of the years."""
    where = np.asarray(place, dtype=int) - 1
    beyond = np.minimum(share * crop, largest) - _at(crops, where)
    tons = _at(hay, where) + beyond * _at(hay_slopes, where + 1)
    return (1 - frost_chance) * (tons * price + _at(other, where) + beyond * _at(other_slopes, where + 1))


@reference("arithmetic", "difference, but for rounding")
def sizes_off(
    *,
    smallest: Tons,
    without_pods: Tons,
    rounding: Annotated[float, In("fraction")] = 1e-9,
) -> Annotated[Value, In("flag", 0, 1)]:
    """Return 1 where the winter with a crop of nothing is not the winter without pods."""
    return np.where(np.abs(np.asarray(smallest) - without_pods) > rounding * (1 + without_pods), 1.0, 0.0)
