"""The herd: up to five groups, and what a head of each needs in a day."""

from __future__ import annotations

from podbook.book.model import Entries, Entry, Sheet, Single, Table
from podbook.book.node import Node, Ref, by, entry_field, fixed_field, worked
from podbook.inputs.filled import GROUPS, Filled, padded
from podbook.reference import book, cattle, cold, gates, goats, intake, measures, sheep
from podbook.reference.contract import Reference
from podbook.sheets.ranges import in_range, within

COUNT = len(GROUPS)
KINDS = ("dry pregnant cow", "cow with calf", "growing cattle", "ewe", "doe")
NUMBERS = {
    "head": ("Head", "head", 1, 20000, "0"),
    "body_weight": ("Body weight", "lb", 22, 2500, "#,##0"),
    "condition": ("Condition score (cattle, 1 to 9)", "score", 1, 9, "0.0"),
    "breed_factor": ("Breed factor of maintenance (cattle)", "dimensionless", 0.8, 1.3, "0.00"),
    "calf_weight": ("Calf weight at birth", "lb", 30, 150, "0"),
    "mature_weight": ("Mature weight (growing cattle)", "lb", 500, 2500, "#,##0"),
    "days_pregnant": ("Days pregnant at the start", "day", 0, 285, "0"),
    "week_in_milk": ("Weeks in milk at the start", "week", 0, 40, "0"),
    "peak_milk": ("Milk at its peak", "lb/day", 0, 60, "0.0"),
    "gain": ("Gain wanted (growing cattle, does)", "lb/day", 0, 4, "0.00"),
}
NOTES = {
    "breed_factor": "1 for British and most Continental breeds, 0.9 Bos indicus, 1.2 for dairy breeds (NRC 1996, from memory).",
    "week_in_milk": "Zero if she gives no milk.",
    "days_pregnant": "Zero if she is open.",
    "peak_milk": "Beef cows 9 to 31 lb a day (NRC 1996 p. 45); a doe at her kids 2 to 5.",
}
EWES = (
    ("Maintenance", ((50, 1.0, 2.0, 95, "read"), (60, 1.1, 2.2, 104, "read"), (70, 1.2, 2.4, 113, "read"),
                     (80, 1.3, 2.6, 122, "read"), (90, 1.4, 2.8, 131, "read"))),
    ("First 15 weeks of gestation", ((50, 1.2, 2.4, 112, "read"), (60, 1.3, 2.6, 121, "read"), (70, 1.4, 2.8, 130, "read"),
                                     (80, 1.5, 3.0, 139, "memory"), (90, 1.6, 3.2, 148, "memory"))),
    ("Last 4 weeks of gestation", ((50, 1.6, 3.4, 175, "memory"), (60, 1.7, 3.6, 184, "memory"), (70, 1.8, 3.8, 193, "memory"),
                                   (80, 1.9, 4.0, 202, "memory"), (90, 2.0, 4.2, 212, "memory"))),
    ("First 6 to 8 weeks of milk", ((50, 2.1, 4.9, 304, "memory"), (60, 2.3, 5.4, 319, "memory"), (70, 2.5, 5.9, 334, "memory"),
                                    (80, 2.6, 6.1, 344, "memory"), (90, 2.7, 6.3, 353, "memory"))),
)  # fmt: skip
DAILY, KG_DAILY, PER_HEAD = "Mcal/head/day", "kg/head/day", "kg/head"


def sheet(filled: Filled) -> Sheet:
    """Return the sheet Herd."""
    return Sheet(
        "Herd",
        "Up to five groups; energy and protein a head and day, at the middle of the season.",
        (_groups(filled), _season(), _critical(), _kinds(), _ewe_rows()),
    )


def _kinds() -> Table:
    def row(name: str, label: str, unit: str, values: tuple[float | str, ...], look: str = "0", mark: str = "") -> Node:
        return fixed_field(f"kinds.{name}", label, unit, values, look=look, mark=mark)

    return Table(
        "kinds",
        "Kinds of stock",
        KINDS,
        (
            row("word", "Kind", "text", KINDS),
            row("species", "1 cattle, 2 sheep, 3 goats", "ordinal", (1, 1, 1, 2, 3)),
            row("in_milk", "Cow in milk", "flag", (0, 1, 0, 0, 0)),
            row("grows", "Grows", "flag", (0, 0, 1, 0, 0)),
            row("lightest", "Lightest", "lb", (500, 500, 250, 111, 22)),
            row("heaviest", "Heaviest", "lb", (2500, 2500, 2000, 198, 285)),
            row("gestation", "Days of pregnancy", "day", (283, 283, 283, 147, 150)),
        ),
    )


def _critical() -> Entries:
    def critical(name: str, label: str, value: float, source: str, place: str) -> Entry:
        return Entry(name, label, "degF", value, -20, 75, source=source, place=place, mark="published", look="0")

    return Entries(
        "critical",
        "Cold: critical temperatures",
        (
            critical("cattle_dry_critical", "Cattle, dry heavy winter coat", 18, "ndsu-lct", "32 °F in a normal winter coat"),
            critical("cattle_wet_critical", "Cattle, wet coat", 59, "osu-cold", "59 to 60 °F"),
            critical("sheep_dry_critical", "Sheep, fleece of 2.5 in", 28, "ohio-small-ruminants-2019", "freshly shorn 50 °F"),
            critical("sheep_wet_critical", "Sheep, wet", 58, "ohio-small-ruminants-2019", "wet coat about 58 °F"),
            critical("goats_dry_critical", "Goats, dry", 32, "ohio-small-ruminants-2019", ""),
            critical("goats_wet_critical", "Goats, wet", 58, "ohio-small-ruminants-2019", "wet coat about 58 °F"),
            Entry("goat_activity", "Goats: more for walking and climbing", "fraction", 0.25, 0, 0.75, look="0%",
                  source="nrc-goats-1981", place="Table 1: 25 % low, 50 hilly, 75 high", mark="from memory"),
        ),
    )  # fmt: skip


def _ewe_rows() -> Table:
    return Table(
        "ewe_rows",
        "Ewes: rows of NRC 1985, Table 1",
        tuple(f"{stage}, {weight} kg ({mark})" for stage, rows in EWES for weight, _, _, _, mark in rows),
        tuple(
            fixed_field(f"ewe_rows.{name}", label, unit, tuple(float(row[position]) for _, rows in EWES for row in rows), look=look)
            for position, (name, label, unit, look) in enumerate(
                (
                    ("weight", "Weight", "kg/head", "0"),
                    ("dm", "Dry matter", "kg_dry/head/day", "0.0"),
                    ("me", "ME", DAILY, "0.0"),
                    ("cp", "Crude protein", "g/head/day", "0"),
                )
            )
        ),
        across=False,
        note="Rows marked memory were not read in the book; those at 70 kg agree with reprints.",
    )


def _season() -> Single:
    return Single(
        "Season and ration that the needs are worked for",
        (
            worked("mid_season", "Days from the start to the middle", "day", "=season_days/2",
                   by(book.quotient, a="season_days", b=2), look="0.0"),
            worked("cold_row", "Rule for cold: row of the list", "ordinal", "=MATCH(cold_rule,lists_cold,0)",
                   by(gates.position, word="cold_rule", words="lists.cold*"), look="0"),
            worked("intake_row", "Rule for intake: row of the list", "ordinal", "=MATCH(intake_rule,lists_intake,0)",
                   by(gates.position, word="intake_rule", words="lists.intake*"), look="0"),
            worked("wet", "Coats wet", "flag", "=IF(coat_wet=INDEX(lists_yes,2),1,0)",
                   by(gates.is_word, entry="coat_wet", word="lists.yes@2"), look="0"),
            worked("season_celsius", "Mean temperature of the season", "degC",
                   "=(season_temperature-freezing_fahrenheit)*celsius_per_fahrenheit", by(cold.celsius, fahrenheit="season_temperature"), look="0.0"),
            worked("effective_temperature", "Temperature that stock feel", "degF", "=season_temperature-wind_per_mph*wind",
                   by(cold.effective_temperature, temperature="season_temperature"), look="0.0"),
            worked("per_degree", "More energy per degree below the critical temperature", "1/delta_degF",
                   "=IF(wet=1,wet_per_degree,dry_per_degree)", by(cold.per_degree, coat_wet="wet"), look="0%"),
            worked("acclimatisation", "More maintenance for the season's cold", "Mcal/kg**0.75/day",
                   "=IF(cold_row=1,MAX(0,acclimatisation_slope*(neutral_temperature-season_celsius)),0)",
                   by(cattle.acclimatisation, when="acclimatised", previous_temperature="season_celsius"), look="0.0000"),
            worked("acclimatised", "Cattle by acclimatisation", "flag", "=IF(cold_row=1,1,0)", by(gates.equals, number="cold_row", wanted=1), look="0"),
            worked("dry_share", "Dry cow eats, of body weight", "kg_dry/kg/day",
                   "=IF(hay_tdn<tdn_low_limit,dry_low,IF(hay_tdn>tdn_high_limit,dry_high,dry_mid))",
                   by(intake.share_by_forage, tdn="hay_tdn", low="dry_low", mid="dry_mid", high="dry_high"), look="0.0%"),
            worked("milk_share", "Cow in milk eats, of body weight", "kg_dry/kg/day",
                   "=IF(hay_tdn<tdn_low_limit,milk_low,IF(hay_tdn>tdn_high_limit,milk_high,milk_mid))",
                   by(intake.share_by_forage, tdn="hay_tdn", low="milk_low", mid="milk_mid", high="milk_high"), look="0.0%"),
            worked("milk_energy", "Energy of a kilogram of milk", "Mcal/kg",
                   "=milk_fat_energy*milk_fat+milk_snf_energy*milk_snf-milk_energy_constant", by(cattle.milk_energy), look="0.000"),
        ),
        note="Net energy is turned into ME by the hay's own NE to ME: the ration that pods are added to.",
    )  # fmt: skip


def _row(name: str, label: str, unit: str, formula: str, ref: Ref, look: str = "0.00", headline: bool = False) -> Node:
    return worked(f"groups.{name}", label, unit, formula, ref, size=COUNT, look=look, headline=headline)


def _groups(filled: Filled) -> Table:
    groups = filled.groups
    entries = [
        entry_field("groups.kind", "Kind", "text", padded([each.kind for each in groups], COUNT), choices="kinds.word",
                    note="Leave blank where there are fewer than five groups."),
        *(
            entry_field(f"groups.{name}", label, unit, padded([getattr(each, name) for each in groups], COUNT), low, high,
                        note=NOTES.get(name, ""), look=look)
            for name, (label, unit, low, high, look) in NUMBERS.items()
        ),
    ]  # fmt: skip
    return Table(
        "groups",
        "Groups",
        GROUPS,
        (*entries, *_order(), *_common(), *_cattle(), *_ewe(), *_doe(), *_needs()),
        note="Every number is asked for; what a kind does not use is left as it is.",
    )


def _order() -> list[Node]:
    names = tuple(NUMBERS)
    halves = names[:5], names[5:]
    blank = ",".join(f'{{{name}}}=""' for name in ("kind", *names))

    return [
        _row("kind_row", "Kind: row of the list", "ordinal", "=IF(ISNUMBER(MATCH({kind},kinds_word,0)),MATCH({kind},kinds_word,0),0)",
             by(gates.position_or_none, word="kind", words="kinds.word*"), "0"),
        _row("filled", "Every number filled in", "flag", "=IF({kind_row}=0,0,IF(COUNT({head}:{gain})<ROWS({head}:{gain}),0,1))",
             by(gates.all_numbers, when="kind_row", entries=names), "0"),
        _row("in_range", "In range, first half", "flag", f"=IF({{filled}}=0,0,IF(AND({within(halves[0])}),1,0))",
             in_range(halves[0], "filled"), "0"),
        _row("in_range_too", "In range, second half", "flag", f"=IF({{filled}}=0,0,IF(AND({within(halves[1])}),1,0))",
             in_range(halves[1], "filled"), "0"),
        _row("fits_kind", "Weight fits the kind", "flag",
             "=IF({filled}=0,0,IF(AND({body_weight}>=INDEX(kinds_lightest,{kind_row}),{body_weight}<=INDEX(kinds_heaviest,{kind_row})),1,0))",
             by(gates.weight_fits, when="filled", lightest="kinds.lightest*", heaviest="kinds.heaviest*"), "0"),
        _row("in_order", "Usable", "flag", "={in_range}*{in_range_too}*{fits_kind}",
             by(book.product_of, values=("in_range", "in_range_too", "fits_kind")), "0"),
        _row("state", "In order?", "text", f'=IF({{in_order}}=1,"ok",IF(AND({blank}),"-","mend"))', by(gates.group_state, entries=("kind", *names)), "0"),
    ]  # fmt: skip


def _common() -> list[Node]:
    def looked_up(name: str, label: str, unit: str, field: str) -> Node:
        return _row(name, label, unit, f"=IF({{in_order}}=0,0,INDEX(kinds_{field},{{kind_row}}))",
                    by(gates.item, when="in_order", values=f"kinds.{field}*", position="kind_row"), "0")  # fmt: skip

    def is_species(name: str, label: str, number: int) -> Node:
        return _row(name, label, "flag", f"=IF({{species}}={number},1,0)", by(gates.equals, number="species", wanted=number), "0")

    def in_kg(name: str, label: str, unit: str, field: str, gate: str) -> Node:
        return _row(name, label, unit, f"=IF({{{gate}}}=0,0,{{{field}}}*kg_per_weight)",
                    by(measures.kilograms, when=gate, weight=field), "0.0")  # fmt: skip

    return [
        looked_up("species", "Species", "ordinal", "species"),
        is_species("is_cattle", "Cattle", 1),
        is_species("is_ewe", "Ewes", 2),
        _row("is_doe", "Does", "flag", "={in_order}-{is_cattle}-{is_ewe}", by(gates.rest_of, values=("is_cattle", "is_ewe"), whole="in_order"), "0"),
        looked_up("in_milk", "Cow in milk", "flag", "in_milk"),
        looked_up("grows", "Growing", "flag", "grows"),
        in_kg("weight", "Body weight", "kg/head", "body_weight", "in_order"),
        _row("days", "Days pregnant at mid-season", "day",
             "=IF({in_order}=0,0,IF({days_pregnant}=0,0,MIN({days_pregnant}+mid_season,INDEX(kinds_gestation,{kind_row}))))",
             by(gates.days_at, when="in_order", gestation="kinds.gestation*"), "0"),
        _row("week", "Weeks in milk at mid-season", "week",
             "=IF({in_order}=0,0,IF({week_in_milk}=0,0,{week_in_milk}+mid_season/days_per_week))", by(gates.week_at, when="in_order"), "0.0"),
        _row("milk_used", "Peak milk", "kg/head/day", "=IF({in_order}=0,0,{peak_milk}*kg_per_weight)",
             by(measures.kilograms, when="in_order", weight="peak_milk"), "0.0"),
        _row("gain_used", "Gain", "kg/head/day", "=IF({in_order}=0,0,{gain}*kg_per_weight)",
             by(measures.kilograms, when="in_order", weight="gain"), "0.00"),
    ]  # fmt: skip


def _cattle() -> list[Node]:
    gate = "is_cattle"
    return [
        _row("shrunk", "Cattle: shrunk weight", PER_HEAD, "=IF({is_cattle}=0,0,shrink*{weight})",
             by(cattle.shrunk_weight, when=gate, body_weight="weight"), "0.0"),
        _row("comp", "Cattle: condition", "fraction", "=IF({is_cattle}=0,0,condition_base+({condition}-1)*condition_step)",
             by(cattle.condition_factor, when=gate, condition_score="condition")),
        _row("rise", "Cattle: maintenance in milk", "fraction", "=IF({is_cattle}=0,0,IF({in_milk}=1,lactation_rise,1))",
             by(gates.one_of_two, when=gate, flag="in_milk", yes="lactation_rise", no=1)),
        _row("nem", "Cattle: maintenance (NEm)", DAILY,
             "=IF({is_cattle}=0,0,{shrunk}^metabolic_power*(fasting_heat*{breed_factor}*{rise}*{comp}+acclimatisation))",
             by(cattle.maintenance, when=gate, shrunk_weight="shrunk", lactation_factor="rise", condition_factor="comp")),
        _row("calf", "Cattle: calf at birth", "kg", "=IF({is_cattle}=0,0,{calf_weight}*kg_per_weight)",
             by(measures.kilograms, when=gate, weight="calf_weight"), "0.0"),
        _row("preg_me", "Cattle: pregnancy (ME)", DAILY,
             "=IF({days}*{is_cattle}=0,0,{calf}*(pregnancy_a-pregnancy_b*{days})*EXP((pregnancy_c-pregnancy_d*{days})*{days})/kcal_per_mcal)",
             by(cattle.pregnancy_me, when=gate, calf_weight="calf", days_pregnant="days")),
        _row("preg_nem", "Cattle: pregnancy (NEm)", DAILY, "=pregnancy_efficiency*{preg_me}", by(cattle.pregnancy_nem, pregnancy_me="preg_me")),
        _row("milk", "Cattle: milk", "kg/head/day",
             "=IF({in_milk}*{week}=0,0,{milk_used}*{week}/peak_week*EXP(1-{week}/peak_week))",
             by(cattle.milk_yield, when="in_milk", peak_milk="milk_used"), "0.0"),
        _row("milk_ne", "Cattle: milk (NE)", DAILY, "={milk}*milk_energy", by(cattle.lactation_ne, milk_yield="milk")),
        _row("mature", "Growing: mature weight, shrunk", PER_HEAD, "=IF({grows}=0,0,shrink*{mature_weight}*kg_per_weight)",
             by(book.product_of, when="grows", values=("shrink", "mature_weight", "kg_per_weight")), "0.0"),
        _row("equivalent", "Growing: equivalent weight", PER_HEAD, "=IF({grows}=0,0,{shrunk}*standard_weight/{mature})",
             by(cattle.equivalent_weight, when="grows", shrunk_weight="shrunk", mature_weight="mature"), "0.0"),
        _row("retained", "Growing: energy of gain (NEg)", DAILY,
             "=IF({grows}*{gain_used}=0,0,gain_coefficient*(empty_body*{equivalent})^metabolic_power*(empty_gain*{gain_used})^gain_power)",
             by(cattle.gain_energy, when="grows", shrunk_weight="shrunk", mature_weight="mature", gain="gain_used")),
        _row("nem_total", "Cattle: maintenance, pregnancy, milk (NEm)", DAILY, "={nem}+{preg_nem}+{milk_ne}",
             by(book.total, values=("nem", "preg_nem", "milk_ne"))),
        _row("me_cattle", "Cattle: energy (ME), before cold", DAILY,
             "=IF({is_cattle}=0,0,{nem_total}*hay_me/hay_nem+IF({retained}*hay_neg=0,0,{retained}*hay_me/hay_neg))",
             by(cattle.me_requirement, when=gate, gain_energy="retained", diet_me="hay_me", diet_nem="hay_nem", diet_neg="hay_neg")),
        _row("preg_protein", "Cattle: protein laid down in pregnancy", KG_DAILY,
             "=IF({days}*{is_cattle}=0,0,{calf}*(pregnancy_n_a-pregnancy_n_b*{days})*EXP((pregnancy_n_c-pregnancy_n_d*{days})*{days})*protein_per_n/g_per_kg)",
             by(cattle.pregnancy_protein, when=gate, calf_weight="calf", days_pregnant="days"), "0.000"),
        _row("gain_protein", "Growing: metabolizable protein of gain", KG_DAILY,
             "=IF({retained}=0,0,MAX(0,gain_protein_a*{gain_used}-gain_protein_b*{retained})"
             "/(gain_efficiency_a-gain_efficiency_b*MIN({equivalent},gain_efficiency_cap_weight))/g_per_kg)",
             by(cattle.gain_protein, when="grows", gain="gain_used", gain_energy="retained", equivalent_weight="equivalent"), "0.000"),
        _row("cp_cattle", "Cattle: crude protein", KG_DAILY,
             "=IF({is_cattle}=0,0,(mp_maintenance*{shrunk}^metabolic_power+{milk}*milk_protein/100/milk_efficiency"
             "+{preg_protein}/pregnancy_protein_efficiency+{gain_protein})/mp_per_cp)",
             by(cattle.protein_requirement, when=gate, shrunk_weight="shrunk", milk_yield="milk", pregnancy_protein="preg_protein"), "0.000"),
        _row("late", "Cattle: last two thirds of pregnancy", "flag", "=IF({is_cattle}*{days}>=pregnant_from,1,0)",
             by(gates.at_least, when=gate, number="days", least="pregnant_from"), "0"),
        _row("eats_cow", "Cow: intake by the NRC equation", "kg_dry/head/day",
             "=IF({is_cattle}=0,0,{shrunk}^metabolic_power*(intake_square*hay_nem^2+IF({late}=1,intake_pregnant,intake_dry))"
             "/MAX(hay_nem,intake_nem_floor)+intake_per_milk*{milk})",
             by(intake.nrc_cow, when=gate, shrunk_weight="shrunk", diet_nem="hay_nem", late_pregnancy="late", milk_yield="milk"), "0.0"),
        _row("eats_growing", "Growing: intake by the NRC equation", "kg_dry/head/day",
             "=IF({grows}=0,0,{shrunk}^metabolic_power*(growing_linear*hay_nem-growing_square*hay_nem^2-growing_constant)/MAX(hay_nem,intake_nem_floor))",
             by(intake.nrc_growing, when="grows", shrunk_weight="shrunk", diet_nem="hay_nem"), "0.0"),
        _row("eats_share", "Cattle: intake by share of body weight", "kg_dry/head/day",
             "=IF({is_cattle}=0,0,{weight}*IF({grows}=1,growing_share,IF({in_milk}=1,milk_share,dry_share)))",
             by(intake.body_weight_rule, when=gate, body_weight="weight", tdn="hay_tdn", lactating="in_milk", growing="grows"), "0.0"),
        _row("eats_cattle", "Cattle: intake by the rule chosen", "kg_dry/head/day",
             "=IF(intake_row=2,{eats_share},IF({grows}=1,{eats_growing},{eats_cow}))", by(gates.chosen_intake), "0.0"),
    ]  # fmt: skip


def _ewe() -> list[Node]:
    def between(name: str, label: str, unit: str, field: str, function: Reference, look: str, per: str = "") -> Node:
        return _row(name, label, unit,
                    f"=IF({{is_ewe}}=0,0,(INDEX(ewe_rows_{field},{{ewe_row}})+{{ewe_part}}"
                    f"*(INDEX(ewe_rows_{field},{{ewe_row}}+1)-INDEX(ewe_rows_{field},{{ewe_row}}))){per})",
                    by(function, when="is_ewe", body_weight="weight", stage="ewe_stage"), look)  # fmt: skip

    return [
        _row("ewe_stage", "Ewe: stage", "ordinal",
             "=IF({is_ewe}=0,0,1+IF(OR({week}>0,{days}>0),1,0)+IF(OR({week}>0,{days}>=ewe_late_from),1,0)+IF({week}>0,1,0))",
             by(sheep.stage, when="is_ewe", days_pregnant="days", week_in_milk="week", late_gestation_from="ewe_late_from"), "0"),
        _row("ewe_row", "Ewe: row of the table", "ordinal",
             "=IF({is_ewe}=0,0,({ewe_stage}-1)*ewe_weights+1"
             "+IF({weight}>=INDEX(ewe_rows_weight,2),1,0)+IF({weight}>=INDEX(ewe_rows_weight,3),1,0)+IF({weight}>=INDEX(ewe_rows_weight,4),1,0))",
             by(gates.row_below, when="is_ewe", stage="ewe_stage", weights="ewe_rows.weight*", count="ewe_weights"), "0"),
        _row("ewe_part", "Ewe: way to the next row", "fraction",
             "=IF({is_ewe}=0,0,({weight}-INDEX(ewe_rows_weight,{ewe_row}))/(INDEX(ewe_rows_weight,{ewe_row}+1)-INDEX(ewe_rows_weight,{ewe_row})))",
             by(gates.part_of_step, when="is_ewe", value="weight", steps="ewe_rows.weight*", row="ewe_row")),
        between("dm_ewe", "Ewe: dry matter", "kg_dry/head/day", "dm", sheep.dry_matter, "0.00"),
        between("me_ewe", "Ewe: energy (ME), before cold", DAILY, "me", sheep.energy, "0.00"),
        between("cp_ewe", "Ewe: crude protein", KG_DAILY, "cp", sheep.protein, "0.000", "/g_per_kg"),
    ]  # fmt: skip


def _doe() -> list[Node]:
    gate = "is_doe"
    return [
        _row("doe_keep", "Doe: maintenance (ME)", DAILY, "=IF({is_doe}=0,0,goat_maintenance*{weight}^metabolic_power*(1+goat_activity))",
             by(goats.maintenance, when=gate, body_weight="weight", activity="goat_activity")),
        _row("doe_late", "Doe: late pregnancy", "flag", "=IF({is_doe}=0,0,IF({days}>=goat_late_from,1,0))",
             by(goats.late_pregnancy, when=gate, days_pregnant="days"), "0"),
        _row("doe_preg", "Doe: pregnancy (ME)", DAILY, "={doe_late}*goat_pregnancy", by(goats.pregnancy, late_pregnancy="doe_late")),
        _row("doe_gain", "Doe: gain (ME)", DAILY, "={is_doe}*{gain_used}*goat_gain_energy",
             by(goats.growth, when=gate, gain="gain_used")),
        _row("doe_milk", "Doe: milk (ME)", DAILY, "=IF({is_doe}*{week}=0,0,{milk_used}*goat_milk_energy)",
             by(goats.milk, when="doe_suckles", milk_yield="milk_used")),
        _row("doe_suckles", "Doe: in milk", "flag", "=IF({is_doe}*{week}=0,0,1)", by(gates.both, a="is_doe", b="week"), "0"),
        _row("me_doe", "Doe: energy (ME), before cold", DAILY, "={doe_keep}+{doe_preg}+{doe_gain}+{doe_milk}",
             by(book.total, values=("doe_keep", "doe_preg", "doe_gain", "doe_milk"))),
        _row("doe_me_else", "Doe: energy besides pregnancy (ME)", DAILY, "={me_doe}-{doe_preg}", by(book.difference, a="me_doe", b="doe_preg")),
        _row("doe_protein", "Doe: protein besides pregnancy", KG_DAILY, "={doe_me_else}/goat_me_per_de*goat_cp_per_de",
             by(goats.protein, me="doe_me_else"), "0.000"),
        _row("cp_doe", "Doe: crude protein", KG_DAILY, "={doe_protein}+{doe_late}*goat_pregnancy_protein",
             by(goats.protein_in_all, protein="doe_protein", late_pregnancy="doe_late"), "0.000"),
        _row("dm_doe", "Doe: dry matter", "kg_dry/head/day", "=IF({is_doe}=0,0,goat_intake*{weight}^metabolic_power*(1+goat_activity)+{doe_late}*goat_intake_pregnant)",
             by(intake.goat, when=gate, body_weight="weight", late_pregnancy="doe_late", activity="goat_activity"), "0.00"),
    ]  # fmt: skip


def _needs() -> list[Node]:
    return [
        _row("critical", "Critical temperature", "degF",
             "=IF({in_order}=0,0,IF(wet=1,CHOOSE({species},cattle_wet_critical,sheep_wet_critical,goats_wet_critical),"
             "CHOOSE({species},cattle_dry_critical,sheep_dry_critical,goats_dry_critical)))",
             by(gates.critical_of_species, when="in_order",
                dry=("cattle_dry_critical", "sheep_dry_critical", "goats_dry_critical"),
                wet_coat=("cattle_wet_critical", "sheep_wet_critical", "goats_wet_critical")), "0"),
        _row("cold", "More energy for cold", "fraction",
             "=IF({in_order}=0,0,IF({is_cattle}*acclimatised=1,0,per_degree*MAX(0,{critical}-effective_temperature)))",
             by(cold.cold_increase, when="by_critical", critical_temperature="critical"), "0%"),
        _row("by_critical", "Cold by critical temperature", "flag", "={in_order}*(1-{is_cattle}*acclimatised)", by(gates.by_critical), "0"),
        _row("met", "Feed can meet the cold", "flag", "=IF({cold}<=feed_ceiling,1,0)", by(cold.met_by_feed, increase="cold"), "0"),
        _row("need_me", "Energy a head and day (ME)", DAILY, "=({me_cattle}+{me_ewe}+{me_doe})*(1+{cold})",
             by(gates.need_with_cold, parts=("me_cattle", "me_ewe", "me_doe")), "0.00", True),
        _row("need_cp", "Crude protein a head and day", KG_DAILY, "={cp_cattle}+{cp_ewe}+{cp_doe}",
             by(book.total, values=("cp_cattle", "cp_ewe", "cp_doe")), "0.000", True),
        _row("eats", "Dry matter a head can eat in a day", "kg_dry/head/day", "={eats_cattle}*{is_cattle}+{dm_ewe}+{dm_doe}",
             by(gates.intake_of, parts=("eats_cattle", "dm_ewe", "dm_doe")), "0.0", True),
        _row("head_used", "Head", "head", "=IF({in_order}=0,0,{head})", by(book.same, when="in_order", value="head"), "0", True),
    ]  # fmt: skip


