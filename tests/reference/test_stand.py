import numpy as np
import pytest

from podbook.errors import OutOfRange
from podbook.reference import stand

AGES = np.arange(0, 41, dtype=float)
YOUNG = {"establishment_loss": 0.2, "replanted_share": 0.75, "replant_delay": 2}
RAMP = {"first_crop_age": 4, "full_crop_age": 12}


@pytest.mark.parametrize(("row", "tree", "trees"), [(40, 40, 27.2), (30, 40, 36.3), (35.28, 35.28, 35.0)])
def test_trees_on_an_acre(row, tree, trees):
    assert stand.trees_per_area(row_spacing=row, tree_spacing=tree) == pytest.approx(trees, abs=0.05)


def test_spacing_out_of_range():
    with pytest.raises(OutOfRange, match=r"row_spacing is 4 foot; allowed is 5 to 200"):
        stand.trees_per_area(row_spacing=4, tree_spacing=40)


def test_bearing_starts_at_the_first_crop_rises_and_ends_at_what_was_replanted():
    found = stand.bearing(age=AGES, **RAMP, **YOUNG)
    assert (found[:4] == 0).all()
    assert found[4] == pytest.approx(0.8 / 9)
    assert (np.diff(found) >= 0).all()
    np.testing.assert_allclose(found[14:], 0.8 + 0.2 * 0.75)
    np.testing.assert_array_equal(found, [stand.bearing(age=age, **RAMP, **YOUNG) for age in AGES])


def test_full_crop_age_below_first_crop_age_counts_as_equal():
    young = {"establishment_loss": 0, "replanted_share": 0, "replant_delay": 0}
    found = stand.bearing(age=np.array([5.0, 6.0, 7.0]), first_crop_age=6, full_crop_age=2, **young)
    np.testing.assert_array_equal(found, [0, 1, 1])


def test_standing_loses_the_same_share_every_year_after_replanting():
    found = stand.standing(age=AGES, yearly_loss=0.01, replant_delay=3)
    np.testing.assert_array_equal(found[:4], 1)
    np.testing.assert_allclose(found[4:] / found[3:-1], 0.99)
    assert stand.standing(age=3, yearly_loss=1, replant_delay=3) == 1


def test_trees_standing_before_and_after_replanting():
    trees = {"trees_per_area": 50, "establishment_loss": 0.2, "replanted_share": 1, "replant_delay": 4}
    found = stand.trees_standing(age=np.array([0.0, 2.0, 4.0, 6.0]), yearly_loss=0.1, **trees)
    np.testing.assert_allclose(found, [50, 45, 50, 40.5])


def test_trees_standing_without_a_delay():
    found = stand.trees_standing(
        age=0, trees_per_area=50, establishment_loss=0.2, replanted_share=0, replant_delay=0, yearly_loss=0
    )
    assert found == pytest.approx(40)


@pytest.mark.parametrize("ratio", [0.0, 0.16, 0.31, 1.0])
def test_on_year_and_off_year_keep_the_mean_and_their_ratio(ratio):
    on, off = stand.on_factor(off_to_on=ratio), stand.off_factor(off_to_on=ratio)
    assert (on + off) / 2 == pytest.approx(1)
    assert off == pytest.approx(ratio * on)


def test_season_factor():
    found = stand.season_factor(
        pair_year=np.array([1, 0, 1, 0]),
        alternate=np.array([1, 1, 0, 0]),
        on_factor=1.5,
        off_factor=0.5,
        frost_chance=0.2,
    )
    np.testing.assert_allclose(found, [1.2, 0.4, 0.8, 0.8])


def test_crop_per_area_is_in_proportion_to_each_part():
    full = {"trees_per_area": 35.0, "type_share": 1.0, "bearing_share": 1.0, "full_crop": 84.76}
    year = {"bearing": 1.0, "standing": 1.0, "season_factor": 1.0}
    crop = stand.full_crop_per_area(**full)
    assert crop == pytest.approx(2966.6)
    for name, value in full.items():
        assert stand.full_crop_per_area(**{**full, name: value / 2}) == pytest.approx(crop / 2)
    for name, value in year.items():
        found = stand.crop_per_area(full_area=crop, **{**year, name: value / 2})
        assert found == pytest.approx(crop / 2)


def test_as_picked_weighs_more_and_guards_against_no_dry_matter():
    np.testing.assert_allclose(stand.as_picked(dry=85.0, dry_matter=np.array([0.85, 0.0])), [100, 0])


def test_losses_follow_one_another():
    losses = {"wildlife_loss": 0.1, "never_picked": 0.2}
    assert stand.share_reaching(**losses) == pytest.approx(0.72)
    assert stand.share_reaching(**{**losses, "never_picked": 1}) == 0


def test_crown_cover_grows_to_its_widest_and_never_beyond_the_ground():
    crowns = {"crown_growth": 2, "crown_max": 40, "trees_standing": 27.225}
    found = stand.crown_cover(age=AGES, **crowns)
    assert found[0] == 0
    np.testing.assert_allclose(found[20:], np.pi / 4)
    assert (np.diff(found[:21]) > 0).all()
    assert stand.crown_cover(age=30, crown_growth=2, crown_max=60, trees_standing=50) == 1


def test_grass_gains_in_light_shade_and_loses_in_dense_shade():
    found = stand.grass_response(
        cover=np.array([0.0, 0.1, 0.2, 0.5, 1.0]), light_cover=0.2, light_gain=0.1, dense_cover=0.5, dense_loss=0.8
    )
    np.testing.assert_allclose(found, [0, 0.05, 0.1, 0.1, -0.3])
    np.testing.assert_allclose(stand.grass_change(open_grass=3000, response=found), found * 3000)


def test_trees_to_order():
    found = stand.trees_to_replant(trees_to_plant=140, establishment_loss=0.2, replanted_share=0.5)
    assert found == pytest.approx(14)


def test_who_bears():
    found = stand.bearing_share(grafted=np.array([1, 0]), pollinator_share=0.12, seedling_bearing_share=0.4)
    np.testing.assert_allclose(found, [0.88, 0.4])
