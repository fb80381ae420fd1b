"""What the words of a reference stand for."""

from __future__ import annotations

import pytest

from podbook.errors import BookFault
from podbook.inputs.filled import Filled
from podbook.proof.bindings import Bindings
from podbook.regions import HOME, load
from podbook.sheets import book_of


def test_an_item_that_a_column_does_not_have_is_a_fault_of_the_book() -> None:
    book = book_of(load(HOME), Filled("A farm", ()))
    column = next(node for node in book.nodes.values() if node.size is not None)
    bindings = Bindings(book)
    assert bindings.spot("", f"{column.key}@{column.count}").fixed == column.count - 1
    for number in (0, column.count + 1, 999):
        with pytest.raises(BookFault, match=f"found {number}; allowed: 1 to {column.count}"):
            bindings.spot("", f"{column.key}@{number}")
