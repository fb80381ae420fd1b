import numpy as np
import pytest
from hypothesis import strategies as st

from podbook.reference import savings

AMOUNT = st.just(0.0) | st.floats(1e-3, 1e6)
AMOUNTS = st.lists(AMOUNT, min_size=1, max_size=5).map(np.array)
GROUP = {"head": 40, "season_days": 100, "intake": 10, "pod_share": 0.2}


@pytest.mark.parametrize(
    ("base", "pod", "cap"), [(5, 8, 1), (5, 2, 1), (9, 22, 0), (8, 22, 0), (12, 10, 0), (10, 10, 0), (8, 8, 1)]
)
def test_sugar_cap_at_its_ends(base, pod, cap):
    assert savings.sugar_cap(diet_sugar_limit=8, base_sugar=base, pod_sugar=pod) == cap


def test_the_lower_cap_counts():
    np.testing.assert_array_equal(savings.pod_share_cap(share_cap=0.2, sugar_cap=np.array([0.1, 0.3])), [0.1, 0.2])


def test_energy_and_protein_in_a_feed():
    assert savings.energy_from(dry=200, me=2.2) == pytest.approx(440)
    assert savings.protein_from(dry=200, cp=9) == pytest.approx(18)


def test_stockpile_on_offer():
    field = {"area": 10, "stockpile_yield": 2000, "standing_loss": 0.25, "use_share": 0.6}
    assert savings.stockpile_on_offer(**field) == pytest.approx(9000)


def test_supplement_fills_the_protein_gap():
    fed = savings.supplement_fed(protein_gap=19, supplement_cp=np.array([38.0, 0.0]))
    np.testing.assert_allclose(fed, [50, 0])
    tons = savings.supplement_bought(fed=fed, supplement_dry_matter=0.9)
    np.testing.assert_allclose(tons * 2000 * 0.9, fed)


def test_break_even_is_the_hay_price_at_which_nothing_is_saved():
    price = savings.break_even_hay_price(pod_cost=1000, supplement_saving=200, hay_saved=10)
    without = savings.cost(amount=10, price=price) + 200
    assert savings.saving(without=without, with_trees=1000) == pytest.approx(0)


@pytest.mark.parametrize(("pod_cost", "hay_saved"), [(1000, 0), (1000, -3), (100, 10)])
def test_break_even_is_never_below_nothing(pod_cost, hay_saved):
    assert savings.break_even_hay_price(pod_cost=pod_cost, supplement_saving=200, hay_saved=hay_saved) == 0


@pytest.mark.parametrize(("hay_saved", "break_even", "told"), [
    (0, 0, "at none: no hay is saved"), (-3, 0, "at none: no hay is saved"), (10, 80, "where hay costs more than that"),
    (10, 0, "at any price of hay"), (1e-9, 80, "at none: no hay is saved"), (10, 1e-9, "at any price of hay"),
])  # fmt: skip
def test_words_say_what_the_break_even_price_means(hay_saved, break_even, told):
    found = savings.break_even_word(hay_saved=hay_saved, without_pods=50, break_even=break_even, price=120)
    assert found == told
