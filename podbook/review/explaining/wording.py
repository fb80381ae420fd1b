"""A formula in words: the tree of a formula, said with the labels of the cells that it names.

Labels stand between ‹ and ›, words of the book between quotes; all else are the words and signs of this module.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

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
    settled,
)
from podbook.proof.wiring import Where
from podbook.review.explaining.claims import RELATIONS, Claim, bound_of, cases_of, claimed, joined
from podbook.review.explaining.labels import Labels, plain

SIGNS = {"+": "+", "-": "-", "*": "×", "/": "÷"}
POWERS = {"2": "squared", "3": "cubed"}
TRUTHS = {"TRUE": "yes", "FALSE": "no"}


class Wording:
    """Says the formula of one cell in words."""

    def __init__(self, book: Book, labels: Labels, home: Where) -> None:
        self.book, self.labels, self.home = book, labels, home
        self._of_several_items: set[str] = set()
        self._calls: dict[str, Callable[[tuple[Tree, ...]], str]] = {
            "AND": lambda given: self._list_of_claims(given, "and"),
            "OR": lambda given: self._list_of_claims(given, "or"),
            "NOT": lambda given: f"it does not hold that {self.said(given[0])}",
            "MIN": lambda given: self._extreme(given, "lesser", "least"),
            "MAX": lambda given: self._extreme(given, "larger", "largest"),
            "SUM": lambda given: f"the sum of {self._several(given)}",
            "AVERAGE": lambda given: f"the mean of {self._several(given)}",
            "COUNT": lambda given: f"the count of numbers in {self._several(given)}",
            "SUMPRODUCT": lambda given: f"the sum of the products, pair by pair, of {self._several(given)}",
            "SUMIF": self._sum_where,
            "COUNTIF": lambda given: f"the count of {self._all(given[0])} that {self._meets(given[1], plural=True)}",
            "INDEX": self._picked,
            "MATCH": lambda given: f"the place of {self._tight(given[0])} in {self._all(given[1], every=False)}",
            "CHOOSE": self._chosen,
            "ROWS": lambda given: f"the count of rows of {self._all(given[0])}",
            "COLUMNS": lambda given: f"the count of columns of {self._all(given[0])}",
            "ABS": lambda given: f"the size, whatever its sign, of {self._tight(given[0])}",
            "ROUND": self._rounded,
            "EXP": lambda given: f"e to the power of {self._tight(given[0])}",
            "LN": lambda given: f"the natural logarithm of {self._tight(given[0])}",
            "SQRT": lambda given: f"the square root of {self._tight(given[0])}",
            "NPV": lambda given: (
                f"the worth today, at the rate {self._tight(given[0])} a year, of "
                f"{self._several(given[1:])}, the first of them a year from now"
            ),
            "IRR": lambda given: (
                f"the rate of return of {self._all(given[0])}"
                + (f", looked for from {self._tight(given[1])} on" if len(given) > 1 else "")
            ),
            "PMT": lambda given: (
                f"the even sum paid at the end of each of {self._tight(given[1])} years that pays off "
                f"{self._tight(given[2])} at the rate {self._tight(given[0])} a year, less than 0 as it is paid out"
            ),
            "FIND": lambda given: f"the place of {self._tight(given[0])} in the text of {self._tight(given[1])}",
        }

    def lines(self, tree: Tree) -> tuple[str, ...]:
        """Return a formula in words, a line for each case. Raises Unreadable for what has no words here."""
        tree = settled(self.book, tree)
        named = set(ones(tree))
        self._of_several_items = {key for key, _ in named if sum(key == each for each, _ in named) > 1}
        try:
            return tuple(self._cases(tree, ""))
        except IndexError:
            raise Unreadable("a function lacks what it needs") from None

    def _cases(self, tree: Tree, indent: str) -> Iterable[str]:
        conditions, otherwise = cases_of(tree)
        word = "if"
        for condition, result in conditions:
            if cases_of(result)[0]:
                yield f"{indent}{word} {self.condition(condition)}:"
                yield from self._cases(result, indent + "  ")
            else:
                yield f"{indent}{word} {self.condition(condition)}: {self.said(result)}"
            word = "otherwise, if"
        yield f"{indent}otherwise: {self.said(otherwise)}" if conditions else indent + self.said(otherwise)

    def said(self, tree: Tree) -> str:
        """Return a part of a formula in words."""
        match tree:
            case Number(text):
                return text
            case Quoted(text):
                return f'"{plain(text)}"' if text else "nothing"
            case One((key, item)):
                node = self.book.nodes[key]
                fixed = node.contents[item] if node.role == "fixed" and node.table else None
                return f'"{fixed}"' if isinstance(fixed, str) else f"‹{self._label((key, item))}›"
            case Whole() | Span():
                return self._all(tree)
            case Elsewhere(text):
                return TRUTHS.get(text.upper(), plain(text))
            case Minus(operand):
                return f"minus {self._tight(operand)}"
            case Bracket(inner):
                return self.said(inner) if _is_tight(inner) else f"({self.said(inner)})"
            case Pair("^", base, power):
                return self._power(base, power)
            case Pair(sign, left, right) if sign in SIGNS:
                return f"{self._operand(left)} {SIGNS[sign]} {self._operand(right)}"
            case Call("IF") if cases_of(tree)[0]:
                conditions, otherwise = cases_of(tree)
                cases = (f"if {self.condition(condition)}: {self._case(result)}" for condition, result in conditions)
                return "; otherwise, ".join(cases) + f"; otherwise: {self._case(otherwise)}"
            case Call(name, given) if name in self._calls:
                return self._calls[name](given)
            case _:
                return self.condition(tree)

    def _label(self, where: Where) -> str:
        return self.labels.short(where, self.home, with_item=where[0] in self._of_several_items)

    def condition(self, tree: Tree) -> str:
        """Return a condition in words."""
        match tree:
            case Bracket(inner):
                return self.condition(inner)
            case Call("AND" | "OR" | "NOT" as name, given):
                return self._calls[name](given)
        claim = self._claim(tree)
        if claim is None:
            raise Unreadable("it has a condition or a function that has no words here")
        return str(claim)

    def _claim(self, tree: Tree) -> Claim | None:
        match tree:
            case Bracket(inner):
                return self._claim(inner)
            case Pair("<", Call("COUNT", (counted,)), Call("ROWS" | "COLUMNS", (same,))) if counted == same:
                return Claim(self._all(counted), "are not all numbers")
            case Pair("=", Call("COUNT", (counted,)), Number("0")):
                return Claim(self._all(counted), "is no number" if isinstance(counted, One) else "hold no number")
            case Pair(sign, left, right) if sign in RELATIONS:
                return Claim(self._operand(left), self._relation(sign, left, right))
            case Call("ISNUMBER", (Call("MATCH", (sought, listed, *_)),)):
                return Claim(self._tight(sought), f"is one of {self._all(listed, every=False)}")
            case Call("ISNUMBER", (Call("FIND", (sought, text, *_)),)):
                return Claim(self._tight(text), f"holds {self._tight(sought)}")
            case Call("ISNUMBER", (inner,)):
                return Claim(self._tight(inner), "is a number")
            case Call("ISERROR", (inner,)):
                return Claim(self._tight(inner), "is an error")
        return None

    def _relation(self, sign: str, left: Tree, right: Tree) -> str:
        match sign, left, right:
            case ("=" | "<>", One(where), Number("0" | "1" as digit)) if self.book.nodes[where[0]].unit == "flag":
                return f"{RELATIONS[sign]} {'yes' if digit == '1' else 'no'}"
            case "=", _, Quoted(""):
                return "is empty"
            case "<>", _, Quoted(""):
                return "is not empty"
            case ("<" | ">", One(of), One(bound)) if bound_of(of[0], bound[0]) == {"<": "low", ">": "high"}[sign]:
                return f"is {'below' if sign == '<' else 'above'} its allowed range"
        return f"{RELATIONS[sign]} {self._operand(right)}"

    def _list_of_claims(self, given: Sequence[Tree], word: str) -> str:
        """Return conditions joined by a word; those that say the same of several things are said once."""
        found: list[tuple[list[str], Claim | None]] = []
        rest = list(given)
        while rest:
            tree = rest.pop(0)
            claim = self._in_range(tree, rest[0]) if rest and word == "and" else None
            if claim is not None:
                rest.pop(0)
            else:
                claim = self._claim(tree)
            if claim is None:
                found.append(([self._case(tree)], None))
            elif found and (last := found[-1][1]) is not None and last.says == claim.says:
                found[-1][0].append(claim.subject)
            else:
                found.append(([claim.subject], claim))
        return f" {word} ".join(claimed(subjects, claim, word) for subjects, claim in found)

    def _in_range(self, low: Tree, high: Tree) -> Claim | None:
        """Return what two neighbouring conditions say together: that a figure is in its own range."""
        match low, high:
            case Pair(">=", One(of), One(lowest)), Pair("<=", One(same), One(highest)) if of == same:
                if (bound_of(of[0], lowest[0]), bound_of(of[0], highest[0])) == ("low", "high"):
                    return Claim(self.said(One(of)), "is in its allowed range")
        return None

    def _extreme(self, given: Sequence[Tree], of_two: str, of_many: str) -> str:
        several = len(given) > 2 or isinstance(given[0], Whole | Span)
        return f"the {of_many if several else of_two} of {self._several(given)}"

    def _sum_where(self, given: Sequence[Tree]) -> str:
        summed = given[2] if len(given) > 2 else given[0]
        return f"the sum of {self._all(summed)} where {self._all(given[0], every=False)} {self._meets(given[1])}"

    def _meets(self, criterion: Tree, *, plural: bool = False) -> str:
        """Return what a criterion of SUMIF or COUNTIF asks for."""
        be = "are" if plural else "is"
        if isinstance(criterion, Quoted):
            for sign in sorted(RELATIONS, key=len, reverse=True):
                if criterion.text.startswith(sign):
                    return f"{RELATIONS[sign].replace('is', be, 1)} {plain(criterion.text.removeprefix(sign))}"
        return f"{be} {self._this(criterion)}"

    def _picked(self, given: Sequence[Tree]) -> str:
        column, place = given[0], given[1]
        match place:
            case Call("MATCH", (sought, listed, *_)) if listed == column:
                return f"the one of {self._all(column, every=False)} that is {self._this(sought)}"
            case Call("MATCH", (sought, listed, *_)):
                return (
                    f"{self._all(column, every=False)} where {self._all(listed, every=False)} is {self._this(sought)}"
                )
        return f"number {self._tight(place)} of {self._all(column, every=False)}"

    def _chosen(self, given: Sequence[Tree]) -> str:
        cases = (f"for {number}: {self._case(each)}" for number, each in enumerate(given[1:], 1))
        return f"by {self._tight(given[0])}: " + "; ".join(cases)

    def _rounded(self, given: Sequence[Tree]) -> str:
        if given[1] == Number("0"):
            return f"{self._tight(given[0])} rounded to a whole number"
        return f"{self._tight(given[0])} rounded to {self._tight(given[1])} decimals"

    def _power(self, base: Tree, power: Tree) -> str:
        if isinstance(power, Number) and power.text in POWERS:
            return f"{self._tight(base)} {POWERS[power.text]}"
        return f"{self._tight(base)} to the power of {self._tight(power)}"

    def _all(self, tree: Tree, *, every: bool = True) -> str:
        """Return a column or a span in words."""
        match tree:
            case Whole(key):
                return f"{'all ' if every else ''}‹{self.labels.whole(key, self.home)}›"
            case Span(One(first), One(last)) if first[0] == last[0]:
                label = self.labels.whole(first[0], self.home)
                return f"‹{label}, {self.labels.item(first)} to {self.labels.item(last)}›"
            case Span(first, last):
                return f"{self._tight(first)} through {self._tight(last)}"
        return self._tight(tree)

    def _several(self, given: Sequence[Tree]) -> str:
        return joined([self._all(each) for each in given], "and")

    def _this(self, tree: Tree) -> str:
        """Return a part that is looked for in a column; a cell with its item, as the column has others of its kind."""
        if isinstance(tree, One):
            return f"‹{self.labels.short(tree.where, self.home, with_item=True)}›"
        return self._tight(tree)

    def _case(self, tree: Tree) -> str:
        """Return a part that may hold semicolons, in brackets where it does."""
        words = self.said(tree)
        return f"({words})" if isinstance(tree, Call) and tree.name in ("IF", "CHOOSE", "AND", "OR") else words

    def _operand(self, tree: Tree) -> str:
        """Return a part between signs: what is no sum, product or square of its own stands in brackets."""
        match tree:
            case Pair("^", _, Number(text)) if text in POWERS:
                return self.said(tree)
            case Pair(sign) if sign in SIGNS:
                return self.said(tree)
        return self._tight(tree)

    def _tight(self, tree: Tree) -> str:
        """Return a part that can't be torn apart by what stands around it."""
        return self.said(tree) if _is_tight(tree) else f"({self.said(tree)})"


def _is_tight(tree: Tree) -> bool:
    """Return whether a part's words are a single label, text or bracket."""
    return isinstance(tree, Number | Quoted | One | Whole | Elsewhere | Bracket)
