"""What cold adds to maintenance: degrees below the lower critical temperature."""

from typing import Annotated

import numpy as np

from podbook.reference.contract import Value, reference
from podbook.reference.guard import ratio
from podbook.units import In


@reference("judgement", "acclimatisation is a rule for dry coats")
def acclimatised(
    *, wet: Annotated[Value, In("flag", 0, 1)], cold_row: Annotated[Value, In("dimensionless", 1, 2)]
) -> Annotated[Value, In("flag", 0, 1)]:
    """Return 1 where cattle go by acclimatisation: the first rule is chosen, and coats are dry."""
    return np.where((np.asarray(wet) == 0) & (np.asarray(cold_row) == 1), 1.0, 0.0)


@reference("nasem-beef-2016", "abstract 1022: the part of maintenance that earlier cold adds")
def rise_by_acclimatisation(
    *,
    nem: Annotated[Value, In("Mcal/head/day", 0)],
    shrunk: Annotated[Value, In("kg/head", 0)],
    acclimatisation: Annotated[Value, In("Mcal/kg**0.75/day", 0, 0.1)],
    metabolic_power: Annotated[float, In("dimensionless")] = 0.75,
) -> Annotated[Value, In("fraction", 0)]:
    """Return what earlier cold adds to the maintenance of cattle, as a share of the rest of it; 0 without cattle."""
    added = acclimatisation * np.asarray(shrunk) ** metabolic_power
    return ratio(added, nem - added)


@reference("penn-state-goats", "wind chill; the same rule in meteer-cold")
def effective_temperature(
    *,
    temperature: Annotated[Value, In("degF", -60, 120)],
    wind: Annotated[Value, In("mph", 0, 60)],
    degrees_per_wind: Annotated[float, In("delta_degF/mph", 0, 3)] = 1,
) -> Annotated[Value, In("degF")]:
    """Return the temperature that an animal feels in wind.

    One degree Fahrenheit less for each mile an hour. Read; a rough rule, a degree or two off published charts.
    """
    return temperature - degrees_per_wind * wind


@reference("ndsu-lct", "dry coats; wet coats: osu-cold; goats and sheep: ohio-small-ruminants-2019, penn-state-goats")
def critical_temperature(
    *,
    coat_wet: Annotated[Value, In("flag", 0, 1)],
    dry_critical: Annotated[Value, In("degF", -40, 80)],
    wet_critical: Annotated[Value, In("degF", -40, 80)],
) -> Annotated[Value, In("degF")]:
    """Return the temperature below which an animal burns feed to keep warm.

    Read: cattle in a heavy dry winter coat 18 °F, in a normal one 32, with a wet coat 59; goats 32; sheep in fleece
    28, freshly shorn 50, wet about 58.
    """
    return np.where(coat_wet > 0, wet_critical, dry_critical)


@reference("osu-cold", "dry and wet coat")
def per_degree(
    *,
    coat_wet: Annotated[Value, In("flag", 0, 1)],
    dry_per_degree: Annotated[float, In("fraction/delta_degF", 0, 0.1)] = 0.01,
    wet_per_degree: Annotated[float, In("fraction/delta_degF", 0, 0.1)] = 0.02,
) -> Annotated[Value, In("fraction/delta_degF")]:
    """Return by how much a degree Fahrenheit of cold raises the need for energy.

    1 % with a dry coat, 2 % with a wet one. Read.
    """
    return np.where(coat_wet > 0, wet_per_degree, dry_per_degree)


@reference("ndsu-lct", "1 % per degree below the lower critical temperature")
def cold_increase(
    *,
    effective_temperature: Annotated[Value, In("degF", -120, 120)],
    critical_temperature: Annotated[Value, In("degF", -40, 80)],
    per_degree: Annotated[Value, In("fraction/delta_degF", 0, 1)],
) -> Annotated[Value, In("fraction")]:
    """Return the share by which cold raises the need for energy; 0 at or above the critical temperature.

    Read. Not to be added to the acclimatisation of cattle: the two describe the same cold.
    """
    return per_degree * np.maximum(0, critical_temperature - effective_temperature)


@reference("ndsu-lct", "worked example of a 1,300 lb cow")
def raised_by_cold(
    *,
    requirement: Annotated[Value, In("Mcal/head/day", 0, 100)],
    increase: Annotated[Value, In("fraction", 0, 5)],
) -> Annotated[Value, In("Mcal/head/day")]:
    """Return a need for energy with what cold adds to it: need (1 + increase). Read."""
    return requirement * (1 + increase)


@reference("arithmetic", "exact definition of the two scales")
def celsius(
    *,
    fahrenheit: Annotated[Value, In("degF", -120, 150)],
) -> Annotated[Value, In("degC")]:
    """Return a temperature in degrees Celsius: (F - 32) 5/9."""
    return (fahrenheit - 32) * 5 / 9


@reference("ohio-cold-2023", "ceiling of 25 to 30 %")
def met_by_feed(
    *,
    increase: Annotated[Value, In("fraction", 0, 5)],
    feed_ceiling: Annotated[float, In("fraction", 0, 1)] = 0.30,
) -> Annotated[Value, In("flag", 0, 1)]:
    """Return 1 where feeding more can meet the cold, 0 where the animal needs shelter.

    Ruminants can raise their metabolism by 25 to 30 % in great cold. Read; the upper end is taken.
    """
    return np.where(increase <= feed_ceiling, 1.0, 0.0)
