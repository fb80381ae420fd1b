"""The library's model, with each shape of formula taken apart once.

Most formulas of a book are another's with other references: `=B2*price` and `=C9*rent` have one shape. To take a
formula apart the library needs some five milliseconds, so that is done for the first of a shape; the others take over
its functions and constants, and the order in which these are worked out, and put their own references in. What could
hang on more than the values of the references (on the cell's place, on the time, on how references are joined) is no
shape: `Reader` knows few functions and signs, and everything else is left to the library as it is.
"""

from __future__ import annotations

import re
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import Any

import schedula  # type: ignore[import-untyped]
from formulas import ExcelModel  # type: ignore[import-untyped]
from formulas.cell import Cell, CellWrapper, Ref  # type: ignore[import-untyped]
from formulas.errors import TokenError  # type: ignore[import-untyped]
from formulas.ranges import Ranges  # type: ignore[import-untyped]
from formulas.tokens.operand import Range  # type: ignore[import-untyped]

BY_VALUE = frozenset(
    (
        *("ABS", "AND", "AVERAGE", "CHOOSE", "COLUMNS", "COUNT", "COUNTIF", "EXP", "FIND", "IF", "IFERROR", "INDEX"),
        *(
            "IRR",
            "ISERROR",
            "ISNUMBER",
            "LN",
            "MATCH",
            "MAX",
            "MIN",
            "NOT",
            "NPV",
            "OR",
            "PMT",
            "ROUND",
            "ROWS",
            "SQRT",
        ),
        *("SUM", "SUMIF", "SUMPRODUCT"),
    )
)
"""What these give hangs on what they are given alone."""

_TOKEN = re.compile(
    r"""
    (?P<kept> "(?:[^"]|"")*" | (?:\d+(?:\.\d+)?|TRUE|FALSE)(?![\w.(!:]) | [-+*/^&=<>,()%] )
  | (?P<function> [A-Z]+ (?=\() )
  | (?P<reference> (?!(?i:TRUE|FALSE))
        (?: (?: (?:'(?:[^'\[\]\n]|'')+'|[A-Za-z_]\w*)! )? \$?[A-Z]{1,3}\$?[1-9]\d* (?: :\$?[A-Z]{1,3}\$?[1-9]\d* )?
          | [A-Za-z_]\w* )
        (?![\w.(!:\\]) )
    """,
    re.VERBOSE | re.ASCII,
)


class Reader:
    """Reads a formula's shape, and what its references mean on their sheet."""

    def __init__(self) -> None:
        self._read: dict[tuple[str | None, str], str | None] = {}
        self._ranges: dict[str, Any] = {}

    def shape(self, formula: str, context: Any, names: Any) -> tuple[str, dict[str, Any]] | None:
        """The text with numbers for its references, and these with their ranges; None where that says too little."""
        if formula[:1] != "=":
            return None
        found: dict[str, Any] = {}
        pieces, at = ["="], 1
        while at < len(formula):
            token = _TOKEN.match(formula, at)
            if token is None or (token["function"] and token["function"] not in BY_VALUE):
                return None
            piece, at = token[0], token.end()
            if token["reference"]:
                node = self._node(piece, context)
                ranges = None if node is None else self._meant(node, context, names)
                if node is None or ranges is None:
                    return None
                found[node] = ranges
                # The library counts a name's rows and columns while it takes the formula apart.
                size = _size(ranges.ranges[0]) if node in names else ""
                piece = f"{{{list(found).index(node)}{size}}}"
            pieces.append(piece)
        return ("".join(pieces), found) if found else None

    def _node(self, reference: str, context: Any) -> str | None:
        """What the library calls it."""
        key = (context.get("sheet"), reference)
        if key not in self._read:
            try:
                token = Range(reference, context)
                self._read[key] = token.name if token.end_match == len(reference) else None
            except (TokenError, ValueError):
                self._read[key] = None
        return self._read[key]

    def _meant(self, node: str, context: Any, names: Any) -> Any:
        if node in names:
            ranges = names[node]
            return ranges if isinstance(ranges, Ranges) and len(ranges.ranges) == 1 else None
        if node not in self._ranges:
            try:
                self._ranges[node] = Ranges().push(node, context=context)
            except ValueError:
                self._ranges[node] = None
        return self._ranges[node]


def _size(place: Any) -> str:
    return f" of {int(place['r2']) - int(place['r1']) + 1} by {place['n2'] - place['n1'] + 1}"


@dataclass(frozen=True)
class Plan:
    """What the library makes of a formula, free of its references: the same functions in the same order."""

    dsp: Any
    label: tuple[str | int, ...]
    """The library's name for it, with numbers for its references."""
    inputs: tuple[int, ...]
    """Of which reference each value given is."""
    places: tuple[Any, ...]
    constants: dict[Any, Any]
    steps: tuple[tuple[Any, Any, tuple[Any, ...]], ...]
    """Where the result goes, what gives it, where that takes its arguments from."""

    def __call__(self, *given: Any) -> Any:
        values = {**self.constants, **dict(zip(self.places, given, strict=True))}
        for place, function, needed in self.steps:
            arguments = [values[need] for need in needed]
            values[place] = result = function(*[value for value in arguments if value is not schedula.NONE])
            if result is schedula.NONE:
                raise KeyError(place)
        return result


def plan(pipe: Any, found: dict[str, Any]) -> Plan | None:
    """The plan in a compiled formula; None where it is more than functions of the references' values and constants."""
    references = list(found)
    if set(pipe.inputs) != set(references):
        return None
    steps: list[tuple[Any, Any, tuple[Any, ...]]] = []
    for (_, _, (place, solution)), _, _ in pipe.pipe:
        node = solution.nodes[place]
        if node["type"] == "function":
            if len(node["outputs"]) != 1 or "filters" in node:
                return None
            steps.append((node["outputs"][0], node["function"], tuple(node["inputs"])))
        elif node["type"] != "data" or "function" in node or len(solution.workflow.pred[place]) != 1:
            return None
        else:
            steps.extend((place, work, (place,)) for work in node.get("filters", ()))
    output = pipe.outputs[0]
    if not steps:
        steps.append((output, schedula.bypass, (output,)))
    if steps[-1][0] != output:
        return None
    mentioned = re.compile("(" + "|".join(map(re.escape, sorted(references, key=len, reverse=True))) + ")")
    label = (references.index(piece) if piece in found else piece for piece in mentioned.split(pipe.__name__))
    constants = {place: default["value"] for place, default in pipe.dsp.default_values.items()}
    inputs = tuple(map(references.index, pipe.inputs))
    return Plan(pipe.dsp, tuple(label), inputs, tuple(pipe.inputs), constants, tuple(steps))


class Model(ExcelModel):  # type: ignore[misc]
    """The library's model of a book, where formulas of one shape share a plan."""

    def __init__(self) -> None:
        super().__init__()
        self._reader = Reader()
        self._plans: dict[tuple[type, str], Plan | None] = {}

    def _compile_cell(self, crd: str, val: Any, context: Any, check_formula: bool, references: Any) -> Any:
        if val is None:  # leaves nothing in the model
            return Cell(None, None)
        make = partial(Cell, crd, context=context, check_formula=check_formula)
        if check_formula and isinstance(val, str) and ":" not in crd:
            return self._made(make, val, context, references)
        return _taken_apart(make(val), context, references)

    def add_references(self, book: Any, context: Any = None) -> Any:
        references: dict[str, Any] = {}
        nodes: set[Any] = set()
        for name in book.defined_names.values():
            if not name.hidden and name.localSheetId is None:
                ref = self._made(partial(Ref, name.name.upper(), context=context), f"={name.value}", context, {})
                nodes.update(ref.add(self.dsp, context=context))
                references[ref.output] = None
                self.cells[ref.output] = ref
        self._update_refs(nodes, references)
        return references

    def _made(self, make: Callable[[Any], Any], formula: str, context: Any, names: Any) -> Any:
        known = self._reader.shape(formula, context, names)
        if known is None:
            return _taken_apart(make(formula), context, names)
        shape, found = known
        cell = make(None)
        key = type(cell), shape
        shared = self._plans.get(key)
        if shared is None:
            cell = _taken_apart(make(formula), context, names)
            self._plans.setdefault(key, plan(cell.func.func, found))
            return cell
        nodes = list(found)
        cell.func = CellWrapper(shared, cell._args, dict)
        label = "".join(piece if isinstance(piece, str) else nodes[piece] for piece in shared.label)
        cell.func.__name__ = cell.func.function_id = label
        cell.func.dsp = shared.dsp
        cell.func.inputs = OrderedDict((nodes[place], found[nodes[place]]) for place in shared.inputs)
        cell.update_inputs(references=names)
        return cell


def _taken_apart(cell: Any, context: Any, names: Any) -> Any:
    """By the library, but handed only those of the book's names that stand in it: it looks through all it is given."""
    if cell.builder:
        names = {node: names[node] for node in cell.builder.dsp.data_nodes if node in names}
    return cell.compile(references=names, context=context)
