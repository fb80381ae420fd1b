"""What a region is: its defaults, and the names, units and bounds that they must have."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import fsum
from types import MappingProxyType

from podbook.errors import PodbookError
from podbook.regions.calendar import days_fed, month_before, months_of_book
from podbook.regions.stations import NORMALS, PERIOD, Station
from podbook.systems import METRIC, Turn, in_money, metric, tidy

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
COLDEST, WARMEST = -40.0, 90.0
"""Bounds of a month's mean temperature in the winter of a book, °F."""


@dataclass(frozen=True)
class Wanted:
    """What a default is, the unit of the US book in which it is held, and the bounds of what the book can use."""

    what: str
    unit: str
    low: float
    high: float
    whole: bool = False

    def stated(self, units: str, currency: str) -> tuple[str, Turn]:
        """Return the unit in which a region's file states it, and how figures are turned into that unit."""
        unit, turn = metric(self.unit) if units == METRIC else (self.unit, Turn())
        return in_money(unit, currency), turn


NUMBERS = {
    "season_start": Wanted("Month in which feeding begins", "month", 1, 12, whole=True),
    "season_start_day": Wanted("Day of that month", "day", 1, 31, whole=True),
    "season_days": Wanted("Days on which stock are fed", "day", 0, 240, whole=True),
    "hay_price": Wanted("Price of hay, delivered", "USD/short_ton_fed", 20, 700),
    "hay_dry_matter": Wanted("Hay: dry matter", "lb_dry/lb_fed", 0.6, 0.95),
    "hay_tdn": Wanted("Hay: TDN, of dry matter", "percent", 38, 70),
    "hay_cp": Wanted("Hay: crude protein, of dry matter", "percent", 3, 26),
    "wage": Wanted("Wage", "USD/hour", 0, 200),
    "corn_price": Wanted("Price of corn", "USD/bushel", 1, 20),
    "supplement_price": Wanted("Price of a protein supplement", "USD/short_ton_fed", 50, 3000),
    "supplement_dry_matter": Wanted("Supplement: dry matter", "lb_dry/lb_fed", 0.6, 1),
    "supplement_tdn": Wanted("Supplement: TDN, of dry matter", "percent", 40, 95),
    "supplement_cp": Wanted("Supplement: crude protein, of dry matter", "percent", 10, 60),
    "stockpile_yield": Wanted("Stockpile standing when feeding begins", "lb_dry/acre", 0, 6000),
    "stockpile_tdn": Wanted("Stockpile: TDN in mid-winter", "percent", 38, 75),
    "stockpile_cp": Wanted("Stockpile: crude protein in mid-winter", "percent", 3, 26),
    "discount_rate": Wanted("Real rate of interest", "fraction", 0, 0.3),
}
BY_MONTH = {
    "temperature": Wanted("Mean temperature", "degF", -60, 120),
    "pod_drop": Wanted("Pods that drop, share of the year's", "fraction", 0, 1),
}


@dataclass(frozen=True)
class Sourced:
    """Where a default comes from."""

    name: str
    unit: str
    """Unit of the US book, with USD as the word for money."""
    source: str
    """Key of the bibliography."""
    place: str
    year: str
    mark: str
    """``published``, ``common practice``, ``from memory``, ``judgement`` or ``derived``."""
    note: str


@dataclass(frozen=True)
class Stated:
    """A number as its file states it, in the region's own unit."""

    unit: str
    value: float
    low: float
    high: float


@dataclass(frozen=True)
class StatedByMonth:
    """Numbers by month as their file states them, in the region's own unit."""

    unit: str
    by_month: Mapping[int, float]


@dataclass(frozen=True)
class Default(Sourced):
    """One number, with the range to try."""

    value: float
    low: float
    high: float
    stated: Stated


@dataclass(frozen=True)
class Monthly(Sourced):
    """A number for each month of the calendar that has one."""

    by_month: Mapping[int, float]
    """January is 1."""
    stated: StatedByMonth

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
    units: str
    """``us`` or ``metric``: how its file states its figures, and the units of its books."""
    currency: str
    notices: tuple[Notice, ...]
    numbers: Mapping[str, Default]
    monthly: Mapping[str, Monthly]

    def __hash__(self) -> int:
        """Go by its names: its mappings, by which two are equal or not, have no hash."""
        return hash((self.name, self.title))

    def __getitem__(self, name: str) -> float:
        """Return the value of a default."""
        return self.numbers[name].value

    def days_fed(self) -> dict[int, int]:
        """Return the days of feeding by calendar month."""
        return days_fed(int(self["season_start"]), int(self["season_start_day"]), int(self["season_days"]))

    def at_station(self, station: Station) -> Region:
        """Return the region with the normals of a weather station for its temperatures.

        Raises PodbookError where the station's warm months are the region's winter, or a month is beyond what a book
        takes.
        """
        there = station.temperatures
        fed = self.days_fed()
        months_here = months_of_book(fed, self.monthly["pod_drop"].by_month)
        for month in (month_before(months_here[0]), *months_here):
            if not COLDEST <= there[month] <= WARMEST:
                raise PodbookError(
                    f"{station.title}: found {there[month]:g} °F in {MONTHS[month - 1]}; allowed: "
                    f"{COLDEST:g} to {WARMEST:g} °F in the months of {self.name}'s book; choose another station"
                )
        winter = [month for month in months_here if fed.get(month)]
        if winter and fsum(there[month] for month in winter) / len(winter) > fsum(there.values()) / len(there):
            span = f"{MONTHS[winter[0] - 1]} to {MONTHS[winter[-1] - 1]}"
            raise PodbookError(
                f"{station.title}: found {span}, the winter of {self.name}, among its warm months; "
                "allowed: a station whose winter it is; leave out --station, or choose another region"
            )
        unit, turn = BY_MONTH["temperature"].stated(self.units, self.currency)
        temperature = replace(
            self.monthly["temperature"],
            source=NORMALS,
            place=f"{station.title}, station {station.id}, normal daily mean",
            year=PERIOD,
            mark="published",
            note="Put in by station; the region's other figures are its own.",
            by_month=there,
            stated=StatedByMonth(
                unit, MappingProxyType({month: tidy(turn.of(value)) for month, value in there.items()})
            ),
        )
        return replace(self, monthly=MappingProxyType({**self.monthly, "temperature": temperature}))
