"""Seeded faults of units: every way of mixing two units up, in every formula of the demo book, and what the audit says.

Run it with: python tests/proof/unit_faults.py [us|metric]
"""

from __future__ import annotations

import sys
import time
from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property

from podbook import regions
from podbook.book.model import Book, Sheet, Single
from podbook.book.node import Node
from podbook.book.tree import Bracket, Call, Minus, Number, One, Pair, Span, Tree, Whole, parts, typed
from podbook.inputs.farm import filled
from podbook.proof.units import Audit
from podbook.proof.units.auditing import apart
from podbook.proof.units.deriving import TOLERANCE
from podbook.proof.units.found import Found, Of, one
from podbook.proof.units.measure import POINTS, SIZES, Measure, measure, times
from podbook.proof.units.readings import CONVERSIONS
from podbook.sheets import book_of

REGION = "us_midatl_appal"
STAND_IN = "stand_in_"
COMPARED = ("=", "<>", "<", ">", "<=", ">=")
COUNTING = ("COUNT", "ROWS", "COLUMNS", "ISNUMBER", "ISERROR")
Path = tuple[int, ...]
"""The way from the top of a tree down to a part of it."""
Exchange = Callable[[Measure], Iterator[Measure]]
"""The units that one may be taken for."""
Rewrite = Callable[[Tree, Callable[[Tree], bool]], Iterator[tuple[Path, Tree]]]
"""Each way of spoiling a formula in which something stands: the part that is spoiled, and what it becomes."""


def exchange(*pairs: tuple[str, str]) -> Exchange:
    """Return the units that come of one where a word of it is taken for another."""

    def of(found: Measure) -> Iterator[Measure]:
        words = dict(found.words)
        for one_word, other in pairs:
            for word, instead in ((one_word, other), (other, one_word)):
                if word in words:
                    power = words[word]
                    yield times(times(found, measure(word), -power), measure(instead), power)

    return of


def a_head(found: Measure) -> Iterator[Measure]:
    """What is of the herd for what is of a head, and the other way round."""
    if found.words and not found.is_point:
        power = dict(found.words).get("head", 0)
        yield times(found, measure("head"), -power if power else -1)


def a_tree(found: Measure) -> Iterator[Measure]:
    power = dict(found.words).get("tree", 0)
    if power:
        yield times(found, measure("tree"), -power)


def difference(found: Measure) -> Iterator[Measure]:
    """A difference of temperatures for a temperature, and the other way round."""
    if found.is_point:
        yield found.difference
    for point, apart_by in POINTS.items():
        if found.words == ((apart_by, 1),):
            yield measure(point)


def share(found: Measure) -> Iterator[Measure]:
    """Percent for a share, and the other way round."""
    words = dict(found.words)
    if "percent" in words:
        yield times(found, measure("percent"), -words["percent"])
    elif not found.words:
        yield measure("percent")


SWAPS: Mapping[str, Exchange] = {
    "as fed for dry": exchange(
        ("lb_dry", "lb_fed"), ("kg_dry", "kg_fed"), ("short_ton_fed", "short_ton_dry"), ("tonne_fed", "tonne_dry")
    ),
    "other mass for dry": exchange(("lb_dry", "lb"), ("kg_dry", "kg")),
    "herd for head": a_head,
    "stand for tree": a_tree,
    "°F for a difference": difference,
    "°C for °F": exchange(("degF", "degC"), ("delta_degF", "delta_degC")),
    "week for day": exchange(("day", "week")),
    "month for day": exchange(("day", "month")),
    "month for year": exchange(("year", "month")),
    "minute for hour": exchange(("hour", "minute")),
    "percent for share": share,
    "lb for kg": exchange(("lb", "kg"), ("lb_dry", "kg_dry"), ("lb_fed", "kg_fed")),
    "lb for ton": exchange(("lb_fed", "short_ton_fed"), ("kg_fed", "tonne_fed")),
    "g for kg": exchange(("g", "kg")),
    "acre for hectare": exchange(("acre", "hectare")),
    "foot for meter": exchange(("foot", "meter")),
    "kcal or MJ for Mcal": exchange(("Mcal", "kcal"), ("Mcal", "megajoule")),
    "one money for another": exchange(("USD", "EUR"), ("USD", "NZD")),
    "bushel for hectoliter": exchange(("bushel", "hectoliter")),
}
MOST_LISTED = 40
UNDONE = "no zero of temperature"
FACTORS = (*CONVERSIONS, "days_per_month")


@dataclass(frozen=True)
class Mutant:
    """A formula with one fault of units."""

    kind: str
    key: str
    tree: Tree
    path: Path
    leaf: Tree
    """What stood there."""
    instead: str


@dataclass
class Tally:
    """What came of one kind of fault."""

    kind: str
    made: int = 0
    caught: int = 0
    unseen: Counter[str] = field(default_factory=Counter)
    """How many no audit of units can see, by the reason."""
    missed: list[Mutant] = field(default_factory=list)

    def row(self) -> str:
        return f"{self.kind:<28}{self.made:>9,}{self.caught:>9,}{self.unseen.total():>9,}{len(self.missed):>9,}"


HEADING = f"{'kind of fault':<28}{'made':>9}{'caught':>9}{'unseen':>9}{'missed':>9}"


class Seeded:
    """Makes the faults of a book, and asks the audit about each."""

    def __init__(self, book: Book) -> None:
        self.plain = Audit(book)
        self.trees = [(node.key, typed(book, node, item)) for node in book.worked for item in apart(node)]
        needed = dict.fromkeys(each for kind in SWAPS for _, _, _, each in self._swaps(kind))
        self.stand_ins = {each: f"{STAND_IN}{number}" for number, each in enumerate(needed)}
        rows = tuple(Node(key, key, _unit(each), "fixed", contents=(1.0,)) for each, key in self.stand_ins.items())
        page = Sheet("Stand-ins", "A cell of every unit that is needed.", (Single("Cells", rows),))
        self.audit = Audit(replace(book, sheets=(*book.sheets, page)))

    def of(self, kind: str) -> Iterator[Mutant]:
        """Yield every fault of a kind."""
        if kind in SWAPS:
            for key, tree, path, instead in self._swaps(kind):
                leaf = One((self.stand_ins[instead], 0))
                yield Mutant(kind, key, replaced(tree, path, leaf), path, part(tree, path), str(instead))
            return
        for key, tree in self.trees:
            made_of = self._undone(key, tree) if kind == UNDONE else self._rewritten(kind, tree)
            for path, made in made_of:
                yield Mutant(kind, key, replaced(tree, path, made), path, part(tree, path), str(made))

    def tally(self, kind: str) -> Tally:
        tally = Tally(kind)
        for mutant in self.of(kind):
            tally.made += 1
            if self.audit.derived(mutant.key, mutant.tree, lined=False).what:
                tally.caught += 1
            elif reason := unseen(mutant):
                tally.unseen[reason] += 1
            else:
                tally.missed.append(mutant)
        return tally

    @cached_property
    def kinds(self) -> tuple[str, ...]:
        return (*REWRITES, UNDONE, *SWAPS)

    def _rewritten(self, kind: str, tree: Tree) -> Iterator[tuple[Path, Tree]]:
        """Yield each factor, or each 100, dropped or inverted; one that is 1, as some in metric units, does nothing."""
        nodes = self.plain.book.nodes

        def is_factor(each: Tree) -> bool:
            return isinstance(each, One) and each.where[0] in FACTORS and nodes[each.where[0]].contents != (1,)

        return REWRITES[kind](tree, _is_hundred if kind.startswith("100") else is_factor)

    def _undone(self, key: str, tree: Tree) -> Iterator[tuple[Path, Tree]]:
        """Yield each difference of two temperatures with only the first of them left."""
        deriving = self.plain.deriving(key)
        for path, each in every(tree):
            if isinstance(each, Pair) and each.sign == "-":
                found = [one(deriving.of(side)) for side in (each.left, each.right)]
                if all(isinstance(side, Of) and side.measure.is_point for side in found):
                    yield path, each.left

    def _swaps(self, kind: str) -> Iterator[tuple[str, Tree, Path, Measure]]:
        for key, tree in self.trees:
            deriving = self.plain.deriving(key)
            for path, leaf in leaves(tree):
                found: Found = one(deriving.of(leaf))
                if isinstance(found, Of):
                    for instead in SWAPS[kind](found.measure):
                        yield key, tree, path, instead


def leaves(tree: Tree, path: Path = ()) -> Iterator[tuple[Path, Tree]]:
    """Yield every cell or column that a formula names, with the way to it; a span of fields is left as it is."""
    if isinstance(tree, One | Whole):
        yield path, tree
    if not isinstance(tree, Span):
        for number, each in enumerate(parts(tree)):
            yield from leaves(each, (*path, number))


def every(tree: Tree, path: Path = ()) -> Iterator[tuple[Path, Tree]]:
    """Yield every part of a formula, with the way to it."""
    yield path, tree
    for number, each in enumerate(parts(tree)):
        yield from every(each, (*path, number))


def part(tree: Tree, path: Path) -> Tree:
    for number in path:
        tree = parts(tree)[number]
    return tree


def replaced(tree: Tree, path: Path, instead: Tree) -> Tree:
    """Return a formula with one part in place of another."""
    if not path:
        return instead
    made = [replaced(each, path[1:], instead) if number == path[0] else each for number, each in enumerate(parts(tree))]
    match tree:
        case Call(name, _):
            return Call(name, tuple(made))
        case Pair(sign, _, _):
            return Pair(sign, made[0], made[1])
        case Minus():
            return Minus(made[0])
        case Bracket():
            return Bracket(made[0])
    raise AssertionError(tree)


def _is_hundred(tree: Tree) -> bool:
    return isinstance(tree, Number) and float(tree.text) == 100


def _dropped(tree: Tree, is_it: Callable[[Tree], bool]) -> Iterator[tuple[Path, Tree]]:
    for path, each in every(tree):
        match each:
            case Pair("*" | "/", left, right) if is_it(right):
                yield path, left
            case Pair("*", left, right) if is_it(left):
                yield path, right
            case Pair("/", left, right) if is_it(left):
                yield path, Pair("/", Number("1"), right)


def _inverted(tree: Tree, is_it: Callable[[Tree], bool]) -> Iterator[tuple[Path, Tree]]:
    for path, each in every(tree):
        match each:
            case Pair("*" | "/" as sign, left, right) if is_it(right):
                yield path, Pair("/" if sign == "*" else "*", left, right)
            case Pair("*" | "/" as sign, left, right) if is_it(left):
                yield path, Pair(sign, Bracket(Pair("/", Number("1"), left)), right)


REWRITES: Mapping[str, Rewrite] = {
    "factor dropped": _dropped,
    "factor inverted": _inverted,
    "100 dropped": _dropped,
    "100 inverted": _inverted,
}


def unseen(mutant: Mutant) -> str:
    """Return why no audit of units can see a fault; an empty text where it could."""
    tree = mutant.tree
    for number in mutant.path:
        match tree:
            case Call(name, _) if name in COUNTING:
                return "only counted"
            case Call("COUNTIF" | "SUMIF", _) if number == 0:
                return "compared with nothing"
            case Call("IRR", _):
                return "IRR is the same in any unit"
            case Pair(sign, left, right) if sign in COMPARED and _is_nothing(right if number == 0 else left):
                return "compared with nothing"
        tree = parts(tree)[number]
    return "a tolerance" if mutant.leaf == One((TOLERANCE, 0)) else ""


def _is_nothing(tree: Tree) -> bool:
    return (isinstance(tree, Number) and float(tree.text) == 0) or str(tree) == "Quoted(text='')"


def _unit(found: Measure) -> str:
    """Return a unit as it is written for a cell."""
    above = "*".join(_power(word, power) for word, power in found.words if power > 0)
    return (above or "1") + "".join("/" + _power(word, -power) for word, power in found.words if power < 0)


def _power(word: str, power: float) -> str:
    assert word in SIZES
    return word if power == 1 else f"{word}**{power:g}"


def demo(units: str) -> Book:
    return book_of(regions.load(REGION), filled(), units)


def main(units: str) -> int:
    start = time.perf_counter()
    seeded = Seeded(demo(units))
    print(f"{len(seeded.trees):,} formulas of the demo book, {units}\n{HEADING}", flush=True)
    tallies = []
    for kind in seeded.kinds:
        tallies.append(seeded.tally(kind))
        print(tallies[-1].row(), flush=True)
    made, caught = (sum(getattr(each, what) for each in tallies) for what in ("made", "caught"))
    missed = [each for tally in tallies for each in tally.missed]
    print(f"{made:,} faults in {time.perf_counter() - start:.0f} s: {caught:,} caught, {len(missed)} missed")
    for reason, number in sum((each.unseen for each in tallies), Counter()).most_common():
        print(f"  {number:,} that no audit of units can see: {reason}")
    for mutant in missed[:MOST_LISTED]:
        print(f"  missed: {mutant.kind}, {mutant.key}: {mutant.leaf} -> {mutant.instead}"[:200])
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1] if len(sys.argv) > 1 else "us"))
