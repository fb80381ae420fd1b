import numpy as np
import pytest

from podbook.errors import OutOfRange
from podbook.reference import energy

ADF = (
    energy.digestible_dry_matter_from_adf,
    energy.tdn_corn_silage_from_adf,
    energy.tdn_shelled_corn_from_adf,
    energy.tdn_ear_corn_from_adf,
)


@pytest.mark.parametrize("net", [energy.net_energy_maintenance, energy.net_energy_gain])
def test_net_energy_rises_with_me_and_stays_between_nothing_and_me(net):
    me = np.linspace(0, 5, 51)
    found = net(me=me)
    assert (np.diff(found) >= 0).all()
    assert ((found >= 0) & (found <= me)).all()
    assert found[0] == 0
    np.testing.assert_array_equal(found, [net(me=one) for one in me])


def test_gain_gets_less_out_of_a_feed_than_maintenance():
    me = np.linspace(1.3, 3.5, 23)
    assert (energy.net_energy_gain(me=me) < energy.net_energy_maintenance(me=me)).all()


# The printed equations worked by hand.
@pytest.mark.parametrize(
    ("regression", "adf", "expected"),
    [
        (energy.digestible_dry_matter_from_adf, 36, 60.856),
        (energy.digestible_dry_matter_from_adf, 30, 65.53),
        (energy.tdn_corn_silage_from_adf, 20, 73.84),
        (energy.tdn_shelled_corn_from_adf, 2, 89.15),
        (energy.tdn_ear_corn_from_adf, 10, 80.45),
    ],
)
def test_regressions_on_fibre(regression, adf, expected):
    assert regression(adf=adf) == pytest.approx(expected)


@pytest.mark.parametrize("regression", ADF)
def test_fibre_lowers_energy_and_has_a_range(regression):
    assert (np.diff(regression(adf=np.array([0.0, 10.0, 50.0]))) < 0).all()
    with pytest.raises(OutOfRange, match=r"adf is 51 percent; allowed is 0 to 50 \(source: nfta"):
        regression(adf=51)


def test_out_of_range_names_value_and_range():
    with pytest.raises(OutOfRange, match=r"me is -0.1 Mcal/kg_dry; allowed is 0 to 5"):
        energy.net_energy_gain(me=np.array([2.0, -0.1]))
    with pytest.raises(OutOfRange, match="me is nan"):
        energy.net_energy_maintenance(me=float("nan"))


def test_mesquite_pods_of_75_tdn():
    me = energy.metabolizable_energy(de=energy.digestible_energy(tdn=75))
    assert energy.megajoules(mcal=me) == pytest.approx(0.04409 * 75 * 0.82 * 4.184)
