"""What is filled in and can't be used is told with the figure, its limits and how to write it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from podbook.book.model import Book
from podbook.book.refill import refilled
from podbook.errors import PodbookError
from podbook.inputs.farm import filled
from podbook.inputs.filled import Content, Group
from podbook.regions import HOME, load
from podbook.review.before_building import refuse_slips
from podbook.sheets import book_of


def refused(book: Book) -> str:
    with pytest.raises(PodbookError) as caught:
        refuse_slips(book)
    return str(caught.value)


def with_figure(name: str, content: Content, units: str = "us") -> str:
    return refused(book_of(load(HOME), replace(filled(), figures={name: content}, units=units), units))


def test_a_price_of_bales_is_told_how_to_become_one_of_a_ton() -> None:
    said = "Write the bare number: no commas, no units. A bale of 1,000 lb at $60 is $120 a ton: its price x 2,000"
    assert said in with_figure("hay_price", "$60/bale")
    assert "A bale of 500 kg at $60 is $120 a tonne" in with_figure("hay_price", "60 a bale", "metric")
    assert with_figure("hay_price", "125 $").endswith("no commas, no units.")


def test_a_calendar_year_is_no_age() -> None:
    assert "allowed: a number from 1 to 40 year. Write how many years it has been since 2018." in with_figure(
        "stand_age", 2018
    )


def test_a_weight_that_does_not_fit_its_kind_is_told_with_its_own_limits() -> None:
    groups = (Group("ewe", 40, 68), Group("growing cattle", 5, 240))
    light, steer = refused(book_of(load(HOME), replace(filled(), groups=groups), "us")).splitlines()[1:]
    assert light.strip() == (
        "group 1, body_weight (Group 1: Body weight): found 68; allowed: a number from 111 to 198 lb for the kind"
        " 'ewe'. It looks like kg: 68 kg is 149.9 lb."
    )
    assert "from 250 to 2000 lb for the kind 'growing cattle'" in steer


def test_a_type_that_is_not_named_is_told_with_those_that_are() -> None:
    book = book_of(load(HOME), filled())
    kinds, names = book.nodes["tally.type"].contents, [each.name for each in filled().types]
    said = refused(refilled(book, {"tally.type": (f"{names[0]} ", *kinds[1:])}, {}))
    assert f"a type named on the sheet Farm: {', '.join(map(repr, names))}" in said
    assert "Take out the space before or after it." in said
