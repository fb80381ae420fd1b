"""A region from the entries of its file, or every reason at once why it cannot be used."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from difflib import get_close_matches
from math import fsum
from types import MappingProxyType
from typing import Any

from podbook.errors import BadInput, Complaint, listed
from podbook.own_files import refused
from podbook.regions.calendar import days_fed, month_before, months_of_book
from podbook.regions.declared_weeds import declared_place
from podbook.regions.region import (
    BY_MONTH,
    COLDEST,
    MONTHS,
    NUMBERS,
    WARMEST,
    Default,
    Monthly,
    Notice,
    Region,
    Stated,
    StatedByMonth,
    Wanted,
)
from podbook.sources import amiss, told
from podbook.systems import CURRENCIES, SYSTEMS, Turn, tidy

ORIGIN = ("unit", "source", "place", "year", "mark", "note")
HEAD = ("name", "title", "units", "currency")
TABLES = ("region", "notice", *NUMBERS, *BY_MONTH)
NAME = re.compile(r"[a-z][a-z0-9_]{0,39}")
A_REGION = "a region's file, such as 'podbook regions --start mine.toml' writes; a farm's own goes with --farm"
LONGEST = 400
"""Letters of a text."""


class Reading:
    """A file that is being read; complaints are collected until ``region`` is called."""

    def __init__(self, file: str, text: str, entries: Mapping[str, Any]) -> None:
        self.file = file
        self.text = text
        self.entries = entries
        self.complaints: list[Complaint] = []
        self.stating: tuple[str, str] | None = None
        """Units and currency, once they are known to be sound."""

    def region(self) -> Region:
        """Return the region, or raise BadInput with all complaints in the order of their lines."""
        if not set(TABLES) & set(self.entries):
            raise refused(self.file, "nothing that a region's file has", A_REGION)
        head = self._head()
        notices = tuple(self._notice(entry, number) for number, entry in enumerate(self._listed("notice")))
        numbers = {name: self._number(name, wanted) for name, wanted in NUMBERS.items() if self._is_table(name)}
        monthly = {name: self._monthly(name, wanted) for name, wanted in BY_MONTH.items() if self._is_table(name)}
        for name in self.entries:
            if name not in TABLES:
                near = get_close_matches(name, TABLES, 1, 0.6)
                allowed = f"perhaps [{near[0]}]" if near else listed(TABLES)
                self._complain(name, "", "an unknown name", allowed)
        if not self.complaints:
            self._judge_months(numbers, monthly)
        if self.complaints:
            raise BadInput(sorted(self.complaints, key=lambda complaint: complaint.line or 0))
        return Region(**head, notices=notices, numbers=MappingProxyType(numbers), monthly=MappingProxyType(monthly))

    def _complain(self, name: str, field: str, found: str, allowed: str, number: int = 0) -> None:
        headings = list(re.finditer(rf"^[ \t]*\[+[ \t]*{re.escape(name)}[ \t]*\]", self.text, re.MULTILINE))
        line = self.text.count("\n", 0, headings[number].start()) + 1 if number < len(headings) else 1
        self.complaints.append(Complaint(self.file, line, f"{name}.{field}" if field else name, found, allowed))

    def _head(self) -> dict[str, str]:
        head = self._texts("region", self.entries.get("region"), HEAD)
        for field, known in (("units", SYSTEMS), ("currency", CURRENCIES)):
            if head[field] and head[field] not in known:
                self._complain("region", field, told(head[field]), listed(known))
        if head["units"] in SYSTEMS and head["currency"] in CURRENCIES:
            self.stating = head["units"], head["currency"]
        if head["name"] and not NAME.fullmatch(head["name"]):
            allowed = "small letters, figures and _, at most 40, a letter first"
            self._complain("region", "name", told(head["name"]), allowed)
        for field in HEAD[:2]:
            if declared := declared_place(head[field]):
                found = f"{told(head[field])}, where honey locust is a declared weed ({declared.source})"
                self._complain(
                    "region", field, found, "a place where it may be planted; ask the plant-health authority"
                )
        return head

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
        self._complain(name, "", "nothing" if name not in self.entries else "no list", f"at least one [[{name}]]")
        return []

    def _texts(
        self, name: str, entry: Any, fields: Collection[str], others: Collection[str] = (), number: int = 0
    ) -> dict[str, str]:
        """Return the text of each field, blank where there is a complaint about it."""
        entry = entry if isinstance(entry, dict) else {}
        for field in entry:
            if field not in (*fields, *others):
                self._complain(name, field, "an unknown field", listed((*fields, *others)), number)
        for field in others:
            if field not in entry:
                self._complain(name, field, "nothing", "a value", number)
        texts = {}
        for field in fields:
            text = entry.get(field, "")
            if not isinstance(text, str) or not text.strip():
                found = told(text) if text else "nothing"
                self._complain(name, field, found, "a text in quotation marks", number)
                text = ""
            elif not text.isprintable() or len(text) > LONGEST:
                allowed = f"one line of at most {LONGEST} letters, without control characters"
                self._complain(name, field, told(text), allowed, number)
                text = ""
            texts[field] = text
        return texts

    def _judge_origin(self, name: str, origin: Mapping[str, str], number: int = 0) -> None:
        if (found := amiss(origin["source"], origin["mark"])) is not None:
            self._complain(name, *found, number)

    def _notice(self, entry: Any, number: int) -> Notice:
        texts = self._texts("notice", entry, ("text", "source", "mark"), number=number)
        self._judge_origin("notice", texts, number)
        return Notice(**texts)

    def _origin(self, name: str, wanted: Wanted, others: Collection[str]) -> dict[str, str]:
        origin = self._texts(name, self.entries[name], ORIGIN, others)
        if self.stating is not None:
            unit = wanted.stated(*self.stating)[0]
            if origin["unit"] not in (unit, ""):
                self._complain(name, "unit", told(origin["unit"]), unit)
        self._judge_origin(name, origin)
        return {**origin, "unit": wanted.unit}

    def _within(self, name: str, field: str, value: Any, wanted: Wanted) -> bool:
        number = isinstance(value, int | float) and not isinstance(value, bool)
        if self.stating is None and number and abs(value) < float("inf"):
            return True  # in which unit is not known
        unit, turn = wanted.stated(*self.stating) if self.stating else (wanted.unit, Turn())
        low, high = (tidy(turn.of(bound)) for bound in (wanted.low, wanted.high))
        if number and low <= value <= high and (not wanted.whole or value == int(value)):
            return True
        kind = "a whole number" if wanted.whole else "a number"
        self._complain(name, field, told(value), f"{kind} from {low:g} to {high:g} {unit}")
        return False

    def _back(self, value: float, wanted: Wanted) -> float:
        """Return a stated figure in the unit of the US book."""
        turn = wanted.stated(*self.stating)[1] if self.stating else Turn()
        return value if turn == Turn() else tidy(turn.back(value))

    def _number(self, name: str, wanted: Wanted) -> Default:
        origin = self._origin(name, wanted, ("value", "low", "high"))
        entry = self.entries[name]
        given = {field: entry[field] for field in ("low", "value", "high") if field in entry}
        sound = [self._within(name, field, value, wanted) for field, value in given.items()]
        if len(given) < 3 or not all(sound):
            return Default(name=name, value=0, low=0, high=0, stated=Stated("", 0, 0, 0), **origin)
        low, value, high = given.values()
        if not low <= value <= high:
            self._complain(name, "value", told(value), f"from {low:g} to {high:g}, its own range")
        stated = Stated(str(entry.get("unit")), value, low, high)
        low, value, high = (self._back(figure, wanted) for figure in given.values())
        return Default(name=name, value=value, low=low, high=high, stated=stated, **origin)

    def _monthly(self, name: str, wanted: Wanted) -> Monthly:
        origin = self._origin(name, wanted, ("by_month",))
        by_month = self.entries[name].get("by_month", {})
        if not isinstance(by_month, dict):
            self._complain(name, "by_month", told(by_month), "a number for each month, such as { Dec = 0.35 }")
            by_month = {}
        values = {}
        for month, value in by_month.items():
            if month not in MONTHS:
                self._complain(name, "by_month", told(month), listed(MONTHS))
            elif self._within(name, f"by_month.{month}", value, wanted):
                values[MONTHS.index(month) + 1] = float(value)
        stated = StatedByMonth(str(self.entries[name].get("unit")), MappingProxyType(values))
        turned = {month: self._back(value, wanted) for month, value in values.items()}
        return Monthly(name=name, by_month=MappingProxyType(turned), stated=stated, **origin)

    def _judge_months(self, numbers: Mapping[str, Default], monthly: Mapping[str, Monthly]) -> None:
        drop, temperature = monthly["pod_drop"].by_month, monthly["temperature"]
        total = fsum(drop.values())
        if abs(total - 1) > 1e-9:
            self._complain("pod_drop", "by_month", f"months that add to {total:g}", "shares that add to 1")
            return
        fed = days_fed(*(int(numbers[name].value) for name in ("season_start", "season_start_day", "season_days")))
        months = months_of_book(fed, drop)
        span = f"{MONTHS[months[0] - 1]} to {MONTHS[months[-1] - 1]}"
        if beyond := [
            MONTHS[month - 1] for month in sorted({*fed, *(each for each in drop if drop[each])} - {*months})
        ]:
            found = f"feeding or pods in {', '.join(beyond)} too"
            self._complain("season_days", "value", found, f"the eight months of a book, {span}")
        needed = (month_before(months[0]), *months)
        if missing := [MONTHS[month - 1] for month in needed if month not in temperature.by_month]:
            allowed = f"the eight months of the book, {span}, and the one before them"
            self._complain("temperature", "by_month", f"no {', '.join(missing)}", allowed)
        for month in needed:
            if month in temperature.by_month and not COLDEST <= temperature.by_month[month] <= WARMEST:
                stated = temperature.stated
                wanted = Wanted("", BY_MONTH["temperature"].unit, COLDEST, WARMEST)
                self._within("temperature", f"by_month.{MONTHS[month - 1]}", stated.by_month[month], wanted)
