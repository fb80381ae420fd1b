"""The season of one workbook, as an adviser would tell it to a grazier."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from rich.table import Table

from podbook import recalc
from podbook.errors import EngineFailed
from podbook.recalc import DEFAULT, Fault
from podbook.review.find import entered, opened, wanted

COLUMNS = (
    ("winter.label", "month", ""),
    ("winter.days", "days fed", ",.0f"),
    ("winter.pods_eaten", "pods, lb DM", ",.0f"),
    ("winter.grass_eaten_with", "stockpile, lb DM", ",.0f"),
    ("winter.hay_tons_with", "hay, tons", ",.1f"),
    ("winter.hay_tons_without", "hay without pods", ",.1f"),
    ("winter.saved", "saved, $", ",.0f"),
    ("winter.watch", "watch", ""),
)
FIGURES = (
    "pod_head_days",
    "hay_saved",
    "saving",
    "offset",
    "hay_break_even",
    "out_month",
    "pods_left",
    "sugar_caution",
    "status",
)


class Season:
    """The season's figures, read from a workbook recalculated anew."""

    def __init__(self, path: Path) -> None:
        found = opened(path)
        values = recalc.values(path, DEFAULT, wanted(found))
        keys = (*(key for key, _, _ in COLUMNS), *FIGURES)
        self.figures = {key: entered(found, values, key) for key in keys}
        for key, column in self.figures.items():
            if any(isinstance(each, Fault) or each is None for each in column):
                raise EngineFailed(
                    f"{path}: '{key}' holds no value; run 'podbook verify {path}' to find what is damaged"
                )

    def __getitem__(self, key: str) -> Any:
        return self.figures[key][0]

    def table(self) -> Table:
        """Return the months as a table."""
        table = Table(*(heading for _, heading, _ in COLUMNS))
        for month in range(len(self.figures["winter.label"])):
            if self.figures["winter.days"][month] > 0:
                cells = ((self.figures[key][month], look) for key, _, look in COLUMNS)
                table.add_row(*(f"{each:{look}}" if look else str(each) for each, look in cells))
        return table

    def sentences(self) -> tuple[str, ...]:
        """Return what the figures mean, in plain words."""
        out, left = self["out_month"], f"{self['pods_left']:,.0f}"
        watch = {
            str(each).removeprefix("LOOK: ") for each in self.figures["winter.watch"] if str(each).startswith("LOOK")
        }
        break_even = f"They pay as long as hay costs more than ${self['hay_break_even']:,.0f} a ton."
        return (
            f"The pods your stock eat hold {self['pod_head_days']:,.0f} head-days of winter energy.",
            f"They save {self['hay_saved']:,.1f} tons of hay and ${self['saving']:,.0f},"
            f" {self['offset']:.0%} of the winter's feed cost.",
            break_even if self["saving"] > 0 else "At these prices they do not pay.",
            f"Pods last the winter; {left} lb are left." if out == "none" else f"Pods run out in {out}.",
            f"{self['sugar_caution']}. Call a veterinarian at signs of grain overload.",
            *((f"Watch: {', '.join(sorted(watch))}.",) if watch else ()),
            f"The book: {self['status']}.",
        )
