"""Kinds of change: what may go wrong in one formula cell, by a slip of the hand or of a program."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from functools import cached_property
from random import Random
from typing import Any

from live import Live
from openpyxl.utils import column_index_from_string, get_column_letter
from openpyxl.utils.cell import coordinate_to_tuple

from podbook.book.formula import absolute, sheet_prefix
from podbook.book.node import Node
from podbook.proof.wiring import Where

APART = re.compile(r"\"[^\"]*\"|'[^']*'!")
"""What holds no operator and no reference: words in quotes, names of sheets."""
ARITHMETIC = re.compile(r"(?<=[\w)])[-+*/^]")
COMPARISON = re.compile(r"(?<!^)(?:<=|>=|<>|[<>=])")
REFERENCE = re.compile(r"(?<![A-Za-z0-9_.$])(\$?)([A-Z]{1,3})(\$?)(\d+)(?![A-Za-z0-9_.(!])")
RANGE = re.compile(rf"{REFERENCE.pattern}:{REFERENCE.pattern}")
TITLE = re.compile(r"(?:'[^']+'|(?<![A-Za-z0-9_.])[A-Za-z][A-Za-z0-9_]*)!")
WORD = re.compile(r"(?<![A-Za-z0-9_.$!])[A-Za-z_][A-Za-z0-9_.]*(?![A-Za-z0-9_.(!])")
NUMBER = re.compile(r"(?<![A-Za-z0-9_.$:])\d+(?:\.\d+)?(?![A-Za-z0-9_.:(!])")
CALL = re.compile(r"(?<![A-Za-z0-9_.])[A-Z][A-Z0-9.]*\(")
FACTOR = re.compile(r"[-+*/](?:'[^']+'!|[A-Za-z]\w*!)?(?:[A-Za-z_$][\w.$]*|\d+)(?![\w.(!:$])")
SWAPPED = {
    "+": "-",
    "-": "+",
    "*": "/",
    "/": "*",
    "^": "*",
    "<": ">",
    ">": "<",
    "<=": ">=",
    ">=": "<=",
    "<>": "=",
    "=": "<>",
}
AT_THE_EDGE = {"<": "<=", "<=": "<", ">": ">=", ">=": ">", "=": "<=", "<>": ">"}
OTHER_FUNCTION = {
    "MIN": "MAX",
    "MAX": "MIN",
    "AND": "OR",
    "OR": "AND",
    "SUM": "AVERAGE",
    "AVERAGE": "SUM",
    "COUNT": "ROWS",
    "SUMIF": "COUNTIF",
    "COUNTIF": "SUMIF",
    "ROWS": "COLUMNS",
    "COLUMNS": "ROWS",
    "ROUND": "MAX",
    "INDEX": "MATCH",
    "MATCH": "INDEX",
    "ISNUMBER": "ISERROR",
    "ISERROR": "ISNUMBER",
    "SUMPRODUCT": "SUM",
    "CHOOSE": "MAX",
    "IRR": "SUM",
    "NPV": "SUM",
    "EXP": "LN",
    "LN": "EXP",
    "SQRT": "ABS",
    "ABS": "SQRT",
    "IF": "MAX",
    "NOT": "ABS",
    "FIND": "MAX",
    "PMT": "SUM",
}
UNIT_SLIPS = ("*2.2046", "/2.2046", "*0.4047", "/0.4047", "*2000", "/2000", "*100", "/100")
"""Pounds and kilograms, acres and hectares, pounds and short tons, shares and percent: each way."""


class Spot:
    """One formula cell, and the spots in its formula where something may change."""

    def __init__(self, live: Live, where: Where) -> None:
        self.live, self.where, self.address = live, where, live.address(where)
        self.formula: str = live.cells[self.address]
        self.value = live.values[self.address]
        self.bare = APART.sub(lambda match: "\0" * len(match.group(0)), self.formula)
        """The formula at the same length, with what stands in quotes blotted out."""

    def put(self, match: re.Match[str], new: str) -> str:
        """Return the formula with something else in the place of a match."""
        return self.formula[: match.start()] + new + self.formula[match.end() :]

    @cached_property
    def references(self) -> list[re.Match[str]]:
        return list(REFERENCE.finditer(self.bare))

    @cached_property
    def names(self) -> list[re.Match[str]]:
        return [match for match in WORD.finditer(self.bare) if match.group(0) in self.live.book.by_name]

    @cached_property
    def calls(self) -> list[tuple[str, list[tuple[int, int]]]]:
        """Every call of a function: its name, and where each of its arguments begins and ends."""
        return [(match.group(0)[:-1], list(arguments(self.bare, match.end()))) for match in CALL.finditer(self.bare)]

    def shuffled(self, random: Random, several: list[Any]) -> list[Any]:
        return random.sample(several, len(several))

    def with_arguments(self, spans: list[tuple[int, int]], new: list[str]) -> str:
        """Return the formula with the arguments of one call put otherwise."""
        return self.formula[: spans[0][0]] + ",".join(new) + self.formula[spans[-1][1] :]

    def texts(self, spans: list[tuple[int, int]]) -> list[str]:
        return [self.formula[first:last] for first, last in spans]


def arguments(bare: str, start: int) -> Iterator[tuple[int, int]]:
    """Yield where each argument begins and ends of the call whose bracket was opened just before ``start``."""
    depth, first = 0, start
    for at in range(start, len(bare)):
        if bare[at] == "(":
            depth += 1
        elif (bare[at] == ")" and depth == 0) or (bare[at] == "," and depth == 0):
            yield first, at
            first = at + 1
            if bare[at] == ")":
                return
        elif bare[at] == ")":
            depth -= 1


Change = Callable[[Spot, Random], Iterator[Any]]
"""Yields what may stand in the cell instead, in an order of chance: the first that can be used is taken."""
CHANGES: dict[str, Change] = {}


def kind(name: str) -> Callable[[Change], Change]:
    """Enter a kind of change under its name."""

    def enter(change: Change) -> Change:
        CHANGES[name] = change
        return change

    return enter


@kind("own number")
def _own_number(spot: Spot, _: Random) -> Iterator[Any]:
    yield spot.value


@kind("own number as text")
def _own_number_as_text(spot: Spot, _: Random) -> Iterator[Any]:
    yield str(spot.value)


@kind("another number")
def _another_number(spot: Spot, _: Random) -> Iterator[Any]:
    yield spot.value * 1.1 + 1 if isinstance(spot.value, float) else 7.0


@kind("a word")
def _word(_spot: Spot, _: Random) -> Iterator[Any]:
    yield "about right"


@kind("cleared")
def _cleared(_spot: Spot, _: Random) -> Iterator[Any]:
    yield None


@kind("an error typed")
def _error(_spot: Spot, _: Random) -> Iterator[Any]:
    yield "#N/A"


@kind("#REF!")
def _lost(spot: Spot, random: Random) -> Iterator[Any]:
    for match in spot.shuffled(random, spot.references + spot.names):
        yield spot.put(match, "#REF!")


@kind("operator")
def _operator(spot: Spot, random: Random) -> Iterator[Any]:
    for match in spot.shuffled(random, list(ARITHMETIC.finditer(spot.bare))):
        yield spot.put(match, SWAPPED[match.group(0)])


@kind("comparison turned")
def _comparison(spot: Spot, random: Random) -> Iterator[Any]:
    for match in spot.shuffled(random, list(COMPARISON.finditer(spot.bare))):
        yield spot.put(match, SWAPPED[match.group(0)])


@kind("comparison at its edge")
def _edge(spot: Spot, random: Random) -> Iterator[Any]:
    for match in spot.shuffled(random, list(COMPARISON.finditer(spot.bare))):
        yield spot.put(match, AT_THE_EDGE[match.group(0)])


def moved(match: re.Match[str], down: int, right: int) -> str | None:
    """Return a reference moved by so many rows and columns; None where the sheet ends."""
    row, column = int(match.group(4)) + down, column_index_from_string(match.group(2)) + right
    return f"{match.group(1)}{get_column_letter(column)}{match.group(3)}{row}" if row > 0 and column > 0 else None


def _moved(spot: Spot, random: Random, steps: tuple[tuple[int, int], ...], fixed: bool | None) -> Iterator[str]:
    for match in spot.shuffled(random, spot.references):
        if fixed is None or fixed == bool(match.group(3)):
            for down, right in random.sample(steps, len(steps)):
                if (other := moved(match, down, right)) is not None:
                    yield spot.put(match, other)


@kind("reference: next row")
def _row(spot: Spot, random: Random) -> Iterator[Any]:
    yield from _moved(spot, random, ((1, 0), (-1, 0)), None)


@kind("reference: next column")
def _column(spot: Spot, random: Random) -> Iterator[Any]:
    yield from _moved(spot, random, ((0, 1), (0, -1)), None)


@kind("reference: fixed one moved")
def _fixed_moved(spot: Spot, random: Random) -> Iterator[Any]:
    yield from _moved(spot, random, ((1, 0), (0, 1)), True)


@kind("reference: moving one kept")
def _kept(spot: Spot, _: Random) -> Iterator[Any]:
    """What stands in the next cell of the same row or column, as if it had been copied without moving."""
    key, item = spot.where
    count = spot.live.book.nodes[key].count
    for other in (item - 1, item + 1):
        if 0 <= other < count:
            yield spot.live.cells[spot.live.address((key, other))]


@kind("reference: another")
def _another(spot: Spot, random: Random) -> Iterator[Any]:
    for match in spot.shuffled(random, spot.references):
        own = sorted({each.group(0) for each in spot.references} - {match.group(0)})
        for other in (*random.sample(own, len(own)), spot.live.address(random.choice(spot.live.formulas))[1]):
            yield spot.put(match, other)


@kind("reference: another sheet")
def _another_sheet(spot: Spot, random: Random) -> Iterator[Any]:
    titles = [sheet.title for sheet in spot.live.book.sheets if sheet.title != spot.address[0]]
    bare = [match for match in spot.references if spot.formula[match.start() - 1] != "!"]
    for match in spot.shuffled(random, list(TITLE.finditer(spot.formula)) + bare):
        new = sheet_prefix(random.choice(titles))
        yield spot.put(match, new if match.re is TITLE else new + match.group(0))


def _name_kind(node: Node) -> tuple[int, str, bool]:
    return node.count, node.unit, node.role == "span"


@kind("name: another of its unit")
def _name(spot: Spot, random: Random) -> Iterator[Any]:
    nodes = spot.live.book.by_name
    for match in spot.shuffled(random, spot.names):
        own = nodes[match.group(0)]
        others = [each.name for each in nodes.values() if _name_kind(each) == _name_kind(own) and each is not own]
        for other in random.sample(others, min(3, len(others))):
            yield spot.put(match, other)


@kind("constant")
def _constant(spot: Spot, random: Random) -> Iterator[Any]:
    for match in spot.shuffled(random, list(NUMBER.finditer(spot.bare))):
        yield spot.put(match, random.choice((f"{float(match.group(0)) + 1:g}", f"{match.group(0)}0.5")))


@kind("sign of the whole")
def _sign(spot: Spot, _: Random) -> Iterator[Any]:
    yield f"=-({spot.formula[1:]})"


@kind("sign of an operand")
def _operand(spot: Spot, random: Random) -> Iterator[Any]:
    for match in spot.shuffled(random, spot.references + spot.names):
        if spot.formula[match.start() - 1] != "!" and ":" not in spot.bare[match.start() - 1 : match.end() + 1]:
            yield spot.put(match, f"(-{match.group(0)})")


def _ended(spot: Spot, random: Random, step: int) -> Iterator[str]:
    for match in spot.shuffled(random, list(RANGE.finditer(spot.bare))):
        end = REFERENCE.search(match.group(0), match.group(0).index(":") + 1)
        assert end is not None
        across = match.group(4) == match.group(8)
        if (other := moved(end, 0 if across else step, step if across else 0)) is not None:
            yield spot.put(match, match.group(0)[: end.start()] + other)
    for match in spot.shuffled(random, spot.names):
        place = spot.live.places[spot.live.book.by_name[match.group(0)].key]
        if len(place.cells) > 2:
            (row, _), (last_row, last_column) = map(coordinate_to_tuple, (place.cells[0], place.cells[-1]))
            right = step if row == last_row else 0
            end_cell = f"{get_column_letter(last_column + right)}{last_row + step - right}"
            area = f"{absolute(place.cells[0])}:{absolute(end_cell)}"
            yield spot.put(match, sheet_prefix(place.sheet) + area)


@kind("range one shorter")
def _shorter(spot: Spot, random: Random) -> Iterator[Any]:
    yield from _ended(spot, random, -1)


@kind("range one longer")
def _longer(spot: Spot, random: Random) -> Iterator[Any]:
    yield from _ended(spot, random, 1)


def _unit_slip(slip: str) -> Change:
    def change(spot: Spot, _: Random) -> Iterator[Any]:
        yield f"=({spot.formula[1:]}){slip}"

    return change


for each_slip in UNIT_SLIPS:
    CHANGES[f"unit slip {each_slip}"] = _unit_slip(each_slip)


@kind("a little off")
def _little(spot: Spot, _: Random) -> Iterator[Any]:
    yield f"=({spot.formula[1:]})*1.00000001"


@kind("one added")
def _added(spot: Spot, _: Random) -> Iterator[Any]:
    yield f"{spot.formula}+1"


@kind("rounded")
def _rounded(spot: Spot, _: Random) -> Iterator[Any]:
    yield f"=ROUND({spot.formula[1:]},0)"


@kind("errors hidden")
def _hidden(spot: Spot, _: Random) -> Iterator[Any]:
    yield f"=IFERROR({spot.formula[1:]},0)"


@kind("another function")
def _function(spot: Spot, random: Random) -> Iterator[Any]:
    for match in spot.shuffled(random, list(CALL.finditer(spot.bare))):
        yield spot.put(match, OTHER_FUNCTION[match.group(0)[:-1]] + "(")


@kind("branches swapped")
def _branches(spot: Spot, random: Random) -> Iterator[Any]:
    for name, spans in spot.shuffled(random, spot.calls):
        if name == "IF" and len(spans) == 3:
            condition, yes, no = spot.texts(spans)
            yield spot.with_arguments(spans, [condition, no, yes])


@kind("condition dropped")
def _unconditional(spot: Spot, random: Random) -> Iterator[Any]:
    for name, spans in spot.shuffled(random, spot.calls):
        if name == "IF" and len(spans) == 3:
            _, yes, no = spot.texts(spans)
            yield spot.formula[: spans[0][0] - 3] + random.choice((yes, no)) + spot.formula[spans[-1][1] + 1 :]


@kind("arguments swapped")
def _arguments(spot: Spot, random: Random) -> Iterator[Any]:
    for name, spans in spot.shuffled(random, spot.calls):
        if name != "IF" and len(spans) > 1:
            first, second, *rest = spot.texts(spans)
            yield spot.with_arguments(spans, [second, first, *rest])


@kind("argument dropped")
def _fewer(spot: Spot, random: Random) -> Iterator[Any]:
    for _, spans in spot.shuffled(random, spot.calls):
        if len(spans) > 1:
            texts = spot.texts(spans)
            texts.pop(random.randrange(len(texts)))
            yield spot.with_arguments(spans, texts)


@kind("term or factor dropped")
def _dropped(spot: Spot, random: Random) -> Iterator[Any]:
    for match in spot.shuffled(random, list(FACTOR.finditer(spot.formula))):
        if "\0" not in spot.bare[match.start() : match.start() + 1]:
            yield spot.put(match, "")


@kind("brackets dropped")
def _brackets(spot: Spot, random: Random) -> Iterator[Any]:
    for match in spot.shuffled(random, list(re.finditer(r"(?<![A-Za-z0-9_.])\(", spot.bare))):
        (first, last), *more = arguments(spot.bare, match.end())
        if not more:
            yield spot.formula[: match.start()] + spot.formula[first:last] + spot.formula[last + 1 :]


@kind("word in another case")
def _case(spot: Spot, random: Random) -> Iterator[Any]:
    for match in spot.shuffled(random, list(re.finditer(r'"[^"]*[a-z][^"]*"', spot.formula))):
        yield spot.put(match, match.group(0).upper())


@kind("another word")
def _other_word(spot: Spot, random: Random) -> Iterator[Any]:
    for match in spot.shuffled(random, list(re.finditer(r'"[^"]*"', spot.formula))):
        yield spot.put(match, '"mended"')


@kind("blank in a reference")
def _blank(spot: Spot, random: Random) -> Iterator[Any]:
    for match in spot.shuffled(random, [each for each in spot.references if len(each.group(4)) > 1]):
        yield spot.put(match, f"{match.group(0)[:-1]} {match.group(0)[-1]}")
