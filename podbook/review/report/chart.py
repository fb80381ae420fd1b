"""A chart as inline SVG: bars lying one above the other, each of parts that differ in grey by their hatching."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from podbook.book import look
from podbook.review.report.markup import Markup, element, joined

WIDTH, LEFT, RIGHT = 420, 102, 28
"""So narrow that its letters can be read on a phone; wider screens enlarge it."""
BAR, BETWEEN, GAP = 16, 3, 14
LEGEND, AXIS = 34, 36
TICKS = 4
LEAST = 0.001
"""A longest bar shorter than this is drawn on a scale to 1: it is nobody's feed, and may be too small to divide by."""

HATCHES: Mapping[str, tuple[str, str]] = {
    "pods": (look.SHADES[0], ""),
    "stockpile": (look.SHADES[1], "M-2 2 L2 -2 M0 8 L8 0 M6 10 L10 6"),
    "hay": (look.SHADES[2], "M4 0 V8"),
    "supplement": (look.SHADES[4], "M0 4 H8"),
}
"""Ground and strokes of each feed."""


@dataclass(frozen=True)
class Bar:
    """One bar."""

    words: str
    parts: Mapping[str, float]
    """How much of each feed."""


def bars(groups: Mapping[str, Sequence[Bar]], *, title: str, description: str, along: str) -> Markup:
    """Return groups of bars, a group a month, as an SVG picture with its title and its description."""
    most = max((sum(bar.parts.values()) for group in groups.values() for bar in group), default=0.0)
    step = _step(most)
    ticks = max(1, math.ceil(most / step))
    scale = (WIDTH - LEFT - RIGHT) / (ticks * step)
    drawn, top = [], LEGEND
    for words, group in groups.items():
        height = len(group) * (BAR + BETWEEN) - BETWEEN
        drawn.append(_text(0, top + height / 2 + 4, words, font_weight="bold"))
        for bar in group:
            drawn.append(_text(LEFT - 6, top + BAR - 3.5, bar.words, text_anchor="end"))
            left = float(LEFT)
            for feed, amount in bar.parts.items():
                if amount > 0:
                    drawn.append(_box(left, top, amount * scale, BAR, feed))
                    left += amount * scale
            top += BAR + BETWEEN
        top += GAP
    bottom = top - GAP + BETWEEN + 2
    feeds = dict.fromkeys(
        feed for group in groups.values() for bar in group for feed, amount in bar.parts.items() if amount > 0
    )
    return element(
        "svg",
        element("title", title, id="chart-title"),
        element("desc", description, id="chart-description"),
        element("defs", *(_hatch(feed, *HATCHES[feed]) for feed in feeds)),
        _legend(tuple(feeds)),
        *_axis([number * step for number in range(ticks + 1)], scale, bottom, along),
        *drawn,
        viewBox=f"0 0 {WIDTH} {bottom + AXIS:g}",
        role="img",
        aria_labelledby="chart-title chart-description",
    )


def _step(most: float) -> float:
    """Return a round step of which at most TICKS reach as far as the longest bar."""
    if most < LEAST:
        return 1.0
    power = 10.0 ** math.floor(math.log10(most / TICKS))
    return next(power * each for each in (1, 2, 5, 10) if power * each * TICKS >= most)


def _axis(ticks: Sequence[float], scale: float, bottom: float, along: str) -> list[Markup]:
    drawn = [_text(LEFT, bottom + 30, along)]
    for tick in ticks:
        x = LEFT + tick * scale
        drawn.append(element("line", x1=_at(x), y1=LEGEND - 4, x2=_at(x), y2=_at(bottom), stroke=f"#{look.GRID}"))
        drawn.append(_text(x, bottom + 14, f"{tick:,.0f}" if ticks[1] >= 1 else f"{tick:.4g}", text_anchor="middle"))
    return drawn


def _legend(feeds: Sequence[str]) -> Markup:
    wide = WIDTH / max(4, len(feeds))
    drawn = []
    for number, feed in enumerate(feeds):
        drawn.append(_box(number * wide + 0.5, 3, 16, 14, feed))
        drawn.append(_text(number * wide + 22, 14, feed))
    return element("g", *drawn)


def _hatch(feed: str, ground: str, strokes: str) -> Markup:
    lines = element("path", d=strokes, stroke=f"#{look.INK}", stroke_width=1) if strokes else ""
    return element(
        "pattern",
        joined(element("rect", width=8, height=8, fill=f"#{ground}"), lines),
        id=f"feed-{feed}",
        width=8,
        height=8,
        patternUnits="userSpaceOnUse",
    )


def _box(x: float, y: float, width: float, height: float, feed: str) -> Markup:
    return element("rect", x=_at(x), y=_at(y), width=_at(width), height=_at(height), fill=f"url(#feed-{feed})",
                   stroke=f"#{look.INK}", stroke_width="0.75")  # fmt: skip


def _text(x: float, y: float, words: str, **attributes: str) -> Markup:
    return element("text", words, x=_at(x), y=_at(y), **attributes)


def _at(place: float) -> str:
    return f"{place:.2f}".rstrip("0").rstrip(".")
