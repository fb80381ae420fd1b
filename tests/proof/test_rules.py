"""The rules for formulas: the demo book keeps every one, and each is heard when it is broken."""

from __future__ import annotations

import pytest

from podbook import regions, systems
from podbook.book.model import Book, Sheet, Single, Table
from podbook.book.node import Node, by, worked
from podbook.inputs.farm import filled
from podbook.proof.rules import (
    BRACKETS,
    DEEPEST,
    DEPTH,
    FUNCTION,
    FUNCTIONS,
    HIDES,
    LENGTH,
    LITERAL,
    LITERALS,
    LONGEST,
    LOOKS,
    MINUS,
    NAME,
    PERCENT,
    TYPED,
    Rule,
    breaches,
)
from podbook.reference import book as reference
from podbook.sheets import book_of


def book(formula: str, key: str = "answer") -> Book:
    """Return a book of one formula, two figures and a list."""
    rows = (
        Node("hay", "Hay", "USD", "fixed", contents=(1.0,)),
        Node("pods", "Pods", "USD", "fixed", contents=(2.0,)),
        worked(key, "Answer", "USD", formula, by(reference.same, value="hay")),
    )
    return Book("nowhere", (Sheet("Page", "One formula.", (Single("Figures", rows),)),))


def heard(formula: str, key: str = "answer") -> set[tuple[Rule, str]]:
    return {(breach.rule, breach.found) for breach in breaches(book(formula, key))}


def nested(depth: int) -> str:
    return "=" + "IF(hay>1," * depth + "1" + ",0)" * depth


def summed(length: int) -> str:
    """Return a formula of as many characters."""
    names = (length - 4) // 4
    return "=hay" + "+hay" * names + " " * ((length - 4) % 4)


@pytest.mark.parametrize("units", list(systems.SYSTEMS))
@pytest.mark.parametrize("region", regions.names())
def test_every_book_keeps_every_rule(region: str, units: str) -> None:
    assert list(breaches(book_of(regions.load(region), filled(), units))) == []


@pytest.mark.parametrize(
    "formula",
    [
        "=hay*pods",
        '=IF(hay=0,"VLOOKUP(3) 50% -- stranger",100)',
        "=INDEX(hay,3)+CHOOSE(pods,1,2)",
        "=hay-pods",
        nested(DEEPEST),
        summed(LONGEST),
        *(f"=hay*{literal}" for literal in sorted(LITERALS)),
        *(f"={function}(hay)" for function in sorted(FUNCTIONS)),
    ],
)
def test_what_is_allowed_passes(formula: str) -> None:
    assert heard(formula) == set()


@pytest.mark.parametrize(
    ("formula", "rule", "found"),
    [
        (summed(LONGEST + 1), LENGTH, "201"),
        ("=hay*strangers", NAME, "strangers"),
        ("=sum(hay)", NAME, "sum"),
        (nested(DEEPEST + 1), DEPTH, "5"),
        ("=IF(AND(OR(NOT(AND(hay>0,pods>0)))),1,0)", DEPTH, "5"),
        ("=hay*0.45", LITERAL, "0.45"),
        ("=hay+3", LITERAL, "3"),
        ("=INDEX(hay,3)*2204", LITERAL, "2204"),
        ("=hay--pods", MINUS, "--"),
        ("=hay*100%", PERCENT, "%"),
        ("=hay*(1+pods", BRACKETS, "=hay*(1+pods"),
        ("=hay*B12", TYPED, "B12"),
    ],
)
def test_a_breach_is_heard(formula: str, rule: Rule, found: str) -> None:
    assert heard(formula) == {(rule, found)}


@pytest.mark.parametrize(("function", "rule"), [("VLOOKUP", FUNCTION), ("IFERROR", HIDES)])
def test_another_function_is_heard(function: str, rule: Rule) -> None:
    assert heard(f"={function}(hay,pods)") == {(NAME, function), (rule, function)}


@pytest.mark.parametrize("key", ["pod7", "ab12", "r", "c", "C5", "sum", "if", "true"])
def test_a_name_that_engines_read_differently_is_heard(key: str) -> None:
    assert heard("=hay", key) == {(LOOKS, key)}


def test_a_breach_in_the_last_item_of_a_table_is_heard() -> None:
    """A formula may hold the number of its item."""
    field = worked("groups.answer", "Answer", "USD", "=hay_{#}", by(reference.same, value="hay_1"), size=2)
    only_first = (
        Single("Figures", (Node("hay_1", "Hay", "USD", "fixed", contents=(1.0,)),)),
        Table("groups", "Groups", ("one", "two"), (field,)),
    )
    found = [(breach.key, breach.found) for breach in breaches(Book("nowhere", (Sheet("Page", "", only_first),)))]
    assert found == [("groups.answer", "hay_2")]
