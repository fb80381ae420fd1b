"""Read the file of pod trees, and refuse it with every reason at once where it cannot be used."""

from __future__ import annotations

import tomllib
from collections.abc import Collection
from functools import cache
from importlib.resources import files
from pathlib import Path
from types import MappingProxyType
from typing import Any

from podbook.errors import BadInput, Complaint, listed
from podbook.pod_trees.kind import FIGURES, ORIGINS, SAID, YES_NO, Caution, Figure, Kind, PodTrees, Said
from podbook.sources import amiss
from podbook.systems import metric

HEAD = ("name", "species", "botanical")
ORIGIN = ("source", "place", "mark")
CAUTION = ("species", "about", "text", "source", "mark")
LONGEST_TEXT = 230
"""Letters of a caution: two lines of a page, and less than a cell's formula may hold."""


@cache
def pod_trees() -> PodTrees:
    """Return the kinds of tree that come with the package."""
    return load(Path(str(files("podbook") / "data" / "pod_trees.toml")))


def load(path: Path) -> PodTrees:
    """Return the kinds and cautions of a file, or raise BadInput with a complaint for all that is wrong in it."""
    return _Reading(path).all()


class _Reading:
    def __init__(self, path: Path) -> None:
        self.file = path.name
        self.entries = tomllib.loads(path.read_text(encoding="utf-8"))
        self.complaints: list[Complaint] = []

    def all(self) -> PodTrees:
        kinds = tuple(self._kind(key, entry) for key, entry in self.entries.items() if key != "caution")
        for name in dict.fromkeys(kind.name for kind in kinds):
            if sum(kind.name == name for kind in kinds) > 1:
                self._complain(name, "two kinds of that name", "a name of its own")
        species = {kind.species for kind in kinds}
        cautions = tuple(self._caution(entry, species) for entry in self.entries.get("caution", []))
        for lacking in sorted(species - {caution.species for caution in cautions}):
            self._complain(lacking, "no caution", "at least one [[caution]] of every species")
        if self.complaints:
            raise BadInput(self.complaints)
        return PodTrees(kinds, cautions)

    def _complain(self, where: str, found: str, allowed: str) -> None:
        self.complaints.append(Complaint(self.file, None, where, found, allowed))

    def _texts(self, where: str, entry: Any, wanted: Collection[str], others: Collection[str] = ()) -> dict[str, str]:
        """Return the text of each field that must stand there, blank where there is a complaint about it."""
        entry = entry if isinstance(entry, dict) else {}
        for name in entry:
            if name not in (*wanted, *others):
                self._complain(f"{where}.{name}", "an unknown name", listed((*wanted, *others)))
        texts = {}
        for name in wanted:
            text = entry.get(name, "")
            if not isinstance(text, str) or not text.strip():
                self._complain(f"{where}.{name}", repr(text) if text else "nothing", "a text in quotes")
                text = ""
            texts[name] = text
        return texts

    def _sourced(self, where: str, entry: Any, others: Collection[str]) -> dict[str, str]:
        texts = self._texts(where, entry, ORIGIN, (*others, "note"))
        note = entry.get("note", "") if isinstance(entry, dict) else ""
        if not isinstance(note, str):
            self._complain(f"{where}.note", repr(note), "a text in quotes")
        self._judge(where, texts["source"], texts["mark"])
        return {**texts, "note": str(note)}

    def _judge(self, where: str, source: str, mark: str) -> None:
        if (found := amiss(source, mark)) is not None:
            field, stands, allowed = found
            self._complain(f"{where}.{field}", stands, allowed)

    def _kind(self, key: str, entry: Any) -> Kind:
        head = self._texts(key, entry, HEAD, (*SAID, "figures"))
        entry = entry if isinstance(entry, dict) else {}
        if head["name"] != head["name"].casefold():
            self._complain(f"{key}.name", repr(head["name"]), "a name in small letters")
        words = {"origin": ORIGINS, "keeps": YES_NO}
        said = {name: self._said(f"{key}.{name}", entry.get(name), words.get(name)) for name in SAID}
        figures = entry.get("figures", {})
        for name in figures:
            if name not in FIGURES:
                self._complain(f"{key}.{name}", "an unknown figure", listed(FIGURES))
        known = {name: self._figure(key, name, figures[name]) for name in FIGURES if name in figures}
        return Kind(
            key, head["name"], head["species"], head["botanical"],
            said["origin"], said["drop"], said["keeps"], MappingProxyType(known),
        )  # fmt: skip

    def _said(self, where: str, entry: Any, words: Collection[str] | None) -> Said:
        origin = self._sourced(where, entry, ("word",))
        word = entry.get("word") if isinstance(entry, dict) else None
        if not isinstance(word, str) or not word.strip() or (words is not None and word not in words):
            self._complain(f"{where}.word", repr(word), listed(words) if words else "a text in quotes")
        return Said(word=str(word), **origin)

    def _figure(self, key: str, name: str, entry: Any) -> Figure:
        where, wanted = f"{key}.{name}", FIGURES[name]
        origin = self._sourced(where, entry, ("value", "low", "high", "unit"))
        entry = entry if isinstance(entry, dict) else {}
        turned, turn = metric(wanted.unit)
        units = tuple(dict.fromkeys((wanted.unit, turned)))
        if (unit := entry.get("unit")) not in units:
            self._complain(f"{where}.unit", repr(unit), listed(units))
            unit = wanted.unit
        low, high = self._ends(where, entry)
        value = entry.get("value", None if low is None or high is None else (low + high) / 2)
        if not _number(value):
            self._complain(f"{where}.value", repr(value), "a number, or low and high")
            value = wanted.low
        if low is not None and high is not None and not low <= value <= high:
            self._complain(f"{where}.value", repr(value), f"from {low:g} to {high:g}, its own range")
        used = float(value) if unit == wanted.unit else turn.back(value)
        if not wanted.low <= used <= wanted.high:
            self._complain(f"{where}.value", f"{used:g}", f"from {wanted.low:g} to {wanted.high:g} {wanted.unit}")
        return Figure(name=name, value=used, printed=float(value), printed_unit=unit, low=low, high=high, **origin)

    def _ends(self, where: str, entry: dict[str, Any]) -> tuple[float | None, float | None]:
        """Return the ends of a range, both or none."""
        given = [name for name in ("low", "high") if name in entry]
        if not given:
            return None, None
        if len(given) == 1 or not all(_number(entry[name]) for name in given) or entry["low"] >= entry["high"]:
            self._complain(f"{where}.low", repr([entry.get("low"), entry.get("high")]), "low and high, low first")
            return None, None
        return float(entry["low"]), float(entry["high"])

    def _caution(self, entry: Any, species: Collection[str]) -> Caution:
        texts = self._texts("caution", entry, CAUTION)
        where = f"caution of {texts['species']}, {texts['about']}"
        if texts["species"] and texts["species"] not in species:
            self._complain(where, "a species without a kind", listed(sorted(species)))
        if len(texts["text"]) > LONGEST_TEXT:
            self._complain(where, f"{len(texts['text'])} letters", f"at most {LONGEST_TEXT}")
        self._judge(where, texts["source"], texts["mark"])
        return Caution(**texts)


def _number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)
