"""What cattle need: how it moves with the animal and the season, and where the functions refuse."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from podbook.errors import OutOfRange
from podbook.reference import cattle, energy, intake

LB = 0.45359237

# NRC 1996 table for a cow of 1,200 lb with 20 lb of peak milk, from memory:
# month after calving, dry matter lb, TDN %, CP %.
COW_FROM_MEMORY = (
    *((1, 26.8, 58.7, 10.1), (2, 27.8, 59.9, 10.7), (3, 28.4, 57.6, 9.9), (4, 27.4, 56.2, 9.3)),
    *((5, 26.5, 54.7, 8.5), (6, 25.7, 53.4, 7.9), (7, 24.2, 44.9, 6.0), (8, 24.1, 45.8, 6.2)),
    *((9, 24.0, 47.1, 6.5), (10, 23.9, 49.3, 7.0), (11, 24.1, 52.3, 7.7), (12, 24.6, 56.2, 8.8)),
)


def kept(**changes: Any) -> Any:
    cow = {"breed_factor": 1, "lactation_factor": 1, "condition_factor": 1, "acclimatisation": 0}
    return cattle.maintenance(**{"shrunk_weight": 520.0, **cow, **changes})


def days_and_milk(month: int) -> tuple[float, float]:
    """Return days pregnant and kilograms of milk in a month after calving, dry from month 7."""
    milk = cattle.milk_yield(peak_milk=20 * LB, week=4.345 * month) if month < 7 else 0.0
    return max(0.0, 30.0 * (month - 3)), float(milk)


def diet_nem(tdn: float) -> Any:
    return energy.net_energy_maintenance(me=energy.metabolizable_energy(de=energy.digestible_energy(tdn=tdn)))


@pytest.mark.parametrize(("month", "dry_matter", "tdn", "_cp"), COW_FROM_MEMORY)
def test_net_energy_agrees_with_the_remembered_cow_table(month: int, dry_matter: float, tdn: float, _cp: float) -> None:
    days, milk = days_and_milk(month)
    carried = cattle.pregnancy_nem(pregnancy_me=cattle.pregnancy_me(calf_weight=38.5, days_pregnant=days))
    milked = cattle.lactation_ne(milk_yield=milk, milk_energy=cattle.milk_energy())
    weight = cattle.shrunk_weight(body_weight=1200 * LB)
    need = kept(shrunk_weight=weight, lactation_factor=1.2 if milk else 1.0) + carried + milked
    assert need == pytest.approx(dry_matter * LB * diet_nem(tdn), rel=0.03)


@pytest.mark.parametrize(("month", "dry_matter", "tdn", "cp"), COW_FROM_MEMORY[:11])
def test_protein_agrees_with_the_remembered_cow_table(month: int, dry_matter: float, tdn: float, cp: float) -> None:
    """The table's protein follows the full weight; its month 12 is 4 % above the equations and is left out."""
    days, milk = days_and_milk(month)
    carried = cattle.pregnancy_protein(calf_weight=38.5, days_pregnant=days)
    need = cattle.protein_requirement(
        shrunk_weight=1200 * LB, milk_yield=milk, pregnancy_protein=carried, gain_protein=0.0
    )
    assert need == pytest.approx(dry_matter * LB * cp / 100, rel=0.03)


@pytest.mark.parametrize(("month", "dry_matter", "tdn", "_cp"), COW_FROM_MEMORY)
def test_intake_agrees_with_the_remembered_cow_table(month: int, dry_matter: float, tdn: float, _cp: float) -> None:
    """The table eats by the full weight, as pregnant from month 3, and without a floor under the divisor."""
    eaten = intake.nrc_cow(
        shrunk_weight=1200 * LB,
        diet_nem=diet_nem(tdn),
        late_pregnancy=float(month >= 3),
        milk_yield=days_and_milk(month)[1],
        intake_nem_floor=0.1,
    )
    assert eaten == pytest.approx(dry_matter * LB, rel=0.03)


@pytest.mark.parametrize(("score", "factor"), [(1, 0.80), (4, 0.95), (5, 1.00), (6, 1.05), (9, 1.20)])
def test_condition_moves_maintenance_by_a_twentieth_a_score(score: float, factor: float) -> None:
    assert cattle.condition_factor(condition_score=score) == pytest.approx(factor, rel=1e-12)


def test_maintenance_follows_the_three_quarter_power_of_weight() -> None:
    assert kept(shrunk_weight=80.0 * 2 ** (4 / 3)) == pytest.approx(2 * kept(shrunk_weight=80.0), rel=1e-12)


def test_factors_and_cold_raise_maintenance() -> None:
    cold = cattle.acclimatisation(previous_temperature=-10.0)
    changes = ({"lactation_factor": 1.2}, {"breed_factor": 1.1}, {"condition_factor": 1.05}, {"acclimatisation": cold})
    assert all(kept(**change) > kept() for change in changes)


def test_acclimatisation_milk_and_protein_by_hand() -> None:
    """30 degrees at 0.0007; 0.368 + 0.4067 - 0.0569; 0.0038 x 64 kg, 0.221 kg of milk protein at 0.65."""
    assert cattle.acclimatisation(previous_temperature=-10.0) == pytest.approx(0.021, rel=1e-12)
    assert cattle.milk_energy() == pytest.approx(0.7178, rel=1e-12)
    need = cattle.protein_requirement(shrunk_weight=256.0, milk_yield=6.5, pregnancy_protein=0.065, gain_protein=0.1)
    assert need == pytest.approx((0.2432 + 0.34 + 0.1 + 0.1) / 0.67, rel=1e-12)


def test_pregnancy_protein_by_hand() -> None:
    """A calf of 40 kg at day 100: 0.001669 - 0.000211 = 0.001458 g N a kilogram, grown by exp(2.78 - 0.176)."""
    protein = cattle.pregnancy_protein(calf_weight=40.0, days_pregnant=100.0)
    assert protein == pytest.approx(6.25 * 40 * 0.001458 * np.exp(2.604) / 1000, rel=1e-9)


def test_warm_months_save_nothing_and_colder_ones_cost_more() -> None:
    felt = cattle.acclimatisation(previous_temperature=np.array([35.0, 20.0, 5.0, -15.0]))
    assert felt[0] == felt[1] == 0
    assert np.all(np.diff(felt[1:]) > 0)


@pytest.mark.parametrize("function", [cattle.pregnancy_me, cattle.pregnancy_protein])
def test_pregnancy_costs_nothing_at_first_and_more_every_day(function: Any) -> None:
    by_day = function(calf_weight=38.5, days_pregnant=np.arange(0.0, 281.0))
    assert by_day[0] == 0
    assert np.all(np.diff(by_day) > 0)


def test_milk_peaks_at_week_eight_and_a_half() -> None:
    weeks = np.arange(0.0, 60.5, 0.5)
    milk = cattle.milk_yield(peak_milk=8.0, week=weeks)
    assert milk[0] == 0
    assert weeks[np.argmax(milk)] == 8.5
    assert milk.max() == pytest.approx(8.0, rel=1e-12)


def test_gain_and_its_inverse_close() -> None:
    """NRC 1996 prints the gain that an RE feeds: 13.91 RE^0.9116 EQSBW^-0.6837 (from memory)."""
    gain = np.array([0.3, 0.6, 1.0, 1.4])
    kept_energy = cattle.gain_energy(shrunk_weight=300.0, mature_weight=478.0, gain=gain)
    assert 13.91 * kept_energy**0.9116 * 300.0**-0.6837 == pytest.approx(gain, rel=0.01)


def test_gain_costs_more_in_a_beast_nearer_its_mature_weight() -> None:
    def kept_energy(mature: float) -> Any:
        return cattle.gain_energy(shrunk_weight=260.0, mature_weight=mature, gain=0.7)

    assert kept_energy(450.0) > kept_energy(550.0)
    assert cattle.equivalent_weight(shrunk_weight=478.0, mature_weight=478.0) == pytest.approx(478.0)


def test_no_gain_needs_nothing() -> None:
    assert cattle.gain_energy(shrunk_weight=260.0, mature_weight=530.0, gain=0.0) == 0
    assert cattle.gain_protein(gain=0.0, gain_energy=0.0, equivalent_weight=230.0) == 0


def test_gain_protein_rises_with_gain_and_never_falls_below_nothing() -> None:
    def protein(gain: float, kept_energy: float) -> Any:
        return cattle.gain_protein(gain=gain, gain_energy=kept_energy, equivalent_weight=260.0)

    assert protein(1.0, 3.5) > protein(0.5, 1.6) > 0
    assert protein(0.1, 5.0) == 0


def test_gain_protein_by_hand() -> None:
    """268 - 29.4 x 4 = 150.4 g net, at an efficiency of 0.834 - 0.342 = 0.492."""
    protein = cattle.gain_protein(gain=1.0, gain_energy=4.0, equivalent_weight=300.0)
    assert protein == pytest.approx(0.1504 / 0.492, rel=1e-12)


def test_efficiency_of_gain_protein_stops_falling_at_300_kg() -> None:
    at = cattle.gain_protein(gain=1.0, gain_energy=4.0, equivalent_weight=np.array([250.0, 300.0, 500.0]))
    assert at[0] < at[1] == at[2]


def test_a_poorer_diet_must_bring_more_energy() -> None:
    def need(me: float, nem: float, neg: float, kept_energy: float = 2.0) -> Any:
        return cattle.me_requirement(nem_total=9.0, gain_energy=kept_energy, diet_me=me, diet_nem=nem, diet_neg=neg)

    assert need(1.8, 0.97, 0.42) > need(2.35, 1.47, 0.88)
    assert need(1.8, 0.9, 0.45) == pytest.approx(9.0 / 0.5 + 2.0 / 0.25)
    assert need(1.8, 0.97, 0.42, 0.0) == pytest.approx(9.0 * 1.8 / 0.97)
    assert need(1.4, 0.5, 0.0, 0.0) == pytest.approx(9.0 * 1.4 / 0.5)


def test_milk_pregnancy_and_gain_raise_the_protein_needed() -> None:
    def need(**changes: float) -> Any:
        dry = {"milk_yield": 0.0, "pregnancy_protein": 0.0, "gain_protein": 0.0}
        return cattle.protein_requirement(shrunk_weight=500.0, **{**dry, **changes})

    for name in ("milk_yield", "pregnancy_protein", "gain_protein"):
        assert need(**{name: 0.1}) > need()


def test_arrays_are_taken_element_by_element() -> None:
    weights, gains = np.array([200.0, 260.0, 320.0]), np.array([0.0, 0.5, 1.0])
    together = cattle.gain_energy(shrunk_weight=weights, mature_weight=530.0, gain=gains)
    alone = [
        cattle.gain_energy(shrunk_weight=float(weight), mature_weight=530.0, gain=float(gain))
        for weight, gain in zip(weights, gains, strict=True)
    ]
    assert together == pytest.approx(alone, rel=1e-15)


@pytest.mark.parametrize("score", [0.9, 9.1, float("nan")])
def test_a_condition_score_off_the_scale_is_refused(score: float) -> None:
    with pytest.raises(OutOfRange, match=rf"condition_score is {score:g} .*allowed is 1 to 9"):
        cattle.condition_factor(condition_score=score)


def test_one_day_too_many_in_an_array_is_refused() -> None:
    with pytest.raises(OutOfRange, match="days_pregnant is 291 day; allowed is 0 to 290"):
        cattle.pregnancy_me(calf_weight=38.5, days_pregnant=np.array([10.0, 291.0]))
