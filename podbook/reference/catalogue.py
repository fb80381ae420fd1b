"""The list of all reference functions."""

import inspect
from importlib import import_module
from pkgutil import iter_modules
from typing import Any

import podbook.reference
from podbook.reference.contract import Reference


def catalogue() -> tuple[Reference, ...]:
    """Return every reference function, by module and then in the order in which they are written."""
    found: list[Reference] = []
    for module in sorted(iter_modules(podbook.reference.__path__), key=lambda each: each.name):
        loaded = import_module(f"podbook.reference.{module.name}")
        found += [
            each
            for each in vars(loaded).values()
            if isinstance(each, Reference) and each.function.__module__ == loaded.__name__
        ]
    return tuple(found)


def described(function: Reference) -> dict[str, Any]:
    """Return a reference function as plain data: arguments, units, ranges, source."""

    def ranged(measured: Any) -> dict[str, Any]:
        return {
            "unit": measured.unit,
            "low": None if measured.low == float("-inf") else measured.low,
            "high": None if measured.high == float("inf") else measured.high,
        }

    return {
        "name": function.name,
        "says": inspect.cleandoc(function.__doc__ or ""),
        "arguments": [
            {"name": each.name, "default": each.default, **ranged(each.measured)} for each in function.parameters
        ],
        "returns": ranged(function.returns),
        "source": function.source,
        "place": function.place,
    }
