"""Leave pods to the stock, or collect and grind them: what reaches the animal of a ton that drops, and what it costs.

A ton is a short ton of pods as picked. Pods that collecting misses still lie there for the stock.
"""

from typing import Annotated

import numpy as np
from numpy.typing import NDArray

from podbook.reference.contract import Value, Words, reference
from podbook.reference.guard import ratio
from podbook.units import In

Share = Annotated[Value, In("fraction", 0, 1)]
Flag = Annotated[Value, In("flag", 0, 1)]
Contents = Annotated[NDArray[np.float64], In("any", 0)]
Energy = Annotated[Value, In("Mcal/kg_dry", 0, 5)]
Percent = Annotated[Value, In("percent", 0, 100)]
DryOfTon = Annotated[Value, In("lb_dry/short_ton_fed", 0, 2000)]
EnergyOfTon = Annotated[Value, In("Mcal/short_ton_fed", 0)]
PerTon = Annotated[Value, In("USD/short_ton_fed", 0)]
Worth = Annotated[Value, In("USD/short_ton_fed")]
Tons = Annotated[Value, In("short_ton_fed", 0)]
WeightPerTon = Annotated[float, In("lb_fed/short_ton_fed")]
KgPerWeight = Annotated[float, In("kg_dry/lb_dry")]

WAYS = ("leave them to the stock", "collect, feed whole", "collect and grind", "pick by hand and grind")


@reference("arithmetic", "sum of shares x contents, of the stock chosen")
def reached_of_mix(
    *,
    shares: Contents,
    cattle: Contents,
    sheep: Contents,
    goats: Contents,
    stock_row: Annotated[float, In("ordinal", 1, 3)],
) -> Annotated[Value, In("any", 0)]:
    """Return what the stock chosen (1 cattle, 2 sheep, 3 goats) reach of a mix of types, from what each type gives."""
    return float(np.dot(shares, (cattle, sheep, goats)[int(stock_row) - 1]))


@reference("arithmetic", "weight x dry matter")
def dry_of_ton(
    *, dry_matter: Annotated[Value, In("lb_dry/lb_fed", 0, 1)], weight_per_ton: WeightPerTon = 2000.0
) -> DryOfTon:
    """Return the dry matter in a ton of pods as picked."""
    return dry_matter * weight_per_ton


@reference("arithmetic", "area x dry pods of an acre / dry matter")
def tons_dropped(
    *,
    area: Annotated[Value, In("acre", 0)],
    dry: Annotated[NDArray[np.float64], In("lb_dry/acre", 0)],
    ton_dry: DryOfTon,
) -> Tons:
    """Return the tons as picked that drop on the whole area, from the dry pods of each type; 0 where none drop."""
    return ratio(area * float(np.sum(dry)), ton_dry)


@reference("arithmetic", "the share of the way chosen")
def share_gathered(*, machine: Flag, hand: Flag, share_collected: Share, share_picked: Share) -> Share:
    """Return the share of the crop that is gathered: by machine, by hand, or not at all."""
    return machine * share_collected + hand * share_picked


@reference("arithmetic", "share left x share that reaches stock x how well it is found")
def share_found(*, share_reaching: Share, collected: Share, missed_found: Share) -> Share:
    """Return the share of the crop that stock pick up themselves.

    Where nothing is collected, all that reaches them; where something is, of the rest only ``missed_found`` as much.
    """
    found = np.where(np.asarray(collected) == 0, 1.0, missed_found)
    return (1 - collected) * share_reaching * found


@reference("arithmetic", "collected x (1 - storage loss) + found")
def share_fed(*, collected: Share, pod_storage_loss: Share, found: Share) -> Share:
    """Return the share of the crop that reaches the animal, out of the store and off the ground."""
    return collected * (1 - pod_storage_loss) + found


@reference("arithmetic", "dry matter x energy reached x (1 - storage loss)")
def energy_of_ton(
    *,
    ton_dry: DryOfTon,
    ground: Flag,
    reached_me_whole: Energy,
    reached_me_ground: Energy,
    pod_storage_loss: Share,
    kg_per_weight: KgPerWeight = 0.45359237,
) -> EnergyOfTon:
    """Return the energy that stock reach of a ton collected, fed whole or ground."""
    reached = np.where(np.asarray(ground) == 1, reached_me_ground, reached_me_whole)
    return ton_dry * kg_per_weight * reached * (1 - pod_storage_loss)


@reference("arithmetic", "dry matter x protein reached x (1 - storage loss)")
def protein_of_ton(
    *,
    ton_dry: DryOfTon,
    ground: Flag,
    reached_cp_whole: Percent,
    reached_cp_ground: Percent,
    pod_storage_loss: Share,
) -> DryOfTon:
    """Return the crude protein that stock reach of a ton collected, fed whole or ground."""
    reached = np.where(np.asarray(ground) == 1, reached_cp_ground, reached_cp_whole)
    return ton_dry * reached / 100 * (1 - pod_storage_loss)


@reference("arithmetic", "out of the store and off the ground")
def energy_of_drop(
    *,
    collected: Share,
    store_me: EnergyOfTon,
    found: Share,
    ton_dry: DryOfTon,
    reached_me_whole: Energy,
    kg_per_weight: KgPerWeight = 0.45359237,
) -> EnergyOfTon:
    """Return the energy reached of a ton that drops: of the part collected, and of what stock find themselves."""
    return collected * store_me + found * ton_dry * kg_per_weight * reached_me_whole


@reference("arithmetic", "out of the store and off the ground")
def protein_of_drop(
    *, collected: Share, store_cp: DryOfTon, found: Share, ton_dry: DryOfTon, reached_cp_whole: Percent
) -> DryOfTon:
    """Return the crude protein reached of a ton that drops, as ``energy_of_drop`` does for energy."""
    return collected * store_cp + found * ton_dry * reached_cp_whole / 100


@reference("arithmetic", "hours x rate")
def hours_cost(
    *, hours: Annotated[Value, In("hour/short_ton_fed", 0)], rate: Annotated[Value, In("USD/hour", 0)]
) -> PerTon:
    """Return what the hours spent on a ton cost, of people or of machines."""
    return hours * rate


@reference("tub-grinding-quote", "450 $ an hour, 250 $ an hour of travel, 50 to 60 bales of 1,200 lb an hour")
def grinding_cost(
    *,
    grinder_rate: Annotated[Value, In("USD/hour", 0)],
    grinder_output: Annotated[Value, In("short_ton_fed/hour", 0.1)],
    grinder_travel: Annotated[Value, In("USD", 0)],
    tons: Tons,
) -> PerTon:
    """Return what a hired grinder costs for a ton: its hours, and its travel spread over the job. Read, for hay."""
    return grinder_rate / grinder_output + ratio(grinder_travel, tons)


@reference("arithmetic", "cost of a ton collected x share collected")
def cost_of_drop(*, cost: PerTon, collected: Share) -> PerTon:
    """Return what collecting costs for a ton that drops, of which only a share is collected."""
    return cost * collected


@reference("arithmetic", "cost / what is reached")
def cost_per_reached(*, cost: PerTon, reached: Annotated[Value, In("any", 0)]) -> Annotated[Value, In("any", 0)]:
    """Return the cost of a unit of energy or protein that is reached; 0 where none is."""
    return ratio(cost, reached)


@reference("arithmetic", "energy x price of energy in hay")
def worth_in_hay(*, energy: EnergyOfTon, hay_cost_per_me: Annotated[Value, In("USD/Mcal", 0)]) -> PerTon:
    """Return what the hay would cost that gives the same energy."""
    return energy * hay_cost_per_me


@reference("arithmetic", "(worth collected - worth left) / share collected")
def break_even_cost(*, worth_collected: PerTon, worth_left: PerTon, collected: Share) -> Worth:
    """Return the cost of a ton collected at which collecting is worth as much as leaving; 0 where none is collected.

    Both worths are of a ton that drops. Below 0 not even free collecting is worth it.
    """
    return ratio(worth_collected - worth_left, collected)


@reference("arithmetic", "the way that is worth most after its cost")
def verdict(*, net: Annotated[NDArray[np.float64], In("USD/short_ton_fed")]) -> Annotated[Words, In("text")]:
    """Return the way of the highest net worth; of equals the first, so that leaving wins a draw."""
    return WAYS[int(np.argmax(net))]


@reference("arithmetic", "collected, and no cost filled in")
def ground_for_nothing(
    *, pods_collected: Annotated[Value, In("flag", 0, 1)], pod_cost: Annotated[Value, In("USD/short_ton_fed", 0)]
) -> Annotated[Value, In("record", 0, 1)]:
    """Return 1 where pods are collected and ground, but cost nothing."""
    return np.where((np.asarray(pods_collected) == 1) & (np.asarray(pod_cost) == 0), 1.0, 0.0)
