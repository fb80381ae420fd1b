"""Regions: every default that varies with place, each with its unit, source, place, year and mark."""

from podbook.regions.declared_weeds import declared_weeds, refuse_declared
from podbook.regions.load import HOME, know, known, load, names
from podbook.regions.region import Default, Monthly, Notice, Region
from podbook.regions.stations import Station, station, stations

__all__ = [
    "HOME",
    "Default",
    "Monthly",
    "Notice",
    "Region",
    "Station",
    "declared_weeds",
    "know",
    "known",
    "load",
    "names",
    "refuse_declared",
    "station",
    "stations",
]
