"""Read a region's file, and refuse it with every reason at once where it cannot be used."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Collection, Mapping
from importlib.resources import files
from math import fsum
from pathlib import Path
from types import MappingProxyType
from typing import Any

from podbook.errors import BadInput, Complaint
from podbook.regions.region import BY_MONTH, MARKS, MONTHS, NUMBERS, Default, Monthly, Notice, Region, Wanted
from podbook.sources import bibliography

WHOLE_FILE = "(whole file)"
ORIGIN = ("unit", "source", "place", "year", "mark", "note")
DAYS_PER_MONTH = 30


def names() -> tuple[str, ...]:
    """Return the names of the regions that come with the package."""
    folder = files("podbook") / "regions"
    return tuple(sorted(entry.name[:-5] for entry in folder.iterdir() if entry.name.endswith(".toml")))


def load(name_or_path: str | Path) -> Region:
    """Return a region by its name or from a file, or raise BadInput with a complaint for all that is wrong in it."""
    file = str(name_or_path)
    entry = files("podbook") / "regions" / f"{file}.toml" if file in names() else Path(file)
    try:
        text = entry.read_text(encoding="utf-8")
        return _Reading(file, text, tomllib.loads(text)).region()
    except (FileNotFoundError, IsADirectoryError):
        allowed = f"the path of a region's file, or one of {', '.join(names())}"
        raise BadInput([Complaint(file, 1, WHOLE_FILE, "no such region", allowed)]) from None
    except (UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        place = re.search(r"at line (\d+)", str(error))
        line = int(place[1]) if place else 1
        raise BadInput([Complaint(file, line, WHOLE_FILE, str(error), "a TOML file in UTF-8")]) from None


class _Reading:
    def __init__(self, file: str, text: str, entries: Mapping[str, Any]) -> None:
        self.file = file
        self.text = text
        self.entries = entries
        self.complaints: list[Complaint] = []

    def region(self) -> Region:
        head = self._texts("region", self.entries.get("region"), ("name", "title", "currency"))
        if head["currency"] not in ("USD", ""):
            self._complain("region", "currency", repr(head["currency"]), "USD")
        notices = tuple(self._notice(entry) for entry in self._listed("notice"))
        numbers = {name: self._number(name, wanted) for name, wanted in NUMBERS.items() if self._is_table(name)}
        monthly = {name: self._monthly(name, wanted) for name, wanted in BY_MONTH.items() if self._is_table(name)}
        for name in self.entries:
            if name not in ("region", "notice", *NUMBERS, *BY_MONTH):
                self._complain(name, "", "an unknown name", ", ".join((*NUMBERS, *BY_MONTH)))
        if not self.complaints:
            self._judge_months(numbers, monthly)
        if self.complaints:
            raise BadInput(sorted(self.complaints, key=lambda complaint: complaint.line or 0))
        return Region(**head, notices=notices, numbers=MappingProxyType(numbers), monthly=MappingProxyType(monthly))

    def _complain(self, name: str, field: str, found: str, allowed: str) -> None:
        heading = re.search(rf"^\[+{re.escape(name)}\]", self.text, re.MULTILINE)
        line = self.text.count("\n", 0, heading.start()) + 1 if heading else 1
        self.complaints.append(Complaint(self.file, line, f"{name}.{field}" if field else name, found, allowed))

    def _is_table(self, name: str) -> bool:
        if isinstance(self.entries.get(name), dict):
            return True
        found = "no table" if name in self.entries else "nothing"
        self._complain(name, "", found, f"a table [{name}] with its number, {', '.join(ORIGIN)}")
        return False

    def _listed(self, name: str) -> list[Any]:
        entries = self.entries.get(name)
        if isinstance(entries, list) and entries:
            return entries
        self._complain(name, "", "nothing", f"at least one [[{name}]]")
        return []

    def _texts(self, name: str, entry: Any, fields: Collection[str], others: Collection[str] = ()) -> dict[str, str]:
        """Return the text of each field, blank where there is a complaint about it."""
        entry = entry if isinstance(entry, dict) else {}
        for field in entry:
            if field not in (*fields, *others):
                self._complain(name, field, "an unknown field", ", ".join((*fields, *others)))
        for field in others:
            if field not in entry:
                self._complain(name, field, "nothing", "a value")
        texts = {}
        for field in fields:
            text = entry.get(field, "")
            if not isinstance(text, str) or not text.strip():
                self._complain(name, field, repr(text) if text else "nothing", "a text in quotation marks")
                text = ""
            texts[field] = text
        return texts

    def _judge_origin(self, name: str, origin: Mapping[str, str]) -> None:
        source, mark = origin["source"], origin["mark"]
        if source and source not in bibliography():
            self._complain(name, "source", repr(source), "a key of the bibliography")
        elif mark and mark not in MARKS:
            self._complain(name, "mark", repr(mark), ", ".join(MARKS))
        elif source and mark == "published" and bibliography()[source].mark == "memory":
            self._complain(name, "mark", f"'published' of '{source}', which was not read", ", ".join(MARKS[1:]))

    def _notice(self, entry: Any) -> Notice:
        texts = self._texts("notice", entry, ("text", "source", "mark"))
        self._judge_origin("notice", texts)
        return Notice(**texts)

    def _origin(self, name: str, wanted: Wanted, others: Collection[str]) -> dict[str, str]:
        origin = self._texts(name, self.entries[name], ORIGIN, others)
        if origin["unit"] not in (wanted.unit, ""):
            self._complain(name, "unit", repr(origin["unit"]), wanted.unit)
        self._judge_origin(name, origin)
        return origin

    def _within(self, name: str, field: str, value: Any, wanted: Wanted) -> bool:
        number = isinstance(value, int | float) and not isinstance(value, bool)
        if number and wanted.low <= value <= wanted.high and (not wanted.whole or value == int(value)):
            return True
        kind = "a whole number" if wanted.whole else "a number"
        self._complain(name, field, repr(value), f"{kind} from {wanted.low:g} to {wanted.high:g} {wanted.unit}")
        return False

    def _number(self, name: str, wanted: Wanted) -> Default:
        origin = self._origin(name, wanted, ("value", "low", "high"))
        entry = self.entries[name]
        given = {field: entry[field] for field in ("low", "value", "high") if field in entry}
        sound = [self._within(name, field, value, wanted) for field, value in given.items()]
        if len(given) < 3 or not all(sound):
            return Default(name=name, value=0, low=0, high=0, **origin)
        low, value, high = given.values()
        if not low <= value <= high:
            self._complain(name, "value", repr(value), f"from {low:g} to {high:g}, its own range")
        return Default(name=name, value=value, low=low, high=high, **origin)

    def _monthly(self, name: str, wanted: Wanted) -> Monthly:
        origin = self._origin(name, wanted, ("by_month",))
        by_month = self.entries[name].get("by_month", {})
        if not isinstance(by_month, dict):
            self._complain(name, "by_month", repr(by_month), "a number for each month, such as { Dec = 0.35 }")
            by_month = {}
        values = {}
        for month, value in by_month.items():
            if month not in MONTHS:
                self._complain(name, "by_month", repr(month), ", ".join(MONTHS))
            elif self._within(name, f"by_month.{month}", value, wanted):
                values[MONTHS.index(month) + 1] = float(value)
        return Monthly(name=name, by_month=MappingProxyType(values), **origin)

    def _judge_months(self, numbers: Mapping[str, Default], monthly: Mapping[str, Monthly]) -> None:
        total = fsum(monthly["pod_drop"].by_month.values())
        if abs(total - 1) > 1e-9:
            self._complain("pod_drop", "by_month", f"months that add to {total:g}", "shares that add to 1")
        before = int(numbers["season_start"].value) - 2
        season = [(before + step) % 12 for step in range(int(numbers["season_days"].value) // DAYS_PER_MONTH + 3)]
        missing = [MONTHS[month] for month in dict.fromkeys(season) if month + 1 not in monthly["temperature"].by_month]
        if missing:
            found = f"no {', '.join(missing)}"
            self._complain("temperature", "by_month", found, "every month of the season and the one before it")
