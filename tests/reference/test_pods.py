import numpy as np
import pytest

from podbook.errors import OutOfRange
from podbook.reference import pods


def tdn(*, cp, ndf, ndicp, adicp, fat, ash, lignin):
    return pods.total_digestible_nutrients(
        digestible_nfc=pods.digestible_non_fibre(
            nfc=pods.non_fibre_carbohydrate(cp=cp, ndf=ndf, ndicp=ndicp, fat=fat, ash=ash)
        ),
        digestible_cp=pods.digestible_protein(cp=cp, adicp=adicp),
        fatty_acids=pods.fatty_acids(fat=fat),
        digestible_ndf=pods.digestible_fibre(ndf=ndf, ndicp=ndicp, lignin=lignin),
    )


FORAGE = {"cp": 19, "ndf": 45, "ndicp": 4, "adicp": 1.5, "fat": 2.5, "ash": 9, "lignin": 7.5}


def test_analysis_of_ground_pods_turned_to_dry_matter():
    as_fed = np.array([8.58, 3.14, 2.12, 17.73, 55.96])
    dry = pods.dry_basis(value=as_fed, moisture=12.47, as_fed=1)
    np.testing.assert_allclose(dry, [9.80, 3.59, 2.42, 20.26, 63.93], atol=0.005)
    assert dry.sum() == pytest.approx(100, abs=0.01)
    np.testing.assert_allclose(dry * pods.dry_matter_share(moisture=12.47), as_fed)
    np.testing.assert_array_equal(pods.dry_basis(value=dry, moisture=12.47, as_fed=0), dry)


def test_basis_is_taken_row_by_row():
    found = pods.dry_basis(value=np.array([10.0, 10.0]), moisture=50, as_fed=np.array([1, 0]))
    np.testing.assert_allclose(found, [20, 10])


def test_closure_adds_and_carbohydrate_is_what_is_left():
    parts = {"cp": 9, "ndf": 30, "fat": 2, "ash": 4}
    left = pods.non_fibre_carbohydrate(**parts, ndicp=0)
    assert pods.closure(**parts) == 45
    assert pods.closure(**parts) + left == 100
    assert pods.non_fibre_carbohydrate(cp=60, ndf=60, ndicp=0, fat=5, ash=5) == 0


# The printed equations worked by hand for a forage.
def test_parts_of_the_summative_equation():
    assert pods.non_fibre_carbohydrate(cp=19, ndf=45, ndicp=4, fat=2.5, ash=9) == pytest.approx(28.5)
    assert pods.digestible_non_fibre(nfc=28.5) == pytest.approx(27.93)
    assert pods.digestible_protein(cp=19, adicp=1.5) == pytest.approx(17.28, abs=0.005)
    assert pods.fatty_acids(fat=2.5) == 1.5
    assert pods.digestible_fibre(ndf=45, ndicp=4, lignin=7.5) == pytest.approx(17.03, abs=0.005)
    assert tdn(**FORAGE) == pytest.approx(58.6, abs=0.05)


def test_pure_sugar_sets_the_ceiling_and_nothing_the_floor():
    nothing = dict.fromkeys(FORAGE, 0)
    assert tdn(**nothing) == pytest.approx(91.0)
    assert tdn(**{**nothing, "ash": 100}) == 0


@pytest.mark.parametrize(("part", "change"), [("ash", 5), ("lignin", 3), ("adicp", 3)])
def test_what_is_not_digested_lowers_tdn(part, change):
    assert tdn(**{**FORAGE, part: FORAGE[part] + change}) < tdn(**FORAGE)


def test_guards_of_the_summative_equation():
    assert pods.digestible_protein(cp=0, adicp=0) == 0
    assert pods.fatty_acids(fat=0.4) == 0
    ndf = np.array([0.0, 5.0, 5.0, 30.0])
    found = pods.digestible_fibre(ndf=ndf, ndicp=np.array([0.0, 5.0, 2.0, 2.0]), lignin=np.array([0.0, 0.0, 3.0, 28.0]))
    np.testing.assert_array_equal(found, [0, 0, 0, 0])
    assert pods.digestible_fibre(ndf=30, ndicp=2, lignin=0) == pytest.approx(0.75 * 28)


@pytest.mark.parametrize("share", [0.0, 0.2, 0.35, 0.6])
def test_husk_by_difference_inverts_whole_pod(share):
    husk, seed = np.array([6.0, 78.7]), np.array([22.0, 96.3])
    whole = pods.whole_pod(husk=husk, seed=seed, seed_share=share)
    np.testing.assert_allclose(pods.husk_by_difference(whole=whole, seed=seed, seed_share=share), husk)
    assert ((whole >= husk) & (whole <= seed)).all()


def test_husk_by_difference_is_never_below_nothing():
    assert pods.husk_by_difference(whole=5, seed=40, seed_share=0.5) == 0


# Digestibility of husk (78.7) and seed (96.3) read in a trial, blended by hand.
@pytest.mark.parametrize(
    ("share", "ground", "unbroken"), [(0.20, 82.2, 63.0), (0.25, 83.1, 59.0), (0.30, 84.0, 55.1), (0.35, 84.9, 51.2)]
)
def test_blend_of_husk_and_seed(share, ground, unbroken):
    pod = {"husk": 78.7, "seed": 96.3, "seed_share": share}
    assert pods.whole_pod(**pod) == pytest.approx(ground, abs=0.051)
    assert pods.reachable(**pod, seed_access=1) == pytest.approx(pods.whole_pod(**pod))
    assert pods.reachable(**pod, seed_access=0) == pytest.approx(unbroken, abs=0.051)
    assert unbroken < pods.reachable(**pod, seed_access=0.1) < ground


def test_rank_counts_the_greater_ones():
    values = np.array([3.0, 9.0, 9.0, 1.0])
    np.testing.assert_array_equal(pods.rank(value=values, values=values), [3, 1, 1, 4])
    assert pods.rank(value=5.0, values=values) == 3


def test_worth_in_hay_follows_the_price_of_hay():
    assert pods.worth_in_hay(reachable_me_per_tree=60, hay_cost_per_me=0.05) == pytest.approx(3.0)


def test_out_of_range_names_value_and_range():
    with pytest.raises(OutOfRange, match=r"moisture is 61 percent; allowed is 0 to 60"):
        pods.dry_basis(value=9, moisture=61, as_fed=1)
    with pytest.raises(OutOfRange, match=r"seed_share is 1 fraction; allowed is 0 to 0.6"):
        pods.husk_by_difference(whole=9, seed=20, seed_share=1)
    with pytest.raises(OutOfRange, match=r"cp is 101 percent"):
        pods.closure(cp=101, ndf=0, fat=0, ash=0)
