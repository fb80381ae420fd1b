"""How many acres? Where more pods no longer save this herd anything."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise

import numpy as np
import pictures
from story import Story, Told, herd, of_books, shares, table, trust

PICTURE = "saved_by_acres.svg"
SOME = (1, 3, 5, 7, 9, 11, 13)
"""Sizes that the table shows."""
LAST = 13
UNSURE = (
    "diet_sugar_limit", "share_cap", "hay_price", "frost_chance", "wildlife_loss", "never_picked", "yearly_loss",
)  # fmt: skip


def _next_acre(told: Told) -> list[float]:
    """Return what the next acre saves between one size and the next: what is saved more, over the acres more."""
    points = zip(told.numbers("sizes.area"), told.numbers("sizes.money"), strict=True)
    return [(after[1] - before[1]) / (after[0] - before[0]) for before, after in pairwise(points)]


def _dollars(number: float) -> str:
    return f"${number:,.0f}"


def _acres(number: float) -> str:
    return f"{number:,.0f} acres" if number >= 10 else f"{number:,.1f} acres"


def marks(books: Mapping[str, Told]) -> dict[str, str]:
    farm, wild, double = books["farm"], books["wild"], books["double"]
    by_acre = _next_acre(farm)
    keys = ("area", "crop", "fed", "saved", "money")
    rows = [
        (
            *(farm.says(f"sizes.{key}", size) for key in keys),
            "" if size == 1 else _dollars(by_acre[size - 2]),
        )
        for size in SOME
    ]
    headings = [*(farm.node(f"sizes.{key}").label for key in keys), "the last acre saves"]
    limits = [
        ("Land under trees, as filled in", "area", 1),
        ("Acres of full-grown stand that the herd can use", "sizes.area", LAST),
        ("Largest crop that the herd can use, dry", "largest_crop", 1),
        ("Sugar of the pods", "grown_sugar", 1),
        ("Most pods in the ration", "grown_full_share", 1),
        ("Hay saved by that crop", "sizes.saved", LAST),
        ("Saved in all by that crop", "sizes.money", LAST),
    ]
    months = [
        (farm.says("grown.label", month), farm.says("grown.fills", month))
        for month, crop in enumerate(farm.numbers("grown.fills"), 1)
        if crop > 0
    ]
    return {
        "sizes": table(headings, rows, range(len(headings))),
        "limits": of_books(("grafted", "wild", "grafted, twice the herd"), limits, (farm, wild, double)),
        "months": table(("month", "crop from which on it has enough"), months, (1,)),
        "trust": trust(farm, *UNSURE, hay_sugar="Hay: sugar, of dry matter"),
        "wanted": _acres(farm.number("area")),
        "enough": _acres(farm.number("sizes.area", LAST)),
        "at_most": farm.says("sizes.money", LAST),
        "share_of_bill": f"{farm.number('sizes.money', LAST) / farm.number('cost_without'):.0%}",
        "first_acre": _dollars(by_acre[0]),
        "last_acre": _dollars(by_acre[-1]),
        "sugar": farm.says("grown_sugar"),
        "cap": farm.says("grown_full_share"),
        "share_cap": farm.says("share_cap"),
        "sugar_limit": farm.says("diet_sugar_limit"),
        "wild_sugar": wild.says("grown_sugar"),
        "wild_cap": wild.says("grown_full_share"),
        "wild_acres": _acres(wild.number("sizes.area", LAST)),
        "wild_money": wild.says("sizes.money", LAST),
        "double_acres": _acres(double.number("sizes.area", LAST)),
        "saved_as_filled": farm.says("saving"),
        "left": farm.says("pods_left"),
        "spoiled": farm.says("pods_spoiled"),
        "dropped": farm.says("pod_crop"),
    }  # fmt: skip


def _on(told: Told, land: float) -> list[tuple[float, float]]:
    """Return what is saved on up to so many acres; between two sizes along a straight line, as the book reads it."""
    acres, money = told.numbers("sizes.area"), told.numbers("sizes.money")
    return [
        *(point for point in zip(acres, money, strict=True) if point[0] < land),
        (land, float(np.interp(land, acres, money))),
    ]


def drawn(books: Mapping[str, Told]) -> dict[str, str]:
    names = {"farm": "selected grafted trees", "wild": "wild trees", "double": "selected grafted, twice the herd"}
    land = books["farm"].number("area")
    curves = {words: _on(books[name], land) for name, words in names.items()}
    told = " ".join(
        f"{words}: {_dollars(curves[words][-1][1])} on {_acres(land)}; level from"
        f" {_acres(books[name].number('sizes.area', LAST))} on, at {books[name].says('sizes.money', LAST)}."
        for name, words in names.items()
    )
    title = "What a winter's pods save this herd"
    return {PICTURE: pictures.lines(title, curves, "Acres of trees, full-grown", "Saved a winter, dollars", told)}


STORY = Story("how_many_acres", {"wild": shares(1, 0, 0), "double": herd(2)}, marks, drawn)
