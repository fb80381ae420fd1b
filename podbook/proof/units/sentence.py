"""One sentence on the unit of a formula: how it comes about, whether it is the cell's, and what is taken on trust."""

from __future__ import annotations

from collections.abc import Iterator

from podbook.book.tree import One, Tree, Whole, parts
from podbook.proof.units.auditing import Audit, figure_of, pattern
from podbook.proof.units.found import Kind, said
from podbook.proof.units.readings import FULLER, INSIDE_OF, RESULTS

UNKNOWN = "not known: it names something that is none of the book's cells, or a number whose unit nobody stated"


def sentence(audit: Audit, key: str, tree: Tree) -> str:
    """Return the sentence on a formula that stands in a cell; an empty text for a cell of words or of yes and no."""
    node = audit.book.nodes[key]
    if node.unit in ("text", "flag", "any"):
        return ""
    derived = audit.derived(key, tree)
    if derived.found is None:
        return f"none: it {derived.what}"
    if derived.found is Kind.UNKNOWN:
        return UNKNOWN
    if derived.what:
        return f"{derived.line} = {derived.what.removeprefix('gives ')}" if derived.line else derived.what
    declared = said(audit.declared(key))
    line = derived.line if derived.line != declared else ""
    trusted = "".join(f"; {each}" for each in _trusted(audit, key, tree))
    return f"{line} = {declared}, as declared{trusted}".removeprefix(" = ")


def _trusted(audit: Audit, key: str, tree: Tree) -> Iterator[str]:
    """Yield what is read in another unit than is printed, and why."""
    result = RESULTS.get(pattern(key))
    if result is not None:
        yield f"read from {said(audit.read(result.unit))}: {result.why}"
    inside = INSIDE_OF.get(pattern(key), ())
    here = {what for each in inside for what in each.what}
    for each in inside:
        words = [audit.label(named) for named in _names(tree) if pattern(named) in each.what]
        words += ["1"] if "1" in each.what else []
        if words:
            yield f"read in {said(audit.read(each.unit))}: {', '.join(words)} ({each.why})"
    for named in _names(tree):
        fuller = FULLER.get(figure_of(pattern(named)))
        if fuller is not None and pattern(named) not in here:
            yield f"read in {said(audit.read(fuller.unit))}: {audit.label(named)} ({fuller.why})"


def _names(tree: Tree) -> tuple[str, ...]:
    """Return the keys that a formula names, each once."""
    found: dict[str, None] = {}
    waiting = [tree]
    while waiting:
        each = waiting.pop(0)
        if isinstance(each, One):
            found[each.where[0]] = None
        elif isinstance(each, Whole):
            found[each.key] = None
        waiting = [*parts(each), *waiting]
    return tuple(found)
