"""Formulas in words: every formula of the book can be said, nothing is left out, and what differs reads differently."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from podbook import regions
from podbook.book.formula import PLACEHOLDER, precedents, rendered
from podbook.book.layout import lay_out
from podbook.book.model import Book
from podbook.book.tree import (
    Bracket,
    Call,
    Elsewhere,
    Minus,
    Number,
    One,
    Pair,
    Quoted,
    Span,
    Tree,
    Unreadable,
    Whole,
    ones,
    parsed,
    settled,
    split,
    standing,
    typed,
)
from podbook.inputs.farm import filled
from podbook.proof.wiring import Where
from podbook.review.explaining.labels import Labels, Spots
from podbook.review.explaining.wording import Wording
from podbook.sheets import book_of

OWN_WORDS = """
a above all allowed an and are at be below by cubed decimals each empty end error even first for  from holds
hold if in is it its least less lesser larger largest logarithm looked many mean minus more most  natural no not
nothing now number numbers of off on one or otherwise out paid pair pays place power products  range ranges rate
return root rounded row rows count columns size sign squared square sum than that the their  them through to
today text whatever where whole worth year years yes e as
""".split()  # noqa: SIM905  # a list of words is read more easily than a list of texts
"""Every word that may stand outside the labels and the words of the book."""


@pytest.fixture(scope="module")
def book() -> Book:
    return book_of(regions.load("us_midatl_appal"), filled())


@pytest.fixture(scope="module")
def labels(book: Book) -> Labels:
    return Labels(book)


def cells(book: Book) -> Iterator[Where]:
    for node in book.worked:
        yield from ((node.key, item) for item in range(node.count))


def told(book: Book, labels: Labels, key: str, item: int = 0) -> tuple[str, ...]:
    return Wording(book, labels, (key, item)).lines(typed(book, book.nodes[key], item))


def test_every_formula_is_taken_apart_and_put_together_again(book: Book) -> None:
    """Whatever the parser left out would be missing in what it gives back."""
    seen = 0
    for key, item in cells(book):
        text = book.nodes[key].formula_of(item)
        tree = parsed(text, lambda kind, found: Elsewhere(found))
        assert "=" + written(tree) == text.replace(" ", ""), key
        seen += 1
    assert seen > 10_000


def written(tree: Tree) -> str:
    match tree:
        case Number(text) | Elsewhere(text):
            return text.replace(" ", "")
        case Quoted(text):
            return f'"{text}"'.replace(" ", "")
        case Call(name, given):
            return f"{name}({','.join(map(written, given))})"
        case Pair(sign, left, right):
            return written(left) + sign + written(right)
        case Span(first, last):
            return f"{written(first)}:{written(last)}"
        case Bracket(inner):
            return f"({written(inner)})"
        case Minus(inner):
            return f"-{written(inner)}"
    raise AssertionError(tree)


def test_every_formula_is_said_without_leftovers(book: Book, labels: Labels) -> None:
    for key, item in cells(book):
        lines = told(book, labels, key, item)
        assert lines, key
        for line in lines:
            bare = re.sub(r'‹[^‹›]*›|"[^"]*"', " ", line)
            assert re.fullmatch(r"[a-z0-9 ().,;:×÷+\-]*", bare), (key, bare)
            words = set(re.findall(r"[a-z]+", bare))
            assert words <= {*OWN_WORDS}, (key, words - {*OWN_WORDS})
            assert bare.count("(") == bare.count(")"), (key, line)
            assert "()" not in line
            assert "  " not in line.strip(), (key, line)


def test_what_a_formula_names_is_named_in_its_words(book: Book, labels: Labels) -> None:
    for key, item in cells(book):
        words = "\n".join(told(book, labels, key, item))
        tree = settled(book, typed(book, book.nodes[key], item))
        for named, _ in ones(tree):
            node = book.nodes[named]
            if not node.key.endswith(("_low", "_high")) and not (node.role == "fixed" and node.unit == "text"):
                assert node.label in words, (key, named)
        for name in re.findall(
            r"[a-z_0-9]+", PLACEHOLDER.sub(" ", re.sub(r'"[^"]*"', " ", book.nodes[key].formula_of(item)))
        ):
            if name in book.by_name and not name.startswith("lists_") and not name.endswith(("_low", "_high")):
                assert book.by_name[name].label in words, (key, name)


def test_a_changed_formula_reads_differently(book: Book, labels: Labels) -> None:
    """Each part of each formula is changed in turn: the words must tell that something is changed."""
    seen = 0
    for node in book.worked:
        wording = Wording(book, labels, (node.key, 0))
        tree = typed(book, node, 0)
        words = wording.lines(tree)
        for mutant in mutants(tree, other="wind" if "hay_price" in node.formula else "hay_price"):
            assert wording.lines(mutant) != words, (node.key, mutant)
            seen += 1
    assert seen > 10_000


SWAPS = {
    "+": "-",
    "-": "+",
    "*": "/",
    "/": "*",
    "<": ">",
    ">": "<",
    "<=": ">=",
    ">=": "<=",
    "=": "<>",
    "<>": "=",
    "^": "*",
}
OTHER_FUNCTIONS = {
    "MIN": "MAX",
    "MAX": "MIN",
    "SUM": "AVERAGE",
    "EXP": "LN",
    "ABS": "SQRT",
    "SQRT": "ABS",
    "AND": "OR",
    "OR": "AND",
    "ISNUMBER": "ISERROR",
}
UNSAID = ("MATCH", "ROWS", "COLUMNS")
"""MATCH's last part says that it looks for an equal, as all of them do; ROWS and COLUMNS count what a span covers."""


def mutants(tree: Tree, other: str) -> Iterator[Tree]:
    match tree:
        case Number(text):
            yield Number(text + "7")
        case Quoted(text):
            yield Quoted(text + "x")
        case One():
            yield One((other, 0))
        case Whole():
            yield Whole("months.days")
        case Pair(sign, left, right):
            yield Pair(SWAPS[sign], left, right)
            yield from (Pair(sign, each, right) for each in mutants(left, other))
            yield from (Pair(sign, left, each) for each in mutants(right, other))
        case Bracket(inner):
            yield from (Bracket(each) for each in mutants(inner, other))
        case Span(first, last):
            yield from (Span(each, last) for each in mutants(first, other))
            yield from (Span(first, each) for each in mutants(last, other))
        case Call(name, given):
            if name in OTHER_FUNCTIONS:
                yield Call(OTHER_FUNCTIONS[name], given)
            for place, each in enumerate(given):
                if name not in UNSAID or place == 0:
                    for mutant in mutants(each, other):
                        yield Call(name, (*given[:place], mutant, *given[place + 1 :]))


KNOWN = (Path(__file__).parent / "formulas_in_words.txt").read_text(encoding="utf-8").strip().split("\n\n")[1:]


@pytest.mark.parametrize("known", KNOWN, ids=lambda known: known.split()[0])
def test_known_formulas_in_words(book: Book, labels: Labels, known: str) -> None:
    head, *lines = known.splitlines()
    key, item = head.split()
    assert list(told(book, labels, key, int(item))) == lines


def test_a_formula_with_addresses_says_the_same_as_the_typed_one(book: Book, labels: Labels) -> None:
    places = lay_out(book).places
    spots = Spots(book, places)
    for key, item in list(cells(book))[::7]:
        node = book.nodes[key]
        stands = rendered(book, node, item, places)
        tree = standing(book, stands, places[key].sheet, spots.at)
        assert Wording(book, labels, (key, item)).lines(tree) == told(book, labels, key, item), (key, stands)
        read = {*ones(tree)}
        assert read <= {*precedents(book, node, item)}, key


@pytest.mark.parametrize(
    "text",
    [
        "", "5", "=", "=1+", "=(1", "=1)", "=SUM(1", "=SUM(1,)", "=#REF!", "=A1&A2", "=5%", '="open', "={1,2}", "=1 2",
        "=" + "(" * 500 + "1" + ")" * 500, "=" + "-" * 500 + "1", "=" + "1+" * 5000 + "1", "=" + "1+" * 3000 + "1",
        "=" + "IF(1," * 300 + "1" + ")" * 300,
    ],
)  # fmt: skip
def test_what_is_no_formula_is_unreadable(book: Book, text: str) -> None:
    with pytest.raises(Unreadable):
        standing(book, text, "Start", lambda sheet, cell: None)


@pytest.mark.parametrize(
    "text", ["=WEBSERVICE(1)", "=INDEX(1)", "=IF(1)", "=IF(1,2)", "=SUM()", "=MATCH(1)", "=ROUND(1)"]
)
def test_a_function_without_words_here_is_unreadable(book: Book, labels: Labels, text: str) -> None:
    tree = standing(book, text, "Start", lambda sheet, cell: None)
    with pytest.raises(Unreadable):
        Wording(book, labels, ("saving", 0)).lines(tree)


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("Stand!B12", ("Stand", "B12")),
        ("'Crop sizes'!$B$12", ("Crop sizes", "B12")),
        ("'It''s mine'!b12", ("It's mine", "B12")),
        ("B12", ("", "B12")),
    ],
)
def test_addresses_are_split(text: str, found: tuple[str, str]) -> None:
    assert split(text) == found


def test_both_ends_of_a_span_are_on_its_sheet(book: Book) -> None:
    places = lay_out(book).places
    spots = Spots(book, places)
    first, last = places["tally.crop"].cells[0], places["tally.crop"].cells[-1]
    tree = standing(book, f"=SUM(Trees!${first}:{last})", "Start", spots.at)
    assert tree == Call(
        "SUM", (Span(One(("tally.crop", 0)), One(("tally.crop", len(places["tally.crop"].cells) - 1))),)
    )
