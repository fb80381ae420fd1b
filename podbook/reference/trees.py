"""Trees weighed: from a heap of pods on a scale to a crop per tree, by kind of tree and by single tree.

The functions by kind and by tree take whole columns of the tally and one key.
"""

from typing import Annotated, Any

import numpy as np
from numpy.typing import NDArray

from podbook.reference.contract import Value, Words, reference
from podbook.reference.guard import ratio
from podbook.units import In

Kind = Annotated[Words, In("text")]
Counted = Annotated[Value, In("flag", 0, 1)]
"""1 where a row holds a usable record."""
Crop = Annotated[Value, In("lb_dry/tree", 0)]
Records = Annotated[Value, In("record", 0)]
Number = Annotated[Any, In("text")]
"""The number by which a tree is known; a blank or a word in a row that does not count."""


def _spelled(each: object) -> object:
    return each.casefold() if isinstance(each, str) else each


def _of_kind(column: Any, key: Any) -> NDArray[np.bool_]:
    """Return which rows hold the key; upper and lower case are alike."""
    rows = np.atleast_1d(np.asarray(column, dtype=object))
    if not isinstance(key, str):
        return np.asarray(rows == key, dtype=bool)
    folded = key.casefold()
    return np.array([isinstance(each, str) and each.casefold() == folded for each in rows.tolist()], dtype=bool)


def _rows(column: Any, key: Any, counted: Value) -> NDArray[np.bool_]:
    rows: NDArray[np.bool_] = _of_kind(column, key) & (np.asarray(counted) == 1)
    return rows


def _crops(column: Any, key: Any, counted: Value, crop: Value) -> NDArray[np.float64]:
    return np.asarray(crop, dtype=float)[_rows(column, key, counted)]


def _years_enough(counted: Value, years: Value) -> NDArray[np.bool_]:
    enough: NDArray[np.bool_] = (np.asarray(counted) == 1) & (np.asarray(years) >= 2)
    return enough


@reference("arithmetic", "weight x (1 - moisture)")
def dry_weight(
    *, weight: Annotated[Value, In("lb_fed/tree", 0, 3000)], moisture: Annotated[Value, In("fraction", 0, 0.7)]
) -> Annotated[Value, In("lb_dry/tree", 0)]:
    """Return the dry matter in a weight as picked."""
    return weight * (1 - moisture)


@reference("arithmetic", "dry weight / share picked")
def whole_crop(*, dry_weight: Crop, picked: Annotated[Value, In("fraction", 0.05, 1)]) -> Crop:
    """Return the tree's whole crop, dry, where only a share of it had been picked up when it was weighed."""
    return dry_weight / picked


@reference("arithmetic", "count")
def records(*, kind: Kind, counted: Counted, key: Kind) -> Records:
    """Return how many counted rows of the tally are of the kind ``key``."""
    return float(_rows(kind, key, counted).sum())


@reference("arithmetic", "sum of 1 / years")
def trees(*, kind: Kind, counted: Counted, years: Records, key: Kind) -> Annotated[Value, In("tree", 0)]:
    """Return how many trees of the kind were weighed: all the years of one tree add up to one tree.

    ``years`` is the number of counted records of the tree that stands in the row.
    """
    return float(np.sum(_rows(kind, key, counted) * ratio(1.0, years)))


@reference("arithmetic", "mean")
def mean_crop(*, kind: Kind, counted: Counted, crop: Crop, key: Kind) -> Crop:
    """Return the mean crop of the counted rows of the kind, dry; 0 if there are none."""
    return float(_crops(kind, key, counted, crop).sum() / max(1.0, _rows(kind, key, counted).sum()))


@reference("arithmetic", "minimum")
def lowest_crop(*, kind: Kind, counted: Counted, crop: Crop, key: Kind) -> Crop:
    """Return the lowest crop of the counted rows of the kind, dry; 0 if there are none."""
    return min(_crops(kind, key, counted, crop), default=0.0)


@reference("arithmetic", "maximum")
def highest_crop(*, kind: Kind, counted: Counted, crop: Crop, key: Kind) -> Crop:
    """Return the highest crop of the counted rows of the kind, dry; 0 if there are none."""
    return max(_crops(kind, key, counted, crop), default=0.0)


@reference("arithmetic", "standard deviation of a sample")
def spread_of_crop(*, kind: Kind, counted: Counted, crop: Crop, key: Kind) -> Crop:
    """Return the standard deviation (n - 1) of the counted crops of the kind, dry; 0 with fewer than two."""
    crops = _crops(kind, key, counted, crop)
    return float(crops.std(ddof=1)) if crops.size > 1 else 0.0


@reference("arithmetic", "sum over the rows of a kind")
def total_of(*, kind: Kind, amount: Annotated[Value, In("any", 0)], key: Kind) -> Annotated[Value, In("any", 0)]:
    """Return the sum of an amount over the rows of the kind ``key``."""
    return float(np.asarray(amount, dtype=float)[_of_kind(kind, key)].sum())


@reference("arithmetic", "(crop - mean)^2")
def squared_from_mean(
    *, crop: Crop, kind: Kind, kinds: Kind, means: Crop
) -> Annotated[Value, In("lb_dry**2/tree**2", 0)]:
    """Return the square of what a crop misses the mean of its kind by; the kind must be among the kinds."""
    place = int(np.argmax(_of_kind(kinds, kind)))
    return (crop - float(np.asarray(means)[place])) ** 2


@reference("arithmetic", "the crop, or the mean in its place")
def crop_or_mean(*, counted: Counted, kind: Kind, key: Kind, crop: Crop, mean: Crop) -> Crop:
    """Return the crop of a counted row of the kind, for any other row the kind's mean: never the lowest or highest."""
    return crop if counted == 1 and _spelled(kind) == _spelled(key) else mean


@reference("arithmetic", "age below that of the full crop")
def not_full_grown(
    *, age: Annotated[Value, In("year", 0)], kind: Kind, kinds: Kind, full_ages: Annotated[Value, In("year", 0)]
) -> Annotated[Value, In("flag", 0, 1)]:
    """Return 1 for a tree younger than the trees of its kind are in full crop; the kind must be among the kinds."""
    place = int(np.argmax(_of_kind(kinds, kind)))
    return float(age < float(np.asarray(full_ages)[place]))


@reference("arithmetic", "count, unless the plan has a figure of the user's own")
def young_planned_on(
    *, kind: Kind, young: Annotated[Value, In("flag", 0, 1)], key: Kind, own_state: Annotated[Words, In("text")]
) -> Records:
    """Return how many rows of the kind are of trees too young for a full crop, where the plan rests on their mean."""
    return 0.0 if own_state == "ok" else float(np.asarray(young, dtype=float)[_of_kind(kind, key)].sum())


@reference("arithmetic", "count")
def records_of_tree(*, tree: Number, counted: Counted, number: Number) -> Records:
    """Return how many counted rows of the tally belong to the tree of this number."""
    return float(_rows(tree, number, counted).sum())


@reference("arithmetic", "mean")
def mean_of_tree(*, tree: Number, counted: Counted, crop: Crop, number: Number) -> Crop:
    """Return the mean of the counted crops of the tree of this number, dry; 0 if there are none."""
    return float(_crops(tree, number, counted, crop).sum() / max(1.0, _rows(tree, number, counted).sum()))


@reference("arithmetic", "crop not below the tree's own mean")
def on_year(*, counted: Counted, crop: Crop, years: Records, tree_mean: Crop) -> Annotated[Value, In("flag", 0, 1)]:
    """Return 1 where a tree known for two years or more bore at least its own mean, else 0."""
    return np.where(_years_enough(counted, years) & (np.asarray(crop) >= tree_mean), 1.0, 0.0)


@reference("arithmetic", "crop below the tree's own mean")
def off_year(*, counted: Counted, crop: Crop, years: Records, tree_mean: Crop) -> Annotated[Value, In("flag", 0, 1)]:
    """Return 1 where a tree known for two years or more bore less than its own mean, else 0."""
    return np.where(_years_enough(counted, years) & (np.asarray(crop) < tree_mean), 1.0, 0.0)


@reference("arithmetic", "mean of off-years / mean of on-years")
def off_to_on(
    *,
    off_crop_total: Crop,
    off_records: Records,
    on_crop_total: Crop,
    on_records: Records,
    when_unknown: Annotated[Value, In("fraction", 0)],
) -> Annotated[Value, In("fraction", 0)]:
    """Return the mean crop of off-years over that of on-years; ``when_unknown`` where either was never seen."""
    found = ratio(ratio(off_crop_total, off_records), ratio(on_crop_total, on_records), when_unknown)
    return np.where(np.asarray(off_records) == 0, when_unknown, found)


@reference("arithmetic", "|a - b| / (a + b)")
def alternate_index(*, first: Crop, second: Crop) -> Annotated[Value, In("fraction", 0, 1)]:
    """Return the index of alternate bearing of two following years: 0 even crops, 1 a lost one; 0 where both are 0."""
    return ratio(np.abs(first - second), first + second)
