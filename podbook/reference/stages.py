"""How far along a month finds the season and the animals: days fed, days pregnant, weeks in milk."""

from typing import Annotated

import numpy as np

from podbook.reference.contract import Value, Words, reference
from podbook.reference.guard import ratio
from podbook.units import In

Days = Annotated[Value, In("day", 0)]
Flag = Annotated[Value, In("flag", 0, 1)]
Share = Annotated[Value, In("fraction", 0, 1)]
Fahrenheit = Annotated[Value, In("degF", -80, 130)]


@reference("uf-ifas-ag126", "C = (F - 32) 5/9; a month out of order counts as neither warm nor cold")
def month_celsius(
    *,
    in_order: Flag,
    temperature: Annotated[object, In("text")],
    neutral_air: Fahrenheit,
) -> Annotated[Value, In("degC")]:
    """Return a month's mean temperature in degrees Celsius; the neutral one where the entry can't be used."""
    fahrenheit = float(temperature) if in_order == 1 else neutral_air  # type: ignore[arg-type]  # a number then
    return (fahrenheit - 32) * 5 / 9


@reference("judgement", "calendar days; the first month is fed to its end")
def days_since(
    *,
    start: Days,
    days: Days,
    shortest_month: Annotated[float, In("day")] = 28.0,
    days_per_month: Annotated[float, In("day")] = 30.4375,
) -> Days:
    """Return the days since the first day of feeding before a month: pregnancy, milk and growth go on in a break.

    ``start`` and ``days`` are those of the month before. Feeding that begins within a month goes on to its end; any
    later month counts whole, however few of its days are fed.
    """
    whole = np.where(np.asarray(days) < shortest_month, days_per_month, days)
    return start + np.where(np.asarray(start) == 0, days, whole)


@reference("common-practice", "who has been off feed is stepped up again")
def days_on_end(*, on_end: Days, days: Days, shortest_month: Annotated[float, In("day")] = 28.0) -> Days:
    """Return the days of feeding on end before a month, from those before the last month and its own.

    A month without feeding breaks them off, and so does one that is fed for some of its days only, unless feeding
    began in it.
    """
    goes_on = np.where(np.asarray(days) < shortest_month, 0.0, on_end + days)
    return np.where(np.asarray(days) == 0, 0.0, np.where(np.asarray(on_end) == 0, days, goes_on))


@reference("arithmetic", "zero")
def none_before() -> Days:
    """Return the days of feeding before the first month."""
    return 0.0


@reference("arithmetic", "half the month's days")
def middle(*, start: Days, days: Days) -> Days:
    """Return the days since feeding began in the middle of a month's feeding."""
    return start + days / 2


@reference("arithmetic", "days of feeding / days of a month")
def share_fed(*, days: Days, days_per_month: Annotated[float, In("day")] = 30.4375) -> Share:
    """Return the share of a month on which stock are fed, at most 1; a month is 365.25/12 days."""
    return np.minimum(1.0, days / days_per_month)


@reference("common-practice", "feeding steps up over the first weeks")
def days_stepping(
    *,
    on_end: Days,
    days: Days,
    step_up_weeks: Annotated[Value, In("week", 0, 53)],
    days_per_week: Annotated[float, In("day/week")] = 7.0,
) -> Days:
    """Return how many of a month's days of feeding lie in the weeks of stepping up, after so many days on end."""
    return np.maximum(0.0, np.minimum(days, step_up_weeks * days_per_week - on_end))


@reference("common-practice", "a lower cap on the days of stepping up")
def share_in_month(*, full_share: Share, step_up_share: Share, stepping: Days, days: Days) -> Share:
    """Return the most pods in a month's ration: the full cap, lowered on the days of stepping up; 0 without feeding."""
    lowered = full_share * (1 - (1 - step_up_share) * ratio(stepping, days))
    return np.where(np.asarray(days) == 0, 0.0, lowered)


@reference("arithmetic", "days at the start and since")
def has_given_birth(*, days_pregnant: Days, mid: Days, gestation: Days) -> Flag:
    """Return 1 for an animal that was pregnant at the start and has come to term since."""
    return np.where((np.asarray(days_pregnant) > 0) & (days_pregnant + mid > gestation), 1.0, 0.0)


@reference("arithmetic", "days at the start and since, until term")
def day_of_pregnancy(*, days_pregnant: Days, mid: Days, born: Flag) -> Days:
    """Return the day of pregnancy in the middle of a month; 0 for an open animal and after birth."""
    return np.where((np.asarray(days_pregnant) == 0) | (np.asarray(born) == 1), 0.0, days_pregnant + mid)


@reference("arithmetic", "weeks since birth, or those at the start and since")
def week_of_milk(
    *,
    week_in_milk: Annotated[Value, In("week", 0)],
    days_pregnant: Days,
    mid: Days,
    gestation: Days,
    born: Flag,
    days_per_week: Annotated[float, In("day/week")] = 7.0,
) -> Annotated[Value, In("week", 0)]:
    """Return the week in milk in the middle of a month; 0 for an animal that gives none."""
    since_birth = (days_pregnant + mid - gestation) / days_per_week
    going_on = np.where(np.asarray(week_in_milk) == 0, 0.0, week_in_milk + mid / days_per_week)
    return np.where(np.asarray(born) == 1, since_birth, going_on)


@reference("arithmetic", "the kind, and for ewes and does their stage")
def kind_and_stage(
    *,
    amiss: Flag,
    in_order: Flag,
    kind: Annotated[Words, In("text")],
    is_ewe: Flag,
    is_doe: Flag,
    week_in_milk: Annotated[Value, In("week", 0)],
    days_pregnant: Days,
) -> Annotated[Words, In("text")]:
    """Return what a group is at the start; what to do for one that is filled in and can't be used, nothing for none.

    The kinds of cattle say their stage themselves; ewes and does are told by what is filled in, milk before pregnancy.
    """
    if in_order == 0:
        return "LOOK: mend (Herd)" if amiss == 1 else ""
    if is_ewe == 0 and is_doe == 0:
        return str(kind)
    animal, pregnant = ("ewe", "in lamb") if is_ewe == 1 else ("doe", "in kid")
    if week_in_milk > 0:
        return f"{animal}, in milk at the start"
    return f"{animal}, {pregnant} at the start" if days_pregnant > 0 else str(kind)


@reference("arithmetic", "weight at the start and the gain since")
def weight_in_month(
    *, weight: Annotated[Value, In("kg/head", 0)], gain: Annotated[Value, In("kg/head/day", 0)], mid: Days
) -> Annotated[Value, In("kg/head", 0)]:
    """Return the body weight in the middle of a month."""
    return weight + gain * mid


@reference("arithmetic", "born, fed, no milk; ewes go by their table")
def young_without_milk(
    *,
    born: Flag,
    suckled: Flag,
    is_cattle: Flag,
    head_days: Annotated[Value, In("head*day", 0)],
    is_ewe: Flag,
    week: Annotated[Value, In("week", 0)],
    milk_peak: Annotated[Value, In("kg/head/day", 0)],
) -> Flag:
    """Return 1 for a group that has young and is fed, but whose week in milk or milk at its peak is not filled in.

    Cows that come with calves have young from the start; a doe may be dry.
    """
    has_young = born == 1 or (suckled == 1 and is_cattle == 1)
    return float(has_young and head_days > 0 and is_ewe == 0 and (week == 0 or milk_peak == 0))
