"""Workbooks that were saved by other programs, or in which sheets and blocks moved: little is wrong in them."""

from __future__ import annotations

from office import step, unprotect
from returned import BOOK, Case, Expected, Returned, at, cells, column, line

TITLES = [sheet.title for sheet in BOOK.sheets]
HAY = cells("hay_price_entry", "feeding_waste_entry", left=1, right=9)
RATES = cells("own_rate_entry", "treasury_mean_entry", left=1, right=9)
TYPES_TABLE = cells("types.name", "types.origin_check", left=1, right=column("types.name", -1) + 1, above=3)
TALLY_ROWS = cells("tally.type", "tally.kind_6", left=1)
TALLY_ENTRIES = cells("tally.type", "tally.moisture", left=1)
BY_WEIGHT = column("tally.weight") - 1
"""Place of the weight in the rows sorted."""

SAVED = (
    Returned("saved_by_libreoffice", (Case("saved", "opened in LibreOffice and saved"),)),
    Returned("saved_by_way_of_ods", (Case("saved", "saved as .ods, opened again and saved as .xlsx"),), by="ods"),
    Returned("saved_by_gnumeric", (Case("saved", "opened in Gnumeric and saved"),), by="gnumeric"),
)

SHEETS = (
    Returned(
        "sheets",
        (
            Case(
                "sheet_copied",
                "a sheet copied within the book",
                [step("CopySheet", "Feeds", "Feeds last year", 3)],
                (Expected("", 0, "copy of the sheet Feeds", counts=False),),
            ),
            Case(
                "sheet_copied_to_the_front",
                "a sheet copied to the front",
                [step("CopySheet", "Savings", "My copy", 0)],
                (Expected("", 0, "copy of the sheet Savings", counts=False),),
            ),
            Case(
                "sheet_added",
                "a sheet added with own formulas that use the book's names",
                [
                    step("AddSheet", "Mine", 3),
                    step("SetFormula", "Mine", "A1", "=hay_price*2+SUM(Farm!B18:I18)"),
                    step("SetFormula", "Mine", "A2", '=INDEX(types_name,1)&" trees"'),
                    step("SetNumber", "Mine", "B1", 42),
                ],
                (Expected("", 0, "3 cells, 2 with a formula", counts=False),),
            ),
            Case(
                "sheet_added_with_an_error",
                "a sheet added on which the user divides by zero",
                [
                    step("AddSheet", "Shares", 15),
                    step("SetFormula", "Shares", "A1", "=1/0"),
                    step("SetFormula", "Shares", "A2", "=saving/A1"),
                ],
                (Expected("", 0, "2 formulas give an error, first Shares!A1", counts=False),),
            ),
            Case(
                "own_formulas_beside",
                "own formulas beside a block, one of them an error",
                [
                    *unprotect("Savings"),
                    step("SetFormula", "Savings", "M9", "=saving/area"),
                    step("SetFormula", "Savings", "M10", "=1/0"),
                ],
                (Expected("", 0, "1 formula gives an error, first Savings!M10", counts=False),),
            ),
            Case(
                "comment_added",
                "a comment added to a cell",
                [*unprotect("Feeds"), step("AddComment", *at("hay_price_entry"), "as of May <b>")],
                (Expected("", 0, "notes of your own: 1", counts=False),),
            ),
            Case("protection_off", "protection taken off every sheet", unprotect(*TITLES)),
            Case(
                "sheets_reordered",
                "sheets put in another order",
                [
                    step("ReorderSheet", "Savings", 0),
                    step("ReorderSheet", "Farm", 12),
                    step("ReorderSheet", "Sources", 2),
                ],
            ),
            Case(
                "sheets_renamed",
                "sheets renamed: with a blank, with quotes, in other scripts, like a cell, like a number",
                [
                    step("RenameSheet", "Herd", "My herd"),
                    step("RenameSheet", "Trees", "L'arbre \"d'été\""),
                    step("RenameSheet", "Winter", "Зима 冬"),
                    step("RenameSheet", "Sources", "A1"),
                    step("RenameSheet", "Needs", "2024"),
                ],
            ),
        ),
    ),
)

BLOCKS = (
    Returned(
        "blocks_moved",
        (
            Case(
                "block_moved",
                "the block Hay cut and pasted further down and to the right, then a price too high typed into it",
                [
                    *unprotect("Feeds"),
                    step("MoveCells", "Feeds", HAY, "Feeds", "C80"),
                    step("SetNumber", "Feeds", "D80", 1250),
                ],
                (Expected("hay_price_entry", 0, "1250", address="Feeds!D80"),),
            ),
            Case(
                "block_moved_to_another_sheet",
                "the block Which rate of interest? cut and pasted on a sheet of its own",
                [
                    *unprotect("Planting"),
                    step("AddSheet", "Interest", 5),
                    step("MoveCells", "Planting", RATES, "Interest", "A3"),
                ],
            ),
            Case(
                "table_moved",
                "the table Types of tree cut and pasted further down and to the right",
                [*unprotect("Farm"), step("MoveCells", "Farm", TYPES_TABLE, "Farm", "C90")],
            ),
            Case(
                "entry_moved",
                "one entry cut and pasted elsewhere on its sheet",
                [*unprotect("Stand"), step("MoveCells", *at("frost_chance_entry"), "Stand", "N3")],
            ),
            Case(
                "tally_sorted",
                "the tally sorted by weight, whole rows",
                [
                    *unprotect("Trees"),
                    step("SortRows", "Trees", TALLY_ROWS, BY_WEIGHT, False),
                ],
            ),
        ),
    ),
    Returned(
        "part_of_a_table_moved",
        (
            Case(
                "group_moved",
                "the second group cut and pasted elsewhere: its row is no longer whole",
                [
                    *unprotect("Herd"),
                    step("MoveCells", "Herd", line("groups.kind", "groups.by_critical", 1), "Herd", "N20"),
                ],
                (Expected("groups.kind", 1, "moved away"), Expected("", 0, "37 cells", counts=False)),
            ),
            Case(
                "tally_entries_sorted",
                "the filled-in part of the tally sorted by weight",
                [step("SortRows", "Trees", TALLY_ENTRIES, BY_WEIGHT, True)],
            ),
        ),
    ),
)

WORKBOOKS = (*SAVED, *SHEETS, *BLOCKS)
