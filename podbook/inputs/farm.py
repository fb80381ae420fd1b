"""A farm's own file: its types of tree, its herd, and the figures that differ from the region's defaults."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import MISSING, fields, replace
from importlib.resources import files
from pathlib import Path
from typing import Any

from podbook import own_files
from podbook.errors import listed
from podbook.inputs import lab as lab_sheets
from podbook.inputs import log as season_log
from podbook.inputs import tally, usual
from podbook.inputs.filled import GROUPS, TYPES, Filled, Group, TypeOfTree
from podbook.inputs.refusal import quoted, refused
from podbook.systems import METRIC, SYSTEMS, US, metric

BORROWED = "A farm of your own trees (all else is the invented demo farm's)"
LARGEST = 1e15
"""Numbers from here on lose digits in a workbook."""
KIND = "a farm's file (TOML)"
TABLES = {"farm": dict, "type": list, "group": list, "figures": dict}


def filled(
    farm: Path | None = None,
    trees: Path | None = None,
    lab: Path | None = None,
    log: Path | None = None,
    months: Sequence[str] | None = None,
    units: str = US,
) -> Filled:
    """Return what a farm filled in: from its own files where they are named, else from the invented demo farm.

    Without a farm file the types of tree are those of the laboratory's sheets, in equal shares. ``months`` are those of
    the book, by which the season log goes; the demo farm's own log is left out as soon as any file is named. ``units``
    are those of a farm's file that does not say.
    Raises BadInput with every cell that can't be used.
    """
    demo = Path(str(files("podbook") / "data" / "demo"))
    base, told = _read(farm or demo / "farm.toml", units)
    own_types = None if lab and not farm else [each.name for each in base.types]
    sheets = lab_sheets.read(lab or demo / "lab.csv", own_types) if lab or not farm else []
    types = _types_of(sheets) if own_types is None else base.types
    names = [each.name for each in types]
    records = tally.read(trees, names) if trees else tally.read(demo / "tally.csv", names) if not (farm or lab) else []
    own = farm or trees or lab
    logged = season_log.read(log, months) if log else [] if own else season_log.read(demo / "log.csv")
    title = BORROWED if (trees or lab or log) and not farm else base.title
    found = replace(base, title=title, types=types, records=tuple(records), sheets=tuple(sheets), log=tuple(logged))
    return _as_usual(farm, found, told) if farm else found


def _as_usual(farm: Path, found: Filled, told: list[list[str]]) -> Filled:
    """Return what a farm filled in with what it leaves to the usual figures of the kinds of its trees."""
    types, crops = usual.with_yields(found.types, {each.kind for each in found.records}, found.units)
    told = [[*ages, *crop] for ages, crop in zip(told, crops, strict=True)]
    sheets = usual.with_sheets(farm, types, found.sheets)
    return replace(found, types=types, sheets=tuple(sheets), usual=usual.sentences(types, told))


def _types_of(sheets: list[lab_sheets.LabSheet]) -> tuple[TypeOfTree, ...]:
    return tuple(TypeOfTree(each.kind, "seedling", 1 / len(sheets), 8, 20) for each in sheets)


def _read(path: Path, usual_units: str) -> tuple[Filled, list[list[str]]]:
    """Return what a farm's file says, and for each type what was taken from the usual figures of its kind."""
    found = own_files.entries(path, own_files.text(path, KIND), KIND)
    for name, content in found.items():
        if name not in TABLES or not isinstance(content, TABLES[name]):
            raise refused(path, name, "a part that a farm file does not have", "[farm], [[type]], [[group]], [figures]")
    title = found.get("farm", {}).get("title")
    for name in found.get("farm", {}):
        if name not in ("title", "units"):
            raise refused(path, f"farm.{name}", "a name that it does not have", listed(("title", "units")))
    units = found.get("farm", {}).get("units", usual_units)
    if not isinstance(units, str) or units not in SYSTEMS:
        raise refused(path, "farm.units", quoted(units), listed(SYSTEMS))
    if not isinstance(title, str) or not title.strip() or not title.isprintable() or len(title) > 60:
        raise refused(path, "farm.title", quoted(title), "a title of 1 to 60 letters")
    parts = [usual.completed(path, f"type {n}", each) for n, each in enumerate(found.get("type", []), 1)]
    types = tuple(_made(path, TypeOfTree, f"type {n}", each, units) for n, (each, _) in enumerate(parts, 1))
    groups = tuple(_made(path, Group, f"group {n}", each, units) for n, each in enumerate(found.get("group", []), 1))
    if not 1 <= len(types) <= len(TYPES):
        raise refused(path, "type", f"{len(types)} types", f"1 to {len(TYPES)} types")
    if len(groups) > len(GROUPS):
        raise refused(path, "group", f"{len(groups)} groups", f"at most {len(GROUPS)}")
    for number, each in enumerate(types, 1):
        if each.name.casefold() in {other.name.casefold() for other in types[: number - 1]}:
            raise refused(path, f"type {number}.name", f"{quoted(each.name)} again", "a name of its own")
        if not lab_sheets.NAME.fullmatch(each.name) or not each.name[0].isalpha():
            allowed = "a name of at most 30 characters that begins with a letter"
            raise refused(path, f"type {number}.name", quoted(each.name), allowed)
    figures = found.get("figures", {})
    for name, value in figures.items():
        if not isinstance(value, str) and not _is_number(value):
            raise refused(path, f"figures.{name}", quoted(value), "a number, or a word in quotes")
    whole = Filled(title, types, groups=groups, figures=figures, units=units)
    return whole, [taken for _, taken in parts]


def _made(path: Path, kind: type, where: str, content: Any, units: str) -> Any:
    """Return a type of tree or a group from its part of the file, its figures turned into those of the US book."""
    known = {each.name: each for each in fields(kind)}
    if not isinstance(content, dict):
        raise refused(path, where, repr(content), "a part with names and values")
    for name, value in content.items():
        if name not in known:
            raise refused(path, f"{where}.{name}", "a name that it does not have", listed(known))
        word = known[name].type == "str"
        if not (isinstance(value, str) and value.strip() if word else _is_number(value)):
            raise refused(path, f"{where}.{name}", quoted(value), "a word in quotes" if word else "a plain number")
    lacking = [name for name, each in known.items() if each.default is MISSING and name not in content]
    if lacking:
        raise refused(path, where, f"no {', '.join(lacking)}", "every one of these must stand there")
    turned = {
        name: metric(known[name].metadata["unit"])[1].back(value)
        for name, value in content.items()
        if units == METRIC and "unit" in known[name].metadata
    }
    return kind(**{**content, **turned})


def _is_number(value: Any) -> bool:
    """Return whether a value is a number that a workbook can hold."""
    return isinstance(value, int | float) and not isinstance(value, bool) and abs(value) < LARGEST
