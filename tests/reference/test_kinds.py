"""Kinds of tree: known or not, what keeps, and which cautions are told."""

from __future__ import annotations

import numpy as np
import pytest

from podbook.reference import kinds

LIST = np.array(["carob", "oak", None], dtype=object)


@pytest.mark.parametrize(("entry", "state", "known"), [
    ("carob", "ok", "carob"), ("OAK", "ok", "oak"), (None, "-", "-"), ("", "-", "-"), ("elm", "mend", "-"),
    ("None", "mend", "-"), (7.0, "mend", "-"), (True, "mend", "-"),
])  # fmt: skip
def test_a_kind_is_known_by_its_word(entry: object, state: str, known: str) -> None:
    assert kinds.kind_state(entry=entry, kinds=LIST) == state
    assert kinds.known_kind(entry=entry, kinds=LIST) == known


def test_what_does_not_keep_spoils() -> None:
    keeps = np.array([1.0, 0.0, 1.0])
    assert [kinds.spoils(kind_row=row, keeps=keeps) for row in (1, 2, 3)] == [0, 1, 0]


@pytest.mark.parametrize(("spoils", "sheet", "said"), [
    (0, 1, "-"), (0, 0, "no lab sheet yet"), (1, 0, "LOOK: does not keep"), (1, 1, "LOOK: does not keep"),
])  # fmt: skip
def test_the_graver_of_two_is_said(spoils: float, sheet: float, said: str) -> None:
    assert kinds.beware(spoils=spoils, sheet_in_order=sheet) == said


def test_a_caution_is_told_where_one_of_its_kinds_is_grown() -> None:
    assert kinds.caution_told(types_of_kinds=np.array([0.0, 2.0, 0.0]), words="Beware.") == "Beware."
    assert kinds.caution_told(types_of_kinds=np.array([0.0, 0.0]), words="Beware.") == "-"


def test_cautions_that_hold_are_counted_through_and_found_again() -> None:
    told = np.array(["Never alone.", "-", "Thorns."], dtype=object)
    rows, counted = np.array([3.0, 2.0, 1.0]), np.array([1.0, 1.0, 2.0])
    assert [kinds.holds(row=row, told=told) for row in (1, 2, 3)] == [1, 0, 1]
    places = [kinds.place_of_caution(number=number, counted=counted) for number in (1, 2, 3)]
    assert places == [1, 3, 0]
    assert [kinds.caution_at(place=place, rows=rows, told=told) for place in places] == ["Thorns.", "Never alone.", "-"]
    about = np.array(["thorns", "law", "never alone"], dtype=object)
    assert [kinds.words_at(place=place, words=about) for place in places] == ["thorns", "never alone", "-"]


def test_cautions_without_a_line_are_told_of() -> None:
    counted = np.array([1.0, 2.0, 3.0])
    assert kinds.all_told(counted=counted, numbers=np.array([1.0, 2.0, 3.0])) == "yes"
    assert kinds.all_told(counted=counted, numbers=np.array([1.0, 2.0])).startswith("LOOK")
