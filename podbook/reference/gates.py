"""Gates: may a row, a column or a cell be used, and which of several cells is meant?

Entries come as they stand in a workbook: a number, a word, or nothing (None).
"""

from math import isfinite
from typing import Annotated, Any

import numpy as np
from numpy.typing import NDArray

from podbook.reference.contract import Value, Words, reference
from podbook.units import In

Entry = Annotated[Any, In("text")]
Word = Annotated[Words, In("text")]
Flag = Annotated[Value, In("flag", 0, 1)]
Number = Annotated[Value, In("any")]
Numbers = Annotated[NDArray[np.float64], In("any")]
"""Several numbers, or a whole column."""
Single = Annotated[float, In("any")]
Count = Annotated[Value, In("record", 0)]
Crop = Annotated[Value, In("lb_dry/tree", 0)]
Times = Annotated[float, In("fraction", 1)]
"""How many times the lesser of two figures the greater may be before it is unusual."""


def is_number(entry: Any) -> bool:
    """Return whether an entry is a finite number; TRUE and FALSE are none."""
    return isinstance(entry, int | float | np.number) and not isinstance(entry, bool) and isfinite(float(entry))


def _blank(entry: Any) -> bool:
    return entry is None or (isinstance(entry, str) and entry == "")


def matches(entry: Any, word: Any) -> bool:
    """Return whether an entry is a word, upper and lower case alike, or a number."""
    if isinstance(entry, str) and isinstance(word, str):
        return entry != "" and entry.casefold() == word.casefold()
    return is_number(entry) and is_number(word) and bool(entry == word)


def _alike(entries: Any, word: Any) -> list[bool]:
    """Return which of many entries match a word or number."""
    if not isinstance(word, str) or word == "":
        return [matches(entry, word) for entry in entries]
    folded = word.casefold()
    return [isinstance(entry, str) and entry.casefold() == folded for entry in entries]


@reference("arithmetic", "a word that is not blank")
def filled(*, entry: Entry) -> Flag:
    """Return 1 where the entry is a word."""
    return float(not _blank(entry) and not is_number(entry))


@reference("arithmetic", "no sign that spreadsheets read as a pattern")
def plain_name(*, entry: Entry) -> Flag:
    """Return 1 for a blank, or a name without the signs that spreadsheets read as a pattern or a condition."""
    if is_number(entry):
        return 0.0
    name = "" if entry is None else str(entry)
    return float(name.upper() not in ("TRUE", "FALSE") and not set("*?~<>=") & set(name))


@reference("arithmetic", "ok, or - for a blank")
def name_state(*, entry: Entry) -> Word:
    """Return "ok" for a name, "-" for a blank."""
    return "-" if _blank(entry) else "ok"


@reference("arithmetic", "the word, or - for none")
def word_or_dash(*, entry: Entry) -> Word:
    """Return the entry where it is a word, else "-"."""
    return "-" if _blank(entry) or is_number(entry) else str(entry)


@reference("arithmetic", "comparison without case")
def is_word(*, entry: Entry, word: Entry) -> Flag:
    """Return 1 where the entry is the word, upper and lower case alike."""
    return float(matches(entry, word))


@reference("arithmetic", "a word of the list")
def choice_state(*, entry: Entry, choices: Entry) -> Word:
    """Return "ok" where the entry is one of the choices, else "mend"."""
    return "ok" if any(matches(entry, word) for word in choices) else "mend"


@reference("arithmetic", "every entry a number in its range")
def in_range(*, entries: Entry, lows: Numbers, highs: Numbers) -> Flag:
    """Return 1 where every entry is a number within its own range."""
    inside = (is_number(entry) and low <= entry <= high for entry, low, high in zip(entries, lows, highs, strict=True))
    return float(all(inside))


@reference("arithmetic", "every entry a number")
def all_numbers(*, entries: Entry) -> Flag:
    """Return 1 where every entry is a number."""
    return float(all(is_number(entry) for entry in entries))


@reference("arithmetic", "count without case")
def named_so(*, entry: Entry, names: Entry) -> Count:
    """Return how many of the names are the entry."""
    return float(sum(matches(entry, name) for name in names))


@reference("arithmetic", "numbers in range and one type of that name")
def counted(*, known: Count, in_range: Flag) -> Flag:
    """Return 1 for a row of the tally that can be used: all numbers in range, and just one type of its name."""
    return float(known == 1 and in_range == 1)


@reference("judgement", "ok, unusual, mend, or blank")
def row_state(
    *,
    counted: Flag,
    entries: Entry,
    crop: Crop,
    kind: Entry,
    kinds: Entry,
    counts: Annotated[NDArray[np.float64], In("flag", 0, 1)],
    crops: Annotated[NDArray[np.float64], In("lb_dry/tree", 0)],
    far_times: Times,
) -> Word:
    """Return the state of a row of the tally, of which ``kinds``, ``counts`` and ``crops`` are whole columns.

    "ok" for a row that counts, "unusual" where its crop is more than ``far_times`` times the mean of the other rows of
    its kind, nothing for an empty row, "mend" for any other.
    """
    if counted != 1:
        return "" if all(_blank(entry) for entry in entries) else "mend"
    of_kind = np.array(_alike(kinds, kind)) & (np.asarray(counts) == 1)
    others = np.sum(of_kind) - 1
    return "unusual" if crop * others > far_times * (np.sum(np.asarray(crops)[of_kind]) - crop) else "ok"


@reference("arithmetic", "ok, mend, or - for a blank")
def optional_state(*, entry: Entry, low: Number, high: Number) -> Word:
    """Return "-" for a blank, "ok" for a number in range, "mend" for anything else."""
    if _blank(entry):
        return "-"
    return "ok" if is_number(entry) and low <= entry <= high else "mend"


@reference("arithmetic", "blank, or a number in its range")
def optional_states(*, entries: Entry, lows: Numbers, highs: Numbers, asked: Flag) -> Count:
    """Return how many entries are neither blank nor in their range; 0 where they are asked for anyway."""
    ranged = zip(entries, lows, highs, strict=True)
    amiss = sum(not _blank(each) and not (is_number(each) and low <= each <= high) for each, low, high in ranged)
    return 0.0 if asked == 1 else float(amiss)


@reference("arithmetic", "the user's own figure, or the mean")
def own_or(*, own: Entry, state: Word, mean: Number) -> Number:
    """Return the user's own figure where it is in order, else the mean of the tally."""
    return float(own) if state == "ok" else float(mean)


@reference("arithmetic", "numbers, basis and parts given")
def lab_filled(*, entries: Entry, basis: Entry, parts: Entry, bases: Entry, all_parts: Entry) -> Flag:
    """Return 1 for a lab sheet whose needed numbers stand and whose basis and parts are words of their lists."""
    words = any(matches(basis, each) for each in bases) and any(matches(parts, each) for each in all_parts)
    return float(words and all(is_number(entry) for entry in entries))


@reference("arithmetic", "ok or mend")
def state(*, in_order: Flag) -> Word:
    """Return "ok" where a column can be used, else "mend"."""
    return "ok" if in_order == 1 else "mend"


@reference("arithmetic", "ok, mend, or - for a sheet not there yet")
def lab_state(*, in_order: Flag, words: Entry, numbers: Entry) -> Word:
    """Return "ok" for a lab sheet that can be used, "-" for one without words and numbers, else "mend"."""
    if in_order == 1:
        return "ok"
    return "-" if all(_blank(word) for word in words) and not any(is_number(each) for each in numbers) else "mend"


@reference("arithmetic", "ok or mend")
def none_amiss(*, counts: Numbers) -> Word:
    """Return "ok" where nothing is amiss, else "mend"."""
    return "ok" if not np.any(counts) else "mend"


@reference("arithmetic", "not blank, and not usable")
def group_amiss(*, in_order: Flag, entries: Entry) -> Flag:
    """Return 1 for a group in which something is filled in, but that can't be used."""
    return float(in_order != 1 and not all(_blank(entry) for entry in entries))


AMISS = ("kind", "head", "weight", "condition", "breed", "calf", "mature", "pregnant", "weeks", "milk", "gain")
"""What the entries of a group are called where one is amiss, in their order."""


@reference("arithmetic", "ok, - for a blank, or the first that is amiss")
def group_state(*, in_order: Flag, amiss: Flag, entries_in_order: Numbers) -> Word:
    """Return "ok" for a group that can be used, "-" for a blank one, else "mend" and the first entry that is amiss."""
    if in_order == 1:
        return "ok"
    if amiss == 0:
        return "-"
    return f"mend: {AMISS[int(np.argmin(entries_in_order))]}"


@reference("arithmetic", "a number within the range, and within that of its kind")
def weight_in_order(
    *, body_weight: Entry, kind_row: Single, low: Single, high: Single, lightest: Numbers, heaviest: Numbers
) -> Flag:
    """Return 1 for a body weight in its own range and in that of its kind of stock."""
    place = int(kind_row) - 1
    return float(is_number(body_weight) and max(low, lightest[place]) <= body_weight <= min(high, heaviest[place]))


@reference("arithmetic", "in order, and not apart")
def whole_sheet(*, in_order: Flag, apart: Flag) -> Flag:
    """Return 1 for a usable lab sheet of whole pods."""
    return in_order * (1 - apart)


@reference("arithmetic", "weight within the kind's range")
def weight_fits(
    *, body_weight: Single, kind_row: Annotated[float, In("dimensionless", 1)], lightest: Numbers, heaviest: Numbers
) -> Flag:
    """Return 1 where a body weight lies in the range of its kind of stock."""
    place = int(kind_row) - 1
    return float(lightest[place] <= body_weight <= heaviest[place])


@reference("arithmetic", "planted, but without a crop or energy")
def lacking(*, share: Number, crop: Number, me: Number) -> Flag:
    """Return 1 for a type that is planted but has no crop or no energy."""
    return np.where((np.asarray(share) > 0) & ((np.asarray(crop) == 0) | (np.asarray(me) == 0)), 1.0, 0.0)


@reference("arithmetic", "count")
def count_word(*, spans: Entry, word: Word) -> Count:
    """Return how often a word stands in several ranges."""
    return float(sum(matches(each, word) for each in spans))


@reference("arithmetic", "the name at the first place, without case")
def name_of_first(*, checks: Entry, said: Word, names: Entry) -> Word:
    """Return the name of the first of several checks that say a word, or are a number; "-" where none does."""
    return next((str(name) for check, name in zip(checks, names, strict=True) if matches(check, said)), "-")


@reference("arithmetic", "one name for all")
def name_if_any(*, checks: Entry, said: Word, names: Entry) -> Word:
    """Return the one name of several checks where any says a word, else "-"."""
    (name,) = names
    return str(name) if any(matches(check, said) for check in checks) else "-"


@reference("arithmetic", "a name, not a dash")
def is_named(*, name: Word) -> Flag:
    """Return 1 where there is a name; 0 for the dash that stands for none."""
    return 0.0 if name == "-" else 1.0


@reference("arithmetic", "count")
def count_over(*, spans: Number, limit: Number) -> Count:
    """Return how many numbers in several ranges are above a limit."""
    return float(np.sum(np.asarray(spans) > limit))


@reference("arithmetic", "further apart than the tolerance")
def apart(*, value: Number, wanted: Number, tolerance: Number) -> Count:
    """Return 1 where a value misses the wanted one by more than the tolerance."""
    return float(np.abs(np.asarray(value) - wanted) > tolerance)


@reference("arithmetic", "count of error values")
def errors(*, values: Entry) -> Count:
    """Return how many of the values are errors: neither a number nor a word."""
    return float(sum(not is_number(each) and not isinstance(each, str) for each in values))


@reference("arithmetic", "the worst that was found")
def status(*, entries_failed: Count, results_failed: Count) -> Word:
    """Return the status line of the book."""
    if entries_failed > 0:
        return "LOOK: boxed cells to mend, see Checks"
    return "LOOK: a result wants a look, see Checks" if results_failed > 0 else "All checks hold"


@reference("arithmetic", "entries before results")
def look_first(*, entries_failed: Count, results_failed: Count, mend: Word, look: Word) -> Word:
    """Return what to look at first: the first entry to mend, else the first result to look at, else "nothing"."""
    if entries_failed > 0:
        return str(mend)
    return str(look) if results_failed > 0 else "nothing"


@reference("arithmetic", "numbers in order, and a name")
def month_state(*, in_order: Flag, label: Word) -> Word:
    """Return "ok" for a month whose numbers are in order and that has a name, else "mend"."""
    return "ok" if in_order == 1 and label != "-" else "mend"


@reference("arithmetic", "none in order")
def none_in_order(*, flags: Numbers) -> Count:
    """Return 1 where none of the flags is 1."""
    return float(not np.any(flags))
