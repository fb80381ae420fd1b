"""Pods in the laboratory: from the lab sheet to TDN, and to the part that an animal reaches.

Lab values and TDN are percent of dry matter unless a function says otherwise.
"""

from typing import Annotated, Any

import numpy as np

from podbook.reference.contract import Value, reference
from podbook.reference.guard import ratio
from podbook.units import In

Percent = Annotated[Value, In("percent", 0, 100)]
Part = Annotated[Value, In("percent", 0)]
"""A sum or a part worked out from lab values, of dry matter."""
Moisture = Annotated[Value, In("percent", 0, 60)]
Content = Annotated[Value, In("any", 0)]
"""A content of dry matter: percent of protein or TDN, or Mcal/kg."""
SeedShare = Annotated[Value, In("fraction", 0, 0.6)]


@reference("arithmetic", "value / (1 - moisture)")
def dry_basis(*, value: Percent, moisture: Moisture, as_fed: Annotated[Value, In("flag", 0, 1)]) -> Part:
    """Return a lab value as percent of dry matter, whether the sheet printed it as fed or on dry basis.

    value / (1 - moisture/100) where as_fed is 1, else the value itself.
    """
    return np.where(np.asarray(as_fed) == 1, value / (1 - moisture / 100), value)


@reference("arithmetic", "the printed value on the dry basis, or the usual one")
def dry_basis_or_usual(
    *,
    value: Annotated[Any, In("text")],
    moisture: Moisture,
    as_fed: Annotated[Value, In("flag", 0, 1)],
    usual: Percent,
) -> Part:
    """Return a lab value on the dry basis, never below 0; the usual value where the sheet printed none."""
    if not isinstance(value, int | float | np.number):
        return usual
    return max(0.0, float(value) / (1 - float(moisture) / 100) if as_fed == 1 else float(value))


@reference("arithmetic", "1 - moisture")
def dry_matter_share(*, moisture: Moisture) -> Annotated[Value, In("kg_dry/kg_fed", 0, 1)]:
    """Return the dry matter in a kilogram as fed: 1 - moisture/100."""
    return 1 - moisture / 100


@reference("arithmetic", "sum of the parts")
def closure(*, cp: Percent, ndf: Percent, fat: Percent, ash: Percent) -> Part:
    """Return the sum of crude protein, NDF, fat and ash, of dry matter; above 100 the sheet cannot be right."""
    return cp + ndf + fat + ash


@reference("wattiaux-notes", "NRC 2001: NFC = 100 - CP - (NDF - NDICP) - EE - ash")
def non_fibre_carbohydrate(*, cp: Percent, ndf: Percent, ndicp: Percent, fat: Percent, ash: Percent) -> Part:
    """Return the non-fibre carbohydrate by difference, percent of dry matter, never below 0. Read in teaching notes.

    NFC = 100 - CP - (NDF - NDICP) - fat - ash
    """
    return np.maximum(0.0, 100 - cp - (ndf - ndicp) - fat - ash)


@reference("wattiaux-notes", "NRC 2001: FA = EE - 1")
def fatty_acids(*, fat: Percent, fat_not_acid: Annotated[float, In("percent")] = 1.0) -> Part:
    """Return the fatty acids, percent of dry matter: FA = fat - 1. Read in teaching notes; the floor is from memory."""
    return np.maximum(0.0, fat - fat_not_acid)


@reference("nrc-dairy-2001", "tdNFC = 0.98 NFC PAF")
def digestible_non_fibre(
    *,
    nfc: Part,
    nfc_digestibility: Annotated[float, In("fraction", 0, 1)] = 0.98,
    paf: Annotated[Value, In("fraction", 0.8, 1.2)] = 1.0,
) -> Part:
    """Return the digestible non-fibre carbohydrate, percent of dry matter.

    tdNFC = 0.98 NFC PAF. 0.98 was read in lecture slides on NRC 2001; the processing factor PAF is from memory, and
    1 is its default.
    """
    return nfc_digestibility * nfc * paf


@reference("nrc-dairy-2001", "tdCP of forages = CP exp(-1.2 ADICP/CP)")
def digestible_protein(*, cp: Percent, adicp: Percent, adicp_slope: Annotated[float, In("fraction")] = 1.2) -> Part:
    """Return the truly digestible crude protein of a forage, percent of dry matter; 0 where there is no protein.

    tdCP = CP exp(-1.2 ADICP/CP). Read in lecture slides on NRC 2001.
    """
    return cp * np.exp(-adicp_slope * ratio(adicp, cp))


@reference("nrc-dairy-2001", "tdNDF = 0.75 (NDF - NDICP - L) (1 - (L / (NDF - NDICP))^0.667)")
def digestible_fibre(
    *,
    ndf: Percent,
    ndicp: Percent,
    lignin: Percent,
    ndf_digestibility: Annotated[float, In("fraction", 0, 1)] = 0.75,
    lignin_power: Annotated[float, In("fraction")] = 0.667,
) -> Part:
    """Return the digestible NDF, percent of dry matter; 0 where lignin is all of the NDF free of protein.

    tdNDF = 0.75 (NDF - NDICP - lignin) (1 - (lignin / (NDF - NDICP))^0.667). Read in lecture slides on NRC 2001.
    """
    free = np.asarray(ndf - ndicp)
    some = free > lignin
    bound = (lignin / np.where(some, free, 1.0)) ** lignin_power
    return np.where(some, ndf_digestibility * (free - lignin) * (1 - bound), 0.0)


@reference("weiss-1992", "TDN = tdNFC + tdCP + 2.25 FA + tdNDF - 7, as NRC 2001 prints it")
def total_digestible_nutrients(
    *,
    digestible_nfc: Part,
    digestible_cp: Part,
    fatty_acids: Part,
    digestible_ndf: Part,
    fat_energy: Annotated[float, In("fraction")] = 2.25,
    metabolic_loss: Annotated[float, In("percent")] = 7.0,
) -> Part:
    """Return the TDN at maintenance intake, percent of dry matter, never below 0.

    TDN = tdNFC + tdCP + 2.25 FA + tdNDF - 7. Read in lecture slides; the abstract of the source confirms that the
    metabolic faecal part is taken off. About 6 units of error on feeds that it was not fitted to; no pods among them.
    """
    return np.maximum(0.0, digestible_nfc + digestible_cp + fat_energy * fatty_acids + digestible_ndf - metabolic_loss)


@reference("arithmetic", "(whole - share x seed) / (1 - share)")
def husk_by_difference(*, whole: Content, seed: Content, seed_share: SeedShare) -> Content:
    """Return the content of the husk from that of the whole pod and of the seed, per dry matter, never below 0."""
    return np.maximum(0.0, (whole - seed_share * seed) / (1 - seed_share))


@reference("arithmetic", "husk and seed by their shares")
def whole_pod(*, husk: Content, seed: Content, seed_share: SeedShare) -> Content:
    """Return the content of the whole pod, per dry matter: (1 - share) husk + share seed."""
    return (1 - seed_share) * husk + seed_share * seed


@reference("common-practice", "accessible = husk part + seed part x access")
def reachable(
    *, husk: Content, seed: Content, seed_share: SeedShare, seed_access: Annotated[Value, In("fraction", 0, 1)]
) -> Content:
    """Return the content of a pod that the animal reaches, per dry matter of whole pod.

    (1 - share) husk + share seed access. Whole seeds pass cattle mostly unbroken (Moore 1948, read); that cattle
    reach about a tenth of the seed, sheep and goats more, and ground pods give most, is common practice without source.
    """
    return (1 - seed_share) * husk + seed_share * seed * seed_access


@reference("arithmetic", "1 + number of greater values")
def rank(*, value: Annotated[Value, In("any")], values: Annotated[Value, In("any")]) -> Annotated[Value, In("record")]:
    """Return the rank of a value among all values, greatest first; equal values share the better rank."""
    greater = np.asarray(values) > np.asarray(value)[..., np.newaxis]
    return 1.0 + np.asarray(greater.sum(axis=-1))


@reference("arithmetic", "energy x what energy costs in hay")
def worth_in_hay(
    *, reachable_me_per_tree: Annotated[Value, In("Mcal/tree", 0)], hay_cost_per_me: Annotated[Value, In("USD/Mcal", 0)]
) -> Annotated[Value, In("USD/tree")]:
    """Return what the reachable energy of one tree's pods costs when bought as hay."""
    return reachable_me_per_tree * hay_cost_per_me


@reference("arithmetic", "crop x percent")
def share_of_crop(
    *, crop: Annotated[Value, In("lb_dry/tree", 0)], percent: Percent
) -> Annotated[Value, In("lb_dry/tree", 0)]:
    """Return the part of a tree's crop that a content of dry matter makes up."""
    return crop * percent / 100


@reference("arithmetic", "crop x energy")
def energy_of_crop(
    *,
    crop: Annotated[Value, In("lb_dry/tree", 0)],
    me: Annotated[Value, In("Mcal/kg_dry", 0, 5)],
    kg_per_weight: Annotated[float, In("kg_dry/lb_dry")] = 0.45359237,
) -> Annotated[Value, In("Mcal/tree", 0)]:
    """Return the energy in the crop of a tree."""
    return crop * kg_per_weight * me
