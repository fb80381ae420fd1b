"""The findings of a report: what happened, where, what it does, what to do; and what only follows, folded."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from podbook.review.findings import Finding
from podbook.review.report.markup import Markup, element, joined, short
from podbook.review.report.parts import table
from podbook.review.report.spans import by_sheet, spans

MOST_AT_LENGTH = 60
"""How many groups of findings are told at length; the rest stand in one table."""
MOST_IN_BRIEF = 200
"""How many groups have a row in that table; of the rest it is only told how many there are."""
MOST_ROWS = 40
"""How many cells with the same finding have a row of their own; the rest are named by their spans."""


def findings(found: Sequence[Finding], first: int = 1) -> Iterator[Markup]:
    """Yield findings at length, numbered from the first; those of one kind in one row or column stand together."""
    number, groups = first, _alike(found)
    for group in groups[:MOST_AT_LENGTH]:
        yield _at_length(group, number)
        number += len(group)
    if brief := groups[MOST_AT_LENGTH:]:
        yield _in_brief(brief, number)


def _in_brief(groups: Sequence[list[Finding]], number: int) -> Markup:
    """Return findings as one table, a row a group; beyond its reach, how many there are on each sheet."""
    rows = []
    for group in groups[:MOST_IN_BRIEF]:
        first, last = group[0], number + len(group) - 1
        cells = ", ".join(spans(each.cell for each in group if each.cell))
        where = short(f"{first.sheet}: {cells}" if cells else first.sheet)
        what = short(f"{first.label}: {first.what}")
        numbers = f"{number}" if last == number else f"{number} to {last}"
        rows.append((numbers, where, what, _code(first.stands), _code(first.should)))
        number = last + 1
    sheets = Counter(each.sheet for group in groups[MOST_IN_BRIEF:] for each in group)
    more = ", ".join(f"{short(sheet)} {count:,}" for sheet, count in sheets.items())
    return joined(
        table("More findings, in brief", ("No.", "Where", "What happened", "Stands", "Should"), rows),
        element("p", f"And {sheets.total():,} more ({more}). With --json every one is listed.") if sheets else "",
    )


def asides(found: Sequence[Finding]) -> Markup:
    """Return findings that are only worth knowing, as a list."""
    return element("ul", *(element("li", *_aside(each)) for each in found))


def _aside(each: Finding) -> Iterator[str]:
    where = short(each.address) or "The file"
    label = f" ({each.label})" if each.label and each.kind == "entry" else ""
    yield element("strong", f"{where}{label}:")
    words = [each.what, f"stands {each.stands}" if each.stands else "", each.effect, each.advice]
    yield " " + " ".join(_sentence(short(word)) for word in words if word)


def _alike(found: Sequence[Finding]) -> list[list[Finding]]:
    """Return findings grouped by what they are about, in the order of the first of each group."""
    groups: dict[tuple[object, ...], list[Finding]] = {}
    for position, each in enumerate(found):
        groups.setdefault((each.key, each.kind) if each.key else (position,), []).append(each)
    return list(groups.values())


def _at_length(group: Sequence[Finding], number: int) -> Markup:
    first, others = group[0], group[1:]
    where = f"sheet {short(first.sheet)}" if first.sheet else "the file"
    cell = f", {short(first.cell)}" if first.cell else ""
    facts = (
        ("where", joined(where[0].upper() + where[1:] + cell, *(_label(first)))),
        ("stands", _code(first.stands)),
        ("should", _code(first.should)),
        ("effect", _sentence(short(first.effect))),
        ("to do", _sentence(short(first.advice))),
    )
    told = element(
        "div",
        element("h3", f"{number}. {_capital(short(first.what))}"),
        element("dl", *(element("div", element("dt", name), element("dd", words)) for name, words in facts if words)),
        class_="told",
    )
    folded = (*_same(others, number + 1), *_followers(group))
    return element("article", told, *folded, class_="finding")


def _label(each: Finding) -> tuple[str, ...]:
    return (": ", element("em", short(each.label))) if each.label and each.label != each.sheet else ()


def _same(others: Sequence[Finding], number: int) -> Iterator[Markup]:
    """Yield the other cells of the same row or column with the same kind of finding, folded."""
    if not others:
        return
    count = f"{len(others):,} more {'cell' if len(others) == 1 else 'cells'} of the same row or column"
    rows = [
        (str(number + step), short(each.address), short(each.what), _code(each.stands), _code(each.should),
         short(each.effect))
        for step, each in enumerate(others[:MOST_ROWS])
    ]  # fmt: skip
    rest = ", ".join(spans(each.cell for each in others[MOST_ROWS:]))
    yield element(
        "details",
        element("summary", count),
        table(count.capitalize(), ("No.", "Where", "What happened", "Stands", "Should", "Effect"), rows),
        element("p", f"And {len(others) - MOST_ROWS:,} more: {rest}.") if rest else "",
    )


def _followers(group: Sequence[Finding]) -> Iterator[Markup]:
    """Yield the cells that are wrong only because of a finding, folded, as the spans that they fill."""
    cells = dict.fromkeys(follower for each in group for follower in each.followers)
    if not cells:
        return
    count = f"{len(cells):,} {'cell is' if len(cells) == 1 else 'cells are'} wrong only because of this"
    if group[0].kind == "stored":
        count = f"{len(cells):,} more of these cells"
    lines = (
        element("div", element("dt", short(sheet) if sheet != "?" else "gone"), element("dd", ", ".join(named)))
        for sheet, named in by_sheet(cells).items()
    )
    yield element("details", element("summary", count), element("dl", *lines))


def _code(text: str) -> str:
    return element("code", short(text)) if text else ""


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _sentence(text: str) -> str:
    return "" if not text else _capital(text) if text.endswith((".", "!", "?")) else f"{_capital(text)}."
