"""Energy of a feed, from total digestible nutrients to net energy. All on a dry-matter basis."""

from typing import Annotated

import numpy as np

from podbook.reference.contract import Value, reference
from podbook.units import In

Fibre = Annotated[Value, In("percent", 0, 50)]
"""Acid detergent fibre, of dry matter."""


@reference("nrc-beef-1996", "p. 126 (1 kg TDN = 4.409 Mcal DE)")
def digestible_energy(
    *,
    tdn: Annotated[Value, In("percent", 0, 130)],
    de_per_tdn: Annotated[float, In("Mcal/kg_dry/percent")] = 0.04409,
) -> Annotated[Value, In("Mcal/kg_dry")]:
    """Return the digestible energy of a feed from its TDN (percent of dry matter).

    DE = 0.04409 TDN. Read in the named edition.
    """
    return de_per_tdn * np.asarray(tdn)


@reference("nrc-beef-1996", "p. 126 (ME = 0.82 DE)")
def metabolizable_energy(
    *,
    de: Annotated[Value, In("Mcal/kg_dry", 0, 6)],
    me_per_de: Annotated[float, In("fraction", 0, 1)] = 0.82,
) -> Annotated[Value, In("Mcal/kg_dry")]:
    """Return the metabolizable energy of a feed from its digestible energy.

    ME = 0.82 DE. Read in the named edition; 0.82 is low for rations rich in concentrate.
    """
    return me_per_de * np.asarray(de)


@reference("garrett-1980", "cubic for maintenance, kept by NRC 1996 (p. 103)")
def net_energy_maintenance(
    *,
    me: Annotated[Value, In("Mcal/kg_dry", 0, 5)],
    nem_first: Annotated[float, In("fraction")] = 1.37,
    nem_second: Annotated[float, In("kg_dry/Mcal")] = 0.138,
    nem_third: Annotated[float, In("kg_dry**2/Mcal**2")] = 0.0105,
    nem_constant: Annotated[float, In("Mcal/kg_dry")] = 1.12,
) -> Annotated[Value, In("Mcal/kg_dry")]:
    """Return the net energy for maintenance of a feed, per kilogram of dry matter.

    NEm = 1.37 ME - 0.138 ME^2 + 0.0105 ME^3 - 1.12, never below 0. The coefficients are from memory; rows of
    TDN and NEm read in published feed tables agree with them. Feeds rich in sugar are usually printed lower.
    """
    return np.maximum(0.0, nem_first * me - nem_second * me**2 + nem_third * me**3 - nem_constant)


@reference("garrett-1980", "cubic for gain, kept by NRC 1996 (p. 103)")
def net_energy_gain(
    *,
    me: Annotated[Value, In("Mcal/kg_dry", 0, 5)],
    neg_first: Annotated[float, In("fraction")] = 1.42,
    neg_second: Annotated[float, In("kg_dry/Mcal")] = 0.174,
    neg_third: Annotated[float, In("kg_dry**2/Mcal**2")] = 0.0122,
    neg_constant: Annotated[float, In("Mcal/kg_dry")] = 1.65,
) -> Annotated[Value, In("Mcal/kg_dry")]:
    """Return the net energy for gain of a feed, per kilogram of dry matter.

    NEg = 1.42 ME - 0.174 ME^2 + 0.0122 ME^3 - 1.65, never below 0. The coefficients are from memory; rows of
    TDN and NEg read in published feed tables agree with them.
    """
    return np.maximum(0.0, neg_first * me - neg_second * me**2 + neg_third * me**3 - neg_constant)


@reference("nfta", "Appendix A3, legume and grass")
def digestible_dry_matter_from_adf(
    *,
    adf: Fibre,
    ddm_intercept: Annotated[float, In("percent")] = 88.9,
    ddm_slope: Annotated[float, In("fraction")] = 0.779,
) -> Annotated[Value, In("percent")]:
    """Return the digestible dry matter of a legume or grass forage (percent of dry matter) from its ADF.

    DDM = 88.9 - 0.779 ADF. Read. Fitted to forages, never to tree pods.
    """
    return ddm_intercept - ddm_slope * adf


@reference("nfta", "Appendix A3, corn silage")
def tdn_corn_silage_from_adf(
    *,
    adf: Fibre,
    corn_silage_intercept: Annotated[float, In("percent")] = 87.84,
    corn_silage_slope: Annotated[float, In("fraction")] = 0.70,
) -> Annotated[Value, In("percent")]:
    """Return the TDN of corn silage (percent of dry matter): TDN = 87.84 - 0.70 ADF. Read."""
    return corn_silage_intercept - corn_silage_slope * adf


@reference("nfta", "Appendix A3, shelled corn")
def tdn_shelled_corn_from_adf(
    *,
    adf: Fibre,
    shelled_corn_intercept: Annotated[float, In("percent")] = 92.22,
    shelled_corn_slope: Annotated[float, In("fraction")] = 1.535,
) -> Annotated[Value, In("percent")]:
    """Return the TDN of shelled corn (percent of dry matter): TDN = 92.22 - 1.535 ADF. Read."""
    return shelled_corn_intercept - shelled_corn_slope * adf


@reference("nfta", "Appendix A3, ear corn")
def tdn_ear_corn_from_adf(
    *,
    adf: Fibre,
    ear_corn_intercept: Annotated[float, In("percent")] = 99.72,
    ear_corn_slope: Annotated[float, In("fraction")] = 1.927,
) -> Annotated[Value, In("percent")]:
    """Return the TDN of ear corn (percent of dry matter): TDN = 99.72 - 1.927 ADF. Read."""
    return ear_corn_intercept - ear_corn_slope * adf


@reference("nist-sp811", "thermochemical calorie, exact")
def megajoules(
    *,
    mcal: Annotated[Value, In("Mcal")],
    mj_per_mcal: Annotated[float, In("megajoule/Mcal")] = 4.184,
) -> Annotated[Value, In("megajoule")]:
    """Return an energy in megajoules: 1 Mcal = 4.184 MJ, exact for the thermochemical calorie. Read in a reprint."""
    return mj_per_mcal * np.asarray(mcal)
