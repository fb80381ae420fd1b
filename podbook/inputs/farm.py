"""A farm's own file: its types of tree, its herd, and the figures that differ from the region's defaults."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import MISSING, Field, fields, replace
from importlib.resources import files
from pathlib import Path
from typing import Any

from podbook import own_files
from podbook.errors import listed
from podbook.inputs import lab as lab_sheets
from podbook.inputs import log as season_log
from podbook.inputs import tally, usual
from podbook.inputs.filled import GROUPS, TYPES, Filled, Group, TypeOfTree
from podbook.inputs.refusal import Gathering, quoted, refused
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
    return replace(
        found, types=types, sheets=tuple(sheets), usual=(*usual.sentences(types, told), *usual.unbred(found.groups))
    )


def _types_of(sheets: list[lab_sheets.LabSheet]) -> tuple[TypeOfTree, ...]:
    return tuple(TypeOfTree(each.kind, "seedling", 1 / len(sheets), 8, 20) for each in sheets)


def _read(path: Path, usual_units: str) -> tuple[Filled, list[list[str]]]:
    """Return what a farm's file says, and for each type what was taken from the usual figures of its kind."""
    found = own_files.entries(path, own_files.text(path, KIND), KIND)
    for name, content in found.items():
        if name not in TABLES or not isinstance(content, TABLES[name]):
            raise refused(path, name, "a part that a farm file does not have", "[farm], [[type]], [[group]], [figures]")
    gathering = Gathering()
    title, units = _said(path, found.get("farm", {}), usual_units, gathering)
    types: list[TypeOfTree] = []
    told: list[list[str]] = []
    for number, each in enumerate(found.get("type", []), 1):
        with gathering.part():
            whole, taken = usual.completed(path, f"type {number}", each)
            made = _made(path, TypeOfTree, f"type {number}", whole, units)
            _judge_name(path, f"type {number}.name", made.name, types)
            types.append(made)
            told.append(taken)
    groups: list[Group] = []
    for number, each in enumerate(found.get("group", []), 1):
        with gathering.part():
            groups.append(_made(path, Group, f"group {number}", each, units))
    figures = found.get("figures", {})
    for name, value in figures.items():
        with gathering.part():
            if not isinstance(value, str) and not _is_number(value):
                raise refused(path, f"figures.{name}", quoted(value), "a number, or a word in quotes")
    for part, count, least, most in (("type", len(found.get("type", [])), 1, len(TYPES)),
                                     ("group", len(found.get("group", [])), 0, len(GROUPS))):  # fmt: skip
        with gathering.part():
            if not least <= count <= most:
                raise refused(path, part, f"{count} {part}s", f"{least} to {most} {part}s")
    gathering.settle()
    return Filled(title, tuple(types), groups=tuple(groups), figures=figures, units=units), told


def _said(path: Path, part: dict[str, Any], usual_units: str, gathering: Gathering) -> tuple[str, str]:
    """Return the farm's title, and the units of its figures."""
    title, units = part.get("title"), part.get("units", usual_units)
    for name in part:
        with gathering.part():
            if name not in ("title", "units"):
                raise refused(path, f"farm.{name}", "a name that it does not have", listed(("title", "units")))
    with gathering.part():
        if not isinstance(units, str) or units not in SYSTEMS:
            raise refused(path, "farm.units", quoted(units), listed(SYSTEMS))
    with gathering.part():
        if not isinstance(title, str) or not title.strip() or not title.isprintable() or len(title) > 60:
            raise refused(path, "farm.title", quoted(title), "a title of 1 to 60 letters")
    return str(title), units


def _judge_name(path: Path, where: str, name: str, others: Sequence[TypeOfTree]) -> None:
    if name.casefold() in {other.name.casefold() for other in others}:
        raise refused(path, where, f"{quoted(name)} again", "a name of its own")
    if not lab_sheets.NAME.fullmatch(name) or not name[0].isalpha():
        raise refused(path, where, quoted(name), "a name of at most 30 characters that begins with a letter")


def _made(path: Path, kind: type, where: str, content: Any, units: str) -> Any:
    """Return a type of tree or a group from its part of the file, its figures turned into those of the US book."""
    known = {each.name: each for each in fields(kind)}
    if not isinstance(content, dict):
        raise refused(path, where, repr(content), "a part with names and values")
    gathering = Gathering()
    for name, value in content.items():
        with gathering.part():
            _judge_value(path, f"{where}.{name}", value, known.get(name), listed(known))
    lacking = [name for name, each in known.items() if each.default is MISSING and name not in content]
    usual_unknown = any(each.column == f"{where}.kind" for each in gathering.complaints)
    with gathering.part():
        if lacking and not usual_unknown:
            raise refused(path, where, f"no {', '.join(lacking)}", "every one of these must stand there")
    gathering.settle()
    turned = {
        name: metric(known[name].metadata["unit"])[1].back(value)
        for name, value in content.items()
        if units == METRIC and "unit" in known[name].metadata
    }
    return kind(**{**content, **turned})


def _judge_value(path: Path, where: str, value: Any, known: Field[Any] | None, names: str) -> None:
    if known is None:
        raise refused(path, where, "a name that it does not have", names)
    word = known.type == "str"
    if not (isinstance(value, str) and value.strip() if word else _is_number(value)):
        raise refused(path, where, quoted(value), "a word in quotes" if word else "a plain number")


def _is_number(value: Any) -> bool:
    """Return whether a value is a number that a workbook can hold."""
    return isinstance(value, int | float) and not isinstance(value, bool) and abs(value) < LARGEST
