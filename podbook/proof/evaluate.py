"""Evaluate the reference functions over a book: on the workbook's own precedents, or from the entries alone."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from functools import partial
from math import isfinite
from typing import Any

import numpy as np
from numpy.typing import NDArray

from podbook.book.model import Book
from podbook.book.node import Content
from podbook.proof.bindings import Feed, Spot
from podbook.proof.fields import Fields
from podbook.proof.wiring import Where, Wiring

Column = tuple[Any, ...]
"""What stands in the cells of a node, item by item: a number, a word, None, or something that is neither."""
Columns = Mapping[str, Column]


class Unusable(Exception):
    """A reference function can't be evaluated on what feeds it; the words say why."""


def end_to_end(
    book: Book, entries: Columns, wiring: Wiring | None = None, only: Collection[str] | None = None
) -> dict[str, Column]:
    """Return the value of every node, worked from the entries by the reference functions alone.

    ``only`` names the nodes that are asked for, if not all are: then only what feeds them is worked out.
    Fixed figures and coefficients are as published. An item that can't be evaluated holds an Unusable.
    """
    wiring = wiring or Wiring(book)
    fields, stacks = Fields(wiring), Stacks()
    done = fields.done

    def get(where: Where) -> Any:
        return done[where[0]][where[1]]

    def alone(where: Where) -> Any:
        return _evaluated(wiring, where, get, stacks)

    with np.errstate(all="ignore"):
        for step in wiring.steps if only is None else wiring.steps_for(only):
            if step.cells:
                ring: dict[str, list[Any]] = {key: [None] * book.nodes[key].count for key in step.keys}
                done.update(ring)
                for key, item in step.cells:
                    ring[key][item] = alone((key, item))
                continue
            node = book.nodes[step.keys[0]]
            if node.role == "worked":
                together = fields.together(node, alone)
                done[node.key] = together or [alone((node.key, item)) for item in range(node.count)]
            elif node.role == "span":
                done[node.key] = [done[member][0] for member in node.members]
            else:
                done[node.key] = entries[node.key] if node.role == "entry" else node.contents
    return {key: tuple(done[key]) for key in (book.nodes if only is None else only)}


Stacks = dict[tuple[tuple[Spot, ...], bool], NDArray[Any]]
"""Lists as arrays, by what they hold and whether they are words: many rows may be fed by one column.

In a metric book they are in US customary units: how a cell is turned hangs on the cell alone."""


def evaluated(wiring: Wiring, where: Where, get: Callable[[Where], Any], stacks: Stacks | None = None) -> Any:
    """Return what a cell's reference function says, fed by ``get``; an Unusable where it can say nothing.

    ``stacks`` keeps columns as arrays from one call to the next, where ``get`` says the same each time.
    """
    with np.errstate(all="ignore"):  # what is not finite is settled; no warning reaches the screen
        return _evaluated(wiring, where, get, {} if stacks is None else stacks)


def _evaluated(wiring: Wiring, where: Where, get: Callable[[Where], Any], stacks: Stacks) -> Any:
    key, item = where
    ref, feeds, gate, otherwise = wiring.bindings.of(key)[item]
    turns = wiring.book.turns
    try:
        if gate is not None and not _number(get(gate.at(item)), gate.key):
            return ref.otherwise if otherwise is None else get(otherwise.at(item))
        fed = partial(turned_back, wiring, get) if turns else get
        arguments: dict[str, Any] = {}
        for feed in feeds:
            name, as_is, given, spots, listed, _, _ = feed
            if listed:
                arguments[name] = _list(wiring, feed, item, fed, stacks)
            elif spots:
                place, step, fixed = spots[0]
                found = fed((place, item * step + fixed))
                arguments[name] = found if as_is or type(found) is float else _number(found, name)
            else:
                arguments[name] = given
        result = _settled(ref.function.function(**arguments))
        return turns[key].of(result) if key in turns and isinstance(result, float) else result
    except Unusable as problem:
        return problem
    except (ArithmeticError, ValueError, TypeError, IndexError, StopIteration) as problem:
        return Unusable(f"{ref.function.name} can't be evaluated: {problem}")


def turned_back(wiring: Wiring, get: Callable[[Where], Any], where: Where) -> Any:
    """Return what stands in a cell in US customary units."""
    found, turn = get(where), wiring.turn(where)
    if turn is None or isinstance(found, bool) or not isinstance(found, int | float | np.number | np.ndarray):
        return found
    return turn.back(found)


def _list(wiring: Wiring, feed: Feed, item: int, get: Callable[[Where], Any], stacks: Stacks) -> NDArray[Any]:
    known = (feed.spots, feed.as_is)
    if feed.fixed and known in stacks:
        return stacks[known]
    if feed.columns:
        several = [get(each) for each in wiring.listed(feed, item)]
    else:
        several = [get((key, item * step + fixed)) for key, step, fixed in feed.spots]
    stack: NDArray[Any]
    if feed.as_is:
        stack = np.array(several, dtype=object)
    elif set(map(type, several)) == {float}:
        stack = np.array(several)
    else:
        stack = np.array([_number(each, feed.name) for each in several])
    if feed.fixed:
        stack.flags.writeable = False
        stacks[known] = stack
    return stack


def _number(found: Any, name: str) -> float:
    if isinstance(found, float):
        return found
    if isinstance(found, Unusable):
        raise found
    if isinstance(found, bool) or not isinstance(found, int | np.number):
        raise Unusable(f"{name} is {found!r}, not a number")
    return float(found)


def _settled(result: Any) -> Content | Unusable:
    """Return a result as a plain number or word."""
    if type(result) is float and isfinite(result):
        return result
    if isinstance(result, np.ndarray):
        result = result[()]
    if isinstance(result, str):
        return str(result)
    if result is None or isinstance(result, Unusable):
        return result
    number = float(result)
    return number if isfinite(number) else Unusable("the result is not finite")
