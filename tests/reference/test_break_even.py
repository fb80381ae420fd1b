"""Where a planting breaks even: the price of hay and the yield of its trees, by hand."""

from __future__ import annotations

import numpy as np
import pytest

from podbook.reference import break_even, returns


# A worth of 300 $ on 10 tons (discounted): 30 $ a ton less would do. -300 $: 30 $ more. 3,000 $: nothing need be paid.
# In a winter without pods it takes 49 tons: 50 billionths of a ton are no hay saved, 60 are.
@pytest.mark.parametrize(
    ("npv", "tons", "price"),
    [
        (300, 10, 95),
        (-300, 10, 155),
        (3000, 10, 0),
        (300, 0, 0),
        (-5, -1, 0),
        (-300, 5e-8, 0),
        (-300, 6e-8, 125 + 5e9),
        (-300, 1e-30, 0),
    ],
)
def test_the_price_at_which_it_breaks_even(npv: float, tons: float, price: float) -> None:
    assert break_even.hay_price(price=125, npv=npv, tons_worth=tons, without_pods=49) == pytest.approx(price)


# From -300 at half to +100 at once and a half: three quarters of the way, 0.5 + 0.75.
@pytest.mark.parametrize(
    ("worths", "found", "before", "word"),
    [
        ([-400, -300, 100], 1.25, -300, "yes, read between those tried"),
        ([-400, 0, 100], 0.5, -400, "yes, read between those tried"),
        ([-400, -300, -1], 0, 0, "not up to 300 %"),
        ([0, 10, -20], 0, 0, "pays without pods"),
    ],
)
def test_the_yield_at_which_it_breaks_even(worths: list[float], found: float, before: float, word: str) -> None:
    yields = np.array([0.0, 0.5, 1.5])
    flags = np.array([float(returns.paid_back(total=each)) for each in worths])
    assert break_even.yield_share(yields=yields, worths=np.array(worths, dtype=float)) == pytest.approx(found)
    assert break_even.worth_before(worths=np.array(worths, dtype=float)) == before
    assert break_even.word_of_yield(flags=flags) == word
