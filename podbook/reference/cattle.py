"""Energy and protein that cattle need in a day, from shrunk body weight."""

from typing import Annotated

import numpy as np

from podbook.reference.contract import Value, reference
from podbook.reference.metabolic import metabolic_weight
from podbook.units import In


@reference("arkansas-mp391", "shrunk body weight, from NRC 1996")
def shrunk_weight(
    *,
    body_weight: Annotated[Value, In("kg/head", 20, 1300)],
    shrink: Annotated[float, In("fraction", 0.8, 1)] = 0.96,
) -> Annotated[Value, In("kg/head")]:
    """Return the shrunk weight of a beast from its full weight.

    SBW = 0.96 BW. Read in the named bulletin, which takes it from NRC 1996.
    """
    return shrink * body_weight


@reference("nasem-beef-2016", "meeting abstract 1022, factor COMP")
def condition_factor(
    *,
    condition_score: Annotated[Value, In("dimensionless", 1, 9)],
    condition_base: Annotated[float, In("dimensionless")] = 0.8,
    condition_step: Annotated[float, In("dimensionless")] = 0.05,
) -> Annotated[Value, In("dimensionless")]:
    """Return the factor by which body condition changes maintenance: 1 at score 5.

    COMP = 0.8 + 0.05 (score - 1), scores 1 to 9. Read in the named abstract.
    """
    return condition_base + condition_step * (condition_score - 1)


@reference("nasem-beef-2016", "meeting abstract 1022, factor a2")
def acclimatisation(
    *,
    previous_temperature: Annotated[Value, In("degC", -40, 40)],
    acclimatisation_slope: Annotated[float, In("Mcal/kg**0.75/day/delta_degC")] = 0.0007,
    neutral_temperature: Annotated[float, In("degC")] = 20,
) -> Annotated[Value, In("Mcal/kg**0.75/day")]:
    """Return what maintenance grows by, per unit of metabolic weight, in cattle used to the cold.

    a2 = 0.0007 (20 - T), T the mean temperature of about the last month; never below 0, so that warmth saves
    nothing. Slope read in the named abstract; the floor is judgement. Not to be added to the increase below a
    critical temperature: the two describe the same cold.
    """
    return np.maximum(0, acclimatisation_slope * (neutral_temperature - previous_temperature))


@reference("nasem-beef-2016", "meeting abstract 1022, equation of NEm")
def maintenance(
    *,
    shrunk_weight: Annotated[Value, In("kg/head", 20, 1250)],
    breed_factor: Annotated[Value, In("dimensionless", 0.8, 1.3)],
    lactation_factor: Annotated[Value, In("dimensionless", 1, 1.2)],
    condition_factor: Annotated[Value, In("dimensionless", 0.8, 1.2)],
    acclimatisation: Annotated[Value, In("Mcal/kg**0.75/day", 0, 0.05)],
    fasting_heat: Annotated[float, In("Mcal/kg**0.75/day")] = 0.077,
    metabolic_power: Annotated[float, In("dimensionless")] = 0.75,
) -> Annotated[Value, In("Mcal/head/day")]:
    """Return the net energy (NEm) that keeps a cow, heifer or steer alive for a day.

    NEm = SBW^0.75 (0.077 BE L COMP + a2). Read in the named abstract. The lactation factor 1.2 of suckled beef
    cows and the breed factors are from memory (NRC 1996, chapter 10). Not for bulls, which need 15 % more.
    """
    per_metabolic_weight = fasting_heat * breed_factor * lactation_factor * condition_factor
    return metabolic_weight(shrunk_weight, metabolic_power) * (per_metabolic_weight + acclimatisation)


@reference("nrc-beef-1996", "p. 43, equations 4-4 to 4-7")
def pregnancy_me(
    *,
    calf_weight: Annotated[Value, In("kg/head", 0, 70)],
    days_pregnant: Annotated[Value, In("day", 0, 290)],
    pregnancy_a: Annotated[float, In("kcal/kg/day")] = 0.4504,
    pregnancy_b: Annotated[float, In("kcal/kg/day**2")] = 0.000766,
    pregnancy_c: Annotated[float, In("1/day")] = 0.03233,
    pregnancy_d: Annotated[float, In("1/day**2")] = 0.0000275,
    kcal_per_energy: Annotated[float, In("kcal/Mcal")] = 1000,
) -> Annotated[Value, In("Mcal/head/day")]:
    """Return the metabolizable energy of pregnancy from the calf's birth weight; 0 at day 0.

    ME = CBW (0.4504 - 0.000766 t) exp((0.03233 - 0.0000275 t) t) kcal. The four constants are from memory; with
    the efficiency 0.576 they give the values read in Table 4-2 of the named edition within 0.002.
    """
    growth = np.exp((pregnancy_c - pregnancy_d * days_pregnant) * days_pregnant)
    kcal = calf_weight * (pregnancy_a - pregnancy_b * days_pregnant) * growth
    return np.where(days_pregnant > 0, kcal / kcal_per_energy, 0.0)


@reference("nrc-beef-1996", "p. 43")
def pregnancy_nem(
    *,
    pregnancy_me: Annotated[Value, In("Mcal/head/day", 0, 20)],
    pregnancy_efficiency: Annotated[float, In("fraction", 0, 1)] = 0.576,
) -> Annotated[Value, In("Mcal/head/day")]:
    """Return the net energy for maintenance that stands for the metabolizable energy of pregnancy.

    NEm = 0.576 ME. Read in the named edition.
    """
    return pregnancy_efficiency * pregnancy_me


@reference("nrc-beef-1996", "energy of milk, from Tyrrell and Reid 1965; from memory")
def milk_energy(
    *,
    milk_fat: Annotated[Value, In("percent", 0, 12)] = 4,
    milk_snf: Annotated[Value, In("percent", 0, 15)] = 8.3,
    milk_fat_energy: Annotated[float, In("Mcal/kg/percent")] = 0.092,
    milk_snf_energy: Annotated[float, In("Mcal/kg/percent")] = 0.049,
    milk_energy_constant: Annotated[float, In("Mcal/kg")] = 0.0569,
) -> Annotated[Value, In("Mcal/kg")]:
    """Return the net energy in a kilogram of milk from its fat and its solids-not-fat.

    E = 0.092 fat + 0.049 SNF - 0.0569. The constants are from memory; the same equation per pound was read.
    """
    return milk_fat_energy * milk_fat + milk_snf_energy * milk_snf - milk_energy_constant


@reference("nrc-beef-1996", "p. 45")
def milk_yield(
    *,
    peak_milk: Annotated[Value, In("kg/head/day", 0, 30)],
    week: Annotated[Value, In("week", 0, 60)],
    peak_week: Annotated[float, In("week", 1, 20)] = 8.5,
) -> Annotated[Value, In("kg/head/day")]:
    """Return the milk of a suckled cow in a week after calving; 0 at week 0.

    Y = n / (a exp(k n)) with k = 1/8.5 and a = 1/(peak k e), that is peak (n/8.5) exp(1 - n/8.5). Form and
    week of the peak read in the named edition, k and a from memory. Usual peaks are 4 to 14 kg (read).
    """
    of_peak = week / peak_week
    return peak_milk * of_peak * np.exp(1 - of_peak)


@reference("nrc-beef-1996", "net energy of milk; from memory")
def lactation_ne(
    *,
    milk_yield: Annotated[Value, In("kg/head/day", 0, 30)],
    milk_energy: Annotated[Value, In("Mcal/kg", 0, 2)],
) -> Annotated[Value, In("Mcal/head/day")]:
    """Return the net energy that goes out with the milk, counted with that for maintenance.

    NE = Y E. From memory that milk and maintenance are fed with the same efficiency in the named system.
    """
    return milk_yield * milk_energy


@reference("nrc-beef-1996", "chapter 3, EQSBW; from memory")
def equivalent_weight(
    *,
    shrunk_weight: Annotated[Value, In("kg/head", 20, 1250)],
    mature_weight: Annotated[Value, In("kg/head", 150, 1250)],
    standard_weight: Annotated[float, In("kg", 400, 500)] = 478,
) -> Annotated[Value, In("kg")]:
    """Return the weight at which the standard animal is as far grown as this one.

    EQSBW = SBW 478 / (shrunk weight when mature). From memory (NRC 1996).
    """
    return shrunk_weight * standard_weight / mature_weight


@reference("nrc-beef-1996", "chapter 3, RE; from memory")
def gain_energy(
    *,
    shrunk_weight: Annotated[Value, In("kg/head", 20, 1250)],
    mature_weight: Annotated[Value, In("kg/head", 150, 1250)],
    gain: Annotated[Value, In("kg/head/day", 0, 2.5)],
    standard_weight: Annotated[float, In("kg", 400, 500)] = 478,
    gain_coefficient: Annotated[float, In("Mcal*day**0.097/kg**1.847")] = 0.0635,
    empty_body: Annotated[float, In("fraction", 0, 1)] = 0.891,
    empty_gain: Annotated[float, In("fraction", 0, 1)] = 0.956,
    metabolic_power: Annotated[float, In("dimensionless")] = 0.75,
    gain_power: Annotated[float, In("dimensionless")] = 1.097,
) -> Annotated[Value, In("Mcal/head/day")]:
    """Return the net energy (RE) kept in a day's shrunk gain; 0 without gain.

    RE = 0.0635 EQEBW^0.75 EBG^1.097 Mcal, EQEBW = 0.891 EQSBW, EBG = 0.956 gain. From memory (NRC 1996).
    """
    grown = empty_body * shrunk_weight * standard_weight / mature_weight
    return gain_coefficient * metabolic_weight(grown, metabolic_power) * (empty_gain * gain) ** gain_power


@reference("lofgreen-garrett-1968", "net energy system; from memory")
def me_requirement(
    *,
    nem_total: Annotated[Value, In("Mcal/head/day", 0, 80)],
    gain_energy: Annotated[Value, In("Mcal/head/day", 0, 25)],
    diet_me: Annotated[Value, In("Mcal/kg_dry", 0.5, 5)],
    diet_nem: Annotated[Value, In("Mcal/kg_dry", 0.05, 4)],
    diet_neg: Annotated[Value, In("Mcal/kg_dry", 0, 3)],
) -> Annotated[Value, In("Mcal/head/day")]:
    """Return the metabolizable energy of this diet that meets the net energy needed.

    ME = NEm need / (NEm/ME of the diet) + RE / (NEg/ME of the diet); the second term is 0 without gain, and 0
    on a diet without any NEg, which no gain can be fed on. From memory.
    """
    gaining = np.logical_and(np.greater(gain_energy, 0), np.greater(diet_neg, 0))
    for_gain = np.where(gaining, gain_energy, 0.0) * diet_me / np.where(gaining, diet_neg, 1.0)
    return nem_total * diet_me / diet_nem + for_gain


@reference("nrc-beef-1996", "net protein of pregnancy; from memory")
def pregnancy_protein(
    *,
    calf_weight: Annotated[Value, In("kg/head", 0, 70)],
    days_pregnant: Annotated[Value, In("day", 0, 290)],
    pregnancy_n_a: Annotated[float, In("g/kg/day")] = 0.001669,
    pregnancy_n_b: Annotated[float, In("g/kg/day**2")] = 0.00000211,
    pregnancy_n_c: Annotated[float, In("1/day")] = 0.0278,
    pregnancy_n_d: Annotated[float, In("1/day**2")] = 0.0000176,
    protein_per_n: Annotated[float, In("dimensionless")] = 6.25,
    g_per_kg: Annotated[float, In("g/kg")] = 1000,
) -> Annotated[Value, In("kg/head/day")]:
    """Return the net protein that a pregnancy keeps in a day; 0 at day 0.

    N = CBW (0.001669 - 0.00000211 t) exp((0.0278 - 0.0000176 t) t) grams, protein 6.25 N. From memory (NRC 1996).
    """
    growth = np.exp((pregnancy_n_c - pregnancy_n_d * days_pregnant) * days_pregnant)
    nitrogen = calf_weight * (pregnancy_n_a - pregnancy_n_b * days_pregnant) * growth
    return np.where(days_pregnant > 0, protein_per_n * nitrogen / g_per_kg, 0.0)


@reference("nrc-beef-1996", "net protein of gain; from memory")
def gain_protein(
    *,
    gain: Annotated[Value, In("kg/head/day", 0, 2.5)],
    gain_energy: Annotated[Value, In("Mcal/head/day", 0, 25)],
    equivalent_weight: Annotated[Value, In("kg", 0, 1250)],
    gain_protein_a: Annotated[float, In("g/kg")] = 268,
    gain_protein_b: Annotated[float, In("g/Mcal")] = 29.4,
    gain_efficiency_a: Annotated[float, In("fraction")] = 0.834,
    gain_efficiency_b: Annotated[float, In("1/kg")] = 0.00114,
    gain_efficiency_cap_weight: Annotated[float, In("kg", 0, 700)] = 300,
    g_per_kg: Annotated[float, In("g/kg")] = 1000,
) -> Annotated[Value, In("kg/head/day")]:
    """Return the metabolizable protein for a day's gain; 0 without gain, never below 0.

    Net protein = gain (268 - 29.4 RE/gain) grams, divided by the efficiency 0.834 - 0.00114 EQSBW, which falls no
    further above 300 kg. From memory (NRC 1996).
    """
    net = gain_protein_a * gain - gain_protein_b * gain_energy
    efficiency = gain_efficiency_a - gain_efficiency_b * np.minimum(equivalent_weight, gain_efficiency_cap_weight)
    return np.where(gain > 0, np.maximum(0, net) / efficiency / g_per_kg, 0.0)


@reference("nrc-beef-1996", "metabolizable protein; from memory; 0.67 in arkansas-mp391")
def protein_requirement(
    *,
    shrunk_weight: Annotated[Value, In("kg/head", 20, 1250)],
    milk_yield: Annotated[Value, In("kg/head/day", 0, 30)],
    pregnancy_protein: Annotated[Value, In("kg/head/day", 0, 1)],
    gain_protein: Annotated[Value, In("kg/head/day", 0, 2)],
    mp_maintenance: Annotated[float, In("kg/kg**0.75/day")] = 0.0038,
    milk_protein: Annotated[Value, In("percent", 0, 10)] = 3.4,
    milk_efficiency: Annotated[float, In("fraction", 0.1, 1)] = 0.65,
    pregnancy_protein_efficiency: Annotated[float, In("fraction", 0.1, 1)] = 0.65,
    mp_per_cp: Annotated[float, In("fraction", 0.1, 1)] = 0.67,
    metabolic_power: Annotated[float, In("dimensionless")] = 0.75,
) -> Annotated[Value, In("kg/head/day")]:
    """Return the crude protein needed in a day.

    CP = (0.0038 SBW^0.75 + milk protein / 0.65 + net protein of pregnancy / 0.65 + protein for gain) / 0.67. The
    divisor 0.67 was read in a bulletin after NRC 1996; the rest is from memory. 0.64 to 0.80 is possible (memory).
    """
    in_milk = milk_yield * milk_protein / 100 / milk_efficiency
    carrying = pregnancy_protein / pregnancy_protein_efficiency
    maintaining = mp_maintenance * metabolic_weight(shrunk_weight, metabolic_power)
    return (maintaining + in_milk + carrying + gain_protein) / mp_per_cp
