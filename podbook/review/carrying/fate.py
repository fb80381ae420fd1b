"""What became of the user's inputs on their way from one workbook into another."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from itertools import groupby
from typing import TYPE_CHECKING, Any, Literal

from podbook.reference.gates import is_number

if TYPE_CHECKING:
    from rich.table import Table

Outcome = Literal["left", "converted", "carried", "default"]
OUTCOMES: dict[Outcome, str] = {
    "left": "left out",
    "converted": "converted",
    "carried": "carried",
    "default": "at the default",
}
"""Each outcome in words, in the order in which they are told."""
MOST_LINES = 10
"""Lines that one field gets in the terminal."""


@dataclass(frozen=True)
class Fate:
    """What became of one entry."""

    outcome: Outcome
    key: str
    item: int
    part: str
    """The item of its table, such as ``Group 2``; empty for a single figure."""
    label: str
    old: str
    """Sheet and cell in the old workbook; empty where it has none."""
    new: str
    """Sheet and cell in the new workbook; empty where it has none."""
    was: Any
    was_in: str
    """Unit beside it in the old workbook."""
    becomes: Any
    unit: str
    """Unit beside it in the new workbook."""
    why: str

    @property
    def told(self) -> bool:
        """Whether it is worth a line of its own: a default that is what it was is not."""
        return self.outcome != "default" or bool(self.why)


@dataclass(frozen=True)
class Leftover:
    """Something of the user's own that stands beside the entries and is not carried."""

    kind: str
    sheet: str
    count: int
    first: str
    """The first cell, if it has one."""
    lost: bool = True
    """Whether it would be missed; what podbook makes anew is not."""

    def __str__(self) -> str:
        at = f", the first at {self.first}" if self.first else ""
        return f"{self.sheet}: {self.kind} ({self.count:,}{at})"


@dataclass(frozen=True)
class Carried:
    """What came of carrying the inputs of one workbook into a new one."""

    old: str
    new: str
    title: str
    editions: tuple[str, str]
    """Of the old and of the new workbook."""
    regions: tuple[str, str]
    fates: tuple[Fate, ...]
    leftovers: tuple[Leftover, ...]
    status: str
    """The new workbook's own status line."""

    @property
    def complete(self) -> bool:
        """Whether nothing of the user's was left behind."""
        return not self.counts["left"] and not any(each.lost for each in self.leftovers)

    @property
    def counts(self) -> Counter[str]:
        """How many entries met with each outcome."""
        return Counter(each.outcome for each in self.fates)

    def plain(self) -> dict[str, Any]:
        """Return everything as plain data, for JSON."""
        fates = ({**asdict(each), "was": _plain(each.was), "becomes": _plain(each.becomes)} for each in self.fates)
        return {
            "old": self.old,
            "new": self.new,
            "complete": self.complete,
            "title": self.title,
            "editions": self.editions,
            "regions": self.regions,
            "counts": {outcome: self.counts[outcome] for outcome in OUTCOMES},
            "entries": list(fates),
            "left_beside": [asdict(each) for each in self.leftovers],
            "status": self.status,
        }

    def table(self) -> Table:
        """Return what became of the entries, field by field; defaults that did not change are not in it."""
        from rich.table import Table

        table = Table("what became of it", "entry", "old workbook", "new workbook", "why")
        for row in self._rows():
            table.add_row(*row)
        return table

    def _rows(self) -> Iterator[tuple[str, ...]]:
        told = sorted((each for each in self.fates if each.told), key=lambda each: list(OUTCOMES).index(each.outcome))
        for (outcome, _), field in groupby(told, key=lambda each: (each.outcome, each.key)):
            groups = [list(group) for _, group in groupby(field, key=lambda each: each.why)]
            for group in groups[:MOST_LINES]:
                first, last, more = group[0], group[-1], len(group) > 1
                old, new = (f"{one} … {other.rpartition('!')[2]}" if more else one
                            for one, other in ((first.old, last.old), (first.new, last.new)))  # fmt: skip
                yield (
                    OUTCOMES[outcome],
                    f"{first.label} ({len(group):,} cells)"
                    if more
                    else ": ".join(filter(None, (first.part, first.label))),
                    old if more else f"{old} {worded(first.was, first.was_in)}".strip(),
                    new if more else f"{new} {worded(first.becomes, first.unit)}".strip(),
                    first.why,
                )
            if len(groups) > MOST_LINES:
                rest = sum(map(len, groups[MOST_LINES:]))
                yield OUTCOMES[outcome], f"and {rest:,} more of this field; --json lists them all", "", "", ""

    def sentences(self) -> tuple[str, ...]:
        """Return in words what else there is to know."""
        same = sum(each.outcome == "default" and not each.told for each in self.fates)
        return (
            *((f"{same} more figures were at their default, and the default is what it was.",) if same else ()),
            *(f"Not carried, of your own: {each}." for each in self.leftovers if each.lost),
            *(f"To be made anew: {each}." for each in self.leftovers if not each.lost),
        )

    @property
    def summary(self) -> str:
        """The counts in one line."""
        counts = ", ".join(f"{self.counts[outcome]:,} {words}" for outcome, words in reversed(OUTCOMES.items()))
        beside = sum(each.lost for each in self.leftovers)
        own = (
            f", and things of your own in {beside} {'place' if beside == 1 else 'places'} not carried" if beside else ""
        )
        return f"{self.title}: {counts}{own}. The new workbook says: {self.status}."


def worded(content: Any, unit: str) -> str:
    """Return a content as it is shown in a line, cut short where it is long."""
    if content is None:
        return ""
    if is_number(content):
        return f"{content:.10g} {unit}".rstrip()
    return short(str(content))


def short(words: str) -> str:
    """Return a text that fits in a line."""
    line = " ".join(words.split())
    return line if len(line) <= 60 else line[:59] + "…"


def _plain(content: Any) -> Any:
    return content if content is None or isinstance(content, str | bool) or is_number(content) else str(content)
