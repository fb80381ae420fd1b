"""Metabolic weight: body weight to the power that heat production follows."""

import numpy as np
from numpy.typing import NDArray

from podbook.reference.contract import Value


def metabolic_weight(weight: Value, power: float) -> NDArray[np.float64]:
    """Return weight to a power."""
    return np.asarray(np.power(weight, power))
