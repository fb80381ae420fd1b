"""From a formula's text to its tree: a formula as typed in the book, or one that stands in a file."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from podbook.book.formula import PLACEHOLDER, Where, resolve
from podbook.book.model import Book
from podbook.book.node import Node

LONGEST, DEEPEST, MOST_SIGNS = 8192, 40, 150
"""Most letters, most brackets inside one another, and most signs between operands, of a formula from outside."""


class Unreadable(Exception):
    """A formula that can't be taken apart, or said in words."""


@dataclass(frozen=True)
class Number:
    text: str


@dataclass(frozen=True)
class Quoted:
    text: str


@dataclass(frozen=True)
class One:
    """One cell of the book."""

    where: Where


@dataclass(frozen=True)
class Whole:
    """All cells of a node, by its name."""

    key: str


@dataclass(frozen=True)
class Span:
    """All cells from one to another."""

    first: Tree
    last: Tree


@dataclass(frozen=True)
class Elsewhere:
    """A cell or a name that is none of the book's."""

    text: str


@dataclass(frozen=True)
class Call:
    name: str
    arguments: tuple[Tree, ...]


@dataclass(frozen=True)
class Minus:
    operand: Tree


@dataclass(frozen=True)
class Pair:
    sign: str
    left: Tree
    right: Tree


@dataclass(frozen=True)
class Bracket:
    inner: Tree


Tree = Number | Quoted | One | Whole | Span | Elsewhere | Call | Minus | Pair | Bracket

Token = tuple[str, str]
"""What kind it is, and its text."""
Leaf = Callable[[str, str], Tree]
"""Makes the leaf for a placeholder, an address or a name, given which of them it is and its text."""

TOKEN = re.compile(
    r"""(?P<place>\{[^{}]*\})
    | "(?P<quoted>(?:[^"]|"")*)"
    | (?P<address>(?:(?:'(?:[^']|'')+'|[A-Za-z_][\w.]*)!)?\$?[A-Za-z]{1,3}\$?[0-9]{1,7}(?![\w.(]))
    | (?P<call>[A-Za-z][A-Za-z0-9.]*)\(
    | (?P<number>(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+-]?[0-9]+)?)
    | (?P<name>[A-Za-z_][A-Za-z0-9_.]*)
    | (?P<sign><=|>=|<>|[-+*/^=<>(),:])
    | (?P<blank>\s+)""",
    re.VERBOSE,
)
LADDER = (("=", "<>", "<", ">", "<=", ">="), ("+", "-"), ("*", "/"), ("^",))
"""Signs that join two operands, the loosest first."""


def typed(book: Book, node: Node, item: int) -> Tree:
    """Return the tree of the formula of one of the book's own cells."""

    def leaf(kind: str, text: str) -> Tree:
        match = PLACEHOLDER.fullmatch(text) if kind == "place" else None
        return One(resolve(book, node, item, match)) if match else by_name(book, text)

    return parsed(node.formula_of(item), leaf)


def standing(book: Book, formula: str, sheet: str, at: Callable[[str, str], Where | None]) -> Tree:
    """Return the tree of a formula that stands on a sheet of a file; ``at`` tells which cell has an address.

    Raises Unreadable where it can't be taken apart.
    """

    def leaf(kind: str, text: str) -> Tree:
        if kind == "place":
            raise Unreadable(f"it holds {text}")
        if kind != "address":
            return by_name(book, text)
        title, coordinate = split(text)
        where = at(title or sheet, coordinate)
        return Elsewhere(text) if where is None else One(where)

    return parsed(formula, leaf)


def split(address: str) -> tuple[str, str]:
    """Return the sheet (an empty text where none is named) and the coordinate of an address such as ``'A b'!$B$12``."""
    title, _, coordinate = address.rpartition("!")
    title = title[1:-1].replace("''", "'") if title.startswith("'") else title
    return title, coordinate.replace("$", "").upper()


def by_name(book: Book, text: str) -> Tree:
    """Return the leaf for a defined name, in whatever case it is written."""
    node = book.by_name.get(text) or book.by_name.get(text.lower())
    if node is None:
        return Elsewhere(text)
    return One((node.key, 0)) if node.size is None else Whole(node.key)


def parsed(formula: str, leaf: Leaf) -> Tree:
    """Return the tree of a formula that begins with '='. Raises Unreadable."""
    if len(formula) > LONGEST or not formula.startswith("="):
        raise Unreadable("it is no formula, or too long")
    return _Parser(list(_tokens(formula[1:])), leaf).whole()


def settled(book: Book, tree: Tree) -> Tree:
    """Return a tree in which a pick from a column by a plain number is the one cell that it picks."""
    match tree:
        case Call("INDEX", (Whole(key), Number(digits))) if (
            digits.isdigit() and 0 < int(digits) <= book.nodes[key].count
        ):
            return One((key, int(digits) - 1))
        case Call(name, given):
            return Call(name, tuple(settled(book, each) for each in given))
        case Pair(sign, left, right):
            return Pair(sign, settled(book, left), settled(book, right))
        case Minus(inner):
            return Minus(settled(book, inner))
        case Bracket(inner):
            return Bracket(settled(book, inner))
    return tree


def parts(tree: Tree) -> tuple[Tree, ...]:
    """Return what a tree is put together from."""
    match tree:
        case Call(_, given):
            return given
        case Pair(_, left, right) | Span(left, right):
            return left, right
        case Minus(inner) | Bracket(inner):
            return (inner,)
    return ()


def ones(tree: Tree) -> Iterator[Where]:
    """Yield the single cells that a tree names, in their order."""
    if isinstance(tree, One):
        yield tree.where
    for part in parts(tree):
        yield from ones(part)


def _tokens(text: str) -> Iterator[Token]:
    """Yield the pieces of a formula; the second end of a span is on the sheet of the first."""
    position, sheet, before = 0, "", ("", "")
    while position < len(text):
        match = TOKEN.match(text, position)
        if match is None:
            raise Unreadable(f"it holds {text[position]!r}")
        position = match.end()
        kind = match.lastgroup or ""
        found = match[kind]
        if kind == "blank":
            continue
        if kind == "address":
            if before == ("sign", ":") and "!" not in found:
                found = sheet + found
            sheet = found[: found.rfind("!") + 1]
        yield (before := (kind, found))


class _Parser:
    def __init__(self, tokens: list[Token], leaf: Leaf) -> None:
        self.tokens, self.leaf = tokens, leaf
        self.position = self.depth = self.signs = 0

    def whole(self) -> Tree:
        tree = self._joined(0)
        if self.position < len(self.tokens):
            raise Unreadable(f"'{self.tokens[self.position][1]}' stands where it ends")
        return tree

    def _sign(self, *signs: str) -> str:
        """Return the next sign and go past it, if it is one of these; else an empty text."""
        if self.position < len(self.tokens):
            kind, text = self.tokens[self.position]
            if kind == "sign" and text in signs:
                self.position += 1
                return text
        return ""

    def _joined(self, rung: int) -> Tree:
        if rung == len(LADDER):
            return self._signed()
        tree = self._joined(rung + 1)
        while sign := self._sign(*LADDER[rung]):
            self.signs += 1
            if self.signs > MOST_SIGNS:
                raise Unreadable("it is too long")
            tree = Pair(sign, tree, self._joined(rung + 1))
        return tree

    def _signed(self) -> Tree:
        if self._sign("-"):
            return Minus(self._deeper(self._signed))
        if self._sign("+"):
            return self._deeper(self._signed)
        first = self._atom()
        return Span(first, self._atom()) if self._sign(":") else first

    def _deeper(self, part: Callable[[], Tree]) -> Tree:
        self.depth += 1
        if self.depth > DEEPEST:
            raise Unreadable("its brackets are too deep")
        tree = part()
        self.depth -= 1
        return tree

    def _atom(self) -> Tree:
        if self.position == len(self.tokens):
            raise Unreadable("it breaks off")
        kind, text = self.tokens[self.position]
        self.position += 1
        if kind == "number":
            return Number(text)
        if kind == "quoted":
            return Quoted(text.replace('""', '"'))
        if kind == "call":
            return Call(text.upper(), self._arguments())
        if kind == "sign":
            if text != "(":
                raise Unreadable(f"'{text}' stands where a figure should")
            tree = Bracket(self._deeper(lambda: self._joined(0)))
            self._close()
            return tree
        return self.leaf(kind, text)

    def _arguments(self) -> tuple[Tree, ...]:
        if self._sign(")"):
            return ()
        found = [self._deeper(lambda: self._joined(0))]
        while self._sign(","):
            found.append(self._deeper(lambda: self._joined(0)))
        self._close()
        return tuple(found)

    def _close(self) -> None:
        if not self._sign(")"):
            raise Unreadable("a bracket is left open")
