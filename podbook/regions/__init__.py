"""Regions: every default that varies with place, each with its unit, source, place, year and mark."""

from podbook.regions.load import load, names
from podbook.regions.region import Default, Monthly, Notice, Region

__all__ = ["Default", "Monthly", "Notice", "Region", "load", "names"]
