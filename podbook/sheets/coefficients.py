"""Every coefficient of the workbook, in the words of its source. They stand on the sheet Sources."""

from __future__ import annotations

from podbook.book.model import Single
from podbook.book.node import Node

BEEF, SHEEP, GOATS = "nrc-beef-1996", "nrc-sheep-1985", "nrc-goats-1981"
NASEM, DAIRY, NOTES = "nasem-beef-2016", "nrc-dairy-2001", "wattiaux-notes"


def coefficient(
    name: str, label: str, value: float, unit: str, source: str, place: str, mark: str = "read"
) -> Node:
    """Return a coefficient with its source."""
    return Node(
        name, label, unit, "coefficient", contents=(value,), source=source, place=place, mark=mark, look="0E+00" if 0 < value < 1e-6 else "0.0#######"
    )


UNITS = Single(
    "Units: exact factors",
    (
        coefficient("kg_per_weight", "Kilograms in a pound", 0.45359237, "kg/lb", "nist-sp811", "Appendix B.8, exact"),
        coefficient("weight_per_ton", "Pounds in a short ton", 2000, "lb_fed/short_ton_fed", "nist-sp811", "Appendix B.8, exact"),
        coefficient("area_in_square_spacing", "Square feet in an acre", 43560, "foot**2/acre", "uf-ifas-ag126", "exact"),
        coefficient("freezing_point", "Freezing point", 32, "degF", "uf-ifas-ag126", "exact"),
        coefficient("neutral_air", "Neither warm nor cold", 68, "degF", "arithmetic", "20 °C"),
        coefficient("days_per_month", "Days in a month", 30.4375, "day", "arithmetic", "365.25/12"),
        coefficient("shortest_month", "Days in the shortest month", 28, "day", "arithmetic", ""),
        coefficient("celsius_per_degree", "Degrees Celsius in a degree Fahrenheit, rounded to 16 digits", 5 / 9, "delta_degC/delta_degF", "uf-ifas-ag126", "exact: 5/9"),
        coefficient("minutes_per_hour", "Minutes in an hour", 60, "minute/hour", "arithmetic", ""),
        coefficient("days_per_week", "Days in a week", 7, "day/week", "arithmetic", ""),
        coefficient("circle", "Circumference of a circle to its diameter", 3.141592653589793, "fraction", "arithmetic", ""),
        coefficient("g_per_kg", "Grams in a kilogram", 1000, "g/kg", "arithmetic", ""),
        coefficient("rounding", "Difference that is no more than rounding", 0.000000001, "fraction", "arithmetic", ""),
        coefficient("share_rounding", "Shares may miss 100 % by", 0.0005, "fraction", "arithmetic", ""),
        coefficient("far_times", "A figure is unusual beyond so many times its default, or so small a part", 4, "fraction", "judgement", "a slip of the decimal point is ten times", "judgement"),
        coefficient("kcal_per_energy", "Kilocalories in a megacalorie", 1000, "kcal/Mcal", "arithmetic", ""),
    ),
)  # fmt: skip

FEED_ENERGY = Single(
    "Energy of a feed",
    (
        coefficient("de_per_tdn", "Digestible energy per percent of TDN", 0.04409, "Mcal/kg_dry/percent", BEEF, "p. 126"),
        coefficient("me_per_de", "Metabolizable share of digestible energy", 0.82, "fraction", BEEF, "p. 126"),
        coefficient("nem_first", "NEm: factor of ME", 1.37, "fraction", "garrett-1980", "cubic of 1980, kept in NRC 1984 and 1996", "memory"),
        coefficient("nem_second", "NEm: factor of ME squared", 0.138, "kg_dry/Mcal", "garrett-1980", "as above", "memory"),
        coefficient("nem_third", "NEm: factor of ME cubed", 0.0105, "kg_dry**2/Mcal**2", "garrett-1980", "as above", "memory"),
        coefficient("nem_constant", "NEm: constant taken off", 1.12, "Mcal/kg_dry", "garrett-1980", "as above", "memory"),
        coefficient("neg_first", "NEg: factor of ME", 1.42, "fraction", "garrett-1980", "as above", "memory"),
        coefficient("neg_second", "NEg: factor of ME squared", 0.174, "kg_dry/Mcal", "garrett-1980", "as above", "memory"),
        coefficient("neg_third", "NEg: factor of ME cubed", 0.0122, "kg_dry**2/Mcal**2", "garrett-1980", "as above", "memory"),
        coefficient("neg_constant", "NEg: constant taken off", 1.65, "Mcal/kg_dry", "garrett-1980", "as above", "memory"),
    ),
    note="The cubic's factors are from memory; its results were checked against printed TDN, NEm and NEg pairs.",
)  # fmt: skip

POD_ANALYSIS = Single(
    "TDN of pods from their analysis",
    (
        coefficient("fat_not_acid", "Part of the fat that is no fatty acid", 1, "percent", NOTES, "FA = EE - 1"),
        coefficient("nfc_digestibility", "Digestibility of non-fibre carbohydrate", 0.98, "fraction", NOTES, "tdNFC = 0.98 NFC"),
        coefficient("paf", "Processing factor", 1, "fraction", DAIRY, "Table 2-1", "memory"),
        coefficient("adicp_slope", "Protein bound in the fibre: slope", 1.2, "fraction", NOTES, "tdCP = CP exp(-1.2 ADICP/CP)"),
        coefficient("ndf_digestibility", "Digestibility of fibre that lignin does not shield", 0.75, "fraction", NOTES, "tdNDF"),
        coefficient("lignin_power", "Shielding by lignin: power", 0.667, "fraction", NOTES, "tdNDF"),
        coefficient("fat_energy", "Energy of fat to that of carbohydrate", 2.25, "fraction", NOTES, "TDN"),
        coefficient("metabolic_loss", "Metabolic losses in dung", 7, "percent", NOTES, "TDN"),
        coefficient("usual_ndicp", "Fibre-bound protein (NDICP) where the lab printed none", 2, "percent", "judgement", "", "judgement"),
        coefficient("usual_adicp", "Acid-fibre-bound protein (ADICP) where the lab printed none", 1, "percent", "judgement", "", "judgement"),
        coefficient("usual_lignin", "Lignin where the lab printed none", 6, "percent", "judgement", "pods: 5 to 9 in reviews", "memory"),
        coefficient("usual_seed_cp", "Seed: crude protein where it was not analysed", 22, "percent", "judgement", "20 to 25 in seed analyses", "memory"),
        coefficient("usual_seed_tdn", "Seed: TDN where it was not analysed (digestibility of ground seed)", 96.3, "percent", "johnson-2013", "abstract; in vitro, so higher than in stock"),
    ),
    note="Not fitted to tree pods; the printed error over 248 feeds is about 6 units of TDN (Weiss and others 1992).",
)  # fmt: skip

CATTLE = Single(
    "Cattle",
    (
        coefficient("shrink", "Shrunk weight of full weight", 0.96, "fraction", "arkansas-mp391", "from NRC 1996"),
        coefficient("metabolic_power", "Power of metabolic weight", 0.75, "fraction", NASEM, "abstract 1022"),
        coefficient("fasting_heat", "Maintenance per unit of metabolic weight", 0.077, "Mcal/kg**0.75/day", NASEM, "abstract 1022"),
        coefficient("condition_base", "Condition score 1", 0.8, "fraction", NASEM, "abstract 1022"),
        coefficient("condition_step", "More per condition score", 0.05, "fraction", NASEM, "abstract 1022"),
        coefficient("acclimatisation_slope", "More per degree of earlier cold", 0.0007, "Mcal/kg**0.75/day/delta_degC", NASEM, "abstract 1022"),
        coefficient("neutral_temperature", "No acclimatisation at", 20, "degC", NASEM, "abstract 1022"),
        coefficient("lactation_rise", "Maintenance in milk", 1.2, "fraction", BEEF, "ch. 10", "memory"),
        coefficient("pregnancy_a", "Pregnancy: a", 0.4504, "kcal/kg/day", BEEF, "p. 43; agrees with Table 4-2", "memory"),
        coefficient("pregnancy_b", "Pregnancy: b", 0.000766, "kcal/kg/day**2", BEEF, "as above", "memory"),
        coefficient("pregnancy_c", "Pregnancy: c", 0.03233, "1/day", BEEF, "as above", "memory"),
        coefficient("pregnancy_d", "Pregnancy: d", 0.0000275, "1/day**2", BEEF, "as above", "memory"),
        coefficient("pregnancy_efficiency", "Pregnancy: net energy for maintenance of its ME", 0.576, "fraction", BEEF, "p. 43"),
        coefficient("pregnancy_n_a", "Pregnancy protein: a", 0.001669, "g/kg/day", BEEF, "ch. 4", "memory"),
        coefficient("pregnancy_n_b", "Pregnancy protein: b", 0.00000211, "g/kg/day**2", BEEF, "ch. 4", "memory"),
        coefficient("pregnancy_n_c", "Pregnancy protein: c", 0.0278, "1/day", BEEF, "ch. 4", "memory"),
        coefficient("pregnancy_n_d", "Pregnancy protein: d", 0.0000176, "1/day**2", BEEF, "ch. 4", "memory"),
        coefficient("protein_per_n", "Protein of nitrogen", 6.25, "fraction", BEEF, "", "memory"),
        coefficient("milk_fat", "Milk fat", 4, "percent", BEEF, "usual beef milk", "memory"),
        coefficient("milk_snf", "Milk solids without fat", 8.3, "percent", BEEF, "usual beef milk", "memory"),
        coefficient("milk_protein", "Milk protein", 3.4, "percent", BEEF, "usual beef milk", "memory"),
        coefficient("milk_fat_energy", "Milk energy per percent of fat", 0.092, "Mcal/kg/percent", BEEF, "from Tyrrell and Reid 1965", "memory"),
        coefficient("milk_snf_energy", "Milk energy per percent of other solids", 0.049, "Mcal/kg/percent", BEEF, "from Tyrrell and Reid 1965", "memory"),
        coefficient("milk_energy_constant", "Milk energy: constant taken off", 0.0569, "Mcal/kg", BEEF, "from Tyrrell and Reid 1965", "memory"),
        coefficient("peak_week", "Week of peak milk", 8.5, "week", BEEF, "p. 45"),
        coefficient("gain_coefficient", "Gain: energy retained", 0.0635, "Mcal*day**0.097/kg**1.847", BEEF, "ch. 3", "memory"),
        coefficient("gain_power", "Gain: power of empty-body gain", 1.097, "fraction", BEEF, "ch. 3", "memory"),
        coefficient("empty_body", "Empty body of shrunk weight", 0.891, "fraction", BEEF, "ch. 3", "memory"),
        coefficient("empty_gain", "Empty-body gain of shrunk gain", 0.956, "fraction", BEEF, "ch. 3", "memory"),
        coefficient("standard_weight", "Standard reference weight", 478, "kg", BEEF, "ch. 3, small marbling", "memory"),
        coefficient("mp_maintenance", "Maintenance: metabolizable protein", 0.0038, "kg/kg**0.75/day", BEEF, "", "memory"),
        coefficient("milk_efficiency", "Milk protein of metabolizable protein", 0.65, "fraction", BEEF, "", "memory"),
        coefficient("pregnancy_protein_efficiency", "Pregnancy protein of metabolizable protein", 0.65, "fraction", BEEF, "", "memory"),
        coefficient("mp_per_cp", "Metabolizable protein of crude protein", 0.67, "fraction", "arkansas-mp391", "CP = MP/0.67"),
        coefficient("gain_protein_a", "Gain: protein, constant", 268, "g/kg", BEEF, "", "memory"),
        coefficient("gain_protein_b", "Gain: protein, less per energy of gain", 29.4, "g/Mcal", BEEF, "", "memory"),
        coefficient("gain_efficiency_a", "Gain: efficiency, constant", 0.834, "fraction", BEEF, "", "memory"),
        coefficient("gain_efficiency_b", "Gain: efficiency, less per weight", 0.00114, "1/kg", BEEF, "", "memory"),
        coefficient("gain_efficiency_cap_weight", "Gain: efficiency falls up to", 300, "kg", BEEF, "", "memory"),
    ),
)  # fmt: skip

INTAKE = Single(
    "Intake capacity",
    (
        coefficient("intake_square", "Cow: factor of NEm squared", 0.04997, "kg_dry**2/kg**0.75/Mcal/day", BEEF, "ch. 7", "memory"),
        coefficient("intake_dry", "Cow: constant, not pregnant", 0.0384, "Mcal/kg**0.75/day", BEEF, "ch. 7", "memory"),
        coefficient("intake_pregnant", "Cow: constant, last two thirds of pregnancy", 0.04631, "Mcal/kg**0.75/day", BEEF, "ch. 7", "memory"),
        coefficient("intake_per_milk", "Cow: more per kilogram of milk", 0.2, "kg_dry/kg", BEEF, "ch. 7", "memory"),
        coefficient("intake_nem_floor", "Lowest NEm to divide by", 0.95, "Mcal/kg_dry", BEEF, "ch. 7", "memory"),
        coefficient("growing_linear", "Growing: factor of NEm", 0.2435, "kg_dry/kg**0.75/day", BEEF, "ch. 7, calves", "memory"),
        coefficient("growing_square", "Growing: factor of NEm squared", 0.0466, "kg_dry**2/kg**0.75/Mcal/day", BEEF, "ch. 7, calves", "memory"),
        coefficient("growing_constant", "Growing: constant taken off", 0.1128, "Mcal/kg**0.75/day", BEEF, "ch. 7, calves", "memory"),
        coefficient("pregnant_from", "Last two thirds of a cow's pregnancy begin on day", 94, "day", "arithmetic", "283/3"),
        coefficient("tdn_low_limit", "Poor forage: TDN below", 53, "percent", "hibberd-thrift-1992", "by way of Oklahoma State 2024", "read-secondary"),
        coefficient("tdn_high_limit", "Good forage: TDN above", 59, "percent", "hibberd-thrift-1992", "as above", "read-secondary"),
        coefficient("dry_low", "Dry cow, poor forage", 0.018, "kg_dry/kg/day", "hibberd-thrift-1992", "as above", "read-secondary"),
        coefficient("dry_mid", "Dry cow, middling forage", 0.022, "kg_dry/kg/day", "hibberd-thrift-1992", "as above", "read-secondary"),
        coefficient("dry_high", "Dry cow, good forage", 0.025, "kg_dry/kg/day", "hibberd-thrift-1992", "as above", "read-secondary"),
        coefficient("milk_low", "Cow in milk, poor forage", 0.022, "kg_dry/kg/day", "hibberd-thrift-1992", "as above", "read-secondary"),
        coefficient("milk_mid", "Cow in milk, middling forage", 0.025, "kg_dry/kg/day", "hibberd-thrift-1992", "as above", "read-secondary"),
        coefficient("milk_high", "Cow in milk, good forage", 0.027, "kg_dry/kg/day", "hibberd-thrift-1992", "as above", "read-secondary"),
        coefficient("growing_share", "Growing cattle", 0.025, "kg_dry/kg/day", "missouri-ohmes", "low end of 2.5 to 3.2 %"),
        coefficient("most_supplement", "Supplement past this share of intake is worth a look", 0.1, "fraction", "judgement", "", "judgement"),
        coefficient("goat_intake", "Goat: per unit of metabolic weight", 0.0507, "kg_dry/kg**0.75/day", "aces-anr812", "Table 3, fitted here to its dry matter", "derived"),
        coefficient("goat_diet_me", "Goat: energy of the diet that milk and gain are eaten in", 2, "Mcal/kg_dry", "judgement", "the diet of the table", "judgement"),
        coefficient("goat_intake_pregnant", "Goat: more in late pregnancy", 0.7076, "kg_dry/head/day", "aces-anr812", "Table 3: 1.56 lb", "read-secondary"),
    ),
    note="Both cattle rules misread real intakes by 14 to 17 % (Oklahoma State); goats from NRC 1981 by way of Alabama Extension.",
)  # fmt: skip

GOAT = Single(
    "Goats",
    (
        coefficient("goat_maintenance", "Maintenance", 0.10138, "Mcal/kg**0.75/day", GOATS, "p. 10"),
        coefficient("goat_pregnancy", "Late pregnancy", 1.42, "Mcal/head/day", "aces-anr812", "Table 3: 0.87 lb TDN", "read-secondary"),
        coefficient("goat_pregnancy_protein", "Late pregnancy: crude protein", 0.0816, "kg/head/day", "aces-anr812", "Table 3: 0.18 lb", "read-secondary"),
        coefficient("goat_late_from", "Late pregnancy begins on day", 100, "day", "judgement", "last 50 days of 150", "judgement"),
        coefficient("goat_gain_energy", "Gain", 7.25, "Mcal/kg", GOATS, "p. 10: 7.25 kcal a gram"),
        coefficient("goat_milk_energy", "Milk of 4 % fat", 1.24612, "Mcal/kg", GOATS, "p. 10"),
        coefficient("goat_me_per_de", "Metabolizable share of digestible energy", 62 / 76, "fraction", GOATS, "p. 10: 76 DE = 62 ME"),
        coefficient("goat_cp_per_de", "Crude protein per digestible energy", 0.032, "kg/Mcal", GOATS, "p. 10"),
    ),
)  # fmt: skip

SHEEP_ROWS = Single(
    "Ewes",
    (
        coefficient("ewe_late_from", "Last four weeks of gestation begin on day", 119, "day", SHEEP, "147 days less 28"),
        coefficient("ewe_full_milk", "Weeks of full milk; after them the row of the last weeks of gestation holds", 8, "week", SHEEP,
                    "p. 46, headings", "memory"),
        coefficient("ewe_weights", "Weights in each stage of the table", 5, "fraction", SHEEP, "Table 1: 50 to 90 kg"),
    ),
)

COLD = Single(
    "Cold",
    (
        coefficient("degrees_per_wind", "Rough wind chill: degrees per mile an hour", 1, "delta_degF/mph", "penn-state-goats", "temperature less wind"),
        coefficient("dry_per_degree", "More energy per degree below the critical temperature, dry coat", 0.01, "1/delta_degF", "ndsu-lct", "1 % per degree F"),
        coefficient("wet_per_degree", "The same, wet coat", 0.02, "1/delta_degF", "osu-cold", "2 % per degree F"),
        coefficient("feed_ceiling", "Most extra energy that feed can meet in cold", 0.3, "fraction", "ohio-cold-2023", "25 to 30 %"),
    ),
)  # fmt: skip

ALL = (UNITS, FEED_ENERGY, POD_ANALYSIS, GOAT, SHEEP_ROWS, COLD, CATTLE, INTAKE)
