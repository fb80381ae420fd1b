"""Workbooks in which a formula, a coefficient, a name or a stored value was changed."""

from __future__ import annotations

from office import step, unprotect
from returned import Case, Expected, at, row

CHANGED = (
    Case(
        "overwritten_by_todays_right_number",
        "a formula pasted over by its own value",
        [*unprotect("Savings"), step("PasteValue", *at("hay_bought_without"))],
        (Expected("hay_bought_without", 0, "overwritten"),),
    ),
    Case(
        "overwritten_by_a_wrong_number",
        "a formula overwritten by a wrong number",
        [*unprotect("Savings"), step("SetNumber", *at("hay_bought_without"), 20)],
        (Expected("hay_bought_without", 0, "overwritten"),),
    ),
    Case(
        "overwritten_in_the_middle_of_a_table",
        "one formula of a row overwritten by a wrong number",
        [*unprotect("Winter"), step("SetNumber", *at("winter.pods_eaten", 4), 100)],
        (Expected("winter.pods_eaten", 4, "overwritten"),),
    ),
    Case(
        "formula_changed",
        "a formula changed",
        [*unprotect("Savings"), step("SetFormula", *at("saving"), "=cost_without-cost_with*0.9")],
        (Expected("saving", 0, "changed"),),
    ),
    Case(
        "formula_changed_without_effect_today",
        "a formula changed to one that gives the same today",
        [*unprotect("Savings"), step("SetFormula", *at("saving"), "=cost_without-cost_with+0*hay_price")],
        (Expected("saving", 0, "changed"),),
    ),
    Case(
        "copied_over_its_neighbour",
        "a formula copied down over the next row, so that its references shift",
        [
            *unprotect("Winter"),
            step("CopyCells", "Winter", at("winter.on_offer", 2)[1], "Winter", at("winter.pods_eaten", 2)[1]),
        ],
        (Expected("winter.pods_eaten", 2, "changed"),),
    ),
    Case(
        "cell_deleted_shift_up",
        "a formula's cell deleted, those below pulled up: formulas that used it read #REF!",
        [*unprotect("Feeds"), step("DeleteCells", *at("hay_me"), 1)],
        (Expected("hay_me", 0, "gone"),),
    ),
    Case(
        "entry_deleted_shift_up",
        "an entry's cell deleted, those below pulled up",
        [*unprotect("Feeds"), step("DeleteCells", *at("hay_price_entry"), 1)],
        (Expected("hay_price_entry", 0, "gone"),),
    ),
    Case(
        "formula_cleared",
        "a formula cleared",
        [*unprotect("Savings"), step("ClearCells", *at("cost_with"))],
        (Expected("cost_with", 0, "cleared"),),
    ),
    Case(
        "coefficient_changed",
        "a coefficient changed",
        [*unprotect("Sources"), step("SetNumber", *at("kg_per_weight"), 0.45)],
        (Expected("kg_per_weight", 0, "coefficient"),),
    ),
    Case(
        "bound_changed",
        "the highest figure allowed raised, so that a wild entry passes",
        [
            *unprotect("Feeds"),
            step("SetNumber", *at("hay_price_high"), 9000),
            step("SetNumber", *at("hay_price_entry"), 1250),
        ],
        (Expected("hay_price_high", 0, "figure"),),
    ),
    Case(
        "total_shortened",
        "the range of a total shortened by its last column",
        [
            *unprotect("Stand"),
            step("SetFormula", *at("years.dry", 15), f"=SUM({at('years.pods_1', 15)[1]}:{at('years.pods_2', 15)[1]})"),
        ],
        (Expected("years.dry", 15, "changed"),),
    ),
    Case(
        "total_over_fewer_months",
        "the range of a total by name replaced by a shorter one",
        [
            *unprotect("Savings"),
            step(
                "SetFormula",
                *at("hay_bought_with"),
                f"=SUM(Winter!B{row('winter.hay_tons_with')}:F{row('winter.hay_tons_with')})",
            ),
        ],
        (Expected("hay_bought_with", 0, "changed"),),
    ),
    Case(
        "name_deleted",
        "a defined name deleted: formulas that used it read #NAME?",
        [step("DeleteName", "hay_price")],
        (Expected("hay_price", 0, "gone"),),
    ),
    Case(
        "name_of_a_column_deleted",
        "the defined name of a column of the tally deleted",
        [step("DeleteName", "tally_crop")],
        (Expected("tally.crop", 0, "gone"),),
    ),
    Case(
        "name_unused_deleted",
        "a defined name deleted that no formula uses",
        [step("DeleteName", "groups_body_weight")],
    ),
    Case(
        "sheet_deleted",
        "a whole sheet deleted",
        [step("DeleteSheet", "Quick sums")],
        (Expected("quick_ton_price", 0, "gone"),),
    ),
)

STALE = (
    Case(
        "stored_value_changed",
        "the stored value of a formula changed in the file, the formula left as it was",
        by="by hand",
        contents={at("saving"): 99999.0},
        expects=(Expected("saving", 0, "stored"),),
    ),
    Case(
        "entry_changed_without_calculating",
        "an entry changed by a program that does not calculate, which kept all stored values",
        by="by hand",
        contents={at("hay_price_entry"): 180.0},
        expects=(Expected("hay_price", 0, "stored"),),
    ),
    Case(
        "entry_changed_and_values_dropped",
        "an entry changed by a program that does not calculate and keeps no values",
        by="openpyxl",
        contents={at("hay_price_entry"): 180.0},
    ),
)

CASES = (*CHANGED, *STALE)
