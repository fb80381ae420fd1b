"""The winter in a report: month by month as a table and as a chart, in words, and what to watch."""

from __future__ import annotations

from collections.abc import Iterator

from podbook.review.report.chart import Bar, bars
from podbook.review.report.markup import Markup, element, short
from podbook.review.report.opening import left_out
from podbook.review.report.parts import marked, section, table
from podbook.review.season import COLUMNS, EATEN, LOOK, WATCHING, WHO_DECIDES, Season
from podbook.review.verify import Verdict

HEADING = "The winter, month by month"
CHART = "What the herd eats, month by month"


def winter(verdict: Verdict) -> Markup:
    """Return the section on the winter; where cells that it needs are gone, it says so."""
    season = verdict.season
    if season.lacking:
        words = (
            "The winter can't be told: cells that it is worked out from are gone. Mend what is named above, then check"
            " again. Feed nothing by the workbook's own figures meanwhile."
        )
        return section("winter", HEADING, element("p", marked("LOOK:"), f" {words}"))
    if not season.months:
        return section("winter", HEADING, element("p", "No month has days of feeding: there is nothing to tell."))
    return section("winter", HEADING, *_told(verdict, season))


def _told(verdict: Verdict, season: Season) -> Iterator[str]:
    yield element("ul", *(element("li", *_sentence(each)) for each in season.sentences()))
    otherwise = " Where the workbook itself says something else, the figure is marked ▲." if season.otherwise else ""
    words = f"These figures are as they should be, worked out from what is filled in.{otherwise}"
    yield element("p", words, *left_out(verdict))
    headings = tuple(heading[0].upper() + heading[1:] for heading in season.headings)
    months = zip(season.months, season.rows(), strict=True)
    rows = [tuple(_cells(season, month, row)) for month, row in months]
    yield table("The months of feeding", headings, rows, numbers=range(1, len(COLUMNS) - 1))
    spoken = season.spoken
    words = f"Hay in {spoken.tons} to buy, its losses counted; {spoken.mass} DM is {spoken.masses} of dry matter."
    yield element("p", words, class_="quiet")
    yield from _watch(season)
    yield from _chart(season)


def _sentence(words: str) -> Iterator[str]:
    if words.startswith(LOOK):
        yield marked(LOOK.rstrip())
        words = f" {words.removeprefix(LOOK)}"
    yield short(words)


def _cells(season: Season, month: int, row: tuple[str, ...]) -> Iterator[str]:
    for (key, _, _), words in zip(COLUMNS, row, strict=True):
        yield marked(short(words)) if (key, month) in season.otherwise else short(words)


def _watch(season: Season) -> Iterator[Markup]:
    """Yield what the watch words of these months mean."""
    if meant := season.watched():
        yield element("p", f"{WATCHING}:")
        yield element("ul", *(element("li", element("strong", word), f": {means}.") for word, means in meant))
        yield element("p", WHO_DECIDES)


def _chart(season: Season) -> Iterator[Markup]:
    """Yield the chart, and its figures as a table."""
    unit = f"{season.spoken.masses} of dry matter"
    groups = {str(season.figures["winter.label"][month]): _bars(season, month) for month in season.months}
    described = "; ".join(
        f"{month}: " + ", ".join(f"{bar.words} {_listed(bar)}" for bar in group) for month, group in groups.items()
    )
    picture = bars(groups, title=CHART, description=f"In {unit}. {described}.", along=unit)
    yield element("figure", element("figcaption", CHART), picture)
    feeds = [(side, feed) for side, feeds in EATEN.items() for feed in feeds]
    rows = [
        (month, *(f"{bar.parts[feed]:,.0f}" for bar in group for feed in bar.parts)) for month, group in groups.items()
    ]
    headings = ("Month", *(f"{feed.capitalize()}, {side}" for side, feed in feeds))
    yield element(
        "details",
        element("summary", "The figures of the chart"),
        table(f"{CHART}, {unit}", headings, rows, numbers=range(1, len(headings))),
    )


def _bars(season: Season, month: int) -> tuple[Bar, ...]:
    return tuple(
        Bar(side, {feed: float(season.figures[key][month]) for feed, key in feeds.items()})
        for side, feeds in EATEN.items()
    )


def _listed(bar: Bar) -> str:
    return " and ".join(f"{amount:,.0f} {feed}" for feed, amount in bar.parts.items() if amount > 0) or "nothing"
