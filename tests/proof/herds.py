"""Random farms whose herd, pods, grass and hay are of one size, so that each runs short on some and not on others."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cached_property
from typing import Any

from live import Draw, Live

from podbook.proof.evaluate import Column, end_to_end
from podbook.proof.wiring import Wiring

MIXED = ("dry pregnant cow", "cow with calf", "growing cattle", "ewe", "doe")
GROUPS = range(1, 6)
MONTHS = range(8)
IN_WORKBOOK = 10
"""Farms of each property that are worked in the workbook too."""
TIGHT = 1e-9
WITHIN = {
    "groups.head": (2, 60), "groups.condition": (4, 7), "groups.breed_factor": (0.9, 1.1), "groups.peak_milk": (0, 16),
    "groups.gain": (0, 0.8), "groups.mature_weight": (1000, 1500), "groups.calf_weight": (60, 100),
    "months.temperature": (20, 60), "months.ground_loss": (0, 0.3), "goat_activity_entry": (0, 0.25),
    "wind_entry": (0, 8), "hay_tdn_entry": (52, 70), "hay_sugar_entry": (0, 9), "share_cap_entry": (0.05, 0.5),
    "step_up_share_entry": (0.2, 1), "area_entry": (1, 120), "stand_age_entry": (8, 40), "row_spacing_entry": (15, 60),
    "tree_spacing_entry": (15, 60), "mix.first_crop_age": (2, 10), "mix.full_crop_age": (10, 20),
    "tally.weight": (5, 200), "by_type.own": (5, 150), "establishment_loss_entry": (0, 0.4),
    "yearly_loss_entry": (0, 0.02), "frost_chance_entry": (0, 0.4), "wildlife_loss_entry": (0, 0.4),
    "never_picked_entry": (0, 0.4), "stockpile_area_entry": (1, 90), "seedling_bearing_share_entry": (0.2, 1),
    **{f"lab.{part}{name}": limits for part in ("", "seed_") for name, limits in (
        ("cp", (3, 20)), ("ndf", (12, 55)), ("fat", (0.5, 6)), ("ash", (1, 8)), ("sugar", (2, 45)),
        ("ndicp", (0, 3)), ("adicp", (0, 2)), ("lignin", (1, 12)),
    )},
    "lab.seed_share": (0, 0.4), "lab.moisture": (5, 30),
}  # fmt: skip
"""The part of a range that keeps most farms from being out of all proportion."""


class Herd(Draw):
    """A farm with two to five groups of the kinds that its seed calls for; every figure in its range.

    One farm in four has no stockpile, another more than it can graze; one in eight has no more than a handful of pods.
    """

    def entries(self) -> dict[str, Column]:
        drawn = {key: list(column) for key, column in super().entries().items()}
        kinds = [MIXED[int(place)] for place in self.random.permutation(len(MIXED))]
        left = int(self.random.integers(2, 6))
        drawn["groups.kind"] = [kind if place < left else None for place, kind in enumerate(kinds)]
        self.drawn = drawn
        self._weights()
        drop = self.random.dirichlet([0.7] * len(drawn["months.drop"]))
        drawn["months.drop"] = [float(share) for share in drop]
        drawn["mix.share"] = [float(share) for share in self.random.dirichlet([1.0] * 6)]
        drawn["coat_wet_entry"] = ["yes" if self._chance(0.1) else "no"]
        drawn["stockpile_area_entry"] = [self._one_of((0.0, *drawn["stockpile_area_entry"] * 2, 2000.0))]
        if self._chance(0.125):
            drawn["area_entry"] = [0.1]
        return {key: tuple(column) for key, column in drawn.items()}

    def _content(self, key: str) -> Any:
        return float(self.random.uniform(*WITHIN[key])) if key in WITHIN else super()._content(key)

    def _weights(self) -> None:
        nodes = self.book.nodes
        words = list(nodes["kinds.word"].contents)
        for place, kind in enumerate(self.drawn["groups.kind"]):
            if kind is not None:
                low, high = (nodes[f"kinds.{each}"].contents[words.index(kind)] for each in ("lightest", "heaviest"))
                self.drawn["groups.body_weight"][place] = float(self.random.uniform(low, high))


class Farm:
    """One farm: what is filled in, and every value that one engine makes of it."""

    def __init__(self, entries: dict[str, Column], of: Callable[[Mapping[str, Column]], dict[str, Column]]) -> None:
        self.entries, self._of = entries, of

    @cached_property
    def values(self) -> dict[str, Column]:
        return self._of(self.entries)

    def __getitem__(self, key: str) -> Column:
        return self.values[key]

    def one(self, key: str) -> Any:
        """Return the value of a single cell."""
        return self.values[key][0]

    def but(self, changes: Mapping[str, Column]) -> Farm:
        """Return the same farm with other entries."""
        return Farm({**self.entries, **changes}, self._of)

    def times(self, key: str, factor: float) -> Farm:
        """Return the same farm with an entry a multiple of what it was."""
        return self.but({key: tuple(each * factor for each in self.entries[key])})

    def of_groups(self, table: str, field: str, month: int) -> list[float]:
        """Return a field of every group's own table, in a month."""
        return [self.values[f"{table}_{group}.{field}"][month] for group in GROUPS]


class Farms:
    """The book, its wiring worked out once, and the random farms by their seed."""

    def __init__(self, live: Live) -> None:
        self.live, self.book, self.wiring = live, live.book, Wiring(live.book)

    def farm(self, engine: str, seed: int) -> Farm:
        return Farm(Herd(self.live, seed, full=True).entries(), getattr(self, f"_by_{engine}"))

    def demo(self, engine: str) -> Farm:
        return Farm(dict(self.live.entries), getattr(self, f"_by_{engine}"))

    def _by_reference(self, entries: Mapping[str, Column]) -> dict[str, Column]:
        return end_to_end(self.book, entries, self.wiring)

    def _by_workbook(self, entries: Mapping[str, Column]) -> dict[str, Column]:
        self.live.put_entries(entries)
        read = self.live.read()
        found = {key: tuple(column) for key, column in entries.items()}
        for node in self.book.worked:
            found[node.key] = tuple(read[self.live.address((node.key, item))] for item in range(node.count))
        return found


def drawn(number: int, first: int = 0) -> list[tuple[str, int]]:
    """Return engine and seed of a number of farms by the reference functions, and of the first ones in the workbook."""
    by = [("reference", first + seed) for seed in range(number)]
    return [*by, *(("workbook", seed) for _, seed in by[:IN_WORKBOOK])]


def near(a: float, b: float, size: float = 0.0) -> bool:
    """Whether two numbers are the same to nine digits, of their own or of the size of what they are left of."""
    return abs(a - b) <= TIGHT * max(abs(a), abs(b), size, 1e-6)


def at_most(a: float, b: float, size: float = 0.0) -> bool:
    """Whether a number is no larger than another, but for rounding."""
    return a <= b or near(a, b, size)


def poor_pods(farm: Farm, month: int) -> list[int]:
    """Return the groups that can't eat what they need, though grass is left, whose pods hold less energy than grass."""
    if farm["winter.grass_share_with"][month] < 1:
        return []
    return [
        group
        for group in GROUPS
        if farm["served.pod_me"][group - 1] < farm["winter.grass_me"][month]
        and farm[f"ration_{group}.pods"][month] > 0
        and farm[f"ration_{group}.uneaten_with"][month] == 1
    ]
