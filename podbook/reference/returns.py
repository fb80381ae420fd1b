"""What a planting returns over the years: present values, rates of return, payback, yearly costs of what is owned.

All flows and rates are real: in dollars of the year of planting. Flows come at the end of their year; where a list
holds year 0, that stands first. Lists run along the first axis, so that many draws can stand side by side as columns.
A year without a flow holds 0: it must never be left out, or all later years come too early.
"""

from typing import Annotated

import numpy as np
from numpy.typing import NDArray

from podbook.reference.contract import Value, Words, reference
from podbook.reference.guard import added, ratio
from podbook.units import In

Flows = Annotated[NDArray[np.float64], In("USD")]
Money = Annotated[Value, In("USD")]
Cost = Annotated[Value, In("USD", 0)]
PerYear = Annotated[Value, In("USD/year")]
Rate = Annotated[Value, In("fraction", -0.9, 10)]
Years = Annotated[Value, In("year", 1)]
Flag = Annotated[Value, In("flag", 0, 1)]
Percent = Annotated[Value, In("percent", 0, 100)]

GRID = np.geomspace(0.1, 11, 241) - 1
"""The rates between which a root is looked for: -90 % to 1,000 %, what a dollar becomes growing by 2 % a step."""
HALVINGS = 60


def _columns(flows: NDArray[np.float64], *others: Value) -> NDArray[np.float64]:
    """Return the flows of one list as a column, so that it meets other arguments that are arrays of draws."""
    listed = np.asarray(flows, dtype=float)
    if listed.ndim == 1 and any(np.ndim(other) for other in others):
        return listed[:, np.newaxis]
    return listed


def _year(flows: NDArray[np.float64], first: int) -> NDArray[np.float64]:
    years = np.arange(first, first + len(flows), dtype=float)
    return years.reshape((-1,) + (1,) * (flows.ndim - 1))


@reference("odf-1-3", "6.12.30 NPV, whose first value is of period 1; year 0 is added outside")
def net_present_value(*, first: Money, flows: Flows, rate: Rate) -> Money:
    """Return the worth at planting of the flow of year 0, not discounted, and of those of years 1, 2 and on."""
    flows = _columns(flows, first, rate)
    later: Value = np.sum(flows / (1 + np.asarray(rate)) ** _year(flows, 1), axis=0)
    return first + later


def _worth(flows: NDArray[np.float64], rate: Value) -> Value:
    """Return what flows from year 0 on are worth at a rate, or at rates that stand side by side along the last axis."""
    worth: Value = np.sum(flows / (1 + np.asarray(rate)) ** _year(flows, 0), axis=0)
    return worth


@reference("descartes-1637", "one change of sign, one root; the sum above 0 puts it above 0")
def irr_stands(*, flows: Flows, irr_highest: Rate = 1.0) -> Flag:
    """Return 1 where the flows have just one internal rate of return, and that lies between 0 and the highest.

    So it is where money is first spent and then earned, with no spending once earning has begun, where more is earned
    than spent, and where at the highest rate the whole is worth less than nothing.
    """
    flows = np.asarray(flows, dtype=float)
    earning = np.cumsum(flows > 0, axis=0) > 0
    once = (flows < 0).any(axis=0) & ~(earning & (flows < 0)).any(axis=0)
    return np.where(once & (flows.sum(axis=0) > 0) & (_worth(flows, irr_highest) < 0), 1.0, 0.0)


@reference("odf-1-3", "6.12.24 IRR: the rate at which the present value is 0")
def internal_rate(*, flows: Flows, guess: Rate) -> Rate:
    """Return the rate at which flows from year 0 on are worth nothing, of several the one nearest the guess.

    Found by halving a bracket. 0 where the present value is of one sign all the way from -90 to 1,000 %:
    ``irr_stands`` says if 0 is a rate.
    """
    flows = np.asarray(flows, dtype=float)
    above = np.array(_worth(flows[..., np.newaxis], GRID) > 0)
    above = np.moveaxis(above, -1, 0)
    crossed = above[1:] != above[:-1]
    steps = (-1,) + (1,) * (flows.ndim - 1)
    apart = np.maximum(GRID[:-1].reshape(steps) - guess, guess - GRID[1:].reshape(steps))
    nearest = np.argmin(np.where(crossed, np.maximum(0.0, apart), np.inf), axis=0)
    low, high = GRID[nearest], GRID[nearest + 1]
    above_low = _worth(flows, low) > 0
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        as_low = (_worth(flows, middle) > 0) == above_low
        low, high = np.where(as_low, middle, low), np.where(as_low, high, middle)
    return np.where(crossed.any(axis=0), (low + high) / 2, 0.0)


@reference("odf-1-3", "6.12.30 NPV, one term after the other")
def running_worth(*, before: Money, flow: Money, rate: Rate, year: Annotated[Value, In("year", 0)]) -> Money:
    """Return the worth at planting of all flows up to a year, from that up to the year before and the year's flow."""
    return before + flow / (1 + rate) ** year


@reference(
    "common-practice", "first year whose running total is not below 0, along a straight line from the year before"
)
def payback(*, cumulative: Flows, never: Annotated[Value, In("year")]) -> Annotated[Value, In("year")]:
    """Return the years until the running total, year 0 first, is back at 0; ``never`` where it stays below."""
    totals = np.asarray(cumulative, dtype=float)
    back = totals >= 0
    year = np.argmax(back, axis=0)
    before = np.take_along_axis(totals, np.expand_dims(np.maximum(0, year - 1), 0), axis=0)[0]
    there = np.take_along_axis(totals, np.expand_dims(year, 0), axis=0)[0]
    within = np.where(year == 0, 0.0, year - 1 + ratio(-before, there - before))
    return np.where(back.any(axis=0), within, never)


@reference("omb-a94", "benefits and costs, both discounted")
def benefit_cost(*, npv: Money, costs: Cost) -> Annotated[Value, In("dimensionless")]:
    """Return the present value of all benefits for each dollar of that of all costs; 0 where nothing is spent.

    Both are discounted; the benefits are the net present value and the costs together.
    """
    return ratio(npv + costs, costs)


def _recovery(rate: Value, years: Value) -> Value:
    return ratio(rate, -np.expm1(-years * np.log1p(rate)), 1 / np.asarray(years))


@reference("isu-a3-29", "capital recovery factor")
def capital_recovery_factor(*, rate: Rate, years: Years) -> Annotated[Value, In("1/year", 0)]:
    """Return the yearly payment that pays off one dollar with interest; its share of the years at no interest."""
    return _recovery(rate, years)


@reference("odf-1-3", "6.12.36 PMT and 6.12.41 PV; at rate 0 the present value / years")
def equal_annual_value(*, npv: Money, rate: Rate, years: Years) -> PerYear:
    """Return the same sum every year, from year 1 on, that is worth as much as the whole plan."""
    return npv * _recovery(rate, years)


@reference("isu-fencing", "Table 6: depreciation, interest on half the initial cost, maintenance")
def ownership_average_investment(
    *,
    price: Cost,
    life: Years,
    rate: Rate,
    maintenance: Annotated[Value, In("1/year", 0, 1)],
) -> PerYear:
    """Return what a fence costs a year: its price over its life, interest on half of it, a share for maintenance."""
    return price / life + rate * price / 2 + maintenance * price


@reference("fr-2024-29263", "Pub. L. 93-251 section 80(a): nearest 1/8 percent, changed by at most 1/4 percent a year")
def plan_rate(
    *,
    previous: Percent,
    treasury_mean: Percent,
    rate_step: Annotated[float, In("percent", 0.001)] = 0.125,
    most_change: Annotated[float, In("percent", 0)] = 0.25,
) -> Percent:
    """Return the federal rate for planning water projects, from last year's and the mean yield of Treasury bonds."""
    rounded = np.floor(np.asarray(treasury_mean) / rate_step + 0.5) * rate_step
    return np.clip(rounded, previous - most_change, previous + most_change)


@reference("omb-a94", "real and nominal rates: (1 + nominal) / (1 + inflation) - 1")
def real_rate(*, nominal: Rate, inflation: Rate) -> Annotated[Value, In("fraction", -1)]:
    """Return what a rate of interest is worth once prices have risen."""
    return (1 + nominal) / (1 + inflation) - 1


@reference("arithmetic", "1 from the first year with money earned on")
def earning(*, before: Flag, flow: Money) -> Flag:
    """Return 1 where more came in than went out in this year or in any before."""
    return np.where(np.asarray(flow) > 0, 1.0, before)


@reference("arithmetic", "years of spending once earning has begun")
def turned_back(*, flows: Money, earning: Flag) -> Annotated[Value, In("record", 0)]:
    """Return in how many years more is spent than earned after the first year of earning."""
    return added(np.where(np.asarray(flows) < 0, earning, 0.0))


@reference("arithmetic", "not below 0")
def paid_back(*, total: Money) -> Flag:
    """Return 1 where a running total is not below 0."""
    return np.where(np.asarray(total) >= 0, 1.0, 0.0)


@reference("arithmetic", "one of several")
def word_of_rate(
    *,
    stands: Annotated[float, In("flag", 0, 1)],
    turned_back: Annotated[float, In("record", 0)],
    total: Annotated[float, In("USD")],
    rate: Annotated[float, In("fraction")],
    irr_band_high: Annotated[float, In("fraction")] = 0.25,
) -> Annotated[Words, In("text")]:
    """Return what the rate of return says, or why there is none.

    9 to 25 % were published for honey locust with sheep (Wilson 1991 and 1994: the abstracts were read).
    """
    if stands == 1:
        return "LOOK: above 25 %" if rate > irr_band_high else "one rate"
    if total <= 0:
        return "never earned back"
    return "spends again later" if turned_back > 0 else "see the flows"


@reference("arithmetic", "one of two")
def word_of_payback(*, paid: Flag) -> Annotated[Words, In("text")]:
    """Return whether a planting is ever paid back."""
    return "yes" if np.sum(paid) > 0 else "not in 40 years"


@reference("arithmetic", "one of two")
def word_of_worth(*, npv: Annotated[float, In("USD")]) -> Annotated[Words, In("text")]:
    """Return whether a planting pays: its net present value above 0."""
    return "it pays" if npv > 0 else "it does not pay"
