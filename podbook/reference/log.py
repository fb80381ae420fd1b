"""The season log: what was seen by month, beside the plan, and what the trees bore in the year.

A month counts for a quantity where its figure is filled in; the plan is compared over those months alone.
"""

from typing import Annotated, Any

import numpy as np
from numpy.typing import NDArray

from podbook.reference.contract import Value, Words, reference
from podbook.reference.gates import Count, Entry, Flag
from podbook.reference.guard import ratio
from podbook.units import In

Dry = Annotated[Value, In("lb_dry", 0)]
Fed = Annotated[Value, In("lb_fed", 0)]
Tons = Annotated[Value, In("short_ton_fed", 0)]
Share = Annotated[Value, In("fraction", 0, 1)]
Moisture = Annotated[Value, In("fraction", 0, 0.95)]
SomeShare = Annotated[Value, In("fraction", 0.001, 1)]
Factor = Annotated[Value, In("fraction", 0)]
Yield = Annotated[Value, In("lb_dry/tree", 0)]
Amount = Annotated[Value, In("any")]
Place = Annotated[Value, In("dimensionless", 1)]
Flags = Annotated[NDArray[np.float64], In("flag", 0, 1)]
Word = Annotated[Words, In("text")]


@reference("arithmetic", "unusable figures, and days without head or head without days")
def unpaired(*, amiss: Count, days_fit: Flag, head_fit: Flag) -> Count:
    """Return how many figures of a row can't be used; days and head count as one more where only one stands there."""
    return amiss + np.abs(np.asarray(days_fit) - head_fit)


@reference("arithmetic", "mend, - for a blank row, else ok")
def state_of_row(*, amiss: Count, fitting: Count) -> Word:
    """Return "mend" for a month with a figure that can't be used, "-" for one not logged, else "ok"."""
    if amiss > 0:
        return "mend"
    return "ok" if fitting > 0 else "-"


@reference("arithmetic", "fits, in a row with nothing amiss")
def counts(*, amiss: Count, fits: Flag) -> Flag:
    """Return 1 where a quantity is logged in a month in which nothing is amiss: one of its figures will do."""
    return np.where(np.asarray(amiss) > 0, 0.0, np.max(fits))


@reference("arithmetic", "both fit, in a row with nothing amiss")
def counts_both(*, amiss: Count, days_fit: Flag, head_fit: Flag) -> Flag:
    """Return 1 where days and head are both logged in a month in which nothing is amiss."""
    return np.where(np.asarray(amiss) > 0, 0.0, np.asarray(days_fit) * head_fit)


@reference("arithmetic", "some figure stands there, and none is amiss")
def begun(*, amiss: Count, fitting: Count) -> Flag:
    """Return 1 for a month that is logged: at least one figure, and none amiss."""
    return np.where((np.asarray(amiss) == 0) & (np.asarray(fitting) > 0), 1.0, 0.0)


@reference("arithmetic", "days of feeding or pods that drop")
def in_season(*, days: Annotated[Value, In("day", 0)], drop: Share) -> Flag:
    """Return 1 for a month of the season: stock are fed in it, or pods drop."""
    return np.where((np.asarray(days) > 0) | (np.asarray(drop) > 0), 1.0, 0.0)


@reference("arithmetic", "the greatest place with a 1")
def last_place(
    *, places: Annotated[NDArray[np.float64], In("ordinal")], flags: Flags, names: Annotated[Any, In("text")]
) -> Word:
    """Return the name at the last place whose flag is 1, or "none"."""
    found = [str(name) for _, flag, name in sorted(zip(places, flags, names, strict=True)) if flag == 1]
    return found[-1] if found else "none"


@reference("arithmetic", "sum of the months that count / season")
def share_logged(
    *, logged: Annotated[NDArray[np.float64], In("any", 0)], whole: Annotated[Value, In("any", 0)]
) -> Share:
    """Return the share of a season that falls in the months that count; 0 where the season has nothing."""
    return ratio(float(np.sum(logged)), whole)


@reference("arithmetic", "weight x (1 - moisture)")
def pods_fed_dry(*, fed: Fed, moisture: Moisture) -> Dry:
    """Return the dry matter of the pods fed in a month, from their weight."""
    return fed * (1 - moisture)


@reference("arithmetic", "weight x (1 - moisture) / share picked up / share of the trees")
def pods_dropped_dry(*, picked: Fed, moisture: Moisture, share_picked: SomeShare, share_trees: SomeShare) -> Dry:
    """Return what dropped on the whole stand in a month, dry, from the weight picked up under a part of it."""
    return picked * (1 - moisture) / share_picked / share_trees


@reference("arithmetic", "tons + bales x weight of a bale")
def hay_fed(
    *,
    tons: Entry,
    tons_fit: Flag,
    bales: Entry,
    bales_fit: Flag,
    bale_weight: Annotated[Value, In("lb_fed/bale", 0)],
    weight_per_ton: Annotated[float, In("lb_fed/short_ton_fed")] = 2000.0,
) -> Tons:
    """Return the hay fed out in a month, from tons, bales or both; a figure that does not fit counts as none."""
    weighed = float(tons) if tons_fit == 1 else 0.0
    counted = float(bales) if bales_fit == 1 else 0.0
    return weighed + counted * bale_weight / weight_per_ton


@reference("arithmetic", "hay bought x (1 - lost in storage)")
def hay_planned(*, bought: Tons, storage_loss: Annotated[Value, In("fraction", 0, 0.95)]) -> Tons:
    """Return the hay that the plan feeds out in a month: what is bought for it, less what is lost in storage."""
    return bought * (1 - storage_loss)


@reference("arithmetic", "tons x pounds in a ton")
def weight_of_tons(*, tons: Tons, weight_per_ton: Annotated[float, In("lb_fed/short_ton_fed")] = 2000.0) -> Fed:
    """Return the weight of tons."""
    return tons * weight_per_ton


@reference("arithmetic", "difference / plan")
def part_of_plan(
    *, gap: Amount, plan: Amount, seen: Amount, rounding: Annotated[float, In("fraction")] = 1e-9
) -> Annotated[Value, In("fraction")]:
    """Return a difference as a share of the plan; 0 where no more was planned than rounding leaves."""
    planned = np.asarray(plan) > rounding * (1 + np.asarray(seen))
    return np.where(planned, ratio(gap, np.where(planned, plan, 1.0)), 0.0)


@reference("arithmetic", "fed > what the herd may eat, but for rounding")
def past_cap(*, fed: Dry, wish: Dry, rounding: Annotated[float, In("fraction")] = 1e-9) -> Flag:
    """Return 1 where more pods were fed in a month than the plan lets the herd eat."""
    return np.where(np.asarray(fed) > wish * (1 + rounding), 1.0, 0.0)


@reference("arithmetic", "the gravest first")
def word_on_pods(*, past: Flag, days: Annotated[Value, In("day", 0)]) -> Word:
    """Return what to watch in a month in which pods were fed."""
    if past == 0:
        return "in order"
    return "LOOK: past the cap" if days > 0 else "LOOK: no feeding in the plan"


@reference("arithmetic", "area x trees standing x shares that bear")
def bearing_trees(
    *,
    area: Annotated[Value, In("acre", 0)],
    trees: Annotated[NDArray[np.float64], In("tree/acre", 0)],
    stand_age: Annotated[float, In("year", 1)],
    shares: Annotated[NDArray[np.float64], In("fraction", 0, 1)],
    bearing_shares: Annotated[NDArray[np.float64], In("fraction", 0, 1)],
) -> Annotated[Value, In("tree", 0)]:
    """Return the trees standing that bear pods, or will when they are grown: without males and pollinators."""
    return area * float(trees[int(stand_age) - 1]) * float(np.dot(shares, bearing_shares))


@reference("arithmetic", "weight / trees")
def yield_of_tree(*, dry: Dry, trees: Annotated[Value, In("tree", 0)]) -> Yield:
    """Return the dry pods of a bearing tree; 0 where there are none."""
    return ratio(dry, trees)


@reference("arithmetic", "factor of the kind of year")
def factor_of_year(
    *,
    kind: Place,
    alternate: Flag,
    stand_age: Annotated[float, In("year", 1)],
    pairs: Flags,
    on_factor: Factor,
    off_factor: Factor,
) -> Factor:
    """Return the crop of a year of this kind to that of a mean year, no frost counted.

    ``kind`` is 1 as the plan has it (mean of both where it shows no good and bad years), 2 an on-year, 3 an off-year.
    """
    if kind == 1:
        planned = on_factor if pairs[int(stand_age) - 1] == 1 else off_factor
        return planned if alternate == 1 else 1.0
    return on_factor if kind == 2 else off_factor


@reference("arithmetic", "planned / factor of the plan x factor of the year")
def yield_expected(*, planned: Yield, planned_factor: Factor, year_factor: Factor) -> Yield:
    """Return the dry pods of a tree to be expected in a year of this kind, with no frost taken off."""
    return ratio(planned, planned_factor) * year_factor


@reference("arithmetic", "one of three")
def kind_in_plan(*, alternate: Flag, stand_age: Annotated[float, In("year", 1)], pairs: Flags) -> Word:
    """Return what kind of year the plan takes this one for."""
    if alternate == 0:
        return "mean of both"
    return "on-year" if pairs[int(stand_age) - 1] == 1 else "off-year"


@reference("arithmetic", "all of the drop is logged")
def drop_complete(*, share: Share, share_rounding: Annotated[float, In("fraction")] = 0.0005) -> Flag:
    """Return 1 where pods are logged in every month in which the plan has them drop."""
    return np.where(np.asarray(share) >= 1 - share_rounding, 1.0, 0.0)


@reference("arithmetic", "the whole drop, no frost, and a crop to compare with")
def year_counts(*, complete: Flag, frosted: Flag, expected: Yield) -> Flag:
    """Return 1 where the year says something of what the trees bear."""
    return np.where((np.asarray(complete) == 1) & (np.asarray(frosted) == 0) & (np.asarray(expected) > 0), 1.0, 0.0)


@reference("judgement", "mean of the plan and the year, the plan weighing as many years as it rests on")
def next_factor(*, ratio: Factor, seasons: Annotated[Value, In("year", 0)]) -> Factor:
    """Return what to multiply the planned yields with: (seasons x 1 + ratio) / (seasons + 1)."""
    return (seasons + ratio) / (seasons + 1)


@reference("arithmetic", "the first that holds")
def word_on_year(*, expected: Yield, complete: Flag, frosted: Flag) -> Word:
    """Return in words what the year's log says of the yield to plan with."""
    if complete == 0:
        return "wait: not all months in which pods drop are logged"
    if expected == 0:
        return "no crop is planned to compare with"
    return "frost took the crop: keep the plan" if frosted == 1 else "one year: move the plan with care"
