"""Prices of feeds on one footing: per dry matter, per unit of energy or protein, per ton."""

from typing import Annotated

import numpy as np

from podbook.reference.contract import Value, reference
from podbook.reference.guard import ratio
from podbook.units import In

PerTon = Annotated[Value, In("USD/short_ton_fed", 0)]
PerDry = Annotated[Value, In("USD/lb_dry", 0)]
WeightPerTon = Annotated[float, In("lb_fed/short_ton_fed")]


@reference("arithmetic", "price / weight / dry matter")
def price_per_dry(
    *,
    price: PerTon,
    dry_matter: Annotated[Value, In("lb_dry/lb_fed", 0.05, 1)],
    weight_per_ton: WeightPerTon = 2000.0,
) -> PerDry:
    """Return the price of a pound of dry matter from the price of a ton as fed."""
    return price / weight_per_ton / dry_matter


@reference("arithmetic", "price / content")
def price_per_nutrient(*, price_per_dry: PerDry, content: Annotated[Value, In("percent", 0, 130)]) -> PerDry:
    """Return the price of a pound of TDN or protein; 0 where the feed has none.

    Divided by the content, never multiplied: a pound of nutrient cannot cost less than a pound of the feed.
    """
    return ratio(price_per_dry, np.asarray(content) / 100)


@reference("arithmetic", "price / energy")
def price_per_energy(
    *,
    price_per_dry: PerDry,
    me: Annotated[Value, In("Mcal/kg_dry", 0, 5)],
    kg_per_weight: Annotated[float, In("kg_dry/lb_dry")] = 0.45359237,
) -> Annotated[Value, In("USD/Mcal", 0)]:
    """Return the price of a megacalorie of metabolizable energy; 0 where the feed has none."""
    return ratio(price_per_dry, np.asarray(me) * kg_per_weight)


@reference("arithmetic", "bushel price x bushels in a ton")
def price_per_ton_from_bushel(
    *,
    bushel_price: Annotated[Value, In("USD/bushel", 0)],
    bushel_weight: Annotated[Value, In("lb_fed/bushel", 1, 120)],
    weight_per_ton: WeightPerTon = 2000.0,
) -> PerTon:
    """Return the price of a ton from the price and the weight of a bushel."""
    return bushel_price / bushel_weight * weight_per_ton


@reference("arithmetic", "ton price x weight / ton")
def bale_price(
    *, price: PerTon, bale_weight: Annotated[Value, In("lb_fed", 0)], weight_per_ton: WeightPerTon = 2000.0
) -> Annotated[Value, In("USD", 0)]:
    """Return what a bale costs, or any other weight as fed, at the price of a ton."""
    return price * bale_weight / weight_per_ton


@reference("penn-state-1993", "price x ratio of the TDN contents")
def adjusted_price(
    *, price: PerTon, tdn: Annotated[Value, In("percent", 1, 130)], other_tdn: Annotated[Value, In("percent", 0, 130)]
) -> PerTon:
    """Return what a ton of another feed of equal dry matter is worth by its TDN: price other / TDN. Read."""
    return price * other_tdn / tdn


@reference("harper-walnut", "500 lb of hulled nuts in a day of 8 hours, at the upper end")
def hand_picking_cost(
    *,
    wage: Annotated[Value, In("USD/hour", 0)],
    day_weight: Annotated[float, In("lb_fed/day")] = 500.0,
    day_hours: Annotated[float, In("hour/day")] = 8.0,
    weight_per_ton: WeightPerTon = 2000.0,
) -> PerTon:
    """Return the wages of picking up a ton by hand. Weight and hours were read, for walnuts; for pods none are."""
    return wage * day_hours / day_weight * weight_per_ton


@reference("arithmetic", "price x share lost x bales")
def loss_in_money(
    *,
    bale_price: Annotated[Value, In("USD/bale", 0)],
    waste: Annotated[Value, In("fraction", 0, 1)],
    bales: Annotated[Value, In("bale", 0)] = 1.0,
) -> Annotated[Value, In("USD", 0)]:
    """Return the money in the hay that is trampled or soiled, of one bale or of many."""
    return bale_price * waste * bales


@reference("arithmetic", "price / what is left after each loss")
def price_of_eaten(
    *,
    price: PerTon,
    storage_loss: Annotated[Value, In("fraction", 0, 0.95)],
    feeding_waste: Annotated[Value, In("fraction", 0, 0.95)],
) -> PerTon:
    """Return what a ton costs that is really eaten, of a feed that is lost in storage and at the feeder."""
    return price / ((1 - storage_loss) * (1 - feeding_waste))


@reference("nrc-beef-1996", "p. 126, turned round: TDN = ME / (0.82 x 0.04409)")
def tdn_of_me(
    *,
    me: Annotated[Value, In("Mcal/kg_dry", 0, 5)],
    me_per_de: Annotated[float, In("fraction", 0, 1)] = 0.82,
    de_per_tdn: Annotated[float, In("Mcal/kg_dry/percent")] = 0.04409,
) -> Annotated[Value, In("percent", 0, 140)]:
    """Return the TDN that a metabolizable energy stands for, percent of dry matter."""
    return me / (me_per_de * de_per_tdn)
