"""What a head of each group needs in a day, month by month: energy, protein, and what it can eat."""

from __future__ import annotations

from collections.abc import Callable

from podbook.book.model import Sheet, Single, Table
from podbook.book.node import Node, Ref, by, worked
from podbook.inputs.filled import GROUPS
from podbook.reference import book, cattle, cold, goats, intake, measures, picks, sheep, stages
from podbook.reference.contract import Reference
from podbook.sheets.coefficients import coefficient
from podbook.sheets.months import ITEMS
from podbook.sheets.season import COUNT

DAILY, KG_DAILY, PER_HEAD, DRY_DAILY = "Mcal/head/day", "kg/head/day", "kg/head", "kg_dry/head/day"
SHOWN = (
    ("energy_need", "Energy (ME) a head and day", DAILY, "need_me", "0.00"),
    ("protein_need", "Crude protein a head and day", KG_DAILY, "need_cp", "0.000"),
    ("appetite", "Dry matter a head can eat in a day", DRY_DAILY, "eats", "0.0"),
    ("cold_shown", "More energy for cold (cattle by acclimatisation: of maintenance)", "fraction", "cold_rise", "0%"),
)
Row = Callable[..., Node]


def sheet() -> Sheet:
    """Return the sheet Needs: the needs in front, the workings of each group below the printed page."""
    shown = tuple(_shown(*each) for each in SHOWN)
    return Sheet(
        "Needs",
        "What a head needs in a day, month by month: pregnancy advances, milk falls, young stock grow, it gets cold.",
        (_kinds(), *shown, _units(), *(_workings(number) for number in range(1, len(GROUPS) + 1)), _of_units()),
        printed=2 + len(shown),
    )


def _kinds() -> Table:
    kind = worked("need_kinds.label", "Kind", "text", '=IF({groups.in_order}=1,{groups.kind},"-")',
                  by(book.same, when="groups.in_order", otherwise="-", value="groups.kind"), size=len(GROUPS))  # fmt: skip
    return Table("need_kinds", "The groups", GROUPS, (kind,))


def _shown(name: str, label: str, unit: str, field: str, look: str) -> Table:
    rows = tuple(
        worked(f"{name}.group_{number}", f"{group}", unit, f"={{need_{number}.{field}}}",
               by(book.same, value=f"need_{number}.{field}"), size=COUNT, look=look)
        for number, group in enumerate(GROUPS, 1)
    )  # fmt: skip
    month = worked(f"{name}.label", "Month", "text", "={months.label}", by(book.same, value="months.label"), size=COUNT)
    return Table(name, label, ITEMS, (month, *rows))


def _units() -> Table:
    """Return the herd in animal units, for stocking."""
    return Table(
        "units",
        "Animal units, for stocking",
        GROUPS,
        (
            worked("units.head", "Animal units a head", "animal_unit/head",
                   "=IF({groups.in_order}=0,0,CHOOSE({groups.species},{groups.body_weight}/unit_weight,{groups.body_weight}*ewe_forage/unit_forage,"
                   "{groups.body_weight}*doe_forage/unit_forage))",
                   by(measures.animal_units, when="groups.in_order", body_weight="groups.body_weight", species="groups.species"), size=len(GROUPS)),
            worked("units.all", "Animal units of the group", "animal_unit", "={units.head}*{groups.head_used}",
                   by(book.product, a="units.head", b="groups.head_used"), size=len(GROUPS), look="0.0", headline=True),
        ),
        note="Cattle by weight, 1 for 1,000 lb; ewes and does by what they eat. A cow is counted alone: a calf over four months is 0.3 more.",
    )  # fmt: skip


def _of_units() -> Single:
    return Single("Animal units: figures", (
        coefficient("unit_weight", "Weight of a cow that is an animal unit", 1000, "lb/animal_unit", "ndmc-animal-units", "1,000 lb"),
        coefficient("unit_forage", "Dry forage of an animal unit", 26, "lb/animal_unit/day", "ndmc-animal-units", "26 lb a day"),
        coefficient("ewe_forage", "Ewes eat a day, of body weight, for animal units", 0.035, "1/day", "texas-animal-units", "ewe of 130 lb: 0.18"),
        coefficient("doe_forage", "Does eat a day, of body weight, for animal units", 0.045, "1/day", "texas-animal-units", "Spanish doe of 90 lb: 0.16"),
    ))


def _workings(number: int) -> Table:
    def row(name: str, label: str, unit: str, formula: str, ref: Ref, look: str = "0.00") -> Node:
        return worked(f"need_{number}.{name}", label, unit, formula.replace("@K}", f"@{number}}}"), ref, size=COUNT, look=look)

    def g(field: str) -> str:
        return f"groups.{field}@{number}"

    rows = (*_animal(row, g), *_cattle(row, g), *_ewe(row, g), *_doe(row, g), *_needs(row, g))
    return Table(f"need_{number}", f"Workings: group {number}", ITEMS, rows)


def _animal(row: Row, g: Callable[[str], str]) -> list[Node]:
    start = {"days_pregnant": g("days_start"), "gestation": g("gestation"), "mid": "months.mid"}
    return [
        row("head_days", "Head-days", "head*day", "={groups.head_used@K}*{months.days_used}",
            by(book.product, a=g("head_used"), b="months.days_used"), "#,##0"),
        row("weight", "Body weight", PER_HEAD, "={groups.weight@K}+{groups.gain_kg@K}*{months.mid}",
            by(stages.weight_in_month, weight=g("weight"), gain=g("gain_kg"), mid="months.mid"), "0.0"),
        row("born", "Young born since the start", "flag",
            "=IF({groups.days_start@K}=0,0,IF({groups.days_start@K}+{months.mid}>{groups.gestation@K},1,0))",
            by(stages.has_given_birth, **start), "0"),
        row("days", "Days pregnant", "day", "=IF({groups.days_start@K}=0,0,IF({born}=1,0,{groups.days_start@K}+{months.mid}))",
            by(stages.day_of_pregnancy, days_pregnant=g("days_start"), mid="months.mid"), "0"),
        row("week", "Week in milk", "week",
            "=IF({born}=1,({groups.days_start@K}+{months.mid}-{groups.gestation@K})/days_per_week,"
            "IF({groups.week_start@K}=0,0,{groups.week_start@K}+{months.mid}/days_per_week))",
            by(stages.week_of_milk, week_in_milk=g("week_start"), **start), "0.0"),
        row("milkless", "Has young, but its milk is not filled in", "flag",
            "=IF(MAX({born},{groups.suckled@K}*{groups.is_cattle@K})*{head_days}*(1-{groups.is_ewe@K})=0,0,IF({week}*{groups.milk_peak@K}=0,1,0))",
            by(stages.young_without_milk, suckled=g("suckled"), is_cattle=g("is_cattle"), is_ewe=g("is_ewe"), milk_peak=g("milk_peak")), "0"),
        row("suckles", "In milk", "flag", "=IF({week}*{groups.milk_peak@K}=0,0,1)", by(picks.both, a="week", b=g("milk_peak")), "0"),
    ]  # fmt: skip


def _cattle(row: Row, g: Callable[[str], str]) -> list[Node]:
    gate, grows = g("is_cattle"), g("grows")
    return [
        row("shrunk", "Cattle: shrunk weight", PER_HEAD, "=IF({groups.is_cattle@K}=0,0,shrink*{weight})",
            by(cattle.shrunk_weight, when=gate, body_weight="weight"), "0.0"),
        row("rise", "Cattle: maintenance in milk", "dimensionless", "=IF({groups.is_cattle@K}=0,0,IF({suckles}=1,lactation_rise,1))",
            by(picks.one_of_two, when=gate, flag="suckles", yes="lactation_rise", no=1)),
        row("nem", "Cattle: maintenance (NEm)", DAILY,
            "=IF({groups.is_cattle@K}=0,0,{shrunk}^metabolic_power*(fasting_heat*{groups.breed@K}*{rise}*{groups.comp@K}+{months.acclimatisation}))",
            by(cattle.maintenance, when=gate, shrunk_weight="shrunk", breed_factor=g("breed"), lactation_factor="rise",
               condition_factor=g("comp"), acclimatisation="months.acclimatisation")),
        row("preg_me", "Cattle: pregnancy (ME)", DAILY,
            "=IF({days}*{groups.is_cattle@K}=0,0,{groups.calf@K}*(pregnancy_a-pregnancy_b*{days})*EXP((pregnancy_c-pregnancy_d*{days})*{days})/kcal_per_energy)",
            by(cattle.pregnancy_me, when=gate, calf_weight=g("calf"), days_pregnant="days")),
        row("preg_nem", "Cattle: pregnancy (NEm)", DAILY, "=pregnancy_efficiency*{preg_me}", by(cattle.pregnancy_nem, pregnancy_me="preg_me")),
        row("milk", "Cattle: milk", KG_DAILY,
            "=IF({suckles}*{groups.is_cattle@K}=0,0,{groups.milk_peak@K}*{week}/peak_week*EXP(1-{week}/peak_week))",
            by(cattle.milk_yield, when=gate, peak_milk=g("milk_peak")), "0.0"),
        row("milk_ne", "Cattle: milk (NE)", DAILY, "={milk}*milk_energy", by(cattle.lactation_ne, milk_yield="milk")),
        row("equivalent", "Growing: equivalent weight", "kg", "=IF({groups.grows@K}=0,0,{shrunk}*standard_weight/{groups.mature@K})",
            by(cattle.equivalent_weight, when=grows, shrunk_weight="shrunk", mature_weight=g("mature")), "0.0"),
        row("retained", "Growing: energy of gain (NEg)", DAILY,
            "=IF({groups.grows@K}*{groups.gain_kg@K}=0,0,gain_coefficient*(empty_body*{equivalent})^metabolic_power*(empty_gain*{groups.gain_kg@K})^gain_power)",
            by(cattle.gain_energy, when=grows, shrunk_weight="shrunk", mature_weight=g("mature"), gain=g("gain_kg"))),
        row("nem_total", "Cattle: maintenance, pregnancy, milk (NEm)", DAILY, "={nem}+{preg_nem}+{milk_ne}",
            by(book.total, values=("nem", "preg_nem", "milk_ne"))),
        row("me_cattle", "Cattle: energy (ME), before cold", DAILY,
            "=IF({groups.is_cattle@K}=0,0,{nem_total}*hay_me/hay_nem+IF({retained}*hay_neg=0,0,{retained}*hay_me/hay_neg))",
            by(cattle.me_requirement, when=gate, gain_energy="retained", diet_me="hay_me", diet_nem="hay_nem", diet_neg="hay_neg")),
        row("preg_protein", "Cattle: protein laid down in pregnancy", KG_DAILY,
            "=IF({days}*{groups.is_cattle@K}=0,0,{groups.calf@K}*(pregnancy_n_a-pregnancy_n_b*{days})"
            "*EXP((pregnancy_n_c-pregnancy_n_d*{days})*{days})*protein_per_n/g_per_kg)",
            by(cattle.pregnancy_protein, when=gate, calf_weight=g("calf"), days_pregnant="days"), "0.000"),
        row("gain_protein", "Growing: metabolizable protein of gain", KG_DAILY,
            "=IF({retained}=0,0,MAX(0,gain_protein_a*{groups.gain_kg@K}-gain_protein_b*{retained})"
            "/(gain_efficiency_a-gain_efficiency_b*MIN({equivalent},gain_efficiency_cap_weight))/g_per_kg)",
            by(cattle.gain_protein, when=grows, gain=g("gain_kg"), gain_energy="retained", equivalent_weight="equivalent"), "0.000"),
        row("cp_cattle", "Cattle: crude protein", KG_DAILY,
            "=IF({groups.is_cattle@K}=0,0,(mp_maintenance*{shrunk}^metabolic_power+{milk}*milk_protein/100/milk_efficiency"
            "+{preg_protein}/pregnancy_protein_efficiency+{gain_protein})/mp_per_cp)",
            by(cattle.protein_requirement, when=gate, shrunk_weight="shrunk", milk_yield="milk", pregnancy_protein="preg_protein"), "0.000"),
        row("late", "Cattle: last two thirds of pregnancy", "flag", "=IF({groups.is_cattle@K}*{days}>=pregnant_from,1,0)",
            by(picks.at_least, when=gate, number="days", least="pregnant_from"), "0"),
        row("eats_cow", "Cow: intake by the NRC equation", DRY_DAILY,
            "=IF({groups.is_cattle@K}=0,0,{shrunk}^metabolic_power*(intake_square*hay_nem^2+IF({late}=1,intake_pregnant,intake_dry))"
            "/MAX(hay_nem,intake_nem_floor)+intake_per_milk*{milk})",
            by(intake.nrc_cow, when=gate, shrunk_weight="shrunk", diet_nem="hay_nem", late_pregnancy="late", milk_yield="milk"), "0.0"),
        row("eats_growing", "Growing: intake by the NRC equation", DRY_DAILY,
            "=IF({groups.grows@K}=0,0,{shrunk}^metabolic_power*MAX(0,growing_linear*hay_nem-growing_square*hay_nem^2-growing_constant)"
            "/MAX(hay_nem,intake_nem_floor))",
            by(intake.nrc_growing, when=grows, shrunk_weight="shrunk", diet_nem="hay_nem"), "0.0"),
        row("eats_share", "Cattle: intake by share of body weight", DRY_DAILY,
            "=IF({groups.is_cattle@K}=0,0,{weight}*IF({groups.grows@K}=1,growing_share,IF({suckles}=1,milk_share,dry_share)))",
            by(intake.body_weight_rule, when=gate, body_weight="weight", tdn="hay_tdn", lactating="suckles", growing=grows), "0.0"),
        row("eats_cattle", "Cattle: intake by the rule chosen", DRY_DAILY,
            "=IF({groups.is_cattle@K}=0,0,IF(intake_row=2,{eats_share},IF({groups.grows@K}=1,{eats_growing},{eats_cow})))",
            by(picks.chosen_intake, when=gate, grows=grows), "0.0"),
    ]  # fmt: skip


def _ewe(row: Row, g: Callable[[str], str]) -> list[Node]:
    gate = g("is_ewe")

    def between(name: str, label: str, unit: str, field: str, function: Reference, look: str, per: str = "") -> Node:
        return row(name, label, unit,
                   f"=IF({{ewe_row}}=0,0,(INDEX(ewe_rows_{field},{{ewe_row}})+{{ewe_part}}"
                   f"*(INDEX(ewe_rows_{field},{{ewe_row}}+1)-INDEX(ewe_rows_{field},{{ewe_row}})))*INDEX(ewe_twins_{field}_rise,{{ewe_stage}}){per})",
                   by(function, when=gate, body_weight="weight", stage="ewe_stage"), look)  # fmt: skip

    return [
        row("ewe_stage", "Ewe: stage", "ordinal",
            "=IF({groups.is_ewe@K}=0,0,1+IF(OR({week}>0,{days}>0),1,0)+IF(OR({week}>0,{days}>=ewe_late_from),1,0)+IF({week}>0,IF({week}>ewe_full_milk,0,1),0))",
            by(sheep.stage, when=gate, days_pregnant="days", week_in_milk="week", late_gestation_from="ewe_late_from", full_milk_weeks="ewe_full_milk"), "0"),
        row("ewe_row", "Ewe: row of the table", "ordinal",
            "=IF({groups.is_ewe@K}=0,0,({ewe_stage}-1)*ewe_weights+1"
            "+IF({weight}>=INDEX(ewe_rows_weight,2),1,0)+IF({weight}>=INDEX(ewe_rows_weight,3),1,0)+IF({weight}>=INDEX(ewe_rows_weight,4),1,0))",
            by(picks.row_below, when=gate, stage="ewe_stage", weights="ewe_rows.weight*", count="ewe_weights"), "0"),
        row("ewe_part", "Ewe: way to the next row", "fraction",
            "=IF({ewe_row}=0,0,({weight}-INDEX(ewe_rows_weight,{ewe_row}))/(INDEX(ewe_rows_weight,{ewe_row}+1)-INDEX(ewe_rows_weight,{ewe_row})))",
            by(picks.part_of_step, when=gate, value="weight", steps="ewe_rows.weight*", row="ewe_row")),
        between("dm_ewe", "Ewe: dry matter", DRY_DAILY, "dm", sheep.dry_matter, "0.00"),
        between("me_ewe", "Ewe: energy (ME), before cold", DAILY, "me", sheep.energy, "0.00"),
        between("cp_ewe", "Ewe: crude protein", KG_DAILY, "cp", sheep.protein, "0.000", "/g_per_kg"),
    ]  # fmt: skip


def _doe(row: Row, g: Callable[[str], str]) -> list[Node]:
    gate = g("is_doe")
    return [
        row("doe_keep", "Doe: maintenance (ME)", DAILY, "=IF({groups.is_doe@K}=0,0,goat_maintenance*{weight}^metabolic_power*(1+goat_activity))",
            by(goats.maintenance, when=gate, body_weight="weight", activity="goat_activity")),
        row("doe_late", "Doe: late pregnancy", "flag", "=IF({groups.is_doe@K}=0,0,IF({days}>=goat_late_from,1,0))",
            by(goats.late_pregnancy, when=gate, days_pregnant="days"), "0"),
        row("doe_preg", "Doe: pregnancy (ME)", DAILY, "={doe_late}*goat_pregnancy", by(goats.pregnancy, late_pregnancy="doe_late")),
        row("doe_gain", "Doe: gain (ME)", DAILY, "={groups.is_doe@K}*{groups.gain_kg@K}*goat_gain_energy",
            by(goats.growth, when=gate, gain=g("gain_kg"))),
        row("doe_suckles", "Doe: in milk", "flag", "={groups.is_doe@K}*{suckles}", by(book.product, a=gate, b="suckles"), "0"),
        row("doe_milk", "Doe: milk (ME)", DAILY, "=IF({doe_suckles}=0,0,{groups.milk_peak@K}*goat_milk_energy)",
            by(goats.milk, when="doe_suckles", milk_yield=g("milk_peak"))),
        row("me_doe", "Doe: energy (ME), before cold", DAILY, "={doe_keep}+{doe_preg}+{doe_gain}+{doe_milk}",
            by(book.total, values=("doe_keep", "doe_preg", "doe_gain", "doe_milk"))),
        row("doe_me_else", "Doe: energy besides pregnancy (ME)", DAILY, "={doe_keep}+{doe_gain}+{doe_milk}",
            by(book.total, values=("doe_keep", "doe_gain", "doe_milk"))),
        row("doe_protein", "Doe: protein besides pregnancy", KG_DAILY, "={doe_me_else}/goat_me_per_de*goat_cp_per_de",
            by(goats.protein, me="doe_me_else"), "0.000"),
        row("cp_doe", "Doe: crude protein", KG_DAILY, "={doe_protein}+{doe_late}*goat_pregnancy_protein",
            by(goats.protein_in_all, protein="doe_protein", late_pregnancy="doe_late"), "0.000"),
        row("dm_doe", "Doe: dry matter", DRY_DAILY,
            "=IF({groups.is_doe@K}=0,0,goat_intake*{weight}^metabolic_power*(1+goat_activity)+{doe_late}*goat_intake_pregnant+({doe_milk}+{doe_gain})/goat_diet_me)",
            by(intake.goat, when=gate, body_weight="weight", late_pregnancy="doe_late", activity="goat_activity",
               milk_and_gain=("doe_milk", "doe_gain")), "0.00"),
    ]  # fmt: skip


def _needs(row: Row, g: Callable[[str], str]) -> list[Node]:
    return [
        row("cold", "More energy for cold", "fraction",
            "=IF({groups.by_critical@K}=0,0,per_degree*MAX(0,{groups.critical@K}-{months.felt}))",
            by(cold.cold_increase, when=g("by_critical"), critical_temperature=g("critical"), effective_temperature="months.felt"), "0%"),
        row("cold_used_to", "Cattle: maintenance that the earlier cold adds", "fraction",
            "=IF({groups.is_cattle@K}*acclimatised=0,0,{months.acclimatisation}*{shrunk}^metabolic_power/({nem}-{months.acclimatisation}*{shrunk}^metabolic_power))",
            by(cold.rise_by_acclimatisation, when=g("is_cattle"), acclimatisation="months.acclimatisation"), "0%"),
        row("cold_rise", "More energy for cold, by the one rule or the other", "fraction", "={cold}+{cold_used_to}",
            by(book.total, values=("cold", "cold_used_to")), "0%"),
        row("met", "Feed can meet the cold", "flag", "=IF({cold_rise}<=feed_ceiling,1,0)", by(cold.met_by_feed, increase="cold_rise"), "0"),
        row("need_me", "Energy a head and day (ME)", DAILY, "=({me_cattle}+{me_ewe}+{me_doe})*(1+{cold})",
            by(picks.need_with_cold, parts=("me_cattle", "me_ewe", "me_doe"))),
        row("need_cp", "Crude protein a head and day", KG_DAILY, "={cp_cattle}+{cp_ewe}+{cp_doe}",
            by(book.total, values=("cp_cattle", "cp_ewe", "cp_doe")), "0.000"),
        row("eats", "Dry matter a head can eat in a day", DRY_DAILY, "={eats_cattle}+{dm_ewe}+{dm_doe}",
            by(book.total, values=("eats_cattle", "dm_ewe", "dm_doe")), "0.0"),
    ]  # fmt: skip
