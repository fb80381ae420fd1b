"""From what differs to findings that a person can act on: what happened, what it does, what to do."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from math import isclose
from string import ascii_uppercase
from typing import Any

from podbook.book.layout import lay_out
from podbook.book.node import Node
from podbook.proof.compare import Comparison
from podbook.proof.effects import Effects
from podbook.proof.evaluate import Unusable
from podbook.proof.here import Here
from podbook.proof.wiring import Where
from podbook.proof.wrong import NOT_FROM_ENTRIES, VALUE_ONLY, Disagreement
from podbook.recalc import Address, Cell, Fault
from podbook.review.amounts import amount
from podbook.review.entries import Slip
from podbook.review.figures import key_nodes
from podbook.review.find import Opened
from podbook.review.findings import Finding, Kind
from podbook.review.own_units import Units

MOST_EFFECTS = 40
"""Of how many cells it is worked out what each alone does; of the rest it is said only how many follow."""
STORED = 1e-6
"""How near a stored number must be to the value of its formula; programs differ in what sums leave of large numbers."""
MOST_NAMED = 3
"""How many key results are named in one effect."""


def damage(found: Opened, here: Here, comparison: Comparison, units: Units) -> Iterator[Finding]:
    """Yield a finding for everything that began in a cell of the book, or in a line or sheet that is gone."""
    began = [each for each in comparison.disagreements if each.began_here and not _blamed_in_vain(each)]
    lost = [each for each in began if each.lost]
    yield from _lost(found, lost)
    effects = Effects(here.wiring, here.expected)
    for position, each in enumerate(one for one in began if not one.lost):
        effect = _effect(here, effects, each) if position < MOST_EFFECTS else _count(each.followers)
        if "changed" in each.what and (
            mixed := units.of_changed(each.key, here.cells.get((each.sheet, each.cell)), each.sheet)
        ):
            effect = f"{effect}. {mixed}".removeprefix(". ")
        yield Finding(
            _kind(here, each), True, each.sheet, each.cell, each.label, each.what, each.stands, each.should, effect,
            _advice(here, each), each.key, each.item, each.followers,
        )  # fmt: skip


def _blamed_in_vain(each: Disagreement) -> bool:
    """Return whether something put into a table turned out to harm nothing that isn't harmed by something else."""
    return each.what.endswith("go astray") and not each.followers


def entry_finding(slip: Slip) -> Finding:
    """Return an entry that can't be used as a finding."""
    return Finding(
        "entry", True, slip.sheet, slip.cell, slip.label, "what is filled in can't be used", slip.found, slip.allowed,
        slip.meanwhile.removesuffix("."), slip.hint or "Fill in what is allowed.", slip.key, slip.item,
    )  # fmt: skip


def odd_finding(slip: Slip) -> Finding:
    """Return an entry that can be used, but is unusual or looks as if it were in another unit, as a finding."""
    return Finding(
        "entry", False, slip.sheet, slip.cell, slip.label, slip.hint, slip.found, slip.allowed,
        slip.meanwhile.removesuffix("."), "See whether it is meant so, and in this unit.", slip.key, slip.item,
    )  # fmt: skip


def stale(found: Opened, values: Mapping[Address, Cell], *, damaged: bool) -> Finding | None:
    """Return that the stored values are not what the formulas give, or that there are none; None where all is well.

    In a ``damaged`` book a stored error is not stale: engines differ in how far a lost name or reference spreads.
    """
    stored = found.contents.stored
    wrong = [address for address in values if address in found.cells and address in stored
             and not _as_stored(stored[address], values[address])
             and not (damaged and isinstance(stored[address], Fault))]  # fmt: skip
    if wrong:
        sheet, cell = wrong[0]
        return Finding(
            "stored", True, sheet, cell, "stored values",
            "stored values are not what the formulas give", f"{len(wrong)} stale {_values(len(wrong))}",
            "values as calculated", "A phone or a preview, which calculate nothing, show old numbers",
            "Open the workbook in a spreadsheet program, calculate it (all formulas), and save it.",
            followers=tuple("!".join(address) for address in wrong[1:]),
        )  # fmt: skip
    if values and not stored:
        return Finding(
            "stored", False, "", "", "stored values", "the file stores no values beside its formulas",
            effect="A phone or a preview, which calculate nothing, show blanks",
            advice="Open the workbook in a spreadsheet program, and save it.",
        )  # fmt: skip
    return None


def _values(number: int) -> str:
    return "value" if number == 1 else "values"


def _as_stored(stored: Cell, value: Cell) -> bool:
    """Return whether a stored value is what the formula gives, to the digits that anyone reads."""
    if isinstance(stored, Fault) or isinstance(value, Fault):
        return isinstance(stored, Fault) and isinstance(value, Fault)
    if isinstance(stored, int | float) and isinstance(value, int | float):
        return isclose(stored, value, rel_tol=STORED, abs_tol=STORED)
    return (stored or "") == (value or "")


def _kind(here: Here, each: Disagreement) -> Kind:
    if each.key in here.misnamed and each.item == 0:
        return "name"
    if each.what.endswith("go astray"):
        return "line"
    role = here.book.nodes[each.key].role
    if role != "worked":
        return "figure"
    return "value" if each.what in (VALUE_ONLY, NOT_FROM_ENTRIES) else "formula"


def _lost(found: Opened, lost: Sequence[Disagreement]) -> Iterator[Finding]:
    """Yield what is gone: lines of tables, each with what follows from it, whole sheets, and rows of figures."""
    layout = lay_out(found.book).places if lost else {}
    gone = {place.sheet for place in layout.values()} - {layout[key].sheet for key in found.places if lost}
    lines: dict[tuple[str, int], list[Disagreement]] = {}
    rows: dict[tuple[str, str], list[Disagreement]] = {}
    told = {(each.key.rpartition(".")[0], each.item) for each in found.moves if each.kind == "line"}
    for each in lost:
        home, node = layout[each.key], found.book.nodes[each.key]
        if home.sheet in gone:
            rows.setdefault((home.sheet, ""), []).append(each)
        elif node.table and node.size and (node.table, each.item) in told:
            lines.setdefault((node.table, each.item), []).append(each)
        else:
            down = node.size is not None and not found.book.tables[node.table].across
            row = node.key if down else home.cells[0].lstrip(ascii_uppercase)
            rows.setdefault((home.sheet, row), []).append(each)
    for move in found.moves:
        cells = lines.get((move.key.rpartition(".")[0], move.item), []) if move.kind == "line" else []
        followers = _followers(cells)
        yield replace(move, followers=followers, effect=_count(followers) or move.effect)
    for (sheet, row), cells in rows.items():
        # The figure itself has the shortest name of its row, in whatever order the cells are found.
        first = min(cells, key=lambda each: len(each.key)) if row else cells[0]
        followers = _followers(cells)
        names = ", ".join(dict.fromkeys(found.book.nodes[each.key].name for each in cells))
        label = found.book.nodes[first.key].label.partition(": lowest")[0].partition(": highest")[0]
        what, should = (
            f"the row of '{label}' is gone, or its cells were deleted",
            f"cells ({names})",
        )
        if not row:
            label, what, should = sheet, f"the sheet {sheet} is gone", f"{len(cells)} cells"
        yield Finding("line" if row else "sheet", True, sheet, "", label, what, "nothing", should, _count(followers),
                      "Undo it, or carry what is filled in into a fresh workbook with 'podbook carry'.", first.key,
                      followers=followers)  # fmt: skip


def _followers(cells: Sequence[Disagreement]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(follower for each in cells for follower in each.followers))


def _effect(here: Here, effects: Effects, each: Disagreement) -> str:
    if _kind(here, each) in ("name", "line"):
        return _count(each.followers)
    where = (each.key, each.item)
    stands = here.get(where)
    if isinstance(stands, Fault):
        stands = Unusable(stands.text)
    changed = effects.of(where, stands)
    shows = _shows(here, where, stands)
    named, less = [], 0
    for node in key_nodes(here.book):
        if (node.key, 0) in changed:
            found, should = changed[(node.key, 0)], here.expected[node.key][0]
            if isinstance(found, Unusable):
                named.append(f"{node.label}: can't be worked out")
            elif amount(node, found) != amount(node, should):
                named.append(f"{node.label}: {amount(node, found)} instead of {amount(node, should)}")
            else:
                less += 1
    if named:
        more = f"; and {len(named) - MOST_NAMED} more key results" if len(named) > MOST_NAMED else ""
        return "; ".join(named[:MOST_NAMED]) + more
    if less:
        return f"{shows}{less} key {'result changes' if less == 1 else 'results change'}, by less than they show"
    if changed:
        return f"{shows}{_count(each.followers) or 'Other cells differ'}; no key result changes"
    if here.book.nodes[each.key].role == "worked" and _kind(here, each) != "value":
        if shows:
            return f"{shows}nothing else by itself today; it does not follow any more when what feeds it changes"
        together = f"; {_count(each.followers)} with what else is wrong" if each.followers else ""
        return f"Nothing by itself today{together}; it does not follow any more when what feeds it changes"
    return "Nothing else changes"


def _shows(here: Here, where: Where, stands: Any) -> str:
    """Return what a worked cell shows instead of what it should show, if a person sees a difference."""
    node, should = here.book.nodes[where[0]], here.expected[where[0]][where[1]]
    if node.role != "worked" or isinstance(stands, Unusable) or isinstance(should, Unusable):
        return ""
    found, right = amount(node, stands), amount(node, should)
    return f"It shows {found} instead of {right}; " if found != right else ""


def _count(followers: Sequence[str]) -> str:
    return (
        "" if not followers else f"{len(followers)} other {'cell differs' if len(followers) == 1 else 'cells differ'}"
    )


def _advice(here: Here, each: Disagreement) -> str:
    node = here.book.nodes[each.key]
    kind = _kind(here, each)
    if kind == "name":
        return "Define the name again for these cells, or carry what is filled in into a fresh workbook."
    if kind == "line":
        return "Delete what was put in between, or move it out of the table."
    if kind == "figure":
        return f"Put {each.should} back; a figure of your own belongs into a boxed cell."
    if kind == "value":
        return "Check it with the other engines (--all-engines); if they agree, tell those who keep podbook."
    formula = each.should.partition(" (")[0] if "changed" in each.what else each.should
    if here.is_lost((each.key, each.item)) or not formula.startswith("="):
        return "Carry what is filled in into a fresh workbook."
    wish = _entry_for(here, node)
    return f"Put the formula back: {formula}" + (f"; your own figure belongs into {wish}." if wish else "")


def _entry_for(here: Here, node: Node) -> str:
    """Return where a figure of one's own would be filled in instead, if the node is what is used of an entry."""
    place = here.places.get(f"{node.key}_entry")
    return f"{place.sheet}!{place.cells[0]}" if place and place.cells[0] else ""
