"""Evaluate the reference functions over a book: on the workbook's own precedents, or from the entries alone."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import numpy as np

from podbook.book.model import Book
from podbook.book.node import Binding, Content, Node, Ref
from podbook.errors import BookFault

Column = tuple[Any, ...]
"""What stands in the cells of a node, item by item: a number, a word, None, or something that is neither."""
Columns = Mapping[str, Column]


class Unusable(Exception):
    """A reference function can't be evaluated on what feeds it; the words say why."""


def starting_values(book: Book, entries: Columns) -> dict[str, Column]:
    """Return what does not come from a formula: the entries as given, fixed figures and coefficients as published."""
    return {
        node.key: entries[node.key] if node.role == "entry" else node.contents
        for node in book.nodes.values()
        if node.role in ("entry", "fixed", "coefficient")
    }


def end_to_end(book: Book, entries: Columns) -> dict[str, Column]:
    """Return the value of every node, worked from the entries by the reference functions alone.

    An item that can't be evaluated holds an Unusable.
    """
    values = starting_values(book, entries)

    def get(key: str) -> Column:
        if key not in values:
            node = book.nodes[key]
            values[key] = of_span(node, get) if node.role == "span" else evaluated(book, node, get)
        return values[key]

    for node in book.nodes.values():
        get(node.key)
    return values


def of_span(node: Node, get: Callable[[str], Column]) -> Column:
    """Return the values that a span names together."""
    return tuple(get(member)[0] for member in node.members)


def evaluated(book: Book, node: Node, get: Callable[[str], Column]) -> Column:
    """Return what a node's reference function says of each of its items, fed by ``get``."""
    return tuple(_item(book, node, item, get) for item in range(node.count))


def _item(book: Book, node: Node, item: int, get: Callable[[str], Column]) -> Any:
    ref = node.ref
    if ref is None:
        raise BookFault(f"'{node.key}' has a formula but no reference function")
    try:
        if ref.when is not None:
            gate = _one(book, node, ref.when, item, get)
            if isinstance(gate, Unusable) or not _is_number(gate):
                raise Unusable(f"'{ref.when}' is no number")
            if not gate:
                return ref.otherwise if ref.otherwise_from is None else _one(book, node, ref.otherwise_from, item, get)
        arguments = {name: _fed(book, node, ref, name, unit, item, get) for name, unit in _wanted(ref)}
        return _settled(ref.function.function(**arguments))
    except Unusable as problem:
        return problem
    except (ArithmeticError, ValueError, TypeError, IndexError, StopIteration) as problem:
        return Unusable(f"{ref.function.name} can't be evaluated: {problem}")


def _wanted(ref: Ref) -> list[tuple[str, str]]:
    return [(parameter.name, parameter.measured.unit) for parameter in ref.function.parameters]


def _fed(book: Book, node: Node, ref: Ref, name: str, unit: str, item: int, get: Callable[[str], Column]) -> Any:
    """Return the argument for one parameter: as it stands for a word, as a number or an array of numbers otherwise."""
    binding: Binding = ref.bindings.get(name, name)
    if isinstance(binding, tuple):
        parts = [_read(book, node, each, item, get) for each in binding]
        if unit == "text":
            return parts
        return np.array([_number(part, name) for part in parts], dtype=float)
    if not isinstance(binding, str):
        return binding
    if unit == "text" and not is_key(book, node, binding):
        return binding
    found = _read(book, node, binding, item, get)
    if unit == "text":
        return np.array(found, dtype=object) if isinstance(found, tuple) else found
    return _number(found, name)


def is_key(book: Book, node: Node, binding: str) -> bool:
    """Return whether a binding names a node, rather than being a word itself."""
    bare = binding.rstrip("*").partition("@")[0].replace("{#}", "1")
    return bare in book.nodes or f"{node.table}.{bare}" in book.nodes


def _number(found: Any, name: str) -> Any:
    if isinstance(found, tuple):
        return np.array([_number(each, name) for each in found], dtype=float)
    if isinstance(found, Unusable):
        raise found
    if not _is_number(found):
        raise Unusable(f"{name} is {found!r}, not a number")
    return float(found)


def _is_number(found: Any) -> bool:
    return isinstance(found, int | float | np.number) and not isinstance(found, bool)


def key_of(book: Book, node: Node, word: str) -> str:
    """Return the key that a word of a binding stands for, inside the node's table first."""
    own = f"{node.table}.{word}"
    if node.table and own in book.nodes:
        if word in book.nodes:
            raise BookFault(
                f"the reference of '{node.key}' is fed by '{word}', which is a field of its table and a cell too"
            )
        return own
    if word in book.nodes:
        return word
    raise BookFault(f"the reference of '{node.key}' is fed by '{word}', which is not in the book")


def _read(book: Book, node: Node, binding: str, item: int, get: Callable[[str], Column]) -> Any:
    """Return what a binding stands for: one item, or a whole column."""
    binding = binding.replace("{#}", str(item + 1))
    if binding.endswith("*"):
        return get(key_of(book, node, binding[:-1]))
    word, _, number = binding.partition("@")
    if number:
        return get(key_of(book, node, word))[int(number) - 1]
    return _one(book, node, word, item, get)


def _one(book: Book, node: Node, word: str, item: int, get: Callable[[str], Column]) -> Any:
    key = key_of(book, node, word)
    column = get(key)
    return column[0] if book.nodes[key].size is None else column[item]


def _settled(result: Any) -> Content | Unusable:
    """Return a result as a plain number or word."""
    if isinstance(result, np.ndarray):
        result = result[()]
    if isinstance(result, str):
        return str(result)
    if result is None or isinstance(result, Unusable):
        return result
    number = float(result)
    return number if np.isfinite(number) else Unusable("the result is not finite")
