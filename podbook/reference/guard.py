"""Division that says what it returns where there is nothing to divide by, sums over a list, answers one by one."""

from collections.abc import Callable
from typing import Any

import numpy as np

from podbook.reference.contract import Value


def ratio(part: Value, whole: Value, otherwise: Value = 0.0) -> Value:
    """Return part / whole, and ``otherwise`` where the whole is zero."""
    nothing = np.asarray(whole) == 0
    return np.where(nothing, otherwise, part / np.where(nothing, 1.0, whole))


def added(values: Value) -> Value:
    """Return the sum along the first axis: of a list, or of each draw where draws stand side by side."""
    found: Value = np.add.reduce(values, axis=0)
    return found


def each(answer: Callable[..., Any], *given: Any, kind: type) -> Any:
    """Return what an answer of some kind is for what is given: element by element where that is a NumPy array."""
    if any(isinstance(one, np.ndarray) for one in given):
        return np.vectorize(answer, otypes=[kind])(*given)
    return answer(*given)
