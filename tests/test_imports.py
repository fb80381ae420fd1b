"""Imports run one way: no room of the package imports from one above it."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

PACKAGE = Path(__file__).parents[1] / "podbook"
FLOORS = (
    {"coordinates", "errors", "harmless", "limits", "next_step", "stopping", "systems", "unswept"},
    {"files", "own_files", "sources", "units"},
    {"pod_trees", "recalc", "reference", "regions"},
    {"book", "inputs"},
    {"sheets"},
    {"farm_book", "proof", "templates"},
    {"review"},
    {"clients"},
    {"cli"},
    {"__main__"},
)
"""Rooms and modules, from the ground up. Those of one floor do not import each other."""


def imported(path: Path) -> Iterator[str]:
    """Yield the rooms that a module imports from, wherever in it."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        names: list[str] = []
        if isinstance(node, ast.ImportFrom) and node.module:
            names = [f"{node.module}.{each.name}" if node.module == "podbook" else node.module for each in node.names]
        elif isinstance(node, ast.Import):
            names = [each.name for each in node.names]
        yield from (name.split(".")[1] for name in names if name.startswith("podbook."))


def test_no_room_imports_from_one_above_it() -> None:
    floor = {room: number for number, rooms in enumerate(FLOORS) for room in rooms}
    seen, wrong = set(), []
    for path in sorted(PACKAGE.rglob("*.py")):
        room = path.relative_to(PACKAGE).parts[0].removesuffix(".py")
        if room == "__init__":
            continue
        seen.add(room)
        for other in imported(path):
            if other in floor and other != room and floor[other] >= floor[room]:
                wrong.append((str(path.relative_to(PACKAGE)), other))
    assert seen == set(floor)
    assert wrong == []
