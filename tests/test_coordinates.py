"""Columns and cells are numbered as the library that writes workbooks numbers them."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st
from openpyxl.utils import column_index_from_string, get_column_letter
from openpyxl.utils.cell import coordinate_to_tuple

from podbook.coordinates import letters, number, row_and_column

columns = st.integers(1, 16_384)


@given(columns)
def test_columns(column: int) -> None:
    assert letters(column) == get_column_letter(column)
    assert number(letters(column)) == column == column_index_from_string(letters(column))


@given(columns, st.integers(1, 1_048_576), st.sampled_from(["{0}{1}", "${0}${1}", "{0}${1}"]))
def test_cells(column: int, row: int, written: str) -> None:
    cell = written.format(letters(column), row)
    assert row_and_column(cell) == (row, column) == coordinate_to_tuple(cell.replace("$", ""))
