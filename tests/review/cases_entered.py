"""Workbooks in which something was filled in amiss."""

from __future__ import annotations

from office import Step, step
from returned import Case, Expected, at


def typed(key: str, item: int, content: str | float) -> Step:
    return step("SetText" if isinstance(content, str) else "SetNumber", *at(key, item), content)


def slip(name: str, did: str, key: str, content: str | float, what: str, item: int = 0) -> Case:
    """Return a case with one slip of the hand."""
    return Case(name, did, [typed(key, item, content)], (Expected(key, item, what),))


CASES = (
    Case("entry_in_order", "another figure filled in, in order", [typed("hay_price_entry", 0, 180)]),
    Case("entry_missing", "an entry cleared", [step("ClearCells", *at("hay_tdn_entry"))], (Expected("hay_tdn_entry", 0, "nothing"),)),
    Case("entry_missing_in_a_table", "a group's weight cleared", [step("ClearCells", *at("groups.body_weight", 1))],
         (Expected("groups.body_weight", 1, "nothing"),)),
    slip("entry_a_text", "a number typed with its unit", "hay_price_entry", "125 $", "text"),
    slip("entry_a_text_that_looks_a_number", "a number typed as text", "area_entry", "10,5", "text"),
    slip("entry_out_of_range", "a figure ten times too large", "hay_price_entry", 1250.0, "1250"),
    slip("entry_not_of_the_list", "a word that is not in the list", "cold_rule_entry", "cold", "cold"),
    slip("type_not_known", "a tree of a type not named on the sheet Farm", "tally.type", "Wilde", "Wilde", 3),
    slip("kilograms", "body weight in kilograms", "groups.body_weight", round(1250 / 2.2046), "kg"),
    slip("kilograms_of_one_tree", "pods of one tree in kilograms", "tally.weight", 62.6, "kg", 0),
    slip("kilograms_of_a_milker", "body weight of a ewe in kilograms", "groups.body_weight", 68, "kg", 3),
    slip("hectares", "acres in hectares", "area_entry", 4.047, "ha"),
    slip("celsius", "a month's temperature in degrees Celsius", "months.temperature", 14.9, "C", 0),
    slip("dollars_a_pound", "hay priced by the pound, not the ton", "hay_price_entry", 125 / 2000, "2000"),
    slip("percent_for_a_fraction", "20 for 20 %", "share_cap_entry", 20, "0.2"),
    slip("fraction_for_a_percent", "0.6 for 60 %", "hay_tdn_entry", 0.6, "60"),
)  # fmt: skip
