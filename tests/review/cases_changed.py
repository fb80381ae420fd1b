"""Workbooks in which a formula, a coefficient, a name or a stored value was changed."""

from __future__ import annotations

from office import PULL_UP, step, unprotect
from returned import Case, Expected, Returned, at, cells, row

FIVE_MONTHS = f"Winter!B{row('winter.hay_tons_with')}:F{row('winter.hay_tons_with')}"
TWO_TYPES = f"{at('years.pods_1', 15)[1]}:{at('years.pods_2', 15)[1]}"

ONE = Returned(
    "one_overwritten",
    (
        Case(
            "overwritten_by_a_wrong_number",
            "a formula overwritten by a wrong number",
            [*unprotect("Savings"), step("SetNumber", *at("hay_bought_without"), 20)],
            (Expected("hay_bought_without", 0, "overwritten"),),
        ),
    ),
)
"""Alone, so that what follows from it can be told."""

CHANGED = (
    Returned(
        "formulas_changed",
        (
            Case(
                "overwritten_by_todays_right_number",
                "a formula pasted over by its own value",
                [*unprotect("Savings"), step("PasteValue", *at("hay_bought_without"))],
                (Expected("hay_bought_without", 0, "overwritten"),),
            ),
            Case(
                "overwritten_in_a_table",
                "one formula of a row overwritten by a wrong number",
                [*unprotect("Winter"), step("SetNumber", *at("winter.wish", 4), 100)],
                (Expected("winter.wish", 4, "overwritten"),),
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
                [
                    *unprotect("Savings"),
                    step("SetFormula", *at("hay_saved"), "=hay_bought_without-hay_bought_with+0*hay_price"),
                ],
                (Expected("hay_saved", 0, "changed"),),
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
                "copied_along_its_row",
                "a formula copied over the next month's, where it says the same",
                [
                    *unprotect("Winter"),
                    step(
                        "CopyCells", "Winter", at("winter.carried_out", 2)[1], "Winter", at("winter.carried_out", 3)[1]
                    ),
                ],
            ),
            Case(
                "total_shortened",
                "the range of a total shortened",
                [*unprotect("Stand"), step("SetFormula", *at("years.dry", 15), f"=SUM({TWO_TYPES})")],
                (Expected("years.dry", 15, "changed"),),
            ),
            Case(
                "total_over_fewer_months",
                "the name in a total replaced by a shorter range",
                [*unprotect("Savings"), step("SetFormula", *at("hay_bought_with"), f"=SUM({FIVE_MONTHS})")],
                (Expected("hay_bought_with", 0, "changed"),),
            ),
            Case(
                "coefficient_changed",
                "a coefficient changed",
                [*unprotect("Sources"), step("SetNumber", *at("kg_per_weight"), 0.45)],
                (Expected("kg_per_weight", 0, "coefficient"),),
            ),
            Case(
                "bound_raised",
                "the highest figure allowed raised, so that a wild entry passes",
                [
                    *unprotect("Feeds"),
                    step("SetNumber", *at("hay_price_high"), 9000),
                    step("SetNumber", *at("hay_price_entry"), 1250),
                ],
                (Expected("hay_price_high", 0, "figure"), Expected("hay_price_entry", 0, "1250")),
            ),
        ),
    ),
    Returned(
        "cells_gone",
        (
            Case(
                "formula_deleted",
                "a formula's cell deleted, those below pulled up: formulas that used it read #REF!",
                [*unprotect("Feeds"), step("DeleteCells", *at("hay_me"), PULL_UP)],
                (Expected("hay_me", 0, "cells were deleted"),),
            ),
            Case(
                "entry_deleted",
                "an entry's cell deleted, those below pulled up",
                [*unprotect("Quick sums"), step("DeleteCells", *at("quick_pods_mean_entry"), PULL_UP)],
                (Expected("quick_pods_mean_entry", 0, "cells were deleted"),),
                with_it=("quick_pods_mean",),
            ),
            Case(
                "overwritten_by_a_text",
                "a formula overwritten by a text",
                [*unprotect("Herd"), step("SetText", *at("groups.head_used", 1), "six")],
                (Expected("groups.head_used", 1, "overwritten"),),
            ),
            Case(
                "formula_cleared",
                "a formula cleared",
                [*unprotect("Savings"), step("ClearCells", *at("cost_with"))],
                (Expected("cost_with", 0, "cleared"),),
            ),
            Case(
                "tally_column_sorted_alone",
                "one column of the tally sorted by itself: weights stand beside other trees, and nobody can tell",
                [step("SortRows", "Trees", cells("tally.weight", "tally.weight"), 0, True)],
            ),
        ),
    ),
    Returned(
        "names_gone",
        (
            Case(
                "name_deleted",
                "a defined name deleted: formulas that used it read #NAME?",
                [step("DeleteName", "hay_price")],
                (Expected("hay_price", 0, "hay_price"),),
            ),
            Case(
                "name_of_a_column_deleted",
                "the defined name of a column of the tally deleted",
                [step("DeleteName", "tally_crop")],
                (Expected("tally.crop", 0, "tally_crop"),),
            ),
            Case(
                "name_unused_deleted",
                "a defined name deleted that no formula uses",
                [step("DeleteName", "groups_body_weight")],
                (Expected("groups.body_weight", 0, "groups_body_weight"),),
            ),
        ),
    ),
)

STALE = (
    Returned(
        "stored_value_changed",
        (
            Case(
                "stored_value_changed",
                "the stored value of a formula changed in the file, the formula left as it was",
                contents={at("saving"): 99999.0},
                expects=(Expected("", 0, "stored values"),),
            ),
        ),
        by="by hand",
    ),
    Returned(
        "entry_changed_without_calculating",
        (
            Case(
                "entry_changed",
                "an entry changed by a program that does not calculate, and left all stored values as they were",
                contents={at("hay_price_entry"): 180.0},
                expects=(Expected("", 0, "stored values"),),
            ),
        ),
        by="by hand",
    ),
    Returned(
        "saved_by_openpyxl",
        (
            Case(
                "entry_changed",
                "an entry changed, in order, by a program that does not calculate and keeps no values",
                contents={at("hay_price_entry"): 180.0},
                expects=(Expected("", 0, "no values", counts=False),),
            ),
        ),
        by="openpyxl",
    ),
)

WORKBOOKS = (ONE, *CHANGED, *STALE)
