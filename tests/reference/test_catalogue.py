"""Every reference function stands behind a cell, or behind a published value; the rest is listed with its reason."""

from __future__ import annotations

from typing import Annotated

import pytest
from published_rows import rows

from podbook import regions
from podbook.inputs.farm import filled
from podbook.reference.catalogue import catalogue, described
from podbook.reference.contract import Value, reference
from podbook.sheets import book_of
from podbook.units import In

WITHOUT_A_CELL = {
    "cold.critical_temperature": "the general form of a choice that the book makes by species",
    "energy.digestible_dry_matter_from_adf": "for laboratory sheets that print only ADF",
    "energy.tdn_corn_silage_from_adf": "for laboratory sheets that print only ADF",
    "energy.tdn_ear_corn_from_adf": "for laboratory sheets that print only ADF",
    "energy.tdn_shelled_corn_from_adf": "for laboratory sheets that print only ADF",
    "trees.alternate_index": "the measure in which alternate bearing is published",
}


def test_no_reference_function_stands_idle() -> None:
    book = book_of(regions.load("us_midatl_appal"), filled())
    bound = {ref.function.name for node in book.worked for ref in (node.ref, node.first_ref) if ref}
    published = {name.strip() for row in rows() for name in row.function.split(">")}
    idle = {function.name for function in catalogue()} - bound - published
    assert idle == WITHOUT_A_CELL.keys()


def test_every_function_says_what_it_measures_and_where_it_is_from() -> None:
    for function in catalogue():
        plain = described(function)
        assert plain["says"].startswith("Return"), function.name
        assert plain["source"], function.name
        assert plain["returns"]["unit"], function.name
        assert all(each["unit"] for each in plain["arguments"]), function.name


def test_a_function_with_positional_parameters_is_refused() -> None:
    def doubled(part: Annotated[Value, In("lb_dry")]) -> Annotated[Value, In("lb_dry")]:
        return 2 * part

    with pytest.raises(TypeError, match="doubled: a reference function takes keyword-only parameters"):
        reference("arithmetic", "")(doubled)
