"""Daily requirements of goats, after NRC 1981."""

from typing import Annotated

import numpy as np

from podbook.reference.contract import Value, reference
from podbook.reference.metabolic import metabolic_weight
from podbook.units import In


@reference("nrc-goats-1981", "p. 10; activity: Table 1")
def maintenance(
    *,
    body_weight: Annotated[Value, In("kg/head", 10, 130)],
    activity: Annotated[Value, In("fraction", 0, 0.75)],
    goat_maintenance: Annotated[float, In("Mcal/kg**0.75/day")] = 0.10138,
    metabolic_power: Annotated[float, In("dimensionless")] = 0.75,
) -> Annotated[Value, In("Mcal/head/day")]:
    """Return the metabolizable energy that keeps a goat for a day.

    ME = 0.10138 BW^0.75 (1 + activity). Coefficient read in the named edition; the activity shares (0.25 light,
    0.50 hilly pasture, 0.75 long ways) are from memory.
    """
    return goat_maintenance * metabolic_weight(body_weight, metabolic_power) * (1 + activity)


@reference("aces-anr812", "Table 3, late pregnancy, after NRC 1981")
def pregnancy(
    *,
    late_pregnancy: Annotated[Value, In("flag", 0, 1)],
    goat_pregnancy: Annotated[float, In("Mcal/head/day")] = 1.42,
) -> Annotated[Value, In("Mcal/head/day")]:
    """Return the metabolizable energy that late pregnancy adds, for any goat.

    1.42 Mcal: the 0.87 lb TDN read in the named table, times 0.45359237 kg/lb, 4.409 Mcal DE/kg and 62/76 ME/DE.
    """
    return goat_pregnancy * late_pregnancy


@reference("nrc-goats-1981", "p. 10")
def growth(
    *,
    gain: Annotated[Value, In("kg/head/day", 0, 0.5)],
    goat_gain_energy: Annotated[float, In("Mcal/kg")] = 7.25,
) -> Annotated[Value, In("Mcal/head/day")]:
    """Return the metabolizable energy for a day's gain.

    7.25 Mcal ME a kilogram. Read in the named edition.
    """
    return goat_gain_energy * gain


@reference("nrc-goats-1981", "p. 10")
def milk(
    *,
    milk_yield: Annotated[Value, In("kg/head/day", 0, 10)],
    goat_milk_energy: Annotated[float, In("Mcal/kg")] = 1.24612,
) -> Annotated[Value, In("Mcal/head/day")]:
    """Return the metabolizable energy for milk of 4 % fat.

    1.24612 Mcal ME a kilogram. Read in the named edition.
    """
    return goat_milk_energy * milk_yield


@reference("nrc-goats-1981", "p. 10")
def protein(
    *,
    me: Annotated[Value, In("Mcal/head/day", 0, 100)],
    goat_me_per_de: Annotated[float, In("fraction", 0.5, 1)] = 0.8158,
    goat_cp_per_de: Annotated[float, In("kg/Mcal")] = 0.032,
) -> Annotated[Value, In("kg/head/day")]:
    """Return the crude protein that goes with a goat's energy.

    32 g CP per Mcal DE, DE = ME 76/62. Read in the named edition. Low for late pregnancy, where the
    table prints 0.18 lb CP with 0.87 lb TDN: half as much again.
    """
    return me / goat_me_per_de * goat_cp_per_de


@reference("judgement", "last third of a pregnancy of 150 days")
def late_pregnancy(
    *,
    days_pregnant: Annotated[Value, In("day", 0, 155)],
    goat_late_from: Annotated[float, In("day", 0, 155)] = 100,
) -> Annotated[Value, In("flag", 0, 1)]:
    """Return 1 from day 100 of a doe's pregnancy on, else 0.

    The named tables say only 'late pregnancy'; the day is judgement.
    """
    return np.where(days_pregnant >= goat_late_from, 1.0, 0.0)


@reference("aces-anr812", "Table 3: late pregnancy is added to the rest")
def protein_in_all(
    *,
    protein: Annotated[Value, In("kg/head/day", 0)],
    late_pregnancy: Annotated[Value, In("flag", 0, 1)],
    goat_pregnancy_protein: Annotated[float, In("kg/head/day", 0, 1)] = 0.0816,
) -> Annotated[Value, In("kg/head/day")]:
    """Return the crude protein of a doe: what her other needs take, and more in late pregnancy.

    0.18 lb (0.0816 kg). Read in a copy of NRC 1981.
    """
    return protein + late_pregnancy * goat_pregnancy_protein
