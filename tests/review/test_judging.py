"""What is filled in is judged by a part of the book alone: that part says what the whole would say."""

from __future__ import annotations

from podbook import regions
from podbook.inputs.farm import filled
from podbook.proof.evaluate import end_to_end
from podbook.review.before_building import _filled_in
from podbook.review.entries import STATES
from podbook.sheets import book_of


def test_the_part_that_judges_says_what_the_whole_book_says() -> None:
    book = book_of(regions.load("us_midatl_appal"), filled())
    whole = end_to_end(book, {node.key: node.contents for node in book.nodes.values() if node.role == "entry"})
    part = _filled_in(book)
    assert {key: whole[key] for key in part} == part
    assert {f"{table}.{state}" for table, states in STATES.items() for state in states} <= part.keys()
    assert 100 < len(part) < len(whole) / 2
