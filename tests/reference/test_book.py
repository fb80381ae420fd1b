import numpy as np
import pytest

from podbook.errors import OutOfRange
from podbook.reference import book

KINDS = np.array(["Dry cow", "Ewe", "Doe"])


def test_sums_and_products():
    values = np.array([1.5, -2.0, 4.0])
    assert book.total(values=values) == 3.5
    assert book.same(value=7) == 7
    assert book.difference(a=7, b=9) == -2
    assert book.product(a=7, b=9) == 63
    np.testing.assert_allclose(book.quotient(a=values, b=np.array([3.0, 0.0, 8.0])), [0.5, 0, 0.5])


@pytest.mark.parametrize("entry", [2, 2.0, 5, 9.0, np.float64(3.5), np.int64(4)])
def test_a_number_in_range_is_accepted(entry):
    assert book.accepted(entry=entry, low=2, high=9, default=6) == entry
    assert book.entry_check(entry=entry, low=2, high=9) == "ok"


@pytest.mark.parametrize("entry", [1.99, 9.01, "5", "5 lb", "", None, True, np.True_, float("nan"), float("inf")])
def test_anything_else_gives_way_to_the_default(entry):
    assert book.accepted(entry=entry, low=0.5 if entry is True else 2, high=9, default=6) == 6
    assert book.entry_check(entry=entry, low=0.5 if entry is True else 2, high=9) == "mend"


def test_a_column_of_entries():
    column = np.array([3, None, "4", 12.0], dtype=object)
    np.testing.assert_array_equal(book.accepted(entry=column, low=0, high=10, default=5), [3, 5, 5, 5])
    assert list(book.entry_check(entry=column, low=0, high=10)) == ["ok", "mend", "mend", "mend"]


@pytest.mark.parametrize(
    ("entry", "default", "word"),
    [
        (400, 100, "ok"),
        (400.1, 100, "unusual"),
        (25, 100, "ok"),
        (24.9, 100, "unusual"),
        (0, 100, "ok"),
        (400, 0, "ok"),
        (501, 100, "mend"),
        ("400.1", 100, "mend"),
    ],
)
def test_a_number_far_from_its_default_is_unusual(entry, default, word):
    assert book.usual_check(entry=entry, low=0, high=500, default=default, far_times=4) == word


@pytest.mark.parametrize(("entry", "expected"), [("Ewe", "Ewe"), ("dry COW", "Dry cow")])
def test_choice_is_spelled_as_in_the_list(entry, expected):
    assert book.choice(entry=entry, choices=KINDS, default="Doe") == expected
    assert book.choice_check(entry=entry, choices=KINDS) == "ok"


@pytest.mark.parametrize("entry", ["mule", "", " Ewe", None, 3])
def test_no_choice_gives_way_to_the_default(entry):
    assert book.choice(entry=entry, choices=KINDS, default="Doe") == "Doe"
    assert book.choice_check(entry=entry, choices=KINDS) == "mend"


def test_bookkeeping_refuses_what_is_not_finite():
    with pytest.raises(OutOfRange, match="a is nan"):
        book.product(a=float("nan"), b=1)


def test_a_blank_at_the_end_of_a_list_is_no_choice():
    choices = np.array(["no", "yes", None], dtype=object)
    assert book.choice_check(entry="none", choices=choices) == "mend"
    assert book.choice(entry="none", choices=choices, default="no") == "no"
    assert book.choice(entry="YES", choices=choices, default="no") == "yes"


def test_a_sum_over_nothing_is_nothing() -> None:
    assert book.sum_over(values=np.array([850.0, 2550.0]), whole=1700.0) == 2
    assert book.sum_over(values=np.array([850.0, 2550.0]), whole=0.0) == 0
