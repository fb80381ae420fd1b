"""Single trees weighed: the tally, and what it says of each type."""

from __future__ import annotations

from podbook.book.model import Sheet, Table
from podbook.book.node import Content, Node, Ref, by, entry_field, worked
from podbook.inputs.filled import TYPES, Filled, padded
from podbook.reference import book, gates, trees
from podbook.sheets.ranges import in_range, within

DRY = "lb_dry/tree"
COUNT = len(TYPES)


def sheet(filled: Filled) -> Sheet:
    """Return the sheet Trees."""
    return Sheet(
        "Trees",
        "One row for each tree and year: what was picked up under it. Empty rows cost nothing.",
        (_by_type(filled), _tally(filled)),
    )


def _by_type(filled: Filled) -> Table:
    column = {"kind": "tally.type*", "counted": "tally.counted*", "crop": "tally.crop*", "key": "types.name"}

    def row(name: str, label: str, unit: str, formula: str, ref: Ref, look: str = "0.0", headline: bool = False) -> Node:
        return worked(f"by_type.{name}", label, unit, formula, ref, size=COUNT, look=look, headline=headline)

    fields = (
        row("label", "Type", "text", '=IF({types.in_use}=1,{types.name},"-")',
            by(book.same, when="types.in_use", otherwise="-", value="types.name")),
        row("records", "Rows counted", "record", "=IF({types.in_use}=0,0,SUMIF(tally_type,{types.name},tally_counted))",
            by(trees.records, when="types.in_use", kind="tally.type*", counted="tally.counted*", key="types.name"), "0"),
        row("trees", "Trees weighed", "tree", "=IF({types.in_use}=0,0,SUMIF(tally_type,{types.name},tally_share))",
            by(trees.trees, when="types.in_use", kind="tally.type*", counted="tally.counted*", years="tally.years*",
               key="types.name"), "0"),
        row("mean", "Mean crop of a tree", DRY, "=IF({records}=0,0,SUMIF(tally_type,{types.name},tally_crop)/{records})",
            by(trees.mean_crop, when="types.in_use", **column)),
        row("lowest", "Lowest", DRY, "=IF({records}=0,0,MIN(tally_kind_{#}))", by(trees.lowest_crop, when="types.in_use", **column)),
        row("highest", "Highest", DRY, "=IF({records}=0,0,MAX(tally_kind_{#}))", by(trees.highest_crop, when="types.in_use", **column)),
        row("spread", "Spread (standard deviation)", DRY,
            "=IF({records}<2,0,SQRT(SUMIF(tally_type,{types.name},tally_square)/({records}-1)))",
            by(trees.spread_of_crop, when="types.in_use", **column)),
        row("on_records", "Rows in on-years", "record", "=IF({types.in_use}=0,0,SUMIF(tally_type,{types.name},tally_on_year))",
            by(trees.total_of, when="types.in_use", kind="tally.type*", amount="tally.on_year*", key="types.name"), "0"),
        row("off_records", "Rows in off-years", "record", "=IF({types.in_use}=0,0,SUMIF(tally_type,{types.name},tally_off_year))",
            by(trees.total_of, when="types.in_use", kind="tally.type*", amount="tally.off_year*", key="types.name"), "0"),
        row("on_total", "Crops of on-years", DRY, "=IF({types.in_use}=0,0,SUMIF(tally_type,{types.name},tally_on_crop))",
            by(trees.total_of, when="types.in_use", kind="tally.type*", amount="tally.on_crop*", key="types.name")),
        row("off_total", "Crops of off-years", DRY, "=IF({types.in_use}=0,0,SUMIF(tally_type,{types.name},tally_off_crop))",
            by(trees.total_of, when="types.in_use", kind="tally.type*", amount="tally.off_crop*", key="types.name")),
        row("off_to_on", "Off-year to on-year", "fraction",
            "=IF({on_records}*{off_records}*{on_total}=0,1,({off_total}/{off_records})/({on_total}/{on_records}))",
            by(trees.off_to_on, off_crop_total="off_total", on_crop_total="on_total", when_unknown=1), "0.00"),
        entry_field("by_type.own", "Your own figure, if you know better", DRY,
                    padded([each.own_yield for each in filled.types], COUNT), 0, 1500, required=False, look="0.0",
                    note="Dry pods from a tree in full crop, mean of good and bad years."),
        row("own_check", "Own figure in order?", "text",
            '=IF({own}="","-",IF(ISNUMBER({own}),IF({own}<{own:low},"mend",IF({own}>{own:high},"mend","ok")),"mend"))',
            by(gates.optional_state, entry="own", low="own_low", high="own_high")),
        row("plan", "Crop to plan with", DRY, '=IF({own_check}="ok",{own},{mean})',
            by(gates.own_or, own="own", state="own_check", mean="mean"), headline=True),
        row("young", "Rows of trees not yet in full crop, if planned with", "record",
            '=IF({types.in_use}=0,0,IF({own_check}="ok",0,SUMIF(tally_type,{types.name},tally_young)))',
            by(trees.young_planned_on, when="types.in_use", kind="tally.type*", young="tally.young*", key="types.name", own_state="own_check"), "0"),
    )  # fmt: skip
    return Table("by_type", "What the tally says of each type (dry matter)", TYPES, fields,
                 note="Crops are raised to the whole crop where part still hung. On- and off-years come from trees weighed in two years or more.")  # fmt: skip


def _tally(filled: Filled) -> Table:
    rows = max(filled.rows, len(filled.records))
    records = filled.records

    def entered(name: str, label: str, unit: str, contents: list[Content], low: float | None, high: float | None,
                look: str, note: str = "", choices: str = "") -> Node:  # fmt: skip
        return entry_field(f"tally.{name}", label, unit, padded(contents, rows), low, high,
                           choices=choices, note=note, look=look)  # fmt: skip

    def row(name: str, label: str, unit: str, formula: str, ref: Ref, look: str = "0.0;-0.0;") -> Node:
        return worked(f"tally.{name}", label, unit, formula, ref, size=rows, look=look)

    numbers = ("tree", "year", "age", "weight", "picked", "moisture")
    blank = ",".join(f'{{{name}}}=""' for name in ("type", *numbers))
    entries = (
        entered("type", "Type", "text", [each.kind for each in records], None, None, "0", choices="types.name"),
        entered("tree", "Tree no.", "ordinal", [each.tree for each in records], 1, 99999, "0",
                "The number on its tag; the same tree keeps it from year to year."),
        entered("year", "Year", "year", [each.year for each in records], 1900, 2100, "0"),
        entered("age", "Age", "year", [each.age for each in records], 1, 200, "0", "Years since it was planted or grafted."),
        entered("weight", "Picked up", "lb_fed", [each.weight for each in records], 0, 3000, "0.0", "As it came from the ground."),
        entered("picked", "Share of the crop", "fraction", [each.picked for each in records], 0.05, 1, "0%",
                "How much of the crop was down and picked up; the rest still hung."),
        entered("moisture", "Moisture", "fraction", [each.moisture for each in records], 0, 0.7, "0.0%", "When weighed."),
    )  # fmt: skip
    same_tree = {"tree": "tally.tree*", "counted": "tally.counted*", "number": "tree"}
    computed = (
        row("counted", "Counted", "flag",
            "=IF({known}=1,{in_range},0)", by(gates.counted), "0;;"),
        row("state", "In order?", "text",
            f'=IF({{counted}}=1,IF({{crop}}*(SUMIF(tally_type,{{type}},tally_counted)-1)>far_times*(SUMIF(tally_type,{{type}},tally_crop)-{{crop}}),"unusual","ok"),IF(AND({blank}),"","mend"))',
            by(gates.row_state, kind="type", kinds="tally.type*", counts="tally.counted*", crops="tally.crop*", entries=("type", *numbers)), "0"),
        row("dry", "Dry pods", DRY, "=IF({counted}=0,0,{weight}*(1-{moisture}))", by(trees.dry_weight, when="counted")),
        row("crop", "Whole crop", DRY, "=IF({counted}=0,0,{dry}/{picked})", by(trees.whole_crop, when="counted", dry_weight="dry")),
    )  # fmt: skip
    aside = (
        row("in_range", "Numbers in range", "flag",
            f"=IF(COUNT({{tree}}:{{moisture}})<COLUMNS({{tree}}:{{moisture}}),0,IF(AND({within(numbers)}),1,0))",
            in_range(numbers), "0;;"),
        row("known", "Types of that name", "record", "=" + "+".join(f"IF({{type}}=INDEX(types_use,{n}),1,0)" for n in range(1, COUNT + 1)),
            by(gates.named_so, entry="type", names="types.use*"), "0;;"),
        row("years", "Rows of this tree", "record", "=IF({counted}=0,0,SUMIF(tally_tree,{tree},tally_counted))",
            by(trees.records_of_tree, when="counted", **same_tree), "0;;"),
        row("young", "Younger than its type in full crop", "flag",
            "=IF({counted}=0,0,IF({age}<INDEX(mix_full,MATCH({type},types_name,0)),1,0))",
            by(trees.not_full_grown, when="counted", kind="type", kinds="types.name*", full_ages="mix.full*"), "0;;"),
        row("share", "Share of a tree", "tree", "=IF({counted}=0,0,1/{years})", by(book.quotient, when="counted", a=1, b="years"), "0.00;;"),
        row("tree_mean", "Mean of this tree", DRY, "=IF({counted}=0,0,SUMIF(tally_tree,{tree},tally_crop)/{years})",
            by(trees.mean_of_tree, when="counted", crop="tally.crop*", **same_tree)),
        row("on_year", "On-year", "record", "=IF({years}<2,0,IF({crop}>={tree_mean},1,0))", by(trees.on_year), "0;;"),
        row("off_year", "Off-year", "record", "=IF({years}<2,0,1-{on_year})", by(trees.off_year), "0;;"),
        row("on_crop", "Crop, on-year", DRY, "={on_year}*{crop}", by(book.product, a="on_year", b="crop")),
        row("off_crop", "Crop, off-year", DRY, "={off_year}*{crop}", by(book.product, a="off_year", b="crop")),
        row("square", "Square from mean", "lb_dry**2/tree**2",
            "=IF({counted}=0,0,({crop}-INDEX(by_type_mean,MATCH({type},types_name,0)))^2)",
            by(trees.squared_from_mean, when="counted", kind="type", kinds="types.name*", means="by_type.mean*"), "0;-0;"),
        *(
            row(f"kind_{number}", f"Crop if type {number}, else its mean", DRY,
                f"=IF({{counted}}=0,INDEX(by_type_mean,{number}),IF({{type}}=INDEX(types_name,{number}),{{crop}},INDEX(by_type_mean,{number})))",
                by(trees.crop_or_mean, kind="type", key=f"types.name@{number}", mean=f"by_type.mean@{number}"))
            for number in range(1, COUNT + 1)
        ),
    )  # fmt: skip
    return Table("tally", "Trees weighed", tuple(f"Row {number}" for number in range(1, rows + 1)), (*entries, *computed, *aside),
                 across=False, note="The first column is yours for notes. Workings stand to the right of the printed page.",
                 open_labels=True, aside=len(aside))  # fmt: skip
