"""The stand: trees on an acre, the crop they bear by age, and the grass under them. Pods as dry matter."""

from typing import Annotated

import numpy as np

from podbook.reference.contract import Value, reference
from podbook.reference.guard import ratio
from podbook.units import In

Share = Annotated[Value, In("fraction", 0, 1)]
Flag = Annotated[Value, In("flag", 0, 1)]
Spacing = Annotated[Value, In("foot", 5, 200)]
TreeSpacing = Annotated[Value, In("foot/tree", 5, 200)]
Age = Annotated[Value, In("year", 0, 150)]
Delay = Annotated[Value, In("year", 0, 30)]
FirstAge = Annotated[Value, In("year", 1, 30)]
FullAge = Annotated[Value, In("year", 1, 60)]
TreesPerArea = Annotated[Value, In("tree/acre", 0)]
Factor = Annotated[Value, In("fraction", 0, 2)]
DryPerArea = Annotated[Value, In("lb_dry/acre", 0)]
SquareFeet = Annotated[float, In("foot**2/acre")]
Change = Annotated[Value, In("fraction", -1, 1)]


def _ramp(age: Value, first_crop_age: Value, full_crop_age: Value) -> Value:
    years = np.maximum(full_crop_age, first_crop_age) - first_crop_age + 1
    return np.clip((age - first_crop_age + 1) / years, 0.0, 1.0)


def _left(age: Value, yearly_loss: Value, replant_delay: Value) -> Value:
    return np.asarray(1.0 - yearly_loss) ** np.maximum(0.0, age - replant_delay)


@reference("arithmetic", "43,560 square feet in an acre / spacing")
def trees_per_area(
    *, row_spacing: Spacing, tree_spacing: TreeSpacing, area_in_square_spacing: SquareFeet = 43560.0
) -> TreesPerArea:
    """Return the trees on an acre from the distance of the rows and of the trees in a row."""
    return area_in_square_spacing / (row_spacing * tree_spacing)


@reference("judgement", "a straight ramp from first to full crop; lost trees replanted once")
def bearing(
    *,
    age: Age,
    first_crop_age: FirstAge,
    full_crop_age: FullAge,
    replanted_share: Share,
    replant_delay: Delay,
    establishment_loss: Share,
) -> Share:
    """Return what the stand bears of a full stand's crop, before the yearly losses of grown trees.

    (1 - loss) ramp(age) + loss replanted ramp(age - delay), with ramp(t) = (t - first + 1)/(full - first + 1) kept
    within 0 and 1. A full-crop age below the first-crop age counts as equal to it. The ramp is judgement; grafted
    trees bore their first real crop four years from setting (Moore 1948, read).
    """
    kept = (1 - establishment_loss) * _ramp(age, first_crop_age, full_crop_age)
    later = establishment_loss * replanted_share * _ramp(age - replant_delay, first_crop_age, full_crop_age)
    return kept + later


@reference("judgement", "the same share of the trees is lost every year once replanting is over")
def standing(*, age: Age, yearly_loss: Share, replant_delay: Delay) -> Share:
    """Return the share of the established trees still standing: (1 - yearly loss)^max(0, age - delay)."""
    return _left(age, yearly_loss, replant_delay)


@reference("judgement", "losses grow evenly until replanting, then follow the yearly loss")
def trees_standing(
    *,
    age: Age,
    trees_per_area: TreesPerArea,
    establishment_loss: Share,
    replanted_share: Share,
    replant_delay: Delay,
    yearly_loss: Share,
) -> TreesPerArea:
    """Return the trees standing on an acre at an age.

    Before the delay is over: trees (1 - loss age/delay). From then on: trees (1 - loss + loss replanted) times the
    share still standing.
    """
    before = 1 - establishment_loss * ratio(age, replant_delay)
    after = 1 - establishment_loss + establishment_loss * replanted_share
    share = np.where(age < np.asarray(replant_delay), before, after * _left(age, yearly_loss, replant_delay))
    return trees_per_area * share


@reference("arithmetic", "2 / (1 + r): on-year and off-year keep the mean")
def on_factor(*, off_to_on: Share) -> Factor:
    """Return the crop of an on-year over the mean crop, from the ratio of off-year to on-year."""
    return 2 / (1 + off_to_on)


@reference("arithmetic", "2 r / (1 + r): on-year and off-year keep the mean")
def off_factor(*, off_to_on: Share) -> Factor:
    """Return the crop of an off-year over the mean crop, from the ratio of off-year to on-year."""
    return 2 * off_to_on / (1 + off_to_on)


@reference("judgement", "the chance of a lost crop taken as an expected loss")
def season_factor(
    *, pair_year: Flag, alternate: Flag, on_factor: Factor, off_factor: Factor, frost_chance: Share
) -> Factor:
    """Return a season's crop over the mean crop: on-year or off-year where shown, less the chance of late frost.

    A late frost took the whole crop in one year of six at Auburn (Moore 1948, read).
    """
    turn = np.where(np.asarray(pair_year) == 1, on_factor, off_factor)
    return (1 - frost_chance) * np.where(np.asarray(alternate) == 1, turn, 1.0)


@reference("arithmetic", "years from first to full crop, both counted")
def ramp_years(*, first: FirstAge, full: FullAge) -> Annotated[Value, In("year", 1)]:
    """Return over how many years a tree comes into full bearing, the first and the full crop both counted."""
    return full - first + 1


@reference("arithmetic", "product")
def full_crop_per_area(
    *,
    trees_per_area: TreesPerArea,
    type_share: Share,
    bearing_share: Share,
    full_crop: Annotated[Value, In("lb_dry/tree", 0)],
) -> DryPerArea:
    """Return the pods of one type on an acre of the whole stand in full bearing, dry, before any loss of trees.

    ``bearing_share`` is the share of the type's trees that bear pods at all.
    """
    return trees_per_area * type_share * bearing_share * full_crop


@reference("arithmetic", "product")
def crop_per_area(*, full_area: DryPerArea, bearing: Share, standing: Share, season_factor: Factor) -> DryPerArea:
    """Return the pods of one type on an acre in a year, dry: the full crop by age, trees left, and the season."""
    return full_area * bearing * standing * season_factor


@reference("arithmetic", "sum of pods x percent")
def content_of(*, pods: DryPerArea, percents: Annotated[Value, In("percent", 0, 100)]) -> DryPerArea:
    """Return the sugar or protein in the pods of all types on an acre, from the percent in each type's dry matter."""
    return float(np.dot(pods, percents)) / 100


@reference("arithmetic", "sum of pods x energy")
def energy_of(
    *,
    pods: DryPerArea,
    contents: Annotated[Value, In("Mcal/kg_dry", 0, 5)],
    kg_per_weight: Annotated[float, In("kg_dry/lb_dry")] = 0.45359237,
) -> Annotated[Value, In("Mcal/acre", 0)]:
    """Return the energy in the pods of all types on an acre, from the energy in each type's dry matter."""
    return float(np.dot(pods, contents)) * kg_per_weight


@reference("arithmetic", "dry / dry matter")
def as_picked(
    *, dry: DryPerArea, dry_matter: Annotated[Value, In("lb_dry/lb_fed", 0, 1)]
) -> Annotated[Value, In("lb_fed/acre", 0)]:
    """Return a dry weight as it weighs when picked up; 0 where no dry matter is given."""
    return ratio(dry, dry_matter)


@reference("arithmetic", "one loss after the other")
def share_reaching(*, wildlife_loss: Share, never_picked: Share) -> Share:
    """Return the share of the crop that stock find, before any spoils: (1 - wildlife) (1 - never picked up)."""
    return (1 - wildlife_loss) * (1 - never_picked)


@reference("arithmetic", "one of two")
def found_share(*, collected: Flag, collected_share: Share, never_picked: Share) -> Share:
    """Return the share picked up of the pods that wildlife leaves: by a machine, or by the stock themselves."""
    return np.where(np.asarray(collected) == 1, collected_share, 1 - never_picked)


@reference("judgement", "round crowns that widen evenly and do not overlap")
def crown_cover(
    *,
    age: Age,
    crown_growth: Annotated[Value, In("foot/year", 0, 10)],
    crown_max: Annotated[Value, In("foot", 0, 120)],
    trees_standing: TreesPerArea,
    area_in_square_spacing: SquareFeet = 43560.0,
    circle: Annotated[float, In("fraction")] = 3.141592653589793,
) -> Share:
    """Return the share of the ground under crowns, at most 1.

    trees pi/4 width^2 / acre, with width = min(max, growth age).
    """
    width = np.minimum(crown_max, crown_growth * age)
    return np.minimum(1.0, trees_standing * circle / 4 * width**2 / area_in_square_spacing)


@reference("judgement", "grass gains under light shade and loses under dense shade")
def grass_response(
    *,
    cover: Share,
    light_cover: Annotated[Value, In("fraction", 0.01, 1)],
    light_gain: Share,
    dense_cover: Share,
    dense_loss: Share,
) -> Change:
    """Return the change of the grass under a cover of crowns, as a share of open grass.

    gain min(1, cover/light cover) - loss max(0, cover - dense cover). The shape is judgement; trials read found grass
    unchanged to 15 % more under moderately spaced honey locust.
    """
    return light_gain * np.minimum(1.0, cover / light_cover) - dense_loss * np.maximum(0.0, cover - dense_cover)


@reference("arithmetic", "product")
def grass_change(*, open_grass: DryPerArea, response: Change) -> Annotated[Value, In("lb_dry/acre")]:
    """Return the grass gained (or lost, below 0) on an acre, dry."""
    return open_grass * response


@reference("arithmetic", "product")
def trees_to_replant(
    *, trees_to_plant: Annotated[Value, In("tree", 0)], establishment_loss: Share, replanted_share: Share
) -> Annotated[Value, In("tree", 0)]:
    """Return the trees to order once more for those lost while young."""
    return trees_to_plant * establishment_loss * replanted_share


@reference("judgement", "grafted trees bear except pollinators; of unsexed seedlings a share")
def bearing_share(*, grafted: Flag, pollinator_share: Share, seedling_bearing_share: Share) -> Share:
    """Return the share of a type's trees that bear pods."""
    return np.where(np.asarray(grafted) == 1, 1 - pollinator_share, seedling_bearing_share)
