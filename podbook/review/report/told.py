"""The findings of a report: what happened, where, what it does, what to do; and what only follows, folded."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from podbook.review.findings import Finding
from podbook.review.report.markup import Markup, element, joined, short
from podbook.review.report.parts import table
from podbook.review.report.spans import by_sheet, spans

MOST_AT_LENGTH = 60
"""How many findings are told at length; the rest stand in one table."""
MOST_ROWS = 40
"""How many cells with the same finding have a row of their own; the rest are named by their spans."""


def findings(found: Sequence[Finding], first: int = 1) -> Iterator[Markup]:
    """Yield findings at length, numbered from the first; those of one kind in one row or column stand together."""
    number, groups = first, _alike(found)
    for group in groups[:MOST_AT_LENGTH]:
        yield _at_length(group, number)
        number += len(group)
    if groups[MOST_AT_LENGTH:]:
        yield element("p", f"Mend these first. Then check again: {len(groups) - MOST_AT_LENGTH} more follow in brief.")
        rows = [
            (_numbers(number, group), *_where(group), *map(_code, (group[0].stands, group[0].should)))
            for number, group in _numbered(groups[MOST_AT_LENGTH:], number)
        ]
        yield table("Further findings", ("No.", "Where", "What happened", "Stands", "Should"), rows)


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


def _numbered(groups: Sequence[list[Finding]], number: int) -> Iterator[tuple[int, list[Finding]]]:
    for group in groups:
        yield number, group
        number += len(group)


def _numbers(number: int, group: Sequence[Finding]) -> str:
    return f"{number}" if len(group) == 1 else f"{number} to {number + len(group) - 1}"


def _where(group: Sequence[Finding]) -> tuple[str, str]:
    first = group[0]
    cells = ", ".join(spans(each.cell for each in group if each.cell))
    return short(f"{first.sheet}: {cells}" if cells else first.sheet), short(f"{first.label}: {first.what}")


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
    count = f"{len(others)} more {'cell' if len(others) == 1 else 'cells'} of the same row or column"
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
        element("p", f"And {len(others) - MOST_ROWS} more: {rest}.") if rest else "",
    )


def _followers(group: Sequence[Finding]) -> Iterator[Markup]:
    """Yield the cells that are wrong only because of a finding, folded, as the spans that they fill."""
    cells = dict.fromkeys(follower for each in group for follower in each.followers)
    if not cells:
        return
    count = f"{len(cells)} {'cell is' if len(cells) == 1 else 'cells are'} wrong only because of this"
    if group[0].kind == "stored":
        count = f"{len(cells)} more of these cells"
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
