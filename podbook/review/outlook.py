"""What could go differently: one range at a time, and all of them at once in many draws.

The figures of a workbook are worked out anew by the reference functions, with something else in some of its cells.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from podbook import files
from podbook.errors import PodbookError
from podbook.inputs.filled import TYPES
from podbook.proof.evaluate import Unusable, end_to_end
from podbook.proof.many import affected, evaluate
from podbook.proof.wiring import Where, Wiring
from podbook.review.find import Opened, opened
from podbook.sheets.plan import AGES, CASES, USUAL
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
class Quantity:
    """A figure that may turn out otherwise, and how far."""

    name: str
    label: str
    unit: str
    low: float
    likely: float
    high: float
    where: Where


@dataclass(frozen=True)
class Kin:
    """A type of tree whose trees differ from one another, and how far they are alike."""

    name: str
    alike: float
    spread: float
    """Standard deviation of what all its planted trees bear together, as a share of their mean."""
    cells: tuple[Where, ...]


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
    found = opened(path)
    book = _Book(found)
    quantities = (*book.of_cases(), *(book.figure(words) for words in vary))
    kin = tuple(book.kin(words) for words in alike)
    likely = book.results({}, 1)
    if any(np.isnan(each).any() for each in likely.values()):
        raise PodbookError(f"{path}: the sheet Returns says nothing; run 'podbook verify {path}' to find why")
    swings = tuple(
        Swing(each, *(_first(book.results({each.where: np.array([at])}, 1)) for at in (each.low, each.high)))
        for each in quantities
    )
    drawn = _drawn(quantities, kin, count, seed)
    parts = []
    for start in range(0, count, AT_ONCE):
        part = {name: values[start : start + AT_ONCE] for name, values in drawn.items()}
        parts.append(book.results(book.changed(quantities, kin, part), len(next(iter(part.values())))))
        tell(min(count, start + AT_ONCE))
    results = {name: np.concatenate([part[name] for part in parts]) for name in RESULTS}
    swings = tuple(sorted(swings, key=lambda each: -each.width))
    return Outlook(str(path), _first(likely), swings, kin, count, seed, {**drawn, **results})


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


class _Book:
    """A workbook's figures as its entries and the reference functions make them."""

    def __init__(self, found: Opened) -> None:
        self.path, self.book = found.path, found.book
        self.wiring = Wiring(found.book)
        self.entries = {
            node.key: tuple(_content(found, node.key, item) for item in range(node.count))
            for node in found.book.nodes.values()
            if node.role == "entry"
        }
        columns = end_to_end(found.book, self.entries, self.wiring)
        self.base: dict[Where, Any] = {
            (key, item): each for key, column in columns.items() for item, each in enumerate(column)
        }

    def results(self, changed: Mapping[Where, NDArray[np.float64]], count: int) -> dict[str, NDArray[np.float64]]:
        """Return each result with something else in some cells."""
        cells = affected(self.wiring, changed, RESULTS.values())
        found = evaluate(self.wiring, self.base, changed, cells, count)
        return {
            name: np.broadcast_to(_number(found.get(where, self.base[where])), (count,))
            for name, where in RESULTS.items()
        }

    def changed(
        self, quantities: Sequence[Quantity], kin: Sequence[Kin], drawn: Mapping[str, NDArray[np.float64]]
    ) -> dict[Where, NDArray[np.float64]]:
        """Return what stands in which cells for some draws."""
        stands = {each.where: drawn[each.name] for each in quantities}
        for one in kin:
            stands |= {where: self.base[where] * drawn[f"pods of {one.name}"] for where in one.cells}
        return stands

    def of_cases(self) -> tuple[Quantity, ...]:
        """Return the quantities of the sheet Returns, from the poor to the good case."""
        if any(word != "ok" for word in (self.base[("cases.state", item)] for item in range(len(CASES)))):
            raise PodbookError(f"{self.path}: a case on the sheet Returns says 'mend'; mend it first")
        table = self.book.tables["cases"]
        return tuple(
            Quantity(
                node.key.partition(".")[2],
                node.label,
                shown(node.unit),
                min(cases),
                cases[USUAL - 1],
                max(cases),
                (node.key, USUAL - 1),
            )
            for node in table.fields
            if node.role == "entry"
            for cases in (tuple(float(each) for each in self.entries[node.key]),)
        )

    def figure(self, words: str) -> Quantity:
        """Return a single figure of the book from words such as ``own_rate=0.03,0.07``."""
        name, _, span = words.partition("=")
        node = self.book.nodes.get(f"{name.strip()}_entry")
        if node is None or node.low is None or node.high is None:
            numbers = [
                key.removesuffix("_entry")
                for key, each in self.book.nodes.items()
                if key.endswith("_entry") and each.low is not None
            ]
            near = ", ".join(get_close_matches(name, numbers, 3, 0.4)) or "area, hay_price, own_rate"
            raise PodbookError(
                f"--vary: '{name}' is no single number of the book; it has {len(numbers)}, such as {near}"
            )
        try:
            low, high = (float(each) for each in span.split(","))
        except ValueError:
            raise PodbookError(
                f"--vary: found '{words}'; write it as {name}=LOWEST,HIGHEST, with points as in 0.05"
            ) from None
        likely = float(self.base[(name.strip(), 0)])
        if not node.low <= low <= likely <= high <= node.high:
            raise PodbookError(
                f"--vary: found {name} from {low:g} to {high:g}; the workbook says {likely:g}, which must lie "
                f"between them, and allowed are {node.low:g} to {node.high:g} {shown(node.unit)}"
            )
        label = node.label.removesuffix(" (as filled in)")
        return Quantity(name.strip(), label, shown(node.unit), low, likely, high, (node.key, 0))

    def kin(self, words: str) -> Kin:
        """Return a type of tree from words such as ``Selected grafted=0.8``.

        Of n planted trees that vary by a share s, and of which any two are alike by r, the mean varies by
        s sqrt(r + (1 - r)/n) (variance of a mean of equally correlated values).
        """
        name, _, share = words.rpartition("=")
        names = [str(self.base[("types.use", item)]) for item in range(len(TYPES))]
        item = next(
            (place for place, each in enumerate(names) if each.casefold() == name.strip().casefold() != "(none)"), None
        )
        if item is None:
            known = ", ".join(each for each in names if each != "(none)")
            raise PodbookError(
                f"--alike: '{name or words}' is no type of tree in this book; it has {known}. Write it as TYPE=0.8"
            )
        try:
            alike = float(share)
        except ValueError:
            alike = -1.0
        if not 0 <= alike <= 1:
            raise PodbookError(f"--alike: found '{share}' for {name}; allowed: 0 (each tree its own) to 1 (all alike)")
        spread, mean, planted = (
            float(self.base[(key, item)]) for key in ("by_type.spread", "by_type.mean", "order.planted")
        )
        if not (spread > 0 and mean > 0):
            raise PodbookError(
                f"--alike: no two trees of '{names[item]}' were weighed, so their spread is not known; weigh more"
            )
        deviation = spread / mean * np.sqrt(alike + (1 - alike) / max(1.0, planted))
        return Kin(names[item], alike, float(deviation), tuple((f"ages.of_{item + 1}", age) for age in range(AGES)))


def _content(found: Opened, key: str, item: int) -> Any:
    place = found.places.get(key)
    stands = None if place is None else found.cells[(place.sheet, place.cells[item])]
    return float(stands) if isinstance(stands, int | float) and not isinstance(stands, bool) else stands


def _number(found: Any) -> Any:
    return np.nan if isinstance(found, Unusable) else found
