"""The unit audit: every book is without a fault, and what is taken on trust is short, needed and no more."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from itertools import combinations
from typing import Any

import formualizer
import pytest

from podbook import regions
from podbook.book.formula import rendered
from podbook.book.layout import lay_out
from podbook.book.model import Book, Sheet, Single
from podbook.book.node import Node, by, worked
from podbook.book.tree import Bracket, Call, Elsewhere, Minus, Number, One, Pair, Quoted, Span, Tree, parsed, typed
from podbook.inputs.farm import filled
from podbook.inputs.filled import Filled
from podbook.proof.rules import FUNCTIONS
from podbook.proof.units import Audit, audit, auditing, readings
from podbook.proof.units.found import said
from podbook.proof.units.functions import RULES
from podbook.proof.units.measure import NUMBERS, POINTS, SIZES, measure, raised, times
from podbook.reference import book as reference
from podbook.sheets import book_of
from podbook.systems import METRIC, US
from podbook.units import registry

REGION = "us_midatl_appal"


@cache
def demo(units: str = US) -> Book:
    return book_of(regions.load(REGION), filled(), units)


@pytest.mark.parametrize("units", [US, METRIC])
@pytest.mark.parametrize("region", regions.names())
def test_the_book_of_every_region_is_without_a_fault_in_both_systems(region: str, units: str) -> None:
    assert audit(book_of(regions.load(region), Filled("A farm", ()), units)) == ()


@pytest.mark.parametrize("units", [US, METRIC])
def test_the_demo_book_is_without_a_fault_and_the_unit_of_every_formula_is_known(units: str) -> None:
    book = demo(units)
    assert audit(book) == ()
    audited = Audit(book)
    derived = {}
    for node in book.worked:
        found = audited.derived(node.key, typed(book, node, node.count - 1)).found
        assert found is not None
        derived[node.key] = said(found)
    assert "not known" not in derived.values()
    assert len(set(derived.values())) > 50


def taken_on_trust() -> Iterator[tuple[str, str]]:
    """Yield each reading: its table, and the figure, formula or part of a formula that is read."""
    yield from (("FULLER", key) for key in readings.FULLER)
    yield from (("RESULTS", key) for key in readings.RESULTS)
    yield from (("INSIDE", f"{place} {what}") for place, each in enumerate(readings.INSIDE) for what in each.what)


def without(table: str, key: str) -> tuple[str, Any]:
    """Return a table of the audit with one reading left out."""
    if table != "INSIDE":
        return table, {each: reading for each, reading in getattr(readings, table).items() if each != key}
    place, what = key.split()
    left = [
        replace(each, what=tuple(word for word in each.what if word != what)) if number == int(place) else each
        for number, each in enumerate(readings.INSIDE)
    ]
    return "INSIDE_OF", {each: tuple(one for one in left if each in one.formulas) for each in readings.INSIDE_OF}


@pytest.mark.parametrize(("table", "key"), list(taken_on_trust()))
def test_nothing_is_taken_on_trust_without_need(table: str, key: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(auditing, *without(table, key))
    assert audit(demo()) != ()


def test_little_is_taken_on_trust_and_each_with_its_reason() -> None:
    reasons = [each.why for each in (*readings.FULLER.values(), *readings.RESULTS.values(), *readings.INSIDE)]
    assert all(reasons)
    assert len(list(taken_on_trust())) <= 45


def test_every_function_of_the_common_ground_has_its_rule() -> None:
    assert RULES.keys() == FUNCTIONS


def test_sizes_are_those_of_the_registry_of_units() -> None:
    """Energy, speed and bales stand for themselves here; counts are plain numbers."""
    registered = {
        word: registry().Quantity(1.0, POINTS.get(word, word)).to_base_units()
        for word in SIZES
        if word not in (*NUMBERS, "bale")
    }
    for (one, here), (other, there) in combinations(registered.items(), 2):
        alike = here.dimensionality == there.dimensionality
        assert alike == (measure(one).kinds == measure(other).kinds), (one, other)
        if alike:
            size = measure(one).size / measure(other).size
            assert math.isclose(size, here.magnitude / there.magnitude, rel_tol=1e-13), (one, other)


def test_every_unit_of_every_book_is_known() -> None:
    for region, units in (
        ("us_midatl_appal", US),
        ("us_midatl_appal", METRIC),
        ("eu_mediterranean", METRIC),
        ("nz", US),
    ):
        for node in book_of(regions.load(region), Filled("A farm", ()), units).nodes.values():
            assert node.unit in ("text", "any") or measure(node.unit) is not None


@pytest.mark.parametrize(
    ("unit", "other", "agrees"),
    [
        ("lb_dry", "kg_dry", False),
        ("lb_dry", "lb_fed", False),
        ("acre", "hectare", False),
        ("USD", "EUR", False),
        ("percent", "fraction", False),
        ("Mcal", "megajoule", False),
        ("day", "week", False),
        ("degF", "delta_degF", False),
        ("degF", "degC", False),
        ("USD/head", "USD", False),
        ("kg/lb", "fraction", False),
        ("bale", "record", False),
        ("record", "flag", True),
        ("kg*Mcal/kg", "Mcal", True),
        ("hour/day", "hour/day", True),
    ],
)
def test_units_agree_only_in_kind_and_size(unit: str, other: str, agrees: bool) -> None:
    assert measure(unit).agrees(measure(other)) is agrees


def test_a_factor_turns_one_size_into_another() -> None:
    assert times(measure("lb_dry"), measure("kg/lb")).agrees(measure("kg_dry"))
    assert times(measure("lb_fed"), measure("lb_fed/short_ton_fed"), -1).agrees(measure("short_ton_fed"))
    assert not times(measure("lb_fed"), measure("lb_fed/short_ton_fed")).agrees(measure("short_ton_fed"))


def test_a_law_of_one_animal_stays_of_one_animal() -> None:
    assert raised(measure("kg/head"), 0.75) == measure("kg**0.75/head")
    assert raised(measure("kg/head"), 2) == measure("kg**2/head**2")


UNITS = {
    "dry": "lb_dry",
    "fed": "lb_fed",
    "tons": "short_ton_fed",
    "matter": "lb_dry/lb_fed",
    "tons_of": "lb_fed/short_ton_fed",
    "share": "fraction",
    "part": "percent",
    "warm": "degF",
    "warmer": "degF",
    "rise": "delta_degF",
    "celsius": "degC",
    "price": "USD/short_ton_fed",
    "money": "USD",
    "span": "day",
    "weeks": "week",
    "years_on": "year",
    "word": "text",
    "on": "flag",
    "weight": "kg/head",
    "per_head": "kg/head/day",
}


def small(formula: str, unit: str) -> Book:
    """Return a book of a figure of each unit, two coefficients and one formula."""
    rows = (
        *(Node(key, key, each, "fixed", contents=(1.0,)) for key, each in UNITS.items()),
        Node("rounding", "Rounding", "fraction", "coefficient", contents=(1e-9,)),
        Node("power", "Power", "fraction", "coefficient", contents=(0.75,)),
        worked("answer", "Answer", unit, formula, by(reference.same, value="dry")),
    )
    return Book("nowhere", (Sheet("Page", "One formula.", (Single("Figures", rows),)),))


@pytest.mark.parametrize(
    ("formula", "unit"),
    [
        ("=0", "USD"),
        ("=fed*matter", "lb_dry"),
        ("=fed/tons_of*price", "USD"),
        ("=dry*part/100", "lb_dry"),
        ("=100*share", "percent"),
        ("=1-part/100", "fraction"),
        ("=100-part", "percent"),
        ("=warm-rise", "degF"),
        ("=rise+warm", "degF"),
        ("=warm-warmer", "delta_degF"),
        ("=MAX(0,warm-warmer)", "delta_degF"),
        ("=IF(on=0,0,warm)", "degF"),
        ("=AVERAGE(warm,warmer)", "degF"),
        ("=weight^power", "kg**0.75/head"),
        ("=SQRT(dry^2)", "lb_dry"),
        ("=IF(dry>rounding*(1+dry),dry,0)", "lb_dry"),
        ("=IF(dry+rounding>dry,1,0)", "flag"),
        ("=(1+share)^years_on", "fraction"),
        ("=PMT(share,years_on,money)", "USD/year"),
        ("=NPV(share,money,money)", "USD"),
        ('=IF(word="","none",word)', "text"),
        ('=COUNTIF(dry,">0")', "record"),
        ("=EXP(0-dry/dry)", "fraction"),
        ("=0-dry", "lb_dry"),
    ],
)
def test_what_is_right_passes(formula: str, unit: str) -> None:
    assert audit(small(formula, unit)) == ()


@pytest.mark.parametrize(
    ("formula", "unit", "words"),
    [
        ("=dry+fed", "lb_dry", "adds lb as fed to lb DM"),
        ("=tons-fed", "short_ton_fed", "takes lb as fed from ton as fed"),
        ("=IF(dry>fed,1,0)", "flag", "compares lb DM with lb as fed"),
        ("=MIN(dry,fed)", "lb_dry", "takes the lesser of lb DM and lb as fed"),
        ("=fed", "lb_dry", "gives lb as fed, not lb DM: only a dry-matter content turns mass as fed into dry mass"),
        ("=fed", "short_ton_fed", "gives lb as fed, not ton as fed: a factor of 2,000 is lost, or one too many"),
        ("=fed*tons_of", "short_ton_fed", "gives lb as fed^2/ton as fed, not ton as fed: a factor of 4,000,000"),
        ("=part", "fraction", "gives %, not a bare number: a factor of 100 is lost"),
        ("=dry*part", "lb_dry", "gives % lb DM, not lb DM: a factor of 100 is lost"),
        ("=1-part", "fraction", "takes % from a bare number"),
        ("=2*warm", "degF", "multiplies a temperature in °F"),
        ("=warm+warmer", "degF", "adds °F to °F"),
        ("=warm-warmer", "degF", "a temperature is not a difference of two"),
        ("=warm-celsius", "delta_degF", "takes °C from °F"),
        ("=SUM(warm,warmer)", "degF", "adds up temperatures in °F"),
        ("=span/weeks", "fraction", "a factor of 7 is lost"),
        ("=per_head*span", "kg", "a figure a head is taken for one of the herd"),
        ("=dry^share", "lb_dry", "raises lb DM to a power that is not fixed"),
        ("=(1+share)^span", "fraction", "the power is day, where a bare number must stand"),
        ("=EXP(dry)", "fraction", "what EXP is taken of is lb DM"),
        ("=dry+word", "lb_dry", "adds words to lb DM"),
        ('=IF(on=1,"yes",dry)', "text", "gives words or lb DM, as the case is"),
        ('=IF(word=3,"a","b")', "lb_dry", "gives words, not lb DM"),
        ("=on", "text", "gives a bare number, not words"),
        ("=IF(dry,1,0)", "flag", "a condition is lb DM, where a bare number must stand"),
        ("=INDEX(dry,span)", "lb_dry", "a place in a column is day"),
        ("=NPV(part,money)", "USD", "the rate of NPV is %"),
        ("=dry>0", "flag", "gives yes or no, not a bare number"),
        ('=COUNTIF(dry,"mend")', "record", "looks among lb DM for words"),
    ],
)
def test_a_fault_is_told(formula: str, unit: str, words: str) -> None:
    (fault,) = audit(small(formula, unit))
    assert words in fault.what
    assert (fault.key, fault.formula) == ("answer", formula)


def test_a_factor_that_is_not_what_one_unit_is_of_the_other_is_told() -> None:
    book = demo()
    sheets = tuple(
        replace(sheet, blocks=tuple(_spoiled(block, "weight_per_ton", 2240.0) for block in sheet.blocks))
        for sheet in book.sheets
    )
    (fault,) = audit(replace(book, sheets=sheets))
    assert fault.what == "2240.0 lb as fed/ton as fed is not 1"


def _spoiled(block: Any, key: str, figure: float) -> Any:
    if not isinstance(block, Single):
        return block
    return replace(block, rows=tuple(replace(row, contents=(figure,)) if row.key == key else row for row in block.rows))


@pytest.mark.parametrize(
    ("key", "line"),
    [
        ("hay_price_dry", "$/ton as fed ÷ (lb DM/lb as fed × lb as fed/ton as fed)"),
        ("need_1.nem", "(kg/head)^0.75 × Mcal/kg^0.75/day"),
        ("months.celsius", "°F of difference × °C/°F"),
        ("returns.yearly", "$ ÷ year"),
        ("by_type.spread", "√(lb DM^2/tree^2)"),
        ("winter.pods_me", "Mcal"),
        ("status", ""),
        ("check_shares", ""),
    ],
)
def test_how_a_unit_comes_about_is_one_line(key: str, line: str) -> None:
    book = demo()
    assert Audit(book).derived(key, typed(book, book.nodes[key], 1 if book.nodes[key].size else 0)).line == line


def plain(tree: Tree) -> Any:
    """Return a tree as nested tuples, brackets left out."""
    match tree:
        case Number(text):
            return float(text)
        case Quoted(text):
            return ("text", text)
        case Elsewhere(text):
            return ("TRUE", text) if text.upper() in ("TRUE", "FALSE") else text
        case One() | Span():
            raise AssertionError("a formula as it stands has no cells of the book here")
        case Call(name, given):
            return (name, *map(plain, given))
        case Minus(inner):
            return ("-", plain(inner))
        case Bracket(inner):
            return plain(inner)
        case Pair(sign, left, right):
            return (sign, plain(left), plain(right))
    raise AssertionError(tree)


def by_engine(found: dict[str, Any]) -> Any:
    """Return what the engine's parser makes of a formula, in the same way."""
    match found["node_type"]:
        case "Literal":
            return ("text", found["value"]) if isinstance(found["value"], str) else found["value"]
        case "Reference":
            return found["reference"]
        case "Function":
            return (found["name"].upper(), *map(by_engine, found["args"]))
        case "UnaryOp":
            return (found["operator"], by_engine(found["operand"]))
        case "BinaryOp":
            return (found["operator"], by_engine(found["left"]), by_engine(found["right"]))
    raise AssertionError(found)


def test_the_engine_reads_every_formula_as_the_same_tree() -> None:
    """The tree that units are derived from is the one by which the engine calculates."""
    book = demo()
    places = lay_out(book).places
    formulas = {
        rendered(book, node, item, places)
        for node in book.worked
        for item in {0, min(1, node.count - 1), node.count - 1}
    }
    assert len(formulas) > 1500

    def leaf(kind: str, text: str) -> Tree:
        return Elsewhere(text)

    for formula in formulas:
        tree = _areas(parsed(formula, leaf))
        assert plain(tree) == by_engine(formualizer.parse(formula).to_dict()), formula


def _areas(tree: Tree) -> Tree:
    """Return a tree with each area as one word, as the engine has it."""
    match tree:
        case Span(Elsewhere(first), Elsewhere(last)):
            return Elsewhere(f"{first}:{last.rpartition('!')[2]}")
        case Call(name, given):
            return Call(name, tuple(map(_areas, given)))
        case Minus(inner):
            return Minus(_areas(inner))
        case Bracket(inner):
            return _areas(inner)
        case Pair(sign, left, right):
            return Pair(sign, _areas(left), _areas(right))
    return tree
