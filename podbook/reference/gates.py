"""Gates: may a row, a column or a cell be used, and which of several cells is meant?

Entries come as they stand in a workbook: a number, a word, or nothing (None).
"""

from __future__ import annotations

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
Position = Annotated[Value, In("dimensionless", 1)]


def is_number(entry: Any) -> bool:
    """Return whether an entry is a finite number; TRUE and FALSE are none."""
    return isinstance(entry, int | float | np.number) and not isinstance(entry, bool) and isfinite(float(entry))


def _blank(entry: Any) -> bool:
    return entry is None or (isinstance(entry, str) and entry == "")


def _matches(entry: Any, word: Any) -> bool:
    if isinstance(entry, str) and isinstance(word, str):
        return entry != "" and entry.casefold() == word.casefold()
    return is_number(entry) and is_number(word) and bool(entry == word)


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
    return float(_matches(entry, word))


@reference("arithmetic", "a word of the list")
def choice_state(*, entry: Entry, choices: Entry) -> Word:
    """Return "ok" where the entry is one of the choices, else "mend"."""
    return "ok" if any(_matches(entry, word) for word in choices) else "mend"


@reference("arithmetic", "place in the list")
def position(*, word: Entry, words: Entry) -> Position:
    """Return the place of a word in a list, the first being 1; the word must be there."""
    return float(next(place for place, each in enumerate(words, 1) if _matches(word, each)))


@reference("arithmetic", "place in the list")
def position_or_none(*, word: Entry, words: Entry) -> Count:
    """Return the place of a word in a list, the first being 1; 0 where it is not there."""
    return float(next((place for place, each in enumerate(words, 1) if _matches(word, each)), 0))


@reference("arithmetic", "places counted through, the second list running fastest")
def pair_position(*, first: Position, second: Position, seconds: Count) -> Position:
    """Return the place of a pair of places, where the second runs from 1 to ``seconds``."""
    return (first - 1) * seconds + second


@reference("arithmetic", "the value at a place")
def item(*, values: Numbers, position: Single) -> Number:
    """Return the value at a place of a list, the first being 1."""
    return float(values[int(position) - 1])


@reference("arithmetic", "the value at a place, times a factor")
def scaled_item(*, values: Numbers, position: Single, factor: Single) -> Number:
    """Return the value at a place of a list times a factor."""
    return float(values[int(position) - 1]) * factor


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
    return float(sum(_matches(entry, name) for name in names))


@reference("arithmetic", "numbers in range and one type of that name")
def counted(*, known: Count, in_range: Flag) -> Flag:
    """Return 1 for a row of the tally that can be used: all numbers in range, and just one type of its name."""
    return float(known == 1 and in_range == 1)


@reference("arithmetic", "ok, mend, or blank")
def row_state(*, counted: Flag, entries: Entry) -> Word:
    """Return "ok" for a row that counts, nothing for an empty row, "mend" for any other."""
    if counted == 1:
        return "ok"
    return "" if all(_blank(entry) for entry in entries) else "mend"


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
    words = any(_matches(basis, each) for each in bases) and any(_matches(parts, each) for each in all_parts)
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


@reference("arithmetic", "ok, mend, or - for a blank")
def group_state(*, in_order: Flag, entries: Entry) -> Word:
    """Return "ok" for a group that can be used, "-" for one in which nothing is filled in, else "mend"."""
    if in_order == 1:
        return "ok"
    return "-" if all(_blank(entry) for entry in entries) else "mend"


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


@reference("arithmetic", "equality of whole numbers")
def equals(*, number: Number, wanted: Number) -> Flag:
    """Return 1 where a whole number is the one wanted."""
    return np.where(np.abs(np.asarray(number) - wanted) < 0.5, 1.0, 0.0)


@reference("arithmetic", "at least")
def at_least(*, number: Number, least: Number) -> Flag:
    """Return 1 where a number is at least as large as another."""
    return np.where(np.asarray(number) >= least, 1.0, 0.0)


@reference("arithmetic", "what is left of a whole")
def rest_of(*, whole: Number, values: Number) -> Number:
    """Return the whole less the values."""
    return whole - float(np.sum(values))


@reference("arithmetic", "one of two")
def one_of_two(*, flag: Flag, yes: Number, no: Number) -> Number:
    """Return ``yes`` where the flag is 1, else ``no``."""
    return np.where(np.asarray(flag) == 1, yes, no)


@reference("arithmetic", "both not zero")
def both(*, a: Number, b: Number) -> Flag:
    """Return 1 where neither is zero."""
    return float(a != 0 and b != 0)


@reference("arithmetic", "days at the start and half the season, at most a pregnancy")
def days_at(
    *, days_pregnant: Single, mid_season: Single, kind_row: Annotated[float, In("dimensionless", 1)], gestation: Numbers
) -> Annotated[Value, In("day", 0)]:
    """Return the days pregnant at the middle of the season; 0 for an open animal."""
    if days_pregnant == 0:
        return 0.0
    return min(days_pregnant + mid_season, float(gestation[int(kind_row) - 1]))


@reference("arithmetic", "weeks at the start and half the season")
def week_at(
    *, week_in_milk: Number, mid_season: Number, days_per_week: Number = 7.0
) -> Annotated[Value, In("week", 0)]:
    """Return the weeks in milk at the middle of the season; 0 for an animal that gives none."""
    return np.where(np.asarray(week_in_milk) == 0, 0.0, week_in_milk + mid_season / days_per_week)


@reference("arithmetic", "row at or below a weight, within a stage")
def row_below(*, weight: Single, stage: Position, weights: Numbers, count: Single) -> Position:
    """Return the row of the table of ewes at or below a weight, never the last row of its stage."""
    steps = np.asarray(weights)[: int(count)]
    return (stage - 1) * count + min(int(count) - 1, max(1, int(np.searchsorted(steps, weight, side="right"))))


@reference("arithmetic", "way from one row to the next")
def part_of_step(*, value: Single, steps: Numbers, row: Single) -> Annotated[Value, In("fraction")]:
    """Return how far a value lies from the step at a row toward the next one."""
    place = int(row) - 1
    low, high = float(steps[place]), float(steps[place + 1])
    return (value - low) / (high - low)


@reference("arithmetic", "the rule that was chosen")
def chosen_intake(
    *, intake_row: Position, eats_share: Number, grows: Flag, eats_growing: Number, eats_cow: Number
) -> Number:
    """Return the intake by the rule chosen: 1 the equations, 2 the share of body weight."""
    by_equation = np.where(np.asarray(grows) == 1, eats_growing, eats_cow)
    return np.where(np.asarray(intake_row) == 2, eats_share, by_equation)


@reference("arithmetic", "critical temperature of the species")
def critical_of_species(*, species: Single, wet: Flag, dry: Numbers, wet_coat: Numbers) -> Annotated[Value, In("degF")]:
    """Return the critical temperature of a species (1 cattle, 2 sheep, 3 goats), coat dry or wet."""
    return float((wet_coat if wet == 1 else dry)[int(species) - 1])


@reference("arithmetic", "cattle by acclimatisation are left out")
def by_critical(*, in_order: Flag, is_cattle: Flag, acclimatised: Flag) -> Flag:
    """Return 1 for a group whose cold goes by its critical temperature: never both rules at once."""
    return in_order * (1 - is_cattle * acclimatised)


@reference("arithmetic", "sum of the parts, raised for cold")
def need_with_cold(*, parts: Numbers, cold: Number) -> Annotated[Value, In("Mcal/head/day", 0)]:
    """Return the energy of a head and day: the requirement of its kind, raised for cold."""
    return float(np.sum(parts)) * (1 + cold)


@reference("arithmetic", "intake of its kind")
def intake_of(*, parts: Numbers, is_cattle: Flag) -> Annotated[Value, In("kg_dry/head/day", 0)]:
    """Return what a head can eat in a day: the first part counts for cattle only."""
    cattle, *others = (float(part) for part in parts)
    return cattle * is_cattle + sum(others)


@reference("arithmetic", "part of the sum")
def share_of_all(*, part: Number, parts: Numbers) -> Annotated[Value, In("fraction", 0, 1)]:
    """Return a part as a share of the sum of all parts; 0 where the sum is 0."""
    whole = float(np.sum(parts))
    return part / whole if whole else 0.0


@reference("arithmetic", "two numbers compared")
def either(*, less: Single, more: Single, yes: Word, no: Word) -> Word:
    """Return ``yes`` where the first number is less than the second, else ``no``."""
    return yes if less < more else no


@reference("arithmetic", "above a limit")
def over(*, value: Number, limit: Number, tolerance: Number) -> Flag:
    """Return 1 where a value is above its limit by more than rounding."""
    return np.where(np.asarray(value) > limit + tolerance, 1.0, 0.0)


@reference("arithmetic", "planted, but without a crop or energy")
def lacking(*, share: Number, crop: Number, me: Number) -> Flag:
    """Return 1 for a type that is planted but has no crop or no energy."""
    return np.where((np.asarray(share) > 0) & ((np.asarray(crop) == 0) | (np.asarray(me) == 0)), 1.0, 0.0)


@reference("arithmetic", "count")
def count_word(*, spans: Entry, word: Word) -> Count:
    """Return how often a word stands in several ranges."""
    return float(sum(_matches(each, word) for each in spans))


@reference("arithmetic", "count")
def count_over(*, spans: Number, limit: Number) -> Count:
    """Return how many numbers in several ranges are above a limit."""
    return float(np.sum(np.asarray(spans) > limit))


@reference("arithmetic", "count")
def count_number(*, span: Number, number: Number) -> Count:
    """Return how often a number stands in a range."""
    return float(np.sum(np.asarray(span) == number))


@reference("arithmetic", "sum")
def total_of_spans(*, spans: Number) -> Count:
    """Return the sum of several ranges."""
    return float(np.sum(spans))


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


@reference("arithmetic", "the last value")
def last(*, values: Numbers) -> Number:
    """Return the last value of a list."""
    return float(values[-1])
