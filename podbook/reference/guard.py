"""Division that says what it returns where there is nothing to divide by, and sums over a list."""

import numpy as np

from podbook.reference.contract import Value


def ratio(part: Value, whole: Value, otherwise: Value = 0.0) -> Value:
    """Return part / whole, and ``otherwise`` where the whole is zero."""
    nothing = np.asarray(whole) == 0
    return np.where(nothing, otherwise, part / np.where(nothing, 1.0, whole))


def added(values: Value) -> Value:
    """Return the sum along the first axis: of a list, or of each draw where draws stand side by side."""
    found: Value = np.sum(values, axis=0)
    return found
