"""Weights in other units, and a herd in animal units."""

from typing import Annotated

import numpy as np

from podbook.reference.contract import Value, reference
from podbook.units import In


@reference("nist-sp811", "Appendix B.8: 1 lb = 0.453 592 37 kg, exactly")
def kilograms(
    *, weight: Annotated[Value, In("lb", 0)], kg_per_weight: Annotated[float, In("kg/lb")] = 0.45359237
) -> Annotated[Value, In("kg", 0)]:
    """Return a weight in kilograms from pounds."""
    return weight * kg_per_weight


@reference("ndmc-animal-units", "1 for 1,000 lb of cow; 26 lb of dry forage a day. Ewes and does: Texas chart")
def animal_units(
    *,
    body_weight: Annotated[Value, In("lb", 0)],
    species: Annotated[Value, In("ordinal", 1, 3)],
    unit_weight: Annotated[float, In("lb/animal_unit")] = 1000.0,
    unit_forage: Annotated[float, In("lb/animal_unit/day")] = 26.0,
    ewe_forage: Annotated[float, In("1/day")] = 0.035,
    doe_forage: Annotated[float, In("1/day")] = 0.045,
) -> Annotated[Value, In("animal_unit", 0)]:
    """Return the animal units of a head: of cattle (species 1) by weight, of ewes (2) and does (3) by what they eat.

    The Texas chart (read) has ewes of 130 lb eat 3.5 % of their weight, 0.18 of a unit, and Spanish does of 90 lb
    4.5 %, 0.16.
    """
    eaten = np.where(np.asarray(species) == 2, ewe_forage, doe_forage)
    return np.where(np.asarray(species) == 1, body_weight / unit_weight, body_weight * eaten / unit_forage)
