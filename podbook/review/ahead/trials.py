"""A workbook's figures, worked out anew by the reference functions with something else in some cells."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Any

import numpy as np
from numpy.typing import NDArray

from podbook.errors import PodbookError, listed
from podbook.inputs.filled import TYPES
from podbook.proof.evaluate import Unusable, end_to_end
from podbook.proof.many import affected, evaluate
from podbook.proof.wiring import Where
from podbook.review.find import Opened, filled_in
from podbook.sheets.plan import AGES, CASES, USUAL
from podbook.units import shown


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


class Figures:
    """A workbook's figures as its entries and the reference functions make them."""

    def __init__(self, found: Opened) -> None:
        self.path, self.book = found.path, found.book
        self.wiring = found.wiring
        self.entries = filled_in(found)
        columns = end_to_end(found.book, self.entries, self.wiring)
        self.base: dict[Where, Any] = {
            (key, item): each for key, column in columns.items() for item, each in enumerate(column)
        }

    def results(
        self, wanted: Mapping[str, Where], changed: Mapping[Where, NDArray[np.float64]], count: int
    ) -> dict[str, NDArray[np.float64]]:
        """Return each result wanted, with something else in some cells."""
        cells = affected(self.wiring, changed, wanted.values())
        found = evaluate(self.wiring, self.base, changed, cells, count)
        return {
            name: np.broadcast_to(_number(found.get(where, self.base[where])), (count,))
            for name, where in wanted.items()
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
            near = listed(get_close_matches(name, numbers, 3, 0.4) or ("area", "hay_price", "own_rate"))
            raise PodbookError(
                f"--vary: '{name}' is no single number of the book; it has {len(numbers)}, such as {near};"
                " 'podbook figures' lists them"
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
        if "=" not in words:
            raise PodbookError(f"--alike: found '{words}'; write it as TYPE=SHARE, such as '{words or 'Wild'}=0.8'")
        name, _, share = words.rpartition("=")
        names = [str(self.base[("types.use", item)]) for item in range(len(TYPES))]
        item = next(
            (place for place, each in enumerate(names) if each.casefold() == name.strip().casefold() != "(none)"), None
        )
        if item is None:
            known = listed(each for each in names if each != "(none)")
            raise PodbookError(f"--alike: '{name}' is no type of tree in this book; it has {known}")
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


def _number(found: Any) -> Any:
    return np.nan if isinstance(found, Unusable) else found
