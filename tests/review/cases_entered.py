"""Workbooks in which something was filled in amiss."""

from __future__ import annotations

from office import step
from returned import Case, Expected, Returned, at


def slip(did: str, key: str, content: str | float, words: str, item: int = 0, counts: bool = True) -> Case:
    """Return a case with one slip of the hand; of a book that can use it all the same, it does not count."""
    typing = step("SetText" if isinstance(content, str) else "SetNumber", *at(key, item), content)
    return Case(f"{key}[{item}]", did, [typing], (Expected(key, item, words, counts),))


def cleared(did: str, key: str, item: int = 0) -> Case:
    """Return a case with one entry cleared."""
    return Case(f"{key}[{item}]", did, [step("ClearCells", *at(key, item))], (Expected(key, item, "nothing"),))


IN_ORDER = Case("in_order", "another figure filled in, in order", [step("SetNumber", *at("wind_entry"), 7)])

WORKBOOKS = (
    Returned(
        "entries_amiss",
        (
            IN_ORDER,
            cleared("an entry cleared", "hay_tdn_entry"),
            cleared("a group's weight cleared", "groups.body_weight", 1),
            slip("a number typed with its unit", "supplement_price_entry", "350 $", "350 $"),
            slip("a number typed with a comma", "area_entry", "10,5", "Write the bare number"),
            slip("a figure ten times too large", "corn_price_entry", 41, "41"),
            slip("a word that is not in the list", "cold_rule_entry", "cold", "acclimatised"),
            slip("a tree of a type not named on the sheet Farm", "tally.type", "Wilde", "Wilde", 3),
            Case(
                "groups.body_weight[3]",
                "a weight that fits no animal of its kind",
                [step("SetNumber", *at("groups.body_weight", 3), 68)],
                (Expected("groups.body_weight", 3, "for the kind"),),
            ),
            slip("hay priced by the pound, not the ton", "hay_price_entry", 125 / 2000, "125"),
            slip("20 for 20 %", "share_cap_entry", 20, "0.2"),
            slip("0.13 written as 13", "feeding_waste_entry", 13, "0.13"),
            slip("0.7 for 70 %", "supplement_tdn_entry", 0.7, "70"),
            slip("ages typed for years", "tally.year", 31, "31", 7),
        ),
    ),
    Returned(
        "entries_in_other_units",
        (
            slip("acres in hectares", "area_entry", 4.047, "ha", counts=False),
            slip("feet in metres", "row_spacing_entry", 10.97, "m", counts=False),
            slip("a beef's weight in kilograms", "quick_herd_body_entry", 544, "kg", counts=False),
            slip("a bale in kilograms", "quick_herd_bale_entry", 544, "kg", counts=False),
            slip("a temperature in degrees Celsius", "temperature_before_entry", 20.9, "C", counts=False),
            slip("corn priced by the ton", "corn_price_entry", 146, "146"),
        ),
    ),
)
