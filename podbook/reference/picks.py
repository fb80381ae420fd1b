"""Picks: which of several values is meant, and where a value stands among others."""

from typing import Annotated

import numpy as np

from podbook.reference.contract import Value, reference
from podbook.reference.gates import Count, Entry, Flag, Number, Numbers, Single, Word, matches
from podbook.units import In

Position = Annotated[Value, In("dimensionless", 1)]


@reference("arithmetic", "place in the list")
def position(*, word: Entry, words: Entry) -> Position:
    """Return the place of a word in a list, the first being 1; the word must be there."""
    return float(next(place for place, each in enumerate(words, 1) if matches(word, each)))


@reference("arithmetic", "place in the list")
def position_or_none(*, word: Entry, words: Entry) -> Count:
    """Return the place of a word in a list, the first being 1; 0 where it is not there."""
    return float(next((place for place, each in enumerate(words, 1) if matches(word, each)), 0))


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


@reference("arithmetic", "not zero")
def any_at_all(*, number: Number) -> Flag:
    """Return 1 where a number is not zero."""
    return np.where(np.asarray(number) == 0, 0.0, 1.0)


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


@reference("arithmetic", "the last value")
def last(*, values: Numbers) -> Number:
    """Return the last value of a list."""
    return float(values[-1])
