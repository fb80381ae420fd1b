"""Workbooks in which cells moved: nothing is wrong in most of them."""

from __future__ import annotations

from office import step, unprotect
from openpyxl.utils.cell import get_column_letter
from returned import BOOK, Case, Expected, at, cells, column, row

TYPES = len(BOOK.tables["types"].items)
HAY = cells("hay_price_entry", "feeding_waste_entry", left=1, right=9)
BOUGHT = cells("supplement_price_entry", "corn_cp_entry", left=1, right=9)

SAVED = (
    Case("saved_by_libreoffice", "opened in LibreOffice and saved"),
    Case("saved_by_way_of_ods", "saved as .ods, opened again and saved as .xlsx", by="ods"),
    Case("saved_by_gnumeric", "opened in Gnumeric and saved", by="gnumeric"),
    Case("saved_by_openpyxl", "opened by a program that keeps no values, and saved", by="openpyxl"),
    Case("calculated_and_saved", "calculated anew in LibreOffice and saved", [step("CalculateAll")]),
    Case("saved_by_one_then_another", "saved by LibreOffice, then by Gnumeric", on_by="gnumeric"),
)

ROWS = (
    Case(
        "rows_above_a_block",
        "two rows inserted above the block The trees, for notes",
        [
            *unprotect("Farm"),
            step("InsertRows", "Farm", row("area_entry") - 2, 2),
            step("SetText", "Farm", f"A{row('area_entry') - 2}", "my notes"),
        ],
    ),
    Case(
        "row_inside_a_block",
        "a row inserted between two single figures",
        [*unprotect("Farm"), step("InsertRows", "Farm", row("tree_spacing_entry"), 1)],
    ),
    Case(
        "rows_inside_the_tally",
        "two rows inserted between trees weighed, left empty",
        [*unprotect("Trees"), step("InsertRows", "Trees", row("tally.type", 10), 2)],
    ),
    Case(
        "row_filled_inside_the_tally",
        "a row inserted between trees weighed, and a tree typed in it: it has no formulas, so it does not count",
        [
            *unprotect("Trees"),
            step("InsertRows", "Trees", row("tally.type", 10), 1),
            step(
                "CopyCells",
                "Trees",
                cells("tally.type", "tally.moisture").replace(str(row("tally.type", -1)), str(row("tally.type"))),
                "Trees",
                f"B{row('tally.type', 10)}",
            ),
        ],
        (Expected("tally.type", 10, "row"),),
    ),
    Case(
        "row_inside_types",
        "a row inserted between two lines of Types of tree",
        [*unprotect("Farm"), step("InsertRows", "Farm", row("types.origin"), 1)],
    ),
    Case(
        "row_inside_years",
        "a row inserted between two years",
        [*unprotect("Stand"), step("InsertRows", "Stand", row("years.age", 20), 1)],
    ),
    Case(
        "empty_line_deleted",
        "an empty line between two blocks deleted",
        [*unprotect("Farm"), step("DeleteRows", "Farm", row("area_entry") - 3, 1)],
    ),
    Case(
        "tally_row_deleted",
        "a row of a tree weighed deleted",
        [*unprotect("Trees"), step("DeleteRows", "Trees", row("tally.type", 4), 1)],
    ),
    Case(
        "tally_first_row_deleted",
        "the first row of the trees weighed deleted",
        [*unprotect("Trees"), step("DeleteRows", "Trees", row("tally.type"), 1)],
    ),
    Case(
        "tally_last_row_deleted",
        "the last row for trees weighed deleted",
        [*unprotect("Trees"), step("DeleteRows", "Trees", row("tally.type", -1), 1)],
    ),
    Case(
        "line_of_types_deleted",
        "the line of the origin of types deleted",
        [*unprotect("Farm"), step("DeleteRows", "Farm", row("types.origin"), 1)],
        (Expected("types.origin", 0, "gone"),),
    ),
    Case(
        "line_of_groups_deleted",
        "the line of the groups' body weight deleted",
        [*unprotect("Herd"), step("DeleteRows", "Herd", row("groups.body_weight"), 1)],
        (Expected("groups.body_weight", 0, "gone"),),
    ),
    Case(
        "figure_row_deleted",
        "the row of a single figure deleted",
        [*unprotect("Feeds"), step("DeleteRows", "Feeds", row("storage_loss_entry"), 1)],
        (Expected("storage_loss_entry", 0, "gone"), Expected("storage_loss", 0, "gone")),
    ),
    Case(
        "coefficient_row_deleted",
        "the row of a coefficient deleted",
        [*unprotect("Sources"), step("DeleteRows", "Sources", row("acclimatisation_slope"), 1)],
        (Expected("acclimatisation_slope", 0, "gone"),),
    ),
)

COLUMNS = (
    Case(
        "column_left_of_all",
        "a column inserted left of everything",
        [*unprotect("Farm"), step("InsertColumns", "Farm", 1, 1)],
    ),
    Case(
        "column_left_of_tables",
        "a column inserted between labels and figures",
        [*unprotect("Herd"), step("InsertColumns", "Herd", 2, 2)],
    ),
    Case(
        "column_inside_a_table_across",
        "a column inserted between two groups and left empty",
        [*unprotect("Herd"), step("InsertColumns", "Herd", column("groups.kind", 2), 1)],
    ),
    Case(
        "column_inside_types",
        "a column inserted between the second type of tree and the third",
        [*unprotect("Farm"), step("InsertColumns", "Farm", column("types.name", 2), 1)],
    ),
    Case(
        "column_inside_the_tally",
        "a column inserted between two columns of the tally, for own notes",
        [*unprotect("Trees"), step("InsertColumns", "Trees", column("tally.weight"), 1)],
    ),
    Case(
        "type_deleted",
        "the cells of the second type of tree deleted, the rest pulled left",
        [
            *unprotect("Farm"),
            step("DeleteCells", "Farm", f"C{row('types.name') - 1}:C{row('types.name') + 7}", 2),
        ],
        (Expected("types.name", 1, "gone"),),
    ),
    Case(
        "type_column_deleted",
        "the column of the last, empty type deleted on the sheet Pods",
        [*unprotect("Pods"), step("DeleteColumns", "Pods", column("lab.basis", TYPES - 1), 1)],
        (Expected("lab.basis", TYPES - 1, "gone"),),
    ),
)

SHEETS = (
    Case(
        "sheets_renamed",
        "sheets renamed: with a blank, with quotes, in other scripts",
        [
            step("RenameSheet", "Herd", "My herd"),
            step("RenameSheet", "Trees", "L'arbre \"d'été\""),
            step("RenameSheet", "Winter", "Зима 冬"),
            step("RenameSheet", "Sources", "A1"),
            step("RenameSheet", "Feeds", "2024"),
        ],
    ),
    Case(
        "sheets_reordered",
        "sheets put in another order",
        [step("ReorderSheet", "Savings", 0), step("ReorderSheet", "Farm", 12), step("ReorderSheet", "Sources", 2)],
    ),
    Case("sheet_copied", "a sheet copied within the book", [step("CopySheet", "Feeds", "Feeds last year", 3)]),
    Case("sheet_copied_to_front", "a sheet copied to the front", [step("CopySheet", "Savings", "Savings copy", 0)]),
    Case(
        "sheet_added",
        "a sheet added with own formulas that use the book's names",
        [
            step("AddSheet", "Mine", 3),
            step("SetFormula", "Mine", "A1", "=hay_price*2+SUM(Farm!B18:I18)"),
            step("SetFormula", "Mine", "A2", '=INDEX(types_name,1)&" trees"'),
            step("SetFormula", "Mine", "A3", '=VLOOKUP("ewe",A1:B9,2,FALSE())'),
            step("SetNumber", "Mine", "B1", 42),
        ],
    ),
    Case(
        "sheet_added_with_an_error",
        "a sheet added on which the user divides by zero",
        [
            step("AddSheet", "Mine", 20),
            step("SetFormula", "Mine", "A1", "=1/0"),
            step("SetFormula", "Mine", "A2", "=saving/A1"),
        ],
    ),
    Case(
        "own_formulas_beside",
        "own formulas beside a block",
        [
            *unprotect("Savings"),
            step("SetFormula", "Savings", "M9", "=saving/area"),
            step("SetFormula", "Savings", "M10", "=1/0"),
        ],
    ),
    Case(
        "comment_added",
        "a comment added to a cell",
        [*unprotect("Feeds"), step("AddComment", "Feeds", at("hay_price_entry")[1], "as of May <b>")],
    ),
    Case("protection_off", "protection taken off every sheet", [*unprotect(*[sheet.title for sheet in BOOK.sheets])]),
)

BLOCKS = (
    Case(
        "block_moved",
        "the block Hay cut and pasted further down and to the right",
        [*unprotect("Feeds"), step("MoveCells", "Feeds", HAY, "Feeds", "C80")],
    ),
    Case(
        "block_moved_to_another_sheet",
        "the block Supplement and corn cut and pasted on a sheet of its own",
        [
            *unprotect("Feeds"),
            step("AddSheet", "Bought feeds", 5),
            step("MoveCells", "Feeds", BOUGHT, "Bought feeds", "A3"),
        ],
    ),
    Case(
        "table_moved",
        "the table Types of tree cut and pasted further down",
        [
            *unprotect("Farm"),
            step(
                "MoveCells",
                "Farm",
                f"A{row('types.name') - 3}:{get_column_letter(TYPES + 2)}{row('types.name') + 7}",
                "Farm",
                "C90",
            ),
        ],
    ),
    Case(
        "single_entry_moved",
        "one entry cut and pasted elsewhere on the sheet",
        [*unprotect("Feeds"), step("MoveCells", "Feeds", at("hay_price_entry")[1], "Feeds", "N3")],
    ),
    Case(
        "part_of_a_table_moved",
        "the figures of one group cut and pasted elsewhere: its row is no longer whole",
        [
            *unprotect("Herd"),
            step("MoveCells", "Herd", f"C{row('groups.kind')}:C{row('groups.kind') + 37}", "Herd", "N20"),
        ],
        (Expected("groups.kind", 1, "gone"),),
    ),
    Case(
        "tally_sorted",
        "the tally sorted by weight, whole rows",
        [
            *unprotect("Trees"),
            step("SortRows", "Trees", cells("tally.type", "tally.kind_6", left=1), column("tally.weight") - 1, False),
        ],
    ),
    Case(
        "tally_entries_sorted",
        "the filled-in part of the tally sorted by type and weight",
        [step("SortRows", "Trees", cells("tally.type", "tally.moisture", left=1), column("tally.weight") - 1, True)],
    ),
    Case(
        "tally_column_sorted_alone",
        "one column of the tally sorted by itself: weights stand beside other trees, and no program can tell",
        [step("SortRows", "Trees", cells("tally.weight", "tally.weight"), 0, True)],
    ),
)

CASES = (*SAVED, *ROWS, *COLUMNS, *SHEETS, *BLOCKS)
