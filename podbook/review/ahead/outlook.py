"""What could go differently: one range at a time, and all of them at once in many draws.

The figures of a workbook are worked out anew by the reference functions, with something else in some of its cells.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from podbook import files
from podbook.errors import PodbookError
from podbook.next_step import command
from podbook.proof.wiring import Where
from podbook.review.ahead.trials import Figures, Kin, Quantity
from podbook.review.find import opened
from podbook.sheets.plan import USUAL
from podbook.units import shown

DRAWS = 10_000
MOST_DRAWS = 1_000_000
AT_ONCE = 2_500
"""Draws worked out side by side: more take more memory, and no less time."""
BAND = (0.1, 0.5, 0.9)
RESULTS: Mapping[str, Where] = {
    "net present value": ("returns.worth_own", USUAL - 1),
    "feed saved a year": ("returns.feed_mean", USUAL - 1),
    "paid back after": ("returns.payback", USUAL - 1),
}
"""What is looked at, in the usual case: dollars at the farm's own rate, dollars a year in the mean of forty, years."""
NPV, SAVED, PAYBACK = RESULTS


@dataclass(frozen=True)
class Swing:
    """The results with one quantity at its lowest and at its highest, all others as likely."""

    quantity: Quantity
    low: Mapping[str, float]
    high: Mapping[str, float]

    @property
    def width(self) -> float:
        """How far the net present value swings."""
        return abs(self.high[NPV] - self.low[NPV])


@dataclass(frozen=True)
class Outlook:
    """What came of looking at a workbook's ranges."""

    path: str
    likely: Mapping[str, float]
    swings: tuple[Swing, ...]
    """The widest first."""
    kin: tuple[Kin, ...]
    count: int
    seed: int
    money: str
    """Sign of the currency."""
    draws: Mapping[str, NDArray[np.float64]]
    """Of every quantity, every kin's factor and every result, one number a draw."""

    def band(self, result: str) -> tuple[float, ...]:
        """Return the tenth, the middle and the ninetieth of a hundred draws; of the payback, of those paid back."""
        found = self.draws[result]
        if result == PAYBACK:
            found = found[found > 0]
        return tuple(float(each) for each in np.quantile(found, BAND)) if len(found) else (0.0,) * len(BAND)

    @property
    def paying(self) -> float:
        """Share of the draws in which the net present value is above 0."""
        return float(np.mean(self.draws[NPV] > 0))

    @property
    def paid_back(self) -> float:
        """Share of the draws in which the planting is paid back within its years."""
        return float(np.mean(self.draws[PAYBACK] > 0))

    def plain(self) -> dict[str, Any]:
        """Return everything but the single draws as plain data, for JSON."""
        return {
            "file": self.path,
            "likely": dict(self.likely),
            "one_at_a_time": [
                {
                    "quantity": each.quantity.name, "label": each.quantity.label, "unit": each.quantity.unit,
                    "low": each.quantity.low, "likely": each.quantity.likely, "high": each.quantity.high,
                    "at_low": dict(each.low), "at_high": dict(each.high),
                }
                for each in self.swings
            ],
            "alike": [{"type": each.name, "alike": each.alike, "spread": each.spread} for each in self.kin],
            "draws": self.count,
            "seed": self.seed,
            "bands": {
                each: dict(zip(("tenth", "median", "ninetieth"), self.band(each), strict=True)) for each in RESULTS
            },
            "share_that_pays": self.paying,
            "share_paid_back": self.paid_back,
        }  # fmt: skip

    def rows(self) -> list[tuple[str, str, str, float]]:
        """Return the same as rows, for CSV: what, of which quantity, at which setting, and the number."""
        found = [(result, "", "likely", value) for result, value in self.likely.items()]
        for swing in self.swings:
            quantity = swing.quantity
            for setting, value, results in (("low", quantity.low, swing.low), ("high", quantity.high, swing.high)):
                found.append(("quantity", quantity.name, setting, value))
                found += [(result, quantity.name, setting, each) for result, each in results.items()]
        for result in RESULTS:
            words = ("tenth of a hundred draws", "median of the draws", "ninetieth of a hundred draws")
            found += [(result, "", word, each) for word, each in zip(words, self.band(result), strict=True)]
        found += [("share that pays", "", "draws", self.paying), ("share paid back", "", "draws", self.paid_back)]
        return found


def write_draws(result: Outlook, path: Path) -> None:
    """Write every draw as a row of a CSV file."""
    import pandas as pd

    with files.drafted(path) as draft:
        pd.DataFrame(dict(result.draws)).to_csv(draft, index_label="draw")


def outlook(
    path: Path,
    *,
    count: int = DRAWS,
    seed: int = 1,
    vary: Sequence[str] = (),
    alike: Sequence[str] = (),
    tell: Callable[[int], None] = lambda done: None,
) -> Outlook:
    """Look at what could go differently in a workbook; ``tell`` is called with the number of draws done.

    ``vary`` names further figures of the book with their lowest and highest ("own_rate=0.03,0.07"), ``alike`` types
    of tree with how far their trees bear alike, from 0 to 1 ("Selected grafted=0.8").
    The file is opened for reading only. Raises PodbookError for words that say nothing, and what ``opened`` raises.
    """
    if not 1 <= count <= MOST_DRAWS:
        raise PodbookError(f"--draws: found {count}; allowed: 1 to {MOST_DRAWS:,}")
    if not 0 <= seed < 2**32:
        raise PodbookError(f"--seed: found {seed}; allowed: a whole number from 0 to {2**32 - 1}")
    book = Figures(opened(path))
    quantities = (*book.of_cases(), *(book.figure(words) for words in vary))
    kin = tuple(book.kin(words) for words in alike)
    for option, names in (("--vary", [each.name for each in quantities]), ("--alike", [each.name for each in kin])):
        twice = next((name for name in names if names.count(name) > 1), None)
        if twice is not None:
            raise PodbookError(f"{option}: found '{twice}' twice; allowed: once")
    likely = book.results(RESULTS, {}, 1)
    if any(np.isnan(each).any() for each in likely.values()):
        raise PodbookError(f"{path}: the sheet Returns says nothing; to find why: {command('verify', path)}")
    swings = tuple(
        Swing(each, *(_first(book.results(RESULTS, {each.where: np.array([at])}, 1)) for at in (each.low, each.high)))
        for each in quantities
    )
    drawn = _drawn(quantities, kin, count, seed)
    parts = []
    for start in range(0, count, AT_ONCE):
        part = {name: values[start : start + AT_ONCE] for name, values in drawn.items()}
        parts.append(book.results(RESULTS, book.changed(quantities, kin, part), len(next(iter(part.values())))))
        tell(min(count, start + AT_ONCE))
    results = {name: np.concatenate([part[name] for part in parts]) for name in RESULTS}
    swings = tuple(sorted(swings, key=lambda each: -each.width))
    money = shown(book.book.nodes["saving"].unit)
    return Outlook(str(path), _first(likely), swings, kin, count, seed, money, {**drawn, **results})


def _first(results: Mapping[str, NDArray[np.float64]]) -> dict[str, float]:
    return {name: float(values[0]) for name, values in results.items()}


def _drawn(quantities: Sequence[Quantity], kin: Sequence[Kin], count: int, seed: int) -> dict[str, NDArray[np.float64]]:
    """Return the draws: of each quantity from a triangle, of each kin's factor log-normal with mean 1."""
    random = np.random.default_rng(seed)
    drawn = {}
    for each in quantities:
        fixed = each.low == each.high
        drawn[each.name] = (
            np.full(count, each.likely) if fixed else random.triangular(each.low, each.likely, each.high, count)
        )
    for one in kin:
        width = np.sqrt(np.log1p(one.spread**2))
        drawn[f"pods of {one.name}"] = np.exp(random.normal(-(width**2) / 2, width, count)) if width else np.ones(count)
    return drawn
