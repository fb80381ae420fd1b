"""An explanation of one cell, as data: what explain.py tells and screen.py prints."""

from __future__ import annotations

from dataclasses import asdict, dataclass, replace
from typing import Any

from podbook.review.explaining.feeding import Branch, Column, Told, Typed


@dataclass(frozen=True)
class Formula:
    """The formula of a cell."""

    stands: str
    """As it stands in the file; what stands there instead, if that is no formula."""
    words: tuple[str, ...]
    """What stands there in words, a line for each case; nothing where it can't be said."""
    should: str = ""
    """What should stand there, if that is something else."""
    should_in_words: tuple[str, ...] = ()
    unit: str = ""
    """How the unit of what stands there comes about, and whether it is the cell's."""


@dataclass(frozen=True)
class Origin:
    """Where an equation or a figure comes from."""

    key: str
    cited: str
    place: str
    mark: str
    """Of a figure: how it was come by. Of an equation: how its source was read."""


@dataclass(frozen=True)
class Parameter:
    """One parameter of a reference function, and what feeds it here."""

    name: str
    unit: str
    low: float | None
    high: float | None
    cells: tuple[Told, ...]
    column: Column | None
    given: Any
    """What it is given outright, if no cell feeds it."""


@dataclass(frozen=True)
class Function:
    """The reference function of a cell."""

    name: str
    says: str
    parameters: tuple[Parameter, ...]
    origin: Origin
    gate: Told | None
    """The cell that is 0 where the function does not apply, if it has one."""
    otherwise: str
    """What stands where it does not apply."""
    result: Any
    """What it makes of what feeds it here."""
    error: str


@dataclass(frozen=True)
class Change:
    """A cell that is not as the book has it."""

    cell: Told
    what: str
    stands: str
    should: str


@dataclass(frozen=True)
class Explanation:
    """All that is told of one cell."""

    file: str
    cell: Told
    role: str
    block: str
    note: str
    column: Column | None
    """The whole column, where that was asked for: the cell is one of it then."""
    amiss: tuple[str, ...]
    """The cells of that column that are not as they should be."""
    formula: Formula | None
    typed: Typed | None
    origin: Origin | None
    inputs: tuple[Branch, ...]
    entries: tuple[Typed, ...]
    changes: tuple[Change, ...]
    """The cells that feed it and are not as the book has them."""
    function: Function | None
    agrees: bool
    verdict: str
    status: str
    """The workbook's own status line."""

    def plain(self) -> dict[str, Any]:
        """Return it as plain data, for JSON."""
        found = asdict(replace(self, inputs=(), entries=()))
        found["inputs"] = [_branch(each) for each in self.inputs]
        found["entries"] = [asdict(each) for each in self.entries if each.state != "blank"]
        found["blank_entries"] = sum(each.state == "blank" for each in self.entries)
        return found


def _branch(branch: Branch) -> dict[str, Any]:
    """Return a branch as plain data, without what it does not have."""
    found = asdict(replace(branch, branches=()))
    found["branches"] = [_branch(each) for each in branch.branches]
    return {key: value for key, value in found.items() if value not in (None, "", False, (), [])}
