"""What a region is: its defaults, and the names, units and bounds that they must have."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
MARKS = ("published", "common practice", "from memory", "judgement", "derived")


@dataclass(frozen=True)
class Wanted:
    """The unit in which a default is given, and the bounds of what can be true anywhere."""

    unit: str
    low: float
    high: float
    whole: bool = False


NUMBERS = {
    "season_start": Wanted("month", 1, 12, whole=True),
    "season_start_day": Wanted("day", 1, 31, whole=True),
    "season_days": Wanted("day", 0, 240, whole=True),
    "hay_price": Wanted("USD/short_ton_fed", 1, 2000),
    "hay_dry_matter": Wanted("lb_dry/lb_fed", 0.5, 1),
    "hay_tdn": Wanted("percent", 30, 80),
    "hay_cp": Wanted("percent", 1, 40),
    "wage": Wanted("USD/hour", 0, 200),
    "corn_price": Wanted("USD/bushel", 0.1, 50),
    "supplement_price": Wanted("USD/short_ton_fed", 1, 5000),
    "supplement_dry_matter": Wanted("lb_dry/lb_fed", 0.2, 1),
    "supplement_tdn": Wanted("percent", 30, 100),
    "supplement_cp": Wanted("percent", 5, 90),
    "stockpile_yield": Wanted("lb_dry/acre", 0, 20000),
    "stockpile_tdn": Wanted("percent", 30, 85),
    "stockpile_cp": Wanted("percent", 1, 40),
    "discount_rate": Wanted("fraction", 0, 0.3),
}
BY_MONTH = {
    "temperature": Wanted("degF", -60, 120),
    "pod_drop": Wanted("fraction", 0, 1),
}


@dataclass(frozen=True)
class Sourced:
    """Where a default comes from."""

    name: str
    unit: str
    source: str
    """Key of the bibliography."""
    place: str
    year: str
    mark: str
    """``published``, ``common practice``, ``from memory``, ``judgement`` or ``derived``."""
    note: str


@dataclass(frozen=True)
class Default(Sourced):
    """One number, with the range to try."""

    value: float
    low: float
    high: float


@dataclass(frozen=True)
class Monthly(Sourced):
    """A number for each month of the calendar that has one."""

    by_month: Mapping[int, float]
    """January is 1."""

    def in_month(self, month: int) -> float:
        """Return the month's number, 0 where it has none."""
        return self.by_month.get(month, 0.0)


@dataclass(frozen=True)
class Notice:
    """A line about the law of the place, shown where trees are ordered."""

    text: str
    source: str
    mark: str


@dataclass(frozen=True)
class Region:
    """Every default of one region."""

    name: str
    title: str
    currency: str
    notices: tuple[Notice, ...]
    numbers: Mapping[str, Default]
    monthly: Mapping[str, Monthly]

    def __getitem__(self, name: str) -> float:
        """Return the value of a default."""
        return self.numbers[name].value
