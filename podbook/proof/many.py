"""Evaluate the reference functions over a book for many draws at once: each cell holds an array, a number a draw.

A function that can't take arrays is called draw by draw. So that none is trusted that takes them and says something
else, every cell is also worked out for a few of the draws alone; where that differs, it is called draw by draw too.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import partial
from typing import Any

import numpy as np
from numpy.typing import NDArray

from podbook.errors import EngineFailed
from podbook.proof.evaluate import Unusable, evaluated, turned_back
from podbook.proof.wiring import Where, Wiring

Values = Mapping[Where, Any]
"""What stands in every cell: a number or word, or an array with one for each draw."""
PROBED = 3
"""How many draws are worked out alone for every cell."""
EXACT = 1e-12


def affected(wiring: Wiring, changed: Iterable[Where], targets: Iterable[Where]) -> tuple[Where, ...]:
    """Return the cells that lie between those changed and the targets, each after all that feed it."""
    below = set(changed)
    order = [where for where in wiring.order if where not in below]
    for where in order:
        if not below.isdisjoint(wiring.feeds(where)):
            below.add(where)
    above, stack = set(), list(targets)
    while stack:
        where = stack.pop()
        if where in below and where not in above:
            above.add(where)
            stack.extend(wiring.feeds(where))
    return tuple(where for where in order if where in above)


def evaluate(wiring: Wiring, base: Values, changed: Values, cells: Iterable[Where], count: int) -> dict[Where, Any]:
    """Return the values of the cells, which are those that ``affected`` gives, for ``count`` draws.

    ``base`` holds what stands in every cell of the book before, ``changed`` arrays that stand in some instead: in the
    cell of an entry, or of a formula. Raises EngineFailed where a function can say nothing for some draw.
    """
    found: dict[Where, Any] = dict(changed)
    probes = tuple(sorted({0, count // 2, count - 1}))[:PROBED]

    def get(where: Where) -> Any:
        return found[where] if where in found else _of(wiring, base, where)

    for where in cells:
        node = wiring.book.nodes[where[0]]
        found[where] = (
            get((node.members[where[1]], 0)) if node.role == "span" else _cell(wiring, where, get, probes, count)
        )
        if isinstance(found[where], Unusable):
            raise EngineFailed(f"{where[0]}: {found[where]}")
    return found


def _of(wiring: Wiring, base: Values, where: Where) -> Any:
    node = wiring.book.nodes[where[0]]
    return base[(node.members[where[1]], 0)] if node.role == "span" else base[where]


def _cell(wiring: Wiring, where: Where, get: Any, probes: tuple[int, ...], count: int) -> Any:
    if not any(isinstance(get(each), np.ndarray) for each in wiring.feeds(where)):
        return evaluated(wiring, where, get)
    together = _together(wiring, where, get, count)
    if together is not None and all(_same(together[draw], _alone(wiring, where, get, draw)) for draw in probes):
        return together
    each = [_alone(wiring, where, get, draw) for draw in range(count)]
    amiss = next((one for one in each if isinstance(one, Unusable)), None)
    return amiss if amiss is not None else np.array(each)


def _alone(wiring: Wiring, where: Where, get: Any, draw: int) -> Any:
    def of_draw(where: Where) -> Any:
        found = get(where)
        return _plain(found[draw]) if isinstance(found, np.ndarray) else found

    return evaluated(wiring, where, of_draw)


def _plain(found: Any) -> Any:
    return str(found) if isinstance(found, str) else float(found)


def _same(together: Any, alone: Any) -> bool:
    if isinstance(alone, Unusable | str) or not np.isfinite(together):
        return False
    return bool(abs(together - alone) <= EXACT * max(1.0, abs(alone)))


def _together(wiring: Wiring, where: Where, get: Any, count: int) -> NDArray[np.float64] | None:
    """Return what the reference function makes of all draws at once; None where it can't."""
    wired, turn = wiring.of(where), wiring.turn(where)
    if any(as_is for _, as_is, _ in wired.arguments):
        return None
    feed = partial(turned_back, wiring, get)
    arguments: dict[str, Any] = {}
    for name, _, wire in wired.arguments:
        if wire.cell is not None:
            arguments[name] = feed(wire.cell)
        elif wire.cells is not None:
            several = [feed(each) for each in wire.cells]
            if any(isinstance(each, np.ndarray) for each in several):
                arguments[name] = np.stack(
                    [np.broadcast_to(np.asarray(each, dtype=float), (count,)) for each in several]
                )
            else:
                arguments[name] = np.array(several, dtype=float)
        else:
            arguments[name] = wire.given
    try:
        with np.errstate(all="ignore"):
            result = np.asarray(wired.ref.function.function(**arguments), dtype=float)
            result = result if turn is None else turn.of(result)
            if wired.gate is not None:
                other: Any = wired.ref.otherwise if wired.otherwise is None else get(wired.otherwise)
                result = np.where(np.asarray(get(wired.gate)) != 0, result, other)
            return np.broadcast_to(result, (count,)).astype(float)
    except (ArithmeticError, ValueError, TypeError, IndexError):
        return None
