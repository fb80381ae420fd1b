"""The season of one workbook, as an adviser would tell it to a grazier."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from podbook.book.model import Book
from podbook.errors import EngineFailed
from podbook.next_step import command
from podbook.proof.agreement import differs
from podbook.proof.evaluate import Column, Unusable
from podbook.proof.here import Here
from podbook.proof.many import affected
from podbook.proof.wiring import Where
from podbook.review import bounded
from podbook.review.asks import Ask, asks
from podbook.review.find import entered, opened, wanted
from podbook.systems import SPOKEN, Spoken
from podbook.units import shown

if TYPE_CHECKING:
    from rich.table import Table

COLUMNS = (
    ("winter.label", "month", ""),
    ("winter.days", "days fed", "z,.0f"),
    ("winter.pods_eaten", "pods, {mass} DM", "z,.0f"),
    ("winter.grass_eaten_with", "stockpile, {mass} DM", "z,.0f"),
    ("winter.hay_tons_with", "hay, {tons}", "z,.1f"),
    ("winter.hay_tons_without", "hay without pods", "z,.1f"),
    ("winter.saved", "saved, {money}", "z,.0f"),
    ("winter.watch", "watch", ""),
)
EATEN = {
    "with pods": {
        "pods": "winter.pods_eaten",
        "stockpile": "winter.grass_eaten_with",
        "hay": "winter.hay_with",
        "supplement": "winter.extra_with",
    },
    "without": {
        "stockpile": "winter.grass_eaten_without",
        "hay": "winter.hay_without",
        "supplement": "winter.extra_without",
    },
}
"""What the herd eats with pods and without, dry matter by feed."""
NUMBERS = ("pod_head_days", "hay_saved", "saving", "offset", "hay_break_even", "pods_left")
STATUS = "status"
PAST_CAP = "winter.past_cap"
LOGGED = ("against.past", "against.eaten_seen")
"""What was fed, as logged: that it was past the plan, and how much. A winter can be told without."""
WORDS = ("winter.label", "winter.watch", "out_month", "sugar_caution")
_FED = tuple(key for feeds in EATEN.values() for key in feeds.values())
KEYS = tuple(
    dict.fromkeys((*(key for key, _, _ in COLUMNS), *_FED, *NUMBERS, *WORDS, PAST_CAP, "winter.wish", *LOGGED))
)
LARGEST = 1e12
"""No winter has a figure as large as this one."""
LOOK = "LOOK: "
WATCH = {
    "shelter": "feed alone can't meet the cold: give shelter and dry bedding",
    "intake": "a group can't eat as much as it needs: better hay, never more pods; ask a nutritionist",
    "protein": "a group leans on the supplement for its protein: see that it gets it, or find hay with more",
    "pods run out": "the herd would eat more pods than there are: have hay ready in their place",
    "in order": "none of these is found in the figures; look at your stock all the same",
}
"""What the words of a month mean, and what to do, the gravest first."""
WATCHING = "What to watch; a month shows the gravest only"
WHO_DECIDES = "What to feed, a nutritionist decides, and what ails stock, a veterinarian: not this book."


@dataclass(frozen=True)
class Season:
    """The season's figures, by their keys."""

    figures: Mapping[str, Column]
    spoken: Spoken
    money: str
    """Sign of the currency."""
    otherwise: frozenset[Where] = frozenset()
    """Cells in which the workbook itself says something else."""
    asks: tuple[Ask, ...] = ()
    """What the workbook's own checks of its results find."""

    def __getitem__(self, key: str) -> Any:
        return self.figures[key][0]

    @property
    def lacking(self) -> tuple[str, ...]:
        """Figures without a value that could be told."""
        wanted = ((key, column) for key, column in self.figures.items() if key not in LOGGED)
        return tuple(key for key, column in wanted if not all(_told(key, each) for each in column))

    @property
    def months(self) -> tuple[int, ...]:
        """The months in which stock are fed, as items of the table winter."""
        return tuple(month for month, days in enumerate(self.figures["winter.days"]) if days > 0)

    @property
    def headings(self) -> tuple[str, ...]:
        """What stands over the columns, with their units."""
        words = {"mass": self.spoken.mass, "tons": self.spoken.tons, "money": self.money}
        return tuple(heading.format_map(words) for _, heading, _ in COLUMNS)

    def rows(self) -> Iterator[tuple[str, ...]]:
        """Yield the months, each as what stands in its columns."""
        for month in self.months:
            cells = ((self.figures[key][month], look) for key, _, look in COLUMNS)
            yield tuple(f"{each:{look}}" if look else str(each) for each, look in cells)

    def table(self) -> Table:
        """Return the months as a table for the terminal."""
        from rich.table import Table

        table = Table(*self.headings)
        for row in self.rows():
            table.add_row(*row)
        return table

    def plain(self) -> dict[str, Any]:
        """Return the season as plain data, for JSON: the months by heading, the season's figures by key, in words."""
        single = (key for key, column in self.figures.items() if len(column) == 1)
        months = [
            {heading: self.figures[key][month] for heading, (key, _, _) in zip(self.headings, COLUMNS, strict=True)}
            for month in self.months
        ]
        return {
            "months": months,
            "season": {key: self[key] for key in single},
            "in_words": list(self.sentences()),
            "watch": dict(self.watched()),
            "asks_to_look_at": [asdict(each) for each in self.asks],
        }

    def sentences(self) -> tuple[str, ...]:
        """Return what the figures mean, in plain words."""
        out, left = self["out_month"], f"{self['pods_left']:,.0f}"
        saved = f"{self.money}{abs(self['saving']):,.0f}"
        saved = f"-{saved}" if self["saving"] <= -0.5 else saved
        break_even = (
            f"They pay as long as hay costs more than {self.money}{self['hay_break_even']:,.0f} a {self.spoken.ton}."
            if self["hay_break_even"] > 0
            else "They pay at any price of hay."
        )
        return (
            *self._past(),
            f"The pods your stock eat hold {self['pod_head_days']:,.0f} head-days of winter energy.",
            f"They save {self['hay_saved']:z,.1f} {self.spoken.tons} of hay and {saved},"
            f" {self['offset']:z.0%} of the winter's feed cost.",
            break_even if self["saving"] > 0 else "At these prices they do not pay.",
            f"Pods last the winter; {left} {self.spoken.mass} are left."
            if out == "none"
            else f"Pods run out in {out}.",
            f"{self['sugar_caution']}. Call a veterinarian at signs of grain overload.",
        )

    def watched(self) -> tuple[tuple[str, str], ...]:
        """Return the words that stand in the column watch, each with what it means and what to do."""
        words = {str(self.figures["winter.watch"][month]).removeprefix(LOOK) for month in self.months}
        return tuple((word, meaning) for word, meaning in WATCH.items() if word in words)

    def _past(self) -> Iterator[str]:
        """Yield in which months pods were fed past the plan, or are planned past their cap."""
        labels = [str(each) for each in self.figures["winter.label"]]
        over = [label for label, flag in zip(labels, self.figures[PAST_CAP], strict=True) if flag == 1]
        if over:
            yield (
                f"{LOOK}pods pass their cap in the diet in {', '.join(over)}. Feed fewer than the plan says, hay first;"
                " a nutritionist decides."
            )
        logged = [self.figures[key] for key in LOGGED]
        if not all(_told(key, each) for key, column in zip(LOGGED, logged, strict=True) for each in column):
            yield f"{LOOK}whether more pods were fed than the plan allows can't be told: the season log is damaged."
            return
        months = zip(labels, *logged, self.figures["winter.wish"], strict=True)
        past = [f"{label} {fed:,.0f} (at most {wish:,.0f})" for label, flag, fed, wish in months if flag == 1]
        if past:
            yield (
                f"{LOOK}more pods were fed than the plan allows, {self.spoken.mass} DM: {', '.join(past)}."
                " Hay first, fewer pods; at signs of grain overload call a veterinarian."
            )


def read(path: Path) -> Season:
    """Return the season as a workbook's own formulas make it, recalculated anew."""
    found = opened(path)
    values = bounded.values(path, wanted(found))
    season = Season(
        {key: entered(found, values, key) for key in (*KEYS, STATUS)},
        *_spoken(found.book),
        asks=asks(found.book, lambda key: entered(found, values, key)),
    )
    if season.lacking:
        raise EngineFailed(
            f"{path}: '{season.lacking[0]}' holds no value; to find what is damaged: {command('verify', path)}"
        )
    return season


def as_it_should_be(here: Here) -> Season:
    """Return the season as the reference functions make it of what is filled in.

    What is worked out from an entry that is gone is not told: its default would stand for something never said.
    """
    wheres = [(key, item) for key in KEYS for item in range(here.book.nodes[key].count)]
    gone = [
        (node.key, item)
        for node in here.book.nodes.values()
        if node.role == "entry"
        for item in range(node.count)
        if here.is_lost((node.key, item))
    ]
    untold = frozenset(affected(here.wiring, gone, wheres)) if gone else frozenset()
    figures = {
        key: tuple(Unusable("an entry is gone") if (key, item) in untold else each for item, each in enumerate(column))
        for key, column in ((key, here.expected[key]) for key in KEYS)
    }
    otherwise = (
        where for where in wheres
        if differs(here.get(where), figures[where[0]][where[1]], here.scale(where)) is None
    )  # fmt: skip
    return Season(figures, *_spoken(here.book), frozenset(otherwise))


def _spoken(book: Book) -> tuple[Spoken, str]:
    return SPOKEN[book.units], shown(book.nodes["saving"].unit)


def _told(key: str, found: Any) -> bool:
    if key in (*WORDS, STATUS):
        return isinstance(found, str)
    return isinstance(found, int | float) and not isinstance(found, bool) and abs(found) < LARGEST
