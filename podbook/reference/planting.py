"""A planting over forty years: trees to order, what it costs, what it bears, and the grass under it.

Money is in dollars of the year of planting. Year 0 is the planting; what falls in a year is counted at its end.
"""

from typing import Annotated

import numpy as np
from numpy.typing import NDArray

from podbook.reference.contract import Value, reference
from podbook.reference.guard import added
from podbook.units import In

Share = Annotated[Value, In("fraction", 0, 1)]
Factor = Annotated[Value, In("fraction", 0)]
Year = Annotated[Value, In("year", 0)]
Years = Annotated[Value, In("year")]
Trees = Annotated[Value, In("tree", 0)]
Acres = Annotated[Value, In("acre", 0)]
Money = Annotated[Value, In("USD")]
Flows = Annotated[NDArray[np.float64], In("USD")]
Cost = Annotated[Value, In("USD", 0)]
PerTree = Annotated[Value, In("USD/tree", 0)]
Crops = Annotated[NDArray[np.float64], In("lb_dry/acre", 0)]
DryPerArea = Annotated[Value, In("lb_dry/acre", 0)]


def _up(number: Value, rounding: float) -> Value:
    found: Value = np.ceil(np.asarray(number) - rounding * (1 + np.abs(number)))
    return found


@reference("arithmetic", "the next whole number")
def trees_to_order(*, trees: Trees, share: Share, rounding: Annotated[float, In("fraction")] = 1e-9) -> Trees:
    """Return the trees of a type to order: its share, rounded up to whole trees."""
    return _up(trees * share, rounding)


@reference("arithmetic", "share of the grafted trees, the next whole number")
def pollinators(
    *,
    planted: Trees,
    grafted: Annotated[Value, In("flag", 0, 1)],
    pollinator_share: Share,
    rounding: Annotated[float, In("fraction")] = 1e-9,
) -> Trees:
    """Return the pollinator trees among those planted of a type; seedlings have none set aside."""
    return _up(planted * grafted * pollinator_share, rounding)


@reference("arithmetic", "lost x replanted, the next whole number")
def trees_again(
    *, planted: Trees, loss: Share, replanted_share: Share, rounding: Annotated[float, In("fraction")] = 1e-9
) -> Trees:
    """Return the trees of a type to order once more for those lost while young."""
    return _up(planted * loss * replanted_share, rounding)


@reference("arithmetic", "product")
def worth_of_work(
    *,
    minutes: Annotated[Value, In("minute/tree", 0)],
    wage: Annotated[Value, In("USD/hour", 0)],
    minutes_per_hour: Annotated[float, In("minute/hour")] = 60.0,
) -> PerTree:
    """Return what the work of planting a tree costs."""
    return minutes / minutes_per_hour * wage


@reference("arithmetic", "trees x (price + setting)")
def cost_of_trees(*, count: Trees, price: PerTree, setting: PerTree) -> Cost:
    """Return what trees cost, with their guards and the work of planting."""
    return count * (price + setting)


@reference("arithmetic", "sum of trees x (price + setting)")
def cost_of_all_trees(*, counts: Trees, prices: PerTree, setting: PerTree) -> Cost:
    """Return what trees of all types cost, with their guards and the work of planting."""
    return added(np.transpose(np.transpose(counts) * np.transpose(prices + setting)))


@reference("arithmetic", "four times the side of a square")
def fence_round(
    *, area: Acres, area_in_square_spacing: Annotated[float, In("foot**2/acre")] = 43560.0
) -> Annotated[Value, In("foot", 0)]:
    """Return the length of a fence round an area, were it one square: round any other shape it is longer."""
    return 4 * np.sqrt(area * area_in_square_spacing)


@reference("arithmetic", "area x cost, and the fence")
def upkeep(*, area: Acres, upkeep_cost: Annotated[Value, In("USD/acre/year", 0)], fence: Cost) -> Cost:
    """Return what keeping up stand and fence costs in a year."""
    return area * upkeep_cost + fence


@reference("arithmetic", "the loss of the plan times a factor, at most a limit")
def loss_of_case(*, loss: Share, factor: Factor, most: Share) -> Share:
    """Return the share of the trees lost in a case."""
    return np.minimum(most, loss * factor)


@reference("judgement", "a straight ramp from first to full crop")
def crop_by_age(
    *,
    age: Annotated[Value, In("year", 1)],
    full_area: DryPerArea,
    first: Annotated[Value, In("year", 1, 30)],
    ramp: Annotated[Value, In("year", 1)],
) -> DryPerArea:
    """Return what a type bears on an acre at an age, were no tree ever lost and no crop to frost."""
    return full_area * np.clip((age - first + 1) / ramp, 0.0, 1.0)


@reference("arithmetic", "mean crop / share of the years that bear it")
def crop_without_frost(
    *, crop: Annotated[Value, In("lb_dry", 0)], frost_chance: Annotated[Value, In("fraction", 0, 0.99)]
) -> Annotated[Value, In("lb_dry", 0)]:
    """Return the crop of a year that frost spares, from the mean of all years: it takes all the crop of the others."""
    return crop / (1 - frost_chance)


def _of_age(age: Value, crops: NDArray[np.float64]) -> Value:
    where = np.clip(np.asarray(age, dtype=int), 1, len(crops)) - 1
    if crops.ndim > 1:
        found = np.take_along_axis(crops, np.broadcast_to(where, crops.shape[1:])[np.newaxis], axis=0)[0]
    else:
        found = crops[where]
    return np.where(np.asarray(age) < 1, 0.0, found)


@reference("arithmetic", "the crop of the age that the trees have")
def crop_at(*, year: Year, later: Years, crops: Crops) -> DryPerArea:
    """Return what the first trees would bear in a year, were none lost, where they come into crop so much later.

    Whole years; ``crops`` is by age from 1. Nothing before it begins; past its end what its last age says.
    """
    return _of_age(year - later, crops)


@reference("arithmetic", "the crop of the age that the trees have")
def crop_of_replanted(*, year: Year, later: Years, replant_delay: Year, crops: Crops) -> DryPerArea:
    """Return what the replanted trees would bear in a year, were all replanted, as ``crop_at`` does for the first."""
    return _of_age(year - later - replant_delay, crops)


@reference("judgement", "first trees and replanted ones by their age, less the yearly loss, times the season")
def crop_of_case(
    *,
    year: Year,
    area: Acres,
    yield_factor: Factor,
    loss: Share,
    replanted_share: Share,
    replant_delay: Annotated[Value, In("year", 0, 30)],
    yearly_loss: Share,
    season_factors: Annotated[NDArray[np.float64], In("fraction", 0, 2)],
    first_trees: DryPerArea,
    replanted: DryPerArea,
) -> Annotated[Value, In("lb_dry", 0)]:
    """Return the pods that drop on the whole area in a year, from year 1 on; ``season_factors`` is by age from 1."""
    alive: Value = np.asarray(1.0 - yearly_loss) ** np.maximum(0.0, year - replant_delay)
    season: Value = season_factors[int(year) - 1]
    return yield_factor * area * alive * season * ((1 - loss) * first_trees + loss * replanted_share * replanted)


@reference("arithmetic", "change of grass x its worth")
def grass_worth(
    *,
    year: Year,
    area: Acres,
    open_grass: DryPerArea,
    cover: Share,
    light_cover: Annotated[Value, In("fraction", 0.01, 1)],
    light_gain: Share,
    dense_cover: Share,
    dense_loss: Annotated[Value, In("fraction", 0)],
    ungrazed_years: Year,
    grass_price: Annotated[Value, In("USD/lb_dry", 0)],
) -> Money:
    """Return what the grass gained under the trees is worth in a year; below 0 where it is lost, or not grazed."""
    response = light_gain * np.minimum(1.0, cover / light_cover) - dense_loss * np.maximum(0.0, cover - dense_cover)
    share = np.where(np.asarray(year) <= ungrazed_years, -1.0, response)
    return area * open_grass * share * grass_price


@reference("arithmetic", "what falls in the year")
def cost_of_year(
    *,
    year: Annotated[Value, In("year", 1)],
    cost_factor: Factor,
    care_yearly: Cost,
    care_years: Year,
    upkeep_yearly: Cost,
    fence_life: Annotated[Value, In("year", 1)],
    fence_renewal: Cost,
    replant_delay: Year,
    replanting: Cost,
) -> Cost:
    """Return what a planting costs in a year after the first: care while young, upkeep, fence, and replanting once.

    A fence past its life is renewed piece by piece: a part of its price every year.
    """
    year = np.asarray(year)
    young = np.where(year <= care_years, care_yearly, 0.0)
    fence = np.where(year > fence_life, fence_renewal, 0.0)
    again = np.where(year == replant_delay, replanting, 0.0)
    return cost_factor * (young + upkeep_yearly + fence + again)


@reference("arithmetic", "in its year")
def share_paid(*, year: Year, share_year: Year, cost_share: Cost) -> Cost:
    """Return the cost-share that is paid in a year; half a year is rounded up."""
    return np.where(np.asarray(year) == np.floor(share_year + 0.5), cost_share, 0.0)


@reference("arithmetic", "feed + grass + cost-share - cost")
def flow(*, feed: Money, grass: Money, paid: Cost, cost: Cost) -> Money:
    """Return the cash flow of a year."""
    return feed + grass + paid - cost


@reference("arithmetic", "mean of the years")
def yearly_mean(*, flows: Money) -> Money:
    """Return the mean of what falls in the years after planting."""
    return added(flows) / len(np.asarray(flows))


@reference("arithmetic", "the oldest age of a full crop, and the years until replanted trees are as old")
def full_grown(*, full_ages: Year, replant_delay: Year, plan_years: Year) -> Year:
    """Return the year from which every tree is in full bearing; at the latest the last but one of the plan."""
    found: Value = np.minimum(plan_years - 1, np.max(full_ages, axis=0) + replant_delay)
    return found


@reference("arithmetic", "mean of a year and the next / share of the years that are spared")
def mean_of_pair(
    *, flows: Flows, year: Annotated[float, In("year", 0)], frost_chance: Annotated[float, In("fraction", 0, 0.99)]
) -> Money:
    """Return the mean of what falls in a year and in the next one, where frost spares them.

    The first flow is that of the year of planting; each is the mean of spared years, and of others that have nothing.
    """
    place = int(year)
    return float(flows[place] + flows[place + 1]) / 2 / (1 - frost_chance)


@reference("arithmetic", "any of them is apart, but for rounding")
def differs(
    *,
    yields_used: Factor,
    price: Annotated[Value, In("USD/short_ton_fed", 0)],
    hay_price: Annotated[Value, In("USD/short_ton_fed", 0)],
    young_lost: Share,
    establishment_loss: Share,
    yearly_lost: Share,
    yearly_loss: Share,
    years_later: Years,
    costs_used: Factor,
    rounding: Annotated[float, In("fraction")] = 1e-9,
) -> Annotated[Value, In("flag", 0, 1)]:
    """Return 1 where a case is not what the other sheets plan with."""
    shares = np.abs(yields_used - 1) + np.abs(young_lost - establishment_loss) + np.abs(yearly_lost - yearly_loss)
    apart = shares + np.abs(price / hay_price - 1) + np.abs(costs_used - 1)
    return np.where((apart > rounding) | (np.asarray(years_later) != 0), 1.0, 0.0)
