"""What every reference function promises: units, ranges, a source, and an error outside them."""

from __future__ import annotations

import inspect
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property, update_wrapper
from typing import Any

import numpy as np
from numpy.typing import NDArray

from podbook.errors import OutOfRange
from podbook.units import In

Value = float | NDArray[np.float64]
"""A number, or an array of numbers taken element by element."""
Words = str | NDArray[np.str_]
"""A word, or an array of words."""


@dataclass(frozen=True)
class Parameter:
    """A parameter of a reference function as its annotation states it."""

    name: str
    measured: In
    default: float | None
    """The published value of a coefficient; None where the caller must give one."""


class Reference:
    """A reference function: called like the function it wraps, but only inside its ranges."""

    def __init__(self, function: Callable[..., Any], source: str, place: str) -> None:
        self.function = function
        self.source = source
        """Key of the bibliography in data/sources.toml, or ``common-practice``, ``arithmetic``, ``judgement``."""
        self.place = place
        update_wrapper(self, function)

    @property
    def name(self) -> str:
        """Name with its module: ``energy.metabolizable_energy``."""
        return f"{self.function.__module__.rpartition('.')[2]}.{self.function.__name__}"

    @cached_property
    def _hints(self) -> dict[str, Any]:
        return inspect.get_annotations(self.function, eval_str=True)

    def _measured(self, name: str) -> In:
        for note in getattr(self._hints.get(name), "__metadata__", ()):
            if isinstance(note, In):
                return note
        raise TypeError(f"{self.name}: '{name}' is not annotated with its unit")

    @cached_property
    def parameters(self) -> tuple[Parameter, ...]:
        """The parameters in their order."""
        defaults = self.function.__kwdefaults__ or {}
        return tuple(
            Parameter(name, self._measured(name), defaults.get(name))
            for name in self.function.__code__.co_varnames[: self.function.__code__.co_kwonlyargcount]
        )

    @cached_property
    def feeds(self) -> tuple[tuple[str, bool], ...]:
        """Name of each parameter, and whether it takes a word."""
        return tuple((each.name, each.measured.unit == "text") for each in self.parameters)

    @cached_property
    def returns(self) -> In:
        """Unit and range of the result."""
        return self._measured("return")

    def __call__(self, **arguments: Any) -> Any:
        """Return the function's value, or raise OutOfRange naming the first argument outside its range."""
        for parameter in self.parameters:
            if parameter.name in arguments and parameter.measured.unit != "text":
                self._check(parameter, arguments[parameter.name])
        return self.function(**arguments)

    def _check(self, parameter: Parameter, value: Any) -> None:
        low, high = parameter.measured.low, parameter.measured.high
        numbers = np.asarray(value, dtype=float)
        inside = np.isfinite(numbers) & (numbers >= low) & (numbers <= high)
        if not inside.all():
            bad = float(numbers[~inside].flat[0])
            raise OutOfRange(
                f"{self.name}: {parameter.name} is {bad:g} {parameter.measured.unit}; "
                f"allowed is {low:g} to {high:g} (source: {self.source}, {self.place})"
            )


def reference(source: str, place: str) -> Callable[[Callable[..., Any]], Reference]:
    """Mark a function, all of whose parameters are keyword-only, as a reference function with its equation's source."""

    def mark(function: Callable[..., Any]) -> Reference:
        if function.__code__.co_argcount:
            raise TypeError(f"{function.__name__}: a reference function takes keyword-only parameters")
        return Reference(function, source, place)

    return mark
