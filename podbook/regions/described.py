"""Regions and stations as data for other programs."""

from __future__ import annotations

from typing import Any

from podbook.regions.declared_weeds import Declared
from podbook.regions.region import MONTHS, Region, Sourced
from podbook.regions.stations import Station


def described(region: Region) -> dict[str, Any]:
    """Return all of a region, its figures as its file states them."""
    return {
        **summary(region),
        "notices": [{"text": each.text, "source": each.source, "mark": each.mark} for each in region.notices],
        "numbers": {
            name: {"value": each.stated.value, "low": each.stated.low, "high": each.stated.high,
                   "unit": each.stated.unit, **_origin(each)}
            for name, each in region.numbers.items()
        },
        "by_month": {
            name: {"values": _by_month(each.stated.by_month), "unit": each.stated.unit, **_origin(each)}
            for name, each in region.monthly.items()
        },
    }  # fmt: skip


def summary(region: Region) -> dict[str, Any]:
    """Return what tells one region from another."""
    return {
        "name": region.name,
        "title": region.title,
        "units": region.units,
        "currency": region.currency,
        "temperature_place": region.monthly["temperature"].place,
        "season": season(region),
    }


def season(region: Region) -> str:
    """Return the season of feeding in words."""
    start, day, days = (int(region[name]) for name in ("season_start", "season_start_day", "season_days"))
    return f"{days} days from {day} {MONTHS[start - 1]}"


def weed(place: Declared) -> dict[str, Any]:
    """Return a place where honey locust is a declared weed."""
    return {"name": place.name, "title": place.title, "reason": place.reason, "source": place.source,
            "mark": place.mark}  # fmt: skip


def at(station: Station) -> dict[str, Any]:
    """Return a weather station with its normals in °F."""
    by_month = _by_month(station.temperatures)
    return {"id": station.id, "name": station.name, "state": station.state, "unit": "degF", "temperature": by_month}


def _by_month(values: Any) -> dict[str, float]:
    return {MONTHS[month - 1]: value for month, value in values.items()}


def _origin(each: Sourced) -> dict[str, str]:
    return {"source": each.source, "place": each.place, "year": each.year, "mark": each.mark, "note": each.note}
