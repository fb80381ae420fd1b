"""An explanation as a person reads it in a terminal."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text
from rich.tree import Tree

from podbook.review.explaining.explanation import Explanation, Function, Origin, Parameter
from podbook.review.explaining.feeding import Branch, Typed
from podbook.review.explaining.labels import one_line, plain
from podbook.review.explaining.printing import MOST_LISTED, address, column_told, figure, from_to, value_of
from podbook.review.words import console
from podbook.sources import NO_DOCUMENT
from podbook.units import shown

CAUTION = (
    "Planning aid only. Pods are a supplement, never the whole ration; the sheet Cautions says what to watch out for."
)


def print_explanation(told: Explanation) -> None:
    """Print all that is told of one cell. Every text of the file is printed as it stands, never as a command."""
    screen = console()
    _head(screen, told)
    if told.column is not None:
        _section(screen, "The whole column")
        _line(screen, column_told(told.column))
        for name in told.amiss[:MOST_LISTED]:
            _line(screen, f"not as it should be: {name}")
        if len(told.amiss) > MOST_LISTED:
            _line(screen, f"and {len(told.amiss) - MOST_LISTED} more")
        _line(screen, f"Told of here: {told.cell.name}, {plain(told.cell.item) or told.cell.label}")
    _filled_in(screen, told)
    _formula(screen, told)
    _inputs(screen, told)
    _entries(screen, told)
    _changes(screen, told)
    if told.function is not None:
        _function(screen, told.function)
    _section(screen, "Agreement")
    _line(screen, f"{'yes' if told.agrees else 'NO'}: {told.verdict}", style="" if told.agrees else "bold")
    _line(screen, f"The workbook's own status: {plain(told.status)}")
    screen.print(_text(CAUTION, style="italic"))


def _head(screen: Console, told: Explanation) -> None:
    cell = told.cell
    item = f", {cell.item}" if cell.item else ""
    screen.print(_text(f"{cell.label}{item} = {value_of(cell)}", style="bold"))
    _line(screen, f"{address(cell)}, in '{told.block}'; its name is {cell.name}; recalculated, not as stored")
    if told.note:
        _line(screen, told.note)
    if told.role in ("fixed", "coefficient"):
        _line(screen, "a coefficient: it comes from a source" if told.role == "coefficient" else "a given figure")
    if told.origin is not None:
        _origin(screen, told.origin)


def _origin(screen: Console, origin: Origin) -> None:
    mark = f"mark: {origin.mark}" if origin.mark and origin.key not in NO_DOCUMENT else ""
    _line(screen, f"source: {', '.join(filter(None, (origin.key, origin.place, mark)))}")
    if origin.cited:
        _line(screen, f"        {origin.cited}")


def _filled_in(screen: Console, told: Explanation) -> None:
    if told.typed is not None:
        _section(screen, "Filled in by you")
        _line(screen, _state(told.typed))
        _line(screen, f"allowed: {told.typed.allowed}")


def _formula(screen: Console, told: Explanation) -> None:
    formula = told.formula
    if formula is None:
        return
    _section(screen, "Formula" if not formula.should else "Formula, as it stands")
    _line(screen, formula.stands)
    _lines(screen, formula.words)
    if formula.unit:
        _line(screen, f"Unit: {formula.unit}")
    if formula.should:
        _section(screen, "Formula, as it should be")
        _line(screen, formula.should)
        _lines(screen, formula.should_in_words)


def _inputs(screen: Console, told: Explanation) -> None:
    if not told.inputs:
        return
    formula = told.formula
    typed_over = formula is not None and formula.should and not formula.stands.startswith("=")
    title = "What should feed it (nothing does: its formula was typed over)" if typed_over else "What feeds it"
    tree = Tree(_text(title, style="bold"))
    _grow(tree, told.inputs)
    screen.print()
    screen.print(tree)


def _grow(tree: Tree, branches: Sequence[Branch]) -> None:
    for branch in branches:
        _grow(tree.add(_text(_branch(branch))), branch.branches)


def _branch(branch: Branch) -> str:
    if branch.column is not None:
        return column_told(branch.column)
    if branch.cell is None:
        return f"{plain(branch.stranger)}: none of the book's cells"
    cell = branch.cell
    item = f", {cell.item}" if cell.item else ""
    which = f"{branch.which}: " if branch.which else ""
    words = [f"{which}{cell.title}{item} = {value_of(cell)} ({address(cell)})"]
    if branch.again:
        return f"{words[0]}; told above"
    if branch.typed is not None:
        words.append(_state(branch.typed, beside=branch.kind == "figure"))
    elif branch.kind == "coefficient":
        words.append(f"coefficient: {branch.source}")
    elif branch.kind == "given":
        words.append(f"given: {branch.source}" if branch.source else "given")
    elif branch.kind == "changed":
        words.append("typed over")
    if branch.note:
        words.append(f"LOOK: {branch.note}")
    if branch.cut:
        words.append(f"more: podbook explain {cell.name}")
    return "; ".join(words)


def _state(typed: Typed, *, beside: bool = False) -> str:
    """Return what was filled in and what became of it; ``beside`` the value as it is used, which is told already."""
    where = f" in {address(typed.cell)}" if beside else ""
    if typed.state == "blank":
        return f"nothing is typed{where}"
    if typed.slip or typed.state in ("default in use", "left out"):
        return f"LOOK: {value_of(typed.cell)} is typed{where}; allowed: {typed.allowed}. {typed.slip}".rstrip()
    if typed.state == "as the default":
        return f"typed{where}, the same as the default"
    return f"typed{where}"


def _entries(screen: Console, told: Explanation) -> None:
    filled = [each for each in told.entries if each.state != "blank"]
    if not told.entries:
        return
    table = Table(title=_title(told.entries), title_justify="left", title_style="bold")
    for heading in ("figure", "filled in", "cell", "state"):
        table.add_column(heading, overflow="fold")
    for row in _rows(filled):
        table.add_row(*map(_text, row))
    screen.print()
    screen.print(table)


def _title(entries: Sequence[Typed]) -> Text:
    blank = sum(each.state == "blank" for each in entries)
    defaults = sum(each.state == "as the default" for each in entries)
    amiss = sum(each.state in ("default in use", "left out") for each in entries)
    count = len(entries) - blank
    words = f"Back to what was filled in: {count} {'cell' if count == 1 else 'cells'}, {defaults} as the default"
    return _text(
        words + (f"; LOOK: {amiss} can't be used" if amiss else "") + (f"; {blank} more are blank" if blank else "")
    )


def _rows(entries: Sequence[Typed]) -> Iterator[tuple[str, str, str, str]]:
    """Yield the rows for what was filled in: a row for a cell, and one for a field of a table with many."""
    fields: dict[str, list[Typed]] = {}
    for each in entries:
        fields.setdefault(each.cell.name.partition("@")[0], []).append(each)
    for found in fields.values():
        amiss = [each for each in found if each.slip]
        if len(found) > MOST_LISTED // 2:
            found, together = amiss, [each for each in found if not each.slip]
            if together:
                yield _together(together)
        for each in found:
            cell = each.cell
            item = f", {cell.item}" if cell.item else ""
            state = each.state if not each.slip else f"LOOK: {each.state}; {each.slip}"
            yield f"{cell.title.removesuffix(' (as filled in)')}{item}", value_of(cell), address(cell), state


def _together(entries: Sequence[Typed]) -> tuple[str, str, str, str]:
    """Return the row for a field of a table in which many cells are filled in."""
    first, last = entries[0].cell, entries[-1].cell
    numbers = [each.cell.value for each in entries if isinstance(each.cell.value, float)]
    words = dict.fromkeys(figure(each.cell.value) for each in entries if not isinstance(each.cell.value, float))
    told = []
    if numbers:
        told.append(from_to(min(numbers), max(numbers), first.unit))
    if words:
        told.append(", ".join([*list(words)[:4], *(["..."] if len(words) > 4 else [])]))
    same = sum(each.state == "as the default" for each in entries)
    state = (
        "as the default"
        if same == len(entries)
        else f"{len(entries) - same} typed" + (f", {same} as the default" if same else "")
    )
    return f"{first.title}, {len(entries)} cells", "; ".join(told), f"{address(first)} to {last.cell}", state


def _changes(screen: Console, told: Explanation) -> None:
    if not told.changes:
        return
    _section(screen, f"LOOK: {len(told.changes)} of the cells that feed it are not as the book has them")
    for each in told.changes[:MOST_LISTED]:
        item = f", {each.cell.item}" if each.cell.item else ""
        _line(screen, f"{address(each.cell)} ({each.cell.label}{item}): {each.what}")
        _line(screen, f"    stands:  {each.stands}")
        _line(screen, f"    should:  {each.should}")
    if len(told.changes) > MOST_LISTED:
        _line(screen, f"and {len(told.changes) - MOST_LISTED} more; --json lists them all")


def _function(screen: Console, function: Function) -> None:
    _section(screen, f"Reference function: {function.name}")
    says = [line for line in function.says.split("\n\n") if line]
    _lines(screen, [" ".join(each.split()) for each in says[:2]])
    if function.gate is not None:
        _line(
            screen,
            f"only where '{function.gate.title}' is not 0 (it is {value_of(function.gate)}); else {function.otherwise}",
        )
    if function.parameters:
        table = Table("parameter", "unit", "range", "fed here by")
        for each in function.parameters:
            unit = "word" if each.unit == "text" else shown(each.unit)
            table.add_row(*map(_text, (each.name, unit, _range(each), _fed(each))))
        screen.print(table)
    _origin(screen, function.origin)
    _line(screen, f"says here: {plain(function.error) if function.error else figure(function.result)}")


def _range(parameter: Parameter) -> str:
    low = "" if parameter.low is None else f"{parameter.low:g}"
    high = "" if parameter.high is None else f"{parameter.high:g}"
    return f"{low}..{high}" if low or high else ""


def _fed(parameter: Parameter) -> str:
    if parameter.column is not None:
        return column_told(parameter.column, listed=False)
    if not parameter.cells:
        return f"always {parameter.given}"
    return "; ".join(
        f"{each.title}{f', {each.item}' if each.item else ''} = {value_of(each)}" for each in parameter.cells
    )


def _section(screen: Console, title: str) -> None:
    screen.print()
    screen.print(_text(title, style="bold"))


def _lines(screen: Console, lines: Sequence[str]) -> None:
    for line in lines:
        _line(screen, line)


def _line(screen: Console, line: str, style: str = "") -> None:
    bare = line.lstrip(" ")
    screen.print(Padding(_text(bare, style=style), (0, 0, 0, 2 + len(line) - len(bare)), expand=False))


def _text(words: str, style: str = "") -> Text:
    """Return words, and texts of a file among them, as they are printed: as they stand, never as a command."""
    return Text(one_line(words), style=style)
