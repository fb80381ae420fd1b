"""Kinds of tree: is a kind known, does its crop keep, and which cautions go with it?"""

from __future__ import annotations

from typing import Annotated

from podbook.reference.contract import reference
from podbook.reference.gates import Entry, Flag, Numbers, Word, matches
from podbook.units import In

Row = Annotated[float, In("ordinal", 0)]


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
