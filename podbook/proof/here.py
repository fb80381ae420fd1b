"""One workbook as one engine sees it: which cells are wrong in themselves, and where each fault began."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from podbook.book.formula import Place, precedents, rendered
from podbook.book.model import Book
from podbook.book.node import Node
from podbook.proof.agreement import differs, given, told
from podbook.proof.changes import REFERENCES, change, normal
from podbook.proof.evaluate import Column, Columns, Stacks, Unusable, end_to_end, evaluated
from podbook.proof.typed import Grid, Typed, are_some_lost
from podbook.proof.wiring import Where, Wiring
from podbook.proof.wrong import FOLLOWS, NOT_FROM_ENTRIES, VALUE_ONLY, Disagreement, Wrong
from podbook.recalc import Cell

OF_THE_FILE = ("book_title", "book_edition", "book_region", "book_units", "book_rows")
"""Given figures that tell one workbook from another; the book is made after them."""


class Here:
    """One workbook as one engine sees it: ``cells`` is what stands in it, ``values`` what the engine makes of them.

    ``misnamed`` are the nodes whose name no longer stands for all their cells, by their keys; ``stretched`` the fields
    of tables into which something was put, each with the cell that is blamed if formulas go wrong by it; ``some_lost``
    says whether cells of the book are gone, where that is known; ``typed`` may know already which formulas are right.
    """

    def __init__(
        self,
        book: Book,
        places: Mapping[str, Place],
        cells: Grid,
        values: Mapping[tuple[str, str], Cell],
        wiring: Wiring | None = None,
        expected: Columns | None = None,
        misnamed: Mapping[str, Wrong] | None = None,
        stretched: Mapping[str, tuple[Where, Wrong]] | None = None,
        some_lost: bool | None = None,
        typed: Typed | None = None,
    ) -> None:
        self.book, self.places, self.cells, self.values = book, places, cells, values
        self.misnamed, self.stretched = misnamed or {}, stretched or {}
        self._blamed: set[Where] = set()
        self.some_lost = are_some_lost(book, places) if some_lost is None else some_lost
        self.wiring = wiring or Wiring(book)
        self._known: dict[Where, Any] = {}
        self._stacks: Stacks = {}
        self._agreements: dict[Where, float | None] = {}
        self.typed = typed or Typed(book, places, cells)
        self._expected = expected

    @property
    def expected(self) -> Columns:
        """What the reference functions alone make of the entries that stand here."""
        if self._expected is None:
            self._expected = end_to_end(self.book, self.entries(), self.wiring)
        return self._expected

    def get(self, where: Where) -> Any:
        """Return the value of one cell."""
        if where not in self._known:
            self._known[where] = self._value(where)
        return self._known[where]

    def scale(self, where: Where) -> float:
        """Return the size on which a cell is exact; 0 for its own. It comes from the entries: no fault can widen it."""
        return self.wiring.scale(where, lambda each: self.expected[each[0]][each[1]])

    def agrees(self, where: Where, wanted: Any) -> float | None:
        """Return how far a cell's value is from what it should be, relatively; None if they do not agree."""
        gap = differs(self.get(where), wanted)
        return gap if gap is not None else differs(self.get(where), wanted, self.scale(where))

    def agreement(self, where: Where) -> float | None:
        """Return how far a cell is from what the entries make of it, relatively; None if they do not agree."""
        if where not in self._agreements:
            self._agreements[where] = self.agrees(where, self.expected[where[0]][where[1]])
        return self._agreements[where]

    def column(self, key: str) -> Column:
        """Return the values of a node."""
        return tuple(self.get((key, item)) for item in range(self.book.nodes[key].count))

    def _value(self, where: Where) -> Any:
        node, item = self.book.nodes[where[0]], where[1]
        if node.role == "span":
            return self.get((node.members[item], 0))
        place = self.places.get(node.key)
        if place is None or not place.cells[item]:
            return Unusable(f"'{node.key}' is gone")
        address = (place.sheet, place.cells[item])
        stands = self.cells[address]
        if isinstance(stands, str) and stands.startswith("="):
            return self.values.get(address)
        return float(stands) if isinstance(stands, int | float) and not isinstance(stands, bool) else stands

    def entries(self) -> dict[str, Column]:
        """Return what is filled in."""
        return {node.key: self.column(node.key) for node in self.book.nodes.values() if node.role == "entry"}

    def faults(self) -> dict[Where, Wrong]:
        """Return the cells that are wrong in themselves."""
        found: dict[Where, Wrong] = {}
        for node in self.book.nodes.values():
            if node.role == "span":
                if node.key in self.misnamed:
                    found[(node.key, 0)] = self.misnamed[node.key]
                continue
            if node.role == "worked" and self._is_as_it_should_be(node):
                continue
            for item in range(node.count):
                if item == 0 and node.key in self.misnamed:
                    found[(node.key, 0)] = self.misnamed[node.key]
                elif self.is_lost((node.key, item)):
                    gone = f"a cell of {node.name}"
                    found[(node.key, item)] = Wrong("the cell is gone", "nothing", gone, edited=True, lost=True)
                elif node.role != "entry" and (fault := self.fault((node.key, item))) is not None:
                    found[(node.key, item)] = fault
        self._blame(found)
        return found

    def _is_as_it_should_be(self, node: Node) -> bool:
        """Return whether all cells of a node are plainly right: there, with their formulas, and the values wanted."""
        if self.some_lost or node.key in self.misnamed or node.key not in self.typed.right:
            return False
        place = self.places[node.key]
        addresses = [(place.sheet, cell) for cell in place.cells]
        gaps = list(map(differs, map(self.values.get, addresses), self.expected[node.key]))
        if None in gaps:
            return False
        self._agreements.update(zip(((node.key, item) for item in range(node.count)), gaps, strict=True))
        return True

    def _blame(self, found: dict[Where, Wrong]) -> None:
        """Blame what was put into a table for the values that no formula explains, where formulas name its fields."""
        for where, wrong in tuple(found.items()):
            if not wrong.edited and self.stretched:
                for key, _ in precedents(self.book, self.book.nodes[where[0]], where[1]):
                    if key in self.stretched:
                        blamed, words = self.stretched[key]
                        found.setdefault(blamed, words)
                        self._blamed.add(blamed)

    def is_lost(self, where: Where) -> bool:
        """Return whether a cell can't be found in the file."""
        place = self.places.get(where[0])
        return place is None or not place.cells[where[1]]

    def fault(self, where: Where) -> Wrong | None:
        """Return what is wrong with one cell in itself, judged by what feeds it here."""
        node, item = self.book.nodes[where[0]], where[1]
        return self._formula_fault(node, item) if node.role == "worked" else self._figure_fault(node, item)

    def _figure_fault(self, node: Node, item: int) -> Wrong | None:
        if node.key in OF_THE_FILE:
            return None
        place, wanted = self.places[node.key], node.contents[item]
        stands = self.cells[(place.sheet, place.cells[item])]
        if given(stands, wanted):
            return None
        kind = "a coefficient was changed" if node.role == "coefficient" else "a given figure was changed"
        return Wrong(kind, told(stands), told(wanted), edited=True)

    def _formula_fault(self, node: Node, item: int) -> Wrong | None:
        where = (node.key, item)
        place = self.places[node.key]
        stands, value = self.cells[(place.sheet, place.cells[item])], self.get(where)
        lost = self.some_lost and any(self.is_lost(each) for each in precedents(self.book, node, item))
        if self.some_lost:
            should = node.formula_of(item) if lost else rendered(self.book, node, item, self.places)
        else:
            should = self.typed.of(node)[item]
        if not isinstance(stands, str) or not stands.startswith("="):
            what = "a formula was cleared" if stands is None else "a formula was overwritten"
            return Wrong(what, told(stands), should, edited=True)
        if stands == should and not lost and self.agreement(where) is not None:
            return None
        local = evaluated(self.wiring, where, self.get, self._stacks)
        if lost:
            words = f"{stands} ({told(value)})"
            return Wrong("the formula names a cell that is gone", words, should, edited=False)
        if stands != should and normal(stands) != normal(should):
            right = should if isinstance(local, Unusable) else f"{should} ({told(local)})"
            words, what = f"{stands} ({told(value)})", change(stands, should)
            pulled = what in REFERENCES and any(
                each[0] in self.stretched and self.stretched[each[0]][1].lost
                for each in precedents(self.book, node, item)
            )
            return Wrong(f"a formula was changed: {what}", words, right, edited=not pulled)
        if self.agrees(where, local) is None:
            return Wrong(VALUE_ONLY, told(value), told(local), edited=False)
        return None

    def told(self, faults: Mapping[Where, Wrong], wrong: Mapping[Where, tuple[Any, Any]]) -> tuple[Disagreement, ...]:
        """Return the disagreements: what began here first, most followed first, then what only follows."""
        roots = self._roots(faults, wrong)
        counted: dict[Where, list[str]] = {}
        for where, root in roots.items():
            if root != where:
                counted.setdefault(root, []).append("!".join(self._address(where)))
        result = []
        for where, root in roots.items():
            sheet, cell = self._address(where)
            fault = faults.get(where)
            if fault is None or (root != where and not fault.edited):
                found, wanted = wrong[where] if fault is None else (fault.stands, fault.should)
                follows = FOLLOWS if root != where else NOT_FROM_ENTRIES
                what, stands, should = follows, told(found), told(wanted)
            else:
                what, stands, should = fault.what, fault.stands, fault.should
            began = "!".join(self._address(root))
            label = self.book.nodes[where[0]].label
            lost = fault is not None and fault.lost
            result.append(
                Disagreement(
                    *where, sheet, cell, label, what, stands, should, began, tuple(counted.get(where, ())), lost
                )
            )
        return tuple(sorted(result, key=lambda each: (not each.began_here, -len(each.followers))))

    def _roots(self, faults: Mapping[Where, Wrong], wrong: Mapping[Where, tuple[Any, Any]]) -> dict[Where, Where]:
        """Return, for every cell that disagrees, the cell in which it began: itself, or one that feeds it."""
        roots: dict[Where, Where] = {where: where for where, fault in faults.items() if fault.edited}
        amiss = {*faults, *wrong}
        for start in (*faults, *wrong):
            stack = [start]
            while stack:
                where = stack[-1]
                if where in roots:
                    stack.pop()
                    continue
                feeds = [each for each in self._feeds(where) if each in amiss and each != where]
                waiting = [each for each in feeds if each not in roots and each not in stack]
                if waiting:
                    stack.append(waiting[0])
                else:
                    roots[where] = next((roots[each] for each in feeds if each in roots), where)
                    stack.pop()
        return roots

    def _feeds(self, where: Where) -> list[Where]:
        """Return the cells that feed a cell, by its formula and by its reference function; of a span, its members."""
        node = self.book.nodes[where[0]]
        by_formula = precedents(self.book, node, where[1]) if node.role == "worked" else ()
        found: list[Where] = []
        for each in dict.fromkeys((*self.wiring.feeds(where), *by_formula)):
            span = self.book.nodes[each[0]]
            found.append((span.members[each[1]], 0) if span.role == "span" else each)
            if span.role == "span" and span.key in self.misnamed:
                found.append((span.key, 0))
            blamed = self.stretched.get(each[0])
            if blamed is not None and blamed[0] in self._blamed:
                found.append(blamed[0])
        return found

    def _address(self, where: Where) -> tuple[str, str]:
        if self.is_lost(where):
            return "?", f"{self.book.nodes[where[0]].name}, item {where[1] + 1}"
        place = self.places[where[0]]
        return place.sheet, place.cells[where[1]]
