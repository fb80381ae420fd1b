"""The herd: up to five groups, and what a head of each needs in a day."""

from __future__ import annotations

from podbook.book.model import Entries, Entry, Sheet, Single, Table
from podbook.book.node import Node, Ref, by, entry_field, fixed_field, worked
from podbook.inputs.filled import GROUPS, Filled, padded
from podbook.reference import book, cattle, cold, gates, intake, measures, picks, sheep
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
    "days_pregnant": ("Days pregnant on the day feeding begins", "day", 0, 285, "0"),
    "week_in_milk": ("Weeks in milk on the day feeding begins", "week", 0, 40, "0"),
    "peak_milk": ("Milk at its peak", "lb/day", 0, 60, "0.0"),
    "gain": ("Gain wanted (growing cattle, does)", "lb/day", 0, 4, "0.00"),
}
CALLED = ("kind", "head", "weight", "condition", "breed", "calf", "mature", "pregnant", "weeks", "milk", "gain")
"""What the kind and the numbers are called where one is amiss."""
NOTES = {
    "breed_factor": "1 for British and most Continental breeds, 0.9 Bos indicus, 1.2 for dairy breeds (NRC 1996, from memory).",
    "week_in_milk": "Zero if she gives no milk.",
    "days_pregnant": "Zero if she is open.",
    "peak_milk": "Fill it in if she gives birth this season. Beef cows 9 to 31 lb a day (NRC 1996 p. 45); does 2 to 5 lb.",
}
EWES = (
    ("Maintenance", ((50, 1.0, 2.0, 95, "read"), (60, 1.1, 2.2, 104, "read"), (70, 1.2, 2.4, 113, "read"),
                     (80, 1.3, 2.6, 122, "read"), (90, 1.4, 2.8, 131, "read"))),
    ("First 15 weeks of gestation", ((50, 1.2, 2.4, 112, "read"), (60, 1.3, 2.6, 121, "read"), (70, 1.4, 2.8, 130, "read"),
                                     (80, 1.5, 3.0, 139, "memory"), (90, 1.6, 3.2, 148, "memory"))),
    ("Last 4 weeks of gestation, or late in milk", ((50, 1.6, 3.4, 175, "memory"), (60, 1.7, 3.6, 184, "memory"), (70, 1.8, 3.8, 193, "memory"),
                                   (80, 1.9, 4.0, 202, "memory"), (90, 2.0, 4.2, 212, "memory"))),
    ("First 6 to 8 weeks of milk", ((50, 2.1, 4.9, 304, "memory"), (60, 2.3, 5.4, 319, "memory"), (70, 2.5, 5.9, 334, "memory"),
                                    (80, 2.6, 6.1, 344, "memory"), (90, 2.7, 6.3, 353, "memory"))),
)  # fmt: skip
TWINS = ("Maintenance", "First 15 weeks of gestation", "Last 4 weeks of gestation", "First 6 to 8 weeks of milk")
TWIN_ROWS = ((1.2, 2.4, 113.0), (1.4, 2.8, 130.0), (1.9, 4.4, 214.0), (2.8, 6.6, 405.0))
DAILY, KG_DAILY, PER_HEAD = "Mcal/head/day", "kg/head/day", "kg/head"


def sheet(filled: Filled) -> Sheet:
    """Return the sheet Herd."""
    return Sheet(
        "Herd",
        "Up to five groups; what they are on the day feeding begins. Their needs by month are on the next sheet.",
        (_groups(filled), _rules(), _critical(), _kinds(), _ewe_rows(), _amiss(), _ewe_twins()),
        printed=5,
        label_width=45,
        sentences=13,
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
            row("in_milk", "May be in milk at the start", "flag", (0, 1, 0, 1, 1)),
            row("grows", "Grows", "flag", (0, 0, 1, 0, 0)),
            row("lightest", "Lightest", "lb/head", (500, 500, 250, 111, 22)),
            row("heaviest", "Heaviest", "lb/head", (2500, 2500, 2000, 198, 285)),
            row("gestation", "Days of pregnancy", "day", (283, 283, 283, 147, 150)),
        ),
    )


def _critical() -> Entries:
    def critical(name: str, label: str, value: float, source: str, place: str) -> Entry:
        return Entry(name, label, "degF", value, -20, 75, source=source, place=place, mark="published", look="0")

    return Entries(
        "critical",
        "Cold: critical temperatures; ewes with twins, does that walk",
        (
            critical("cattle_dry_critical", "Cattle, dry heavy winter coat", 18, "ndsu-lct", "32 °F in a normal winter coat"),
            critical("cattle_wet_critical", "Cattle, wet coat", 59, "osu-cold", "59 to 60 °F"),
            critical("sheep_dry_critical", "Sheep, fleece of 2.5 in", 28, "ohio-small-ruminants-2019", "freshly shorn 50 °F"),
            critical("sheep_wet_critical", "Sheep, wet", 58, "ohio-small-ruminants-2019", "wet coat about 58 °F"),
            critical("goats_dry_critical", "Goats, dry", 32, "ohio-small-ruminants-2019", ""),
            critical("goats_wet_critical", "Goats, wet", 58, "ohio-small-ruminants-2019", "wet coat about 58 °F"),
            Entry("twin_share", "Ewes: share that bear twins", "fraction", 0, 0, 1, look="0%", source="nrc-sheep-1985",
                  place="Table 1, p. 46, at 70 kg", mark="from memory",
                  help="0: fed by the rows for 130 to 150 % lambing and one lamb in milk. Ewes with twins that are fed too little get pregnancy toxaemia."),
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
        note="For 130 to 150 % lambing, and one lamb in milk. Rows marked memory were not read; those at 70 kg agree with reprints.",
    )


def _ewe_twins() -> Table:
    """Return how much more ewes need with twins, by stage: workings."""
    names = (("dm", "Dry matter", "kg_dry/head/day", "0.0"), ("me", "ME", DAILY, "0.0"), ("cp", "Crude protein", "g/head/day", "0"))
    return Table(
        "ewe_twins",
        "Ewes of 70 kg with twins: rows of NRC 1985, Table 1",
        TWINS,
        (
            fixed_field("ewe_twins.row", "The row with one lamb, above", "ordinal", tuple(float(5 * stage + 3) for stage in range(len(TWINS))), look="0"),
            *(
                fixed_field(f"ewe_twins.{name}", label, unit, tuple(row[position] for row in TWIN_ROWS), look=look)
                for position, (name, label, unit, look) in enumerate(names)
            ),
            *(
                worked(f"ewe_twins.{name}_rise", f"{label}: rise by the share that bear twins", "dimensionless",
                       f"=1+twin_share*({{{name}}}/INDEX(ewe_rows_{name},{{row}})-1)",
                       by(sheep.rise_with_twins, need=name, needs=f"ewe_rows.{name}*", row="row"), size=len(TWINS), look="0.00")
                for name, label, _, _ in names
            ),
        ),
        across=False,
        note="For 180 to 225 % lambing, and twins in milk. From memory: have a nutritionist look. Before the last weeks twins make no difference.",
    )  # fmt: skip


def _rules() -> Single:
    return Single(
        "Rules chosen, and what the needs are worked for",
        (
            worked("cold_row", "Rule for cold: row of the list", "ordinal", "=MATCH(cold_rule,lists_cold,0)",
                   by(picks.position, word="cold_rule", words="lists.cold*"), look="0"),
            worked("intake_row", "Rule for intake: row of the list", "ordinal", "=MATCH(intake_rule,lists_intake,0)",
                   by(picks.position, word="intake_rule", words="lists.intake*"), look="0"),
            worked("wet", "Coats wet", "flag", "=IF(coat_wet=INDEX(lists_yes,2),1,0)",
                   by(gates.is_word, entry="coat_wet", word="lists.yes@2"), look="0"),
            worked("acclimatised", "Cattle by acclimatisation: the rule chosen, and coats dry", "flag", "=IF(wet=1,0,IF(cold_row=1,1,0))", by(cold.acclimatised, cold_row="cold_row"), look="0"),
            worked("celsius_before", "Mean temperature of the month before", "degC",
                   "=(temperature_before-freezing_point)*celsius_per_degree", by(cold.celsius, fahrenheit="temperature_before"), look="0.0"),
            worked("per_degree", "More energy per degree below the critical temperature", "1/delta_degF",
                   "=IF(wet=1,wet_per_degree,dry_per_degree)", by(cold.per_degree, coat_wet="wet"), look="0%"),
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
                    note="Leave blank where there are fewer than five groups. A cow with calf is the cow alone: feed the calf besides, over four months old some 8 lb of dry matter a day (0.3 animal units)."),
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
        (*entries, *_order(), *_standing()),
        note="Every number is asked for; what a kind does not use is left as it is. A doe in milk is kept at her peak: high later on. A ewe's milk falls after week 8.",
    )


def _order() -> list[Node]:
    names = tuple(NUMBERS)
    halves = names[:5], names[5:]
    return [
        _row("kind_row", "Kind: row of the list", "ordinal", "=IF(ISNUMBER(MATCH({kind},kinds_word,0)),MATCH({kind},kinds_word,0),0)",
             by(picks.position_or_none, word="kind", words="kinds.word*"), "0"),
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
        _row("state", "In order?", "text",
             '=IF({in_order}=1,"ok",IF({amiss.any}=0,"-",CHOOSE(MATCH(0,{amiss.kind}:{amiss.gain},0),'
             + ",".join(f'"mend: {word}"' for word in CALLED) + ")))",
             by(gates.group_state, amiss="amiss.any", entries_in_order=tuple(f"amiss.{name}" for name in ("kind", *names))), "0"),
    ]  # fmt: skip


def _amiss() -> Table:
    """Return which entries of a group are in order, one by one: workings."""

    def row(name: str, label: str, formula: str, ref: Ref) -> Node:
        return worked(f"amiss.{name}", label, "flag", formula, ref, size=COUNT, look="0")

    def of_number(name: str) -> Node:
        entry = f"groups.{name}"
        label = f"{NUMBERS[name][0]}: in order"
        if name == "body_weight":
            low, high = ("MAX({groups.body_weight:low},INDEX(kinds_lightest,{groups.kind_row}))",
                         "MIN({groups.body_weight:high},INDEX(kinds_heaviest,{groups.kind_row}))")  # fmt: skip
            formula = f"=IF({{groups.kind_row}}=0,1,IF(ISNUMBER({{{entry}}}),IF({{{entry}}}<{low},0,IF({{{entry}}}>{high},0,1)),0))"
            return row(name, label, formula, by(gates.weight_in_order, when="groups.kind_row", otherwise=1, body_weight=entry, kind_row="groups.kind_row",
                                                low=f"{entry}_low", high=f"{entry}_high", lightest="kinds.lightest*", heaviest="kinds.heaviest*"))  # fmt: skip
        formula = f"=IF(ISNUMBER({{{entry}}}),IF({{{entry}}}<{{{entry}:low}},0,IF({{{entry}}}>{{{entry}:high}},0,1)),0)"
        return row(name, label, formula, in_range((entry,)))

    names = tuple(NUMBERS)
    blank = ",".join(f'{{groups.{name}}}=""' for name in ("kind", *names))
    return Table(
        "amiss",
        "Which figures of a group are in order",
        GROUPS,
        (
            row("kind", "Kind: in order", "=IF({groups.kind_row}=0,0,1)", by(picks.any_at_all, number="groups.kind_row")),
            *map(of_number, names),
            row("any", "Filled in, but not usable", f"=IF({{groups.in_order}}=1,0,IF(AND({blank}),0,1))",
                by(gates.group_amiss, in_order="groups.in_order", entries=tuple(f"groups.{name}" for name in ("kind", *names)))),
        ),
    )  # fmt: skip


def _standing() -> list[Node]:
    """Return what does not change over the season."""

    def looked_up(name: str, label: str, unit: str, field: str) -> Node:
        return _row(name, label, unit, f"=IF({{in_order}}=0,0,INDEX(kinds_{field},{{kind_row}}))",
                    by(picks.item, when="in_order", values=f"kinds.{field}*", position="kind_row"), "0")  # fmt: skip

    def is_species(name: str, label: str, number: int) -> Node:
        return _row(name, label, "flag", f"=IF({{species}}={number},1,0)", by(picks.equals, number="species", wanted=number), "0")

    def in_kg(name: str, label: str, unit: str, field: str, gate: str, look: str = "0.0") -> Node:
        return _row(name, label, unit, f"=IF({{{gate}}}=0,0,{{{field}}}*kg_per_weight)", by(measures.kilograms, when=gate, weight=field), look)

    def as_filled(name: str, label: str, unit: str, field: str, gate: str, look: str = "0") -> Node:
        return _row(name, label, unit, f"=IF({{{gate}}}=0,0,{{{field}}})", by(book.same, when=gate, value=field), look)

    return [
        looked_up("species", "Species", "ordinal", "species"),
        is_species("is_cattle", "Cattle", 1),
        is_species("is_ewe", "Ewes", 2),
        _row("is_doe", "Does", "flag", "={in_order}-{is_cattle}-{is_ewe}", by(picks.rest_of, values=("is_cattle", "is_ewe"), whole="in_order"), "0"),
        looked_up("grows", "Growing cattle", "flag", "grows"),
        looked_up("suckled", "Comes with young at foot", "flag", "in_milk"),
        looked_up("gestation", "Days of pregnancy", "day", "gestation"),
        as_filled("head_used", "Head", "head", "head", "in_order"),
        in_kg("weight", "Body weight at the start", "kg/head", "body_weight", "in_order"),
        _row("puts_on", "Puts on weight", "flag", "={grows}+{is_doe}", by(book.total, values=("grows", "is_doe")), "0"),
        in_kg("gain_kg", "Gain", "kg/head/day", "gain", "puts_on", "0.00"),
        in_kg("milk_peak", "Milk at its peak", "kg/head/day", "peak_milk", "in_order"),
        as_filled("days_start", "Days pregnant at the start", "day", "days_pregnant", "in_order"),
        as_filled("week_start", "Weeks in milk at the start, if in milk", "week", "week_in_milk", "suckled"),
        as_filled("breed", "Breed factor", "dimensionless", "breed_factor", "is_cattle", "0.00"),
        _row("comp", "Cattle: condition", "dimensionless", "=IF({is_cattle}=0,0,condition_base+({condition}-1)*condition_step)",
             by(cattle.condition_factor, when="is_cattle", condition_score="condition")),
        in_kg("calf", "Cattle: calf at birth", "kg/head", "calf_weight", "is_cattle"),
        _row("mature", "Growing: mature weight, shrunk", "kg/head", "=IF({grows}=0,0,shrink*{mature_weight}*kg_per_weight)",
             by(book.product_of, when="grows", values=("shrink", "mature_weight", "kg_per_weight")), "0.0"),
        _row("critical", "Critical temperature", "degF",
             "=IF({in_order}=0,0,IF(wet=1,CHOOSE({species},cattle_wet_critical,sheep_wet_critical,goats_wet_critical),"
             "CHOOSE({species},cattle_dry_critical,sheep_dry_critical,goats_dry_critical)))",
             by(picks.critical_of_species, when="in_order",
                dry=("cattle_dry_critical", "sheep_dry_critical", "goats_dry_critical"),
                wet_coat=("cattle_wet_critical", "sheep_wet_critical", "goats_wet_critical")), "0"),
        _row("by_critical", "Cold by critical temperature", "flag", "={in_order}*(1-{is_cattle}*acclimatised)", by(picks.by_critical), "0"),
    ]  # fmt: skip
