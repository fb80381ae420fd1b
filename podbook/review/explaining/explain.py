"""Tell of one cell: what it holds, in words, from what it comes, and whether its reference function agrees."""

from __future__ import annotations

import inspect
from collections.abc import Sequence
from pathlib import Path

from podbook.book.node import Node
from podbook.book.tree import Tree, Unreadable, typed
from podbook.proof.agreement import told as as_text
from podbook.proof.evaluate import Unusable
from podbook.proof.units import Audit, sentence
from podbook.proof.wiring import Where, Wire
from podbook.recalc import Fault
from podbook.reference.contract import Parameter as Stated
from podbook.review.explaining.desk import FEW, Desk
from podbook.review.explaining.explanation import Change, Explanation, Formula, Function, Origin, Parameter
from podbook.review.explaining.feeding import Feeding
from podbook.review.explaining.naming import Named
from podbook.review.explaining.wording import Wording
from podbook.sources import bibliography

LEVELS = 3
"""Levels of inputs that are told."""


class Explainer:
    """Explains the cells of one workbook."""

    def __init__(self, path: Path) -> None:
        self.path, self.desk = path, Desk(path)
        self.book = self.desk.book
        self._audit = Audit(self.book)

    def explain(self, name: str, depth: int = LEVELS) -> Explanation:
        """Tell of the cell that is called so. Raises UnclearName where that is none, or several."""
        named = self.desk.names.find(name)
        node = self.book.nodes[named.key]
        cells = [self._member(node, item) for item in range(node.count)] if named.item is None else []
        where = self._telling(cells) if cells else self._member(node, named.item or 0)
        return self._explained(where, cells, named, depth)

    def _member(self, node: Node, item: int) -> Where:
        return (node.members[item], 0) if node.role == "span" else (node.key, item)

    def _telling(self, cells: Sequence[Where]) -> Where:
        """Return the cell of a column that says most: the first that is amiss, else the first that is not zero."""
        for amiss in (
            lambda each: not self._judged(each)[0],
            lambda each: self.desk.value(each) not in (0, None, "", "-"),
        ):
            found = next(filter(amiss, cells), None)
            if found is not None:
                return found
        return cells[0]

    def _explained(self, where: Where, cells: Sequence[Where], named: Named, depth: int) -> Explanation:
        desk, feeding = self.desk, Feeding(self.desk, where)
        node = self.book.nodes[where[0]]
        upstream = desk.upstream(where)
        agrees, verdict = self._judged(where)
        inputs = desk.inputs(where) or (desk.should_read(where) if node.role == "worked" else ())
        amiss = tuple(desk.names.written(each) for each in cells if not self._judged(each)[0])
        return Explanation(
            file=str(self.path),
            cell=feeding.told(where),
            role=node.role,
            block=desk.labels.block(named.key),
            note=node.note,
            column=feeding.column(cells, self.book.nodes[named.key]) if cells else None,
            amiss=amiss,
            formula=self._formula(where) if node.role == "worked" else None,
            typed=feeding.typed(where) if node.role == "entry" else None,
            origin=_origin(node.source, node.place, node.mark) if node.source else None,
            inputs=feeding.tree(inputs, depth),
            entries=tuple(feeding.entries(upstream)),
            changes=tuple(self._changes(feeding, upstream)),
            function=self._function(where, feeding) if node.role == "worked" else None,
            agrees=agrees and not amiss,
            verdict=verdict,
            status=str(desk.value(("status", 0))),
        )

    def _judged(self, where: Where) -> tuple[bool, str]:
        """Return whether a cell is as it should be, and that in words."""
        desk, node = self.desk, self.book.nodes[where[0]]
        fault = desk.fault(where)
        if fault is not None:
            return False, fault.what
        if node.role == "entry":
            slip = desk.slips.get(where)
            return True, "it is filled in by you" if slip is None else "it is filled in by you, and can't be used"
        if node.role != "worked":
            return True, "it is as the book has it"
        if not desk.agrees_in_all(where):
            wanted = as_text(desk.expected(where))
            return False, (
                "formula and reference function agree on what feeds it here, but what feeds it is not right: worked "
                f"from what was filled in alone it is {wanted}"
            )
        return True, "formula and reference function agree, on what feeds it here and from what was filled in alone"

    def _changes(self, feeding: Feeding, upstream: Sequence[Where]) -> list[Change]:
        found = []
        for where in upstream:
            fault = self.desk.fault(where)
            if fault is not None:
                found.append(Change(feeding.told(where), fault.what, fault.stands, fault.should))
        return found

    def _formula(self, where: Where) -> Formula:
        node, stands = self.book.nodes[where[0]], self.desk.stands(where)
        fault = self.desk.fault(where)
        should = typed(self.book, node, where[1])
        if fault is None or not fault.edited:
            return Formula(str(stands), self._words(where, should), unit=self._unit(where, should))
        try:
            tree = self.desk.tree(where)
        except Unreadable:
            tree = None
        words = self._words(where, tree) if tree is not None else ()
        unit = self._unit(where, tree) if tree is not None else ""
        return Formula(as_text(stands), words, self.desk.should(where), self._words(where, should), unit)

    def _words(self, where: Where, tree: Tree) -> tuple[str, ...]:
        try:
            return Wording(self.book, self.desk.labels, where).lines(tree)
        except Unreadable:
            return ()

    def _unit(self, where: Where, tree: Tree) -> str:
        return sentence(self._audit, where[0], tree)

    def _function(self, where: Where, feeding: Feeding) -> Function:
        wired = self.desk.wiring.of(where)
        function = wired.ref.function
        wires = {name: wire for name, _, wire in wired.arguments}
        result = self.desk.local(where)
        error = str(result) if isinstance(result, Unusable | Fault) else ""
        source = bibliography().get(function.source)
        known = wired.otherwise
        otherwise = as_text(wired.ref.otherwise) if known is None else feeding.told(known).title
        return Function(
            name=function.name,
            says=inspect.cleandoc(function.__doc__ or ""),
            parameters=tuple(
                self._parameter(each, wires[each.name], feeding)
                for each in function.parameters
            ),
            origin=_origin(function.source, function.place, source.mark if source else ""),
            gate=None if wired.gate is None else feeding.told(wired.gate),
            otherwise=otherwise if wired.gate is not None else "",
            result=None if error else result,
            error=error,
        )  # fmt: skip

    def _parameter(self, parameter: Stated, wire: Wire, feeding: Feeding) -> Parameter:
        measured = parameter.measured
        cells = wire.cells or (() if wire.cell is None else (wire.cell,))
        many = len(cells) > FEW
        return Parameter(
            name=parameter.name,
            unit=measured.unit,
            low=None if measured.low == float("-inf") else measured.low,
            high=None if measured.high == float("inf") else measured.high,
            cells=() if many else tuple(map(feeding.told, cells)),
            column=feeding.column(cells) if many else None,
            given=wire.given,
        )


def explain(path: Path, name: str, depth: int = LEVELS) -> Explanation:
    """Tell of one cell of a workbook.

    Raises UnclearName for a name that is none or several, NotOurWorkbook, Refused or EngineFailed for a file that can't
    be read.
    """
    return Explainer(path).explain(name, depth)


def _origin(source: str, place: str, mark: str) -> Origin:
    known = bibliography().get(source)
    return Origin(source, known.cited if known else "", place, mark)
