"""Weights in other units, from exact factors."""

from typing import Annotated

from podbook.reference.contract import Value, reference
from podbook.units import In


@reference("nist-sp811", "Appendix B.8: 1 lb = 0.453 592 37 kg, exactly")
def kilograms(
    *, weight: Annotated[Value, In("lb", 0)], kg_per_weight: Annotated[float, In("kg/lb")] = 0.45359237
) -> Annotated[Value, In("kg", 0)]:
    """Return a weight in kilograms from pounds."""
    return weight * kg_per_weight
