"""Kinds of tree: is a kind known, does its crop keep, and which cautions go with it?"""

from typing import Annotated

import numpy as np
from numpy.typing import NDArray

from podbook.reference.contract import reference
from podbook.reference.gates import Entry, Flag, Numbers, Word, matches
from podbook.units import In

Row = Annotated[float, In("ordinal", 0)]
Rows = Annotated[NDArray[np.float64], In("ordinal", 0)]
Counts = Annotated[NDArray[np.float64], In("record", 0)]


@reference("arithmetic", "a word of the list, or - for a blank")
def kind_state(*, entry: Entry, kinds: Entry) -> Word:
    """Return "ok" for a kind of the list, "-" where none is said, "mend" for anything else."""
    if entry is None or entry == "":
        return "-"
    return "ok" if any(matches(entry, kind) for kind in kinds) else "mend"


@reference("arithmetic", "the list's own word")
def known_kind(*, entry: Entry, kinds: Entry) -> Word:
    """Return a kind as the list spells it; "-" where it is not in the list."""
    return next((str(kind) for kind in kinds if matches(entry, kind)), "-")


@reference("arithmetic", "what does not keep")
def spoils(*, kind_row: Row, keeps: Numbers) -> Flag:
    """Return 1 where the kind at a row of the list can't be stockpiled or stored."""
    return 1.0 - float(keeps[int(kind_row) - 1])


@reference("arithmetic", "the graver of two")
def beware(*, spoils: Flag, sheet_in_order: Flag) -> Word:
    """Return what to look out for with a type: that its crop does not keep, or that its lab sheet is missing."""
    if spoils == 1:
        return "LOOK: does not keep"
    return "-" if sheet_in_order == 1 else "no lab sheet yet"


@reference("arithmetic", "words where a kind is grown")
def caution_told(*, types_of_kinds: Numbers, words: Entry) -> Word:
    """Return the words of a caution where a type of one of its kinds is on the farm, else "-"."""
    return str(words) if any(number > 0 for number in types_of_kinds) else "-"


@reference("arithmetic", "words that are told")
def holds(*, row: Row, told: Entry) -> Flag:
    """Return 1 where the caution at a row of the list holds on this farm."""
    return 0.0 if told[int(row) - 1] == "-" else 1.0


@reference("arithmetic", "counted through those that hold")
def place_of_caution(*, number: Row, counted: Counts) -> Row:
    """Return the first place up to which so many cautions hold; 0 where there are fewer."""
    return float(next((place for place, count in enumerate(counted, 1) if count == number), 0))


@reference("arithmetic", "the words at a place")
def words_at(*, place: Row, words: Entry) -> Word:
    """Return the words at a place of a list, "-" where there is none."""
    return "-" if place == 0 else str(words[int(place) - 1])


@reference("arithmetic", "the words at the row of a place")
def caution_at(*, place: Row, rows: Rows, told: Entry) -> Word:
    """Return the caution whose row stands at a place of a list, "-" where there is none."""
    return "-" if place == 0 else str(told[int(rows[int(place) - 1]) - 1])


@reference("arithmetic", "as many as there are lines")
def all_told(*, counted: Counts, numbers: Rows) -> Word:
    """Return whether all cautions that hold have a line, or where the rest is."""
    return "yes" if np.max(counted) <= np.max(numbers) else "LOOK: no, the sheet Cautions has more"
