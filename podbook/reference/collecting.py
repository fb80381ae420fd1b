"""Leave pods to the stock, or collect and grind them: what the herd eats of a ton that drops, and what it costs.

A ton is a short ton of pods as picked. Pods that collecting misses still lie there for the stock. Month by month the
herd eats whole pods off the ground first, as far as it may; what is collected comes out of the store for the rest.
"""

from typing import Annotated

import numpy as np
from numpy.typing import NDArray

from podbook.reference.contract import Value, Words, reference
from podbook.reference.guard import added, ratio
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
Dry = Annotated[Value, In("lb_dry", 0)]
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


@reference("arithmetic", "sum of shares x contents, of the stock chosen, in a pound")
def energy_of_mix(
    *,
    shares: Contents,
    cattle: Contents,
    sheep: Contents,
    goats: Contents,
    stock_row: Annotated[float, In("ordinal", 1, 3)],
    kg_per_weight: KgPerWeight = 0.45359237,
) -> Annotated[Value, In("Mcal/lb_dry", 0, 3)]:
    """Return the energy that the stock chosen reach of a pound of a mix of types, as ``reached_of_mix`` does."""
    of_kilogram = reached_of_mix.function(shares=shares, cattle=cattle, sheep=sheep, goats=goats, stock_row=stock_row)
    return float(of_kilogram) * kg_per_weight


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
    """Return the share gathered of the pods that wildlife leaves: by machine, by hand, or not at all."""
    return machine * share_collected + hand * share_picked


@reference("arithmetic", "what wildlife leaves x share gathered")
def share_of_drop(*, collected: Share, wildlife_loss: Share) -> Share:
    """Return the share gathered of all pods that drop."""
    return (1 - wildlife_loss) * collected


@reference("arithmetic", "share left x share that is picked up x how well it is found")
def share_found(*, never_picked: Share, collected: Share, missed_found: Share) -> Share:
    """Return the share that stock find themselves of the pods that wildlife leaves.

    Where nothing is collected, all but what is never picked up; where something is, of the rest only ``missed_found``
    as much.
    """
    found = np.where(np.asarray(collected) == 0, 1.0, missed_found)
    return (1 - collected) * (1 - never_picked) * found


@reference("arithmetic", "sum of pods x percent / 100")
def protein_of_wish(*, wishes: Annotated[Value, In("lb_dry", 0)], percents: Contents) -> Dry:
    """Return the crude protein that all groups reach of the pods that they may eat."""
    return added(np.transpose(np.transpose(wishes) * np.transpose(percents))) / 100


@reference("arithmetic", "left and come, less what spoils")
def lying(*, left: Dry, crop: Dry, drop: Share, wildlife_loss: Share, share: Share, loss: Share) -> Dry:
    """Return the pods on offer in a month, on the ground or in store: of a share of those that wildlife leaves."""
    return (left + crop * drop * (1 - wildlife_loss) * share) * (1 - loss)


@reference("arithmetic", "the lesser of the store and the part of the wish left")
def drawn(*, stored: Dry, wish: Dry, share: Share) -> Dry:
    """Return the pods eaten out of the store, where a share of all that the herd may eat is met off the ground."""
    return np.minimum(stored, (1 - share) * wish)


@reference("arithmetic", "shares of what the whole wish holds")
def content_eaten(
    *,
    ground: Flag,
    share: Share,
    store_share: Share,
    whole: Annotated[Value, In("any", 0)],
    milled: Annotated[Value, In("any", 0)],
) -> Annotated[Value, In("any", 0)]:
    """Return the energy or protein that a herd reaches in a month, off the ground (whole) and out of the store.

    ``whole`` and ``milled`` are what it would reach of all the pods that it may eat, in the one form and the other.
    """
    return share * whole + store_share * np.where(np.asarray(ground) == 1, milled, whole)


@reference("arithmetic", "cost of all that is collected / what of it is eaten")
def cost_of_ton_eaten(*, cost: PerTon, tons: Tons, eaten: Tons) -> PerTon:
    """Return what a ton eaten out of the store costs: it bears the cost of what spoils and of what is left, too."""
    return ratio(cost * tons, eaten)


@reference("arithmetic", "dry matter x energy reached")
def energy_of_ton(
    *,
    ton_dry: DryOfTon,
    ground: Flag,
    reached_me_whole: Energy,
    reached_me_ground: Energy,
    kg_per_weight: KgPerWeight = 0.45359237,
) -> EnergyOfTon:
    """Return the energy that stock reach of a ton collected, fed whole or ground."""
    reached = np.where(np.asarray(ground) == 1, reached_me_ground, reached_me_whole)
    return ton_dry * kg_per_weight * reached


@reference("arithmetic", "dry matter x protein reached")
def protein_of_ton(
    *,
    ton_dry: DryOfTon,
    ground: Flag,
    reached_cp_whole: Percent,
    reached_cp_ground: Percent,
) -> DryOfTon:
    """Return the crude protein that stock reach of a ton collected, fed whole or ground."""
    reached = np.where(np.asarray(ground) == 1, reached_cp_ground, reached_cp_whole)
    return ton_dry * reached / 100


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
def cost_of_drop(*, cost: PerTon, gathered: Share) -> PerTon:
    """Return what collecting costs for a ton that drops, of which only a share is collected."""
    return cost * gathered


@reference("arithmetic", "compared with hay, where there is something to compare")
def word_on_picking(
    *, per_me: Annotated[Value, In("USD/Mcal", 0)], hay_cost_per_me: Annotated[Value, In("USD/Mcal", 0)]
) -> Annotated[Words, In("text")]:
    """Return whether energy in pods picked by hand is dearer than in hay; a dash where none is picked or reached."""
    if per_me == 0:
        return "-"
    return "LOOK: dearer than hay" if per_me > hay_cost_per_me else "no dearer than hay"


@reference("arithmetic", "cost / what is reached")
def cost_per_reached(*, cost: PerTon, reached: Annotated[Value, In("any", 0)]) -> Annotated[Value, In("any", 0)]:
    """Return the cost of a unit of energy or protein that is reached; 0 where none is."""
    return ratio(cost, reached)


@reference("arithmetic", "energy x price of energy in hay")
def worth_in_hay(*, energy: EnergyOfTon, hay_cost_per_me: Annotated[Value, In("USD/Mcal", 0)]) -> PerTon:
    """Return what the hay would cost that gives the same energy."""
    return energy * hay_cost_per_me


@reference("arithmetic", "(worth collected - worth left) / share collected")
def break_even_cost(*, worth_collected: PerTon, worth_left: PerTon, gathered: Share) -> Worth:
    """Return the cost of a ton collected at which collecting is worth as much as leaving; 0 where none is collected.

    Both worths are of a ton that drops. Below 0 not even free collecting is worth it.
    """
    return ratio(worth_collected - worth_left, gathered)


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
