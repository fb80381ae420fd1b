import numpy as np
import pytest

from podbook.errors import OutOfRange
from podbook.reference import quick


def test_dry_of_fed_takes_the_water_out_and_content_dry_puts_it_on_the_dry():
    assert quick.dry_of_fed(fed=10, dry_matter=0.5) == 5
    assert quick.content_dry(content_fed=10, dry_matter=0.5) == 20
    assert quick.content_dry(content_fed=10, dry_matter=0) == 0


def test_a_bale_of_twice_the_diameter_weighs_four_times_as_much():
    small, large = (
        quick.bale_weight(volume=quick.round_bale_volume(width=4, diameter=diameter), density=10) for diameter in (3, 6)
    )
    assert large == pytest.approx(4 * small)


def test_a_round_bale_fits_in_a_square_one():
    cube = quick.square_bale_volume(length=5, width=5, height=5)
    assert quick.round_bale_volume(width=5, diameter=5) == pytest.approx(cube * np.pi / 4)


def test_bales_weigh_what_the_tons_weigh():
    assert quick.bales_of(tons=3, bale_weight=1200) == 5
    assert quick.bales_of(tons=3, bale_weight=0) == 0


def test_an_empty_herd_eats_no_days():
    assert quick.days_for_herd(head_days=33, area=10, head=0) == 0
    assert quick.days_for_herd(head_days=33, area=10, head=11) == 30


def test_forage_without_tdn_gives_none():
    assert quick.more_forage(more_tdn=2, forage_tdn=0) == 0
    assert quick.more_forage(more_tdn=2, forage_tdn=50) == 4


@pytest.mark.parametrize(
    ("increase", "says"),
    [
        (0, "feed can meet it"),
        (0.30, "feed can meet it"),
        (0.31, "LOOK: shelter, not feed"),
        (1.1, "LOOK: shelter, not feed"),
    ],
)
def test_cold_past_the_ceiling_asks_for_shelter(increase, says):
    assert quick.cold_answer(increase=increase) == says


def test_losses_come_one_after_the_other():
    assert quick.left_of(amount=70, loss=0.1) == pytest.approx(63)
    assert quick.wasted_of_bale(bale_weight=1000, storage_loss=0.1, feeding_waste=0.2) == pytest.approx(180)


def test_square_spacing_gives_back_the_trees():
    feet = quick.square_spacing(trees_per_area=35)
    assert round(float(feet), 1) == 35.3
    assert 43560 / feet**2 == pytest.approx(35)
    assert quick.square_spacing(trees_per_area=0) == 0


def test_trees_without_pods_bear_none():
    assert quick.pods_per_area(mean=100, trees_per_area=30, bearing_share=0.5) == 1500
    assert quick.pods_per_area(mean=100, trees_per_area=30, bearing_share=0) == 0


def test_out_of_range_is_refused():
    with pytest.raises(OutOfRange, match=r"dry_matter is 88 lb_dry/lb_fed; allowed is 0 to 1"):
        quick.dry_of_fed(fed=10, dry_matter=88)
    with pytest.raises(OutOfRange, match=r"circle is 6.28 fraction; allowed is 3 to 3.2"):
        quick.round_bale_volume(width=4, diameter=5, circle=6.28)
