"""What a planting breaks even at: the price of hay, and the yield of its trees.

Money is in dollars of the year of planting; worths are present values.
"""

from typing import Annotated

import numpy as np
from numpy.typing import NDArray

from podbook.reference.contract import Value, Words, reference
from podbook.units import In

Money = Annotated[Value, In("USD")]


@reference("arithmetic", "price - worth / worth of a dollar on the price")
def hay_price(
    *,
    price: Annotated[Value, In("USD/short_ton_fed", 0)],
    npv: Money,
    tons_worth: Annotated[Value, In("short_ton_fed")],
    without_pods: Annotated[Value, In("short_ton_fed", 0)],
    rounding: Annotated[float, In("fraction")] = 1e-9,
) -> Annotated[Value, In("USD/short_ton_fed", 0)]:
    """Return the hay price at which the planting is worth nothing more nor less, never below 0.

    ``tons_worth`` is the hay saved over the years, discounted; ``without_pods`` the hay of a winter. 0 where no hay is
    saved, but for rounding: a price made of next to nothing says nothing.
    """
    saved = np.asarray(tons_worth) > rounding * (1 + np.asarray(without_pods))
    return np.where(saved, np.maximum(0.0, price - npv / np.where(saved, tons_worth, 1.0)), 0.0)


@reference("arithmetic", "worth without feed + worth of the feed")
def worth_at_yield(*, npv: Money, feed_worth: Money, tried_worth: Money) -> Money:
    """Return the present value were the trees to bear another yield: the feed of the plan out, the other feed in."""
    return npv - feed_worth + tried_worth


@reference("arithmetic", "first crossing, along a straight line")
def yield_share(
    *, yields: Annotated[NDArray[np.float64], In("fraction", 0)], worths: Annotated[NDArray[np.float64], In("USD")]
) -> Annotated[Value, In("fraction", 0)]:
    """Return the yield, as a share of the plan's, at which the present value comes up to 0; 0 where it never does.

    0 too where it is not below 0 without any pods.
    """
    above = np.asarray(worths) >= 0
    place = int(np.argmax(above))
    if not above.any() or place == 0:
        return 0.0
    low, high = worths[place - 1], worths[place]
    return float(yields[place - 1] + (yields[place] - yields[place - 1]) * (0 - low) / (high - low))


@reference("arithmetic", "the last below 0 before the first that is not")
def worth_before(*, worths: Annotated[NDArray[np.float64], In("USD")]) -> Money:
    """Return the present value just before the first that is not below 0; 0 where there is none before it."""
    above = np.asarray(worths) >= 0
    place = int(np.argmax(above))
    return float(worths[place - 1]) if place > 0 else 0.0


@reference("arithmetic", "one of several")
def word_of_yield(*, flags: Annotated[Value, In("flag", 0, 1)]) -> Annotated[Words, In("text")]:
    """Return whether there is a yield at which a planting just pays, from flags that are 1 where it does."""
    flags = np.asarray(flags)
    if not np.any(flags == 1):
        return "not up to 300 %"
    return "pays without pods" if flags[0] == 1 else "yes, read between those tried"
