"""Pictures of the stories as SVG: bars and lines in the workbook's palette, each series known in grey by its strokes.

Colours, strokes and faces are those of the workbook and of the report; every text is escaped.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence

from podbook.book import look
from podbook.review.report.markup import Markup, element
from podbook.review.report.style import FACES

WIDTH, EDGE = 480, 12
SHOWN = 640
"""Width on a wide screen; a phone shrinks it to its own, and its letters are still read."""
LINE = 20
BAR, BETWEEN, GAP = 17, 3, 12
LEFT, TALL, FOOT = 62, 230, 44
TICKS = 5
SERIES = ((look.SHADES[0], ""), (look.SHADES[2], "M-2 2 L2 -2 M0 8 L8 0 M6 10 L10 6"), (look.SHADES[1], "M4 0 V8"))
"""Ground and hatching of a series of bars, in turn."""
DASHES = {"solid": "", "dash": "9 5", "sysDot": "2 4", "dashDot": "10 4 2 4"}
"""The workbook's dashes as SVG has them."""


def bars(
    title: str, groups: Mapping[str, Sequence[float]], series: Sequence[str], words: Callable[[float], str], along: str
) -> str:
    """Return groups of bars lying one under the other, a bar for each of the series, with its figure at its end."""
    most = max((each for group in groups.values() for each in group), default=0.0) or 1.0
    longest = max(len(words(each)) for group in groups.values() for each in group)
    scale = (WIDTH - 2 * EDGE - 9 * longest) / most
    drawn = [_text(EDGE, LINE, title, font_weight="bold"), _text(EDGE, 2 * LINE, along, fill=f"#{look.QUIET}")]
    top = 2.0 * LINE + 8
    for number, name in enumerate(series):
        drawn += [_bar(EDGE, top, 22, number), _text(EDGE + 30, top + 13, name)]
        top += LINE
    for group, values in groups.items():
        top += GAP
        drawn.append(_text(EDGE, top + 13, group, font_weight="bold"))
        top += LINE
        for number, each in enumerate(values):
            drawn += [_bar(EDGE, top, each * scale, number), _text(EDGE + each * scale + 6, top + 13, words(each))]
            top += BAR + BETWEEN
    told = "; ".join(
        f"{group}: " + ", ".join(f"{name} {words(each)}" for name, each in zip(series, values, strict=True))
        for group, values in groups.items()
    )
    hatches = element("defs", *(_hatch(number) for number in range(len(series))))
    return _picture(title, f"{along}. {told}.", top + EDGE, hatches, *drawn)


def lines(title: str, curves: Mapping[str, Sequence[tuple[float, float]]], along: str, up: str, told: str) -> str:
    """Return curves over one axis, each with its own dashes; ``told`` says in words what they show."""
    across = [x for curve in curves.values() for x, _ in curve]
    heights = [y for curve in curves.values() for _, y in curve]
    x_ticks, y_ticks = _ticks(0, max(across)), _ticks(min(0.0, *heights), max(heights))
    top = LINE * (3.0 + len(curves)) + 4
    wide = WIDTH - LEFT - 2 * EDGE

    def at(x: float, y: float) -> tuple[float, float]:
        share = (y - y_ticks[0]) / (y_ticks[-1] - y_ticks[0])
        return LEFT + x / x_ticks[-1] * wide, top + TALL * (1 - share)

    drawn = [_text(EDGE, LINE, title, font_weight="bold")]
    for number, name in enumerate(curves):
        height = LINE * (number + 2)
        drawn += [_stroke([(EDGE, height - 5), (EDGE + 40, height - 5)], number), _text(EDGE + 48, height, name)]
    drawn.append(_text(EDGE, top - 14, up, fill=f"#{look.QUIET}"))
    for tick in y_ticks:
        x, y = at(0, tick)
        drawn += [_rule(x, y, x + wide, y, bold=tick == 0), _text(x - 6, y + 5, f"{tick:,.0f}", text_anchor="end")]
    for tick in x_ticks:
        x, y = at(tick, y_ticks[0])
        drawn += [_rule(x, y, x, y + 5, bold=True), _text(x, y + 20, f"{tick:,.0f}", text_anchor="middle")]
    drawn.append(_text(LEFT + wide, top + TALL + 38, along, text_anchor="end", fill=f"#{look.QUIET}"))
    drawn += [_stroke([at(x, y) for x, y in curve], number) for number, curve in enumerate(curves.values())]
    return _picture(title, f"{up}, over {along[0].lower()}{along[1:]}. {told}", top + TALL + FOOT, *drawn)


def _ticks(low: float, high: float) -> list[float]:
    """Return round numbers from at or below the lowest to at or above the highest."""
    power = 10.0 ** math.floor(math.log10((high - low) / TICKS))
    step = next(power * each for each in (1, 2, 5, 10) if power * each * TICKS >= high - low)
    return [number * step for number in range(math.floor(low / step), math.ceil(high / step) + 1)]


def _picture(title: str, description: str, height: float, *parts: Markup) -> str:
    return element(
        "svg",
        element("title", title),
        element("desc", description),
        element("rect", width=WIDTH, height=_at(height), fill=f"#{look.PAPER}"),
        element("g", *parts, font_family=FACES, font_size=14, fill=f"#{look.INK}"),
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {WIDTH} {_at(height)}",
        width=SHOWN,
        role="img",
    )


def _hatch(number: int) -> Markup:
    ground, strokes = SERIES[number]
    lines = element("path", d=strokes, stroke=f"#{look.INK}", stroke_width=1) if strokes else ""
    whole = element("rect", width=8, height=8, fill=f"#{ground}")
    return element("pattern", whole, lines, id=f"series-{number}", width=8, height=8, patternUnits="userSpaceOnUse")


def _bar(x: float, y: float, width: float, number: int) -> Markup:
    return element("rect", x=_at(x), y=_at(y), width=_at(width), height=BAR, fill=f"url(#series-{number})",
                   stroke=f"#{look.INK}", stroke_width="0.75")  # fmt: skip


def _stroke(points: Sequence[tuple[float, float]], number: int) -> Markup:
    shade, dash = look.STROKES[number]
    spelled = " ".join(f"{_at(x)},{_at(y)}" for x, y in points)
    return element("polyline", points=spelled, fill="none", stroke=f"#{shade}", stroke_width="2.5",
                   stroke_dasharray=DASHES[dash] or "none")  # fmt: skip


def _rule(left: float, top: float, right: float, bottom: float, *, bold: bool) -> Markup:
    shade = look.INK if bold else look.GRID
    return element("line", x1=_at(left), y1=_at(top), x2=_at(right), y2=_at(bottom), stroke=f"#{shade}")


def _text(x: float, y: float, words: str, **attributes: str) -> Markup:
    return element("text", words, x=_at(x), y=_at(y), **attributes)


def _at(place: float) -> str:
    return f"{place:.1f}".rstrip("0").rstrip(".")
