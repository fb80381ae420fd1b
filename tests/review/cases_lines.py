"""Workbooks into which rows and columns were put, or from which they were taken."""

from __future__ import annotations

from office import PULL_LEFT, step, unprotect
from returned import BOOK, Case, Expected, Returned, at, column, line, row

TYPES = len(BOOK.tables["types"].items)


def below(cell: str, rows: int) -> str:
    """Return the cell so many rows further down in its column."""
    letters = cell.rstrip("0123456789")
    return f"{letters}{int(cell[len(letters) :]) + rows}"


WORKBOOKS = (
    Returned(
        "lines_inserted_first",
        (
            Case("calculated", "calculated anew", [step("CalculateAll")]),
            Case(
                "rows_above_a_block",
                "two rows inserted above the block The trees, for notes",
                [
                    *unprotect("Farm"),
                    step("InsertRows", "Farm", row("area_entry") - 2, 2),
                    step("SetText", "Farm", f"A{row('area_entry') - 2}", "my notes"),
                ],
                (Expected("", 0, "of your own", counts=False),),
            ),
            Case(
                "row_inside_a_block",
                "a row inserted between two single figures",
                [*unprotect("Feeds"), step("InsertRows", "Feeds", row("hay_tdn_entry"), 1)],
            ),
            Case(
                "rows_inside_the_tally",
                "two rows inserted between trees weighed, and left empty",
                [*unprotect("Trees"), step("InsertRows", "Trees", row("tally.type", 10), 2)],
            ),
            Case(
                "columns_left_of_tables",
                "two columns inserted between labels and figures",
                [*unprotect("Herd"), step("InsertColumns", "Herd", 2, 2)],
            ),
        ),
        then_by="gnumeric",
    ),
    Returned(
        "lines_inserted_or_deleted",
        (
            Case(
                "row_inside_types",
                "a row inserted between two lines of Types of tree",
                [*unprotect("Farm"), step("InsertRows", "Farm", row("types.origin"), 1)],
            ),
            Case(
                "empty_line_deleted",
                "an empty line between two blocks deleted",
                [*unprotect("Feeds"), step("DeleteRows", "Feeds", row("stockpile_area_entry") - 3, 1)],
            ),
            Case(
                "column_left_of_all",
                "a column inserted left of everything",
                [*unprotect("Planting"), step("InsertColumns", "Planting", 1, 1)],
            ),
            Case(
                "tally_row_deleted",
                "a row deleted in which a tree weighed stood: it is not counted any more, and no formula is wrong",
                [*unprotect("Trees"), step("DeleteRows", "Trees", row("tally.type", 4), 1)],
                (Expected("tally.type", 0, "59 rows"),),
            ),
            Case(
                "column_inside_groups",
                "a column inserted between two groups, and left empty",
                [*unprotect("Herd"), step("InsertColumns", "Herd", column("groups.kind", 2), 1)],
                (Expected("groups.kind", 0, "a column was put into the table"),),
            ),
        ),
    ),
    Returned(
        "ends_of_the_tally_and_a_sheet",
        (
            Case(
                "first_and_last_row_deleted",
                "the first and the last row of the trees weighed deleted",
                [
                    *unprotect("Trees"),
                    step("DeleteRows", "Trees", row("tally.type", -1), 1),
                    step("DeleteRows", "Trees", row("tally.type"), 1),
                ],
                (Expected("tally.type", 0, "58 rows"),),
            ),
            Case(
                "row_deleted_above_a_slip",
                "an empty line deleted, and a price too high typed below it",
                [
                    *unprotect("Feeds"),
                    step("DeleteRows", "Feeds", row("supplement_price_entry") - 3, 1),
                    step("SetNumber", "Feeds", below(at("corn_price_entry")[1], -1), 41),
                ],
                (Expected("corn_price_entry", 0, "41", address=f"Feeds!{below(at('corn_price_entry')[1], -1)}"),),
            ),
            Case(
                "sheet_deleted",
                "a whole sheet deleted",
                [step("DeleteSheet", "Quick sums")],
                (Expected("quick_ton_price_check", 0, "the sheet Quick sums is gone"),),
            ),
        ),
    ),
    Returned(
        "rows_that_do_not_count",
        (
            Case(
                "row_filled_inside_the_tally",
                "a row inserted between trees weighed and a tree typed in it: without formulas, it does not count",
                [
                    *unprotect("Trees"),
                    step("InsertRows", "Trees", row("tally.type", 10), 1),
                    step(
                        "CopyCells", "Trees", line("tally.type", "tally.moisture", 0), "Trees", at("tally.type", 10)[1]
                    ),
                ],
                (Expected("tally.type", 0, "holds figures", address=f"Trees!{at('tally.type', 10)[1]}"),),
            ),
            Case(
                "row_inside_years",
                "a row inserted between two years: what takes the year by its number reads one too far",
                [*unprotect("Stand"), step("InsertRows", "Stand", row("years.age", 20), 1)],
                (Expected("years.age", 0, "a row was put into the table"),),
            ),
        ),
    ),
    Returned(
        "column_inside_types",
        (
            Case(
                "column_inside_types",
                "a column inserted between two types of tree, and two months: a mean is of another type",
                [*unprotect("Farm"), step("InsertColumns", "Farm", column("types.name", 2), 1)],
                (
                    Expected("types.name", 0, "a column was put into the table"),
                    Expected("months.name", 0, "a column was put into the table"),
                ),
            ),
        ),
    ),
    Returned(
        "column_inside_the_tally",
        (
            Case(
                "column_inside_the_tally",
                "a column inserted between two columns of the tally, for own notes: no tree counts any more",
                [*unprotect("Trees"), step("InsertColumns", "Trees", column("tally.weight"), 1)],
                (
                    Expected("tally.type", 0, "a column was put between those of the table"),
                    Expected("by_type.label", 0, "a column was put into the table"),
                ),
            ),
        ),
    ),
    Returned(
        "lines_gone",
        (
            Case(
                "line_of_types",
                "the line of the origin of types deleted",
                [*unprotect("Farm"), step("DeleteRows", "Farm", row("types.origin"), 1)],
                (Expected("types.origin", 0, "gone"),),
                with_it=("types.origin_check",),
            ),
            Case(
                "line_of_groups",
                "the line of the groups' body weight deleted",
                [*unprotect("Herd"), step("DeleteRows", "Herd", row("groups.body_weight"), 1)],
                (Expected("groups.body_weight", 0, "gone"),),
                with_it=("groups.state",),
            ),
            Case(
                "row_of_a_figure",
                "the row of a single figure deleted",
                [*unprotect("Feeds"), step("DeleteRows", "Feeds", row("storage_loss_entry"), 1)],
                (Expected("storage_loss", 0, "gone"),),
            ),
            Case(
                "row_of_a_coefficient",
                "the row of a coefficient deleted",
                [*unprotect("Sources"), step("DeleteRows", "Sources", row("acclimatisation_slope"), 1)],
                (Expected("acclimatisation_slope", 0, "gone"),),
            ),
        ),
    ),
    Returned(
        "columns_gone",
        (
            Case(
                "cells_of_a_type",
                "the cells of the second type of tree deleted with their heading, the rest pulled left",
                [
                    *unprotect("Farm"),
                    step("DeleteCells", "Farm", line("types.name", "types.origin_check", 1, above=2), PULL_LEFT),
                ],
                (Expected("types.name", 1, "gone"),),
                with_it=("tally.type",),
            ),
        ),
    ),
    Returned(
        "column_of_a_type_gone",
        (
            Case(
                "column_of_a_type",
                "the column of the last, empty type deleted on the sheet Pods, and with it a bound of the table above",
                [*unprotect("Pods"), step("DeleteColumns", "Pods", column("lab.basis", TYPES - 1), 1)],
                (
                    Expected("lab.label", TYPES - 1, "gone"),
                    Expected("access.whole_high", 0, "gone"),
                    Expected("access.ground_high", 0, "gone"),
                ),
            ),
        ),
    ),
)
