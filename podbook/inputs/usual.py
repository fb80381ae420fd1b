"""What a kind of tree usually is, where a farm's file names a type's kind and leaves a figure out."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from podbook.errors import listed
from podbook.inputs.filled import Group, TypeOfTree
from podbook.inputs.lab import DRY, SCALES, WHOLE, Analysis, LabSheet
from podbook.inputs.refusal import quoted, refused
from podbook.pod_trees import Kind, pod_trees
from podbook.systems import METRIC, metric
from podbook.units import shown

USUAL = "usual"
AGES = ("first_crop_age", "full_crop_age")


def completed(path: Path, where: str, content: Any) -> tuple[Any, list[str]]:
    """Return a type's part of the file with its kind's usual figures where it has none, and what was taken.

    Raises BadInput if the kind is not known, or what is left out is not known of it.
    """
    if not isinstance(content, dict):
        return content, []
    word, asked = content.get("kind"), content.get("analysis")
    if asked is not None and asked != USUAL:
        raise refused(path, f"{where}.analysis", quoted(asked), f"'{USUAL}', or no such line")
    if not isinstance(word, str) or not word.strip():
        if asked is not None and word is None:
            raise refused(path, f"{where}.analysis", f"'{USUAL}' of a type without a kind", "a line kind = ...")
        return content, []
    kind = pod_trees().find(word)
    if kind is None:
        raise refused(path, f"{where}.kind", quoted(word), f"one of {listed(pod_trees().names)}")
    taken = {} if "origin" in content else {"origin": kind.origin.word}
    told = [f"origin {kind.origin.word} ({kind.origin.mark}: {kind.origin.source})"] if taken else []
    for name in (each for each in AGES if each not in content):
        if name not in kind.figures:
            raise refused(path, where, f"no {name}, and none is known of {kind.name}", f"{name} of your own trees")
        figure = kind.figures[name]
        taken[name] = figure.value  # type: ignore[assignment]  # words and numbers, as in the file
        told.append(f"{name} {figure.value:g} ({figure.mark}: {figure.source})")
    return {**content, **taken, "kind": kind.name}, told


def with_yields(
    types: Sequence[TypeOfTree], weighed: Collection[str], units: str
) -> tuple[tuple[TypeOfTree, ...], list[list[str]]]:
    """Return the types with the usual crop of their kind where neither an own figure stands nor a tree was weighed."""
    found, told = [], []
    for each in types:
        kind = pod_trees().find(each.kind)
        crop = kind.own_yield if kind and each.own_yield is None and each.name not in weighed else None
        found.append(each if crop is None else replace(each, own_yield=crop))
        told.append([] if crop is None or kind is None else [_yield_told(kind, crop, units)])
    return tuple(found), told


def _yield_told(kind: Kind, crop: float, units: str) -> str:
    unit, turn = metric("lb_dry/tree")
    told = f"{turn.of(crop):.1f} {shown(unit)}" if units == METRIC else f"{crop:.1f} {shown('lb_dry/tree')}"
    picked, dry = kind.figures["tree_yield"], kind.figures["dry_matter"]
    return f"own_yield {told} (as picked {picked.mark}: {picked.source}; dry matter {dry.mark}: {dry.source})"


def with_sheets(path: Path, types: Sequence[TypeOfTree], sheets: Sequence[LabSheet]) -> list[LabSheet]:
    """Return the laboratory's sheets, with the usual analysis of its kind for each type that asks for it.

    Raises BadInput if a type has a sheet of its own too, or not all that a sheet states is known of its kind.
    """
    analysed = {each.kind for each in sheets}
    found = list(sheets)
    for number, each in enumerate(types, 1):
        if each.analysis != USUAL:
            continue
        where = f"type {number}.analysis"
        kind = pod_trees().find(each.kind)
        if kind is None or kind.lacks:
            lacks = ", ".join(kind.lacks) if kind else "all"
            raise refused(path, where, f"no usual {lacks} of {each.kind}", "a laboratory's sheet (--lab)")
        if each.name in analysed:
            raise refused(path, where, f"'{USUAL}' and a laboratory's sheet of {each.name}", "one of the two")
        found.append(_sheet(each.name, kind))
    return found


def _sheet(name: str, kind: Kind) -> LabSheet:
    value = {figure.name: figure.value for figure in kind.figures.values()}
    analysis = Analysis(**{part: value.get(part) for part in SCALES})  # type: ignore[arg-type]  # needed ones are known
    return LabSheet(name, DRY, WHOLE, round(100 - value["dry_matter"], 9), value["seed_share"], analysis, None)


MAY_BE_BRED = ("dry pregnant cow", "ewe", "doe")


def sentences(types: Sequence[TypeOfTree], told: Sequence[Sequence[str]]) -> tuple[str, ...]:
    """Return in a sentence for each type what was taken from the usual figures of its kind."""
    lines = []
    for each, taken in zip(types, told, strict=True):
        kind = pod_trees().find(each.kind)
        if kind is None:
            continue
        analysis = [f"analysis of its lab sheet, partly from memory: podbook trees {kind.key}"] if each.analysis else []
        if words := [*taken, *analysis]:
            lines.append(f"{each.name}: taken as usual of {kind.name}: {'; '.join(words)}")
    return tuple(lines)


def unbred(groups: Sequence[Group]) -> tuple[str, ...]:
    """Return in a sentence for each group that may be bred, but is neither pregnant nor in milk, how it will be fed."""
    return tuple(
        f"group {number} ({each.kind}): days_pregnant and week_in_milk are 0, so it is fed at maintenance all winter; "
        "if she is bred, fill in what holds on the day feeding begins"
        for number, each in enumerate(groups, 1)
        if each.kind in MAY_BE_BRED and each.days_pregnant == each.week_in_milk == 0
    )
