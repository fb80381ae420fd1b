"""Turn a book described in US customary units, and in dollars, into another system of units and another currency."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import lru_cache

from podbook.book.model import Block, Book, Entries, Entry, Picture, Prose, Sheet, Single, Table
from podbook.book.node import Content, Node
from podbook.systems import ACRE, BUSHEL, FOOT, METRIC, MILE, MONEY, POUND, Turn, in_money, metric, tidy
from podbook.units import shown

FIGURE = r"\d[\d,]*(?:\.\d+)?"
_MEASURES: tuple[tuple[re.Pattern[str], Turn, str], ...] = tuple(
    (re.compile(rf"({FIGURE})((?:(?: to | or | x |-){FIGURE})*)[ -](?:{names})(?!\w)(?!\^)"), turn, sign)
    for names, turn, sign in (
        (r"lb a bushel", Turn(POUND / BUSHEL), "kg a hectolitre"),
        (r"\$ an acre", Turn(1 / ACRE), "$ a hectare"),
        (r"lb|pounds", Turn(POUND), "kg"),
        (r"acres?", Turn(ACRE), "ha"),
        (r"ft|feet", Turn(FOOT), "m"),
        (r"cubic feet", Turn(FOOT**3), "m³"),
        (r"tons?", Turn(2 * POUND), "t"),
        (r"miles an hour|mph", Turn(MILE), "km/h"),
        (r"°F", Turn(5 / 9, 32), "°C"),
        (r"bushels?", Turn(BUSHEL), "hl"),
    )
)
"""Words for a measure behind a figure, how the figure is turned, and the metric sign."""
_WORDS = (
    ("an acre", "a hectare"),
    ("acres", "hectares"),
    ("acre", "hectare"),
    ("pounds", "kilograms"),
    ("pound", "kilogram"),
    ("lb", "kg"),
    ("short tons", "tonnes"),
    ("short ton", "tonne"),
    ("tons", "tonnes"),
    ("ton", "tonne"),
    ("square feet", "square metres"),
    ("cubic foot", "cubic metre"),
    ("feet", "metres"),
    ("ft", "m"),
    ("miles", "kilometres"),
    ("mile", "kilometre"),
    ("mph", "km/h"),
    ("Fahrenheit", "Celsius"),
    ("°F", "°C"),
    ("bushels", "hectolitres"),
    ("bushel", "hectolitre"),
    ("Mcal", "MJ"),
)
"""Words for measures that stand alone."""
_METRIC_WORDS = {
    **dict(_WORDS),
    **{name[0].upper() + name[1:]: words[0].upper() + words[1:] for name, words in _WORDS},
}
_WORD = re.compile(rf"(?<!\w)(?:{'|'.join(_METRIC_WORDS)})(?!\w)")
KEPT = 20_000
"""Texts of which it is kept how they are turned: those of three books."""
ONE_FOR_ONE = "US dollars taken one for one: put in your own"
"""What is said of a default in money that is not the region's own."""
_MONEY = {"USD": ("$", "dollars", "dollar"), "EUR": ("€", "euros", "euro"), "NZD": ("NZ$", "dollars", "dollar")}


def turned(book: Book, units: str, currency: str) -> Book:
    """Return the book in a system of units and a currency: the same formulas, with every figure, unit and word turned.

    What is printed in a source is not turned: the place of a figure's source quotes it as it stands there.
    """
    turner = _Turner(units == METRIC, currency, str(book.nodes["book_title"].contents[0]))
    sheets = tuple(turner.sheet(sheet) for sheet in book.sheets)
    return replace(book, sheets=sheets, units=units, described=book)


class _Turner:
    def __init__(self, is_metric: bool, currency: str, farm: str) -> None:
        self.is_metric, self.currency, self.farm = is_metric, currency, farm

    def sheet(self, sheet: Sheet) -> Sheet:
        if sheet.quoted:
            return sheet
        blocks = tuple(self._block(block) for block in sheet.blocks)
        name = self.farm if sheet.purpose.startswith(self.farm) else ""  # a farm's name stays as it is
        return replace(sheet, purpose=name + self._words(sheet.purpose.removeprefix(name)), blocks=blocks)

    def _block(self, block: Block) -> Block:
        words = self._words
        if isinstance(block, Entries):
            return replace(block, title=words(block.title), rows=tuple(self._entry(entry) for entry in block.rows))
        if isinstance(block, Single):
            rows, heads = (tuple(self._node(node) for node in nodes) for nodes in (block.rows, block.heads))
            return replace(block, title=words(block.title), rows=rows, heads=heads, note=words(block.note))
        if isinstance(block, Table):
            fields, heads, tails = (
                tuple(self._node(node) for node in nodes) for nodes in (block.fields, block.heads, block.tails)
            )
            items = block.items if block.open_labels else tuple(words(item) for item in block.items)
            title, note = words(block.title), words(block.note)
            return replace(block, title=title, fields=fields, heads=heads, tails=tails, items=items, note=note)
        if isinstance(block, Picture):
            series = tuple((key, words(legend)) for key, legend in block.series)
            return replace(block, title=words(block.title), series=series, along=words(block.along), up=words(block.up))
        if isinstance(block, Prose):
            return replace(block, lines=tuple(words(line) for line in block.lines))
        return replace(block, title=words(block.title))

    def _entry(self, entry: Entry) -> Entry:
        unit, turn = self._unit(entry.unit)
        place, mark = entry.place, entry.mark
        if self._is_foreign(entry.unit) and not entry.local:
            place, mark = f"{place}; {ONE_FOR_ONE}".removeprefix("; "), "judgement"
        return replace(
            entry, label=self._words(entry.label), unit=unit, default=_content(turn, entry.default),
            filled=_content(turn, entry.filled), low=_figure(turn, entry.low), high=_figure(turn, entry.high),
            help=self._words(entry.help), look=_look(entry.look, turn), place=place, mark=mark,
        )  # fmt: skip

    def _node(self, node: Node) -> Node:
        unit, turn = self._unit(node.unit)
        place = node.place
        if turn != Turn() and node.role == "coefficient":
            (figure,) = node.contents
            place = f"{place}; {figure:.12g} {shown(node.unit)} there".removeprefix("; ")
        contents = tuple(self._words(str(each)) if node.worded else _content(turn, each) for each in node.contents)
        note = self._words(node.note)
        if node.role == "entry" and node.required and self._is_foreign(node.unit):
            note = f"{note} Figures here are {ONE_FOR_ONE}.".lstrip()
        return replace(
            node, label=self._words(node.label), unit=unit, contents=contents, low=_figure(turn, node.low),
            high=_figure(turn, node.high), note=note, place=place, look=_look(node.look, turn),
        )  # fmt: skip

    def _is_foreign(self, unit: str) -> bool:
        return self.currency != MONEY and MONEY in unit

    def _unit(self, unit: str) -> tuple[str, Turn]:
        turned_unit, turn = metric(unit) if self.is_metric else (unit, Turn())
        return in_money(turned_unit, self.currency), turn

    def _words(self, words: str) -> str:
        if self.is_metric:
            words = in_metric_words(words)
        if self.currency != MONEY and any(dollar in words for dollar in _MONEY[MONEY]):
            for dollar, money in zip(_MONEY[MONEY], _MONEY[self.currency], strict=True):
                words = re.sub(rf"(?<!\w)(?<!\d ){re.escape(dollar)}(?!\w)", money, words)
        return words


def _content(turn: Turn, content: Content) -> Content:
    """Return what a cell holds as it is turned; words and blanks stay."""
    return content if content is None or isinstance(content, str) else _figure(turn, content)


def _figure(turn: Turn, figure: float | None) -> float | None:
    return figure if figure is None or turn == Turn() else tidy(turn.of(figure))


def _look(look: str, turn: Turn) -> str:
    """Return a number format that shows as many digits of the turned figures, give or take one."""
    if not re.fullmatch(r"(#,##0|0)(\.0+)?", look) or turn.scale == 1:
        return look
    whole, _, places = look.partition(".")
    count = len(places)
    if turn.scale < 0.2:
        count += 1
    elif turn.scale > 5 and count:
        count -= 1
    return f"{whole}.{'0' * count}" if count else whole


@lru_cache(maxsize=KEPT)
def in_metric_words(words: str) -> str:
    """Return a text with its figures and words of US customary units turned into metric ones."""
    if not _WORD.search(words):
        return words
    for pattern, turn, sign in _MEASURES:

        def put(found: re.Match[str], turn: Turn = turn, sign: str = sign) -> str:
            more = re.sub(FIGURE, lambda figure: _rounded(figure[0], turn), found[2])
            return f"{_rounded(found[1], turn)}{more} {sign}"

        words = pattern.sub(put, words)
    return _WORD.sub(lambda found: _METRIC_WORDS[found[0]], words)


def _rounded(figure: str, turn: Turn) -> str:
    """Return a figure in a text, turned and rounded to the digits that it has, at least two."""
    bare = figure.replace(",", "")
    digits = max(2, len(bare.replace(".", "").strip("0")))
    value = float(f"{turn.of(float(bare)):.{digits}g}")
    return f"{value:,.0f}" if abs(value) >= 100 else f"{value:g}"
