"""A region's file to begin with: another region's figures, each under a comment that says what belongs there."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping

from podbook.regions.region import BY_MONTH, MONTHS, NUMBERS, Region, Sourced, Wanted
from podbook.sources import FIGURE_MARKS, OWN
from podbook.systems import CURRENCIES, SYSTEMS
from podbook.units import shown

WHERE = {
    "season_start": "Your own calendar: January is 1. In the south it is the month in which your winter begins.",
    "season_start_day": "Your own calendar.",
    "season_days": "Your own winters: last day of feeding minus first day. Pods and feeding must fit in eight months.",
    "hay_price": "What you would pay, delivered: a dealer, an auction report, a neighbour's invoice. As fed, not dry.",
    "hay_dry_matter": "A laboratory's sheet of your hay; a share: 0.9 is 90 %.",
    "hay_tdn": "A laboratory's sheet of your hay.",
    "hay_cp": "A laboratory's sheet of your hay.",
    "wage": "What an hour of work costs you, dues included, or is worth to you.",
    "corn_price": "A grain dealer. In a metric region it is the price of a hectoliter: price of a tonne x 0.07208,\n"
    "as standard corn of 56 lb a bushel weighs 72.08 kg a hectoliter.",
    "supplement_price": "A feed dealer. As fed, not dry.",
    "supplement_dry_matter": "The feed tag, or a laboratory's sheet; a share.",
    "supplement_tdn": "The feed tag, or a laboratory's sheet.",
    "supplement_cp": "The feed tag; a tag states it as fed: divide by the dry matter.",
    "stockpile_yield": "Clip a few squares of the pasture, dry and weigh. Extension services print regional means.",
    "stockpile_tdn": "A laboratory's sheet of the standing grass in mid-winter.",
    "stockpile_cp": "A laboratory's sheet of the standing grass in mid-winter.",
    "discount_rate": "What money costs you, less inflation; a share: 0.05 is 5 %.",
    "temperature": "Your weather service's normals, means of day and night. The eight months of the winter and\n"
    "the one before them must be there. For the United States: podbook regions --stations",
    "pod_drop": "Watch your trees. Shares of the year's pods by the month in which they drop; they must add up to 1.",
}


def starter(region: Region, name: str) -> str:
    """Return the text of a region's file of this name, which loads as it stands."""
    parts = [
        _comment(
            f"A region for podbook: the figures of '{region.name}', to be replaced by your own, one by one.",
            "See it with: podbook regions FILE. Build with: podbook build farm.xlsx --region FILE",
            "Each entry must stay. Value, low and high: the figure, and the range to try. Decimals have a point.",
            f'A figure of your own has source = "{OWN}" and mark = "judgement"; its place and note say whence.',
            f"Marks: {', '.join(FIGURE_MARKS)}.",
            "Other sources are keys of the bibliography, such as stand here.",
        ),
        _comment(
            f"units: {' or '.join(SYSTEMS)}; it says in which units every figure below is stated.",
            f"currency: {', '.join(f'{code} ({words})' for code, words in CURRENCIES.items())}.",
        )
        + _table("[region]", _texts({"name": name, "title": f"My place, after {region.title}"[:60],
                                     "units": region.units, "currency": region.currency})),
        *_notices(region),
        *(_number(region, entry) for entry in NUMBERS),
        *(_monthly(region, entry) for entry in BY_MONTH),
    ]  # fmt: skip
    return "\n".join(parts)


def name_of(stem: str) -> str:
    """Return the name of a region for a file of this stem."""
    plain = re.sub(r"[^a-z0-9]+", "_", stem.casefold()).strip("_")
    return (plain if plain[:1].isalpha() else f"place_{plain}".rstrip("_"))[:40]


def _notices(region: Region) -> Iterable[str]:
    about = _comment(
        "Lines about weed law for the sheet Cautions, as many as you like; at least one.",
        "Ask the plant-health authority of your place.",
    )
    for number, notice in enumerate(region.notices):
        lines = _texts({"text": notice.text, "source": notice.source, "mark": notice.mark})
        yield ("" if number else about) + _table("[[notice]]", lines)


def _about(region: Region, name: str, wanted: Wanted) -> str:
    unit, turn = wanted.stated(region.units, region.currency)
    kind = "a whole number" if wanted.whole else "a number"
    bounds = f"{kind} from {turn.of(wanted.low):g} to {turn.of(wanted.high):g}"
    printed = shown(unit)
    words = f'unit = "{unit}"' + (f", printed as {printed}" if printed != unit else "")
    return _comment(f"{wanted.what}: {bounds}; {words}.", *WHERE[name].splitlines())


def _number(region: Region, name: str) -> str:
    found = region.numbers[name]
    figures = [f"{field} = {_figure(getattr(found.stated, field))}" for field in ("value", "low", "high")]
    lines = [*figures, *_origin(found, found.stated.unit)]
    return _about(region, name, NUMBERS[name]) + _table(f"[{name}]", lines)


def _monthly(region: Region, name: str) -> str:
    found = region.monthly[name]
    by_month = ", ".join(f"{MONTHS[month - 1]} = {_figure(value)}" for month, value in found.stated.by_month.items())
    lines = [*_origin(found, found.stated.unit), f"by_month = {{ {by_month} }}"]
    return _about(region, name, BY_MONTH[name]) + _table(f"[{name}]", lines)


def _origin(found: Sourced, unit: str) -> list[str]:
    fields = ("source", "place", "year", "mark", "note")
    return _texts({"unit": unit, **{field: getattr(found, field) for field in fields}})


def _figure(value: float) -> str:
    return f"{value:.15g}"


def _texts(texts: Mapping[str, str]) -> list[str]:
    return [f"{field} = {json.dumps(text, ensure_ascii=False)}" for field, text in texts.items()]


def _comment(*lines: str) -> str:
    return "".join(f"# {line}\n" for line in lines)


def _table(heading: str, lines: Iterable[str]) -> str:
    return "\n".join((heading, *lines)) + "\n"
