"""The parts that the sections of a report are made of."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from podbook.review.report.markup import Markup, element, joined


def section(name: str, heading: str, *parts: str) -> Markup:
    """Return a section with its heading."""
    return element("section", element("h2", heading, id=name), *parts, aria_labelledby=name)


def table(
    caption: str, headings: Sequence[str], rows: Iterable[Sequence[str]], *, numbers: Iterable[int] = ()
) -> Markup:
    """Return a table whose first column names its rows; the columns in ``numbers`` hold figures.

    On a narrow screen the cells of a row stand below each other, each with its heading. The roles say again what
    browsers forget of a table that is laid out otherwise.
    """
    kinds = [{"class_": "number"} if at in frozenset(numbers) else {} for at in range(len(headings))]
    head = (
        element("th", each, scope="col", role="columnheader", **kind)
        for each, kind in zip(headings, kinds, strict=True)
    )
    return element(
        "table",
        element("caption", caption),
        element("thead", element("tr", *head, role="row"), role="rowgroup"),
        element("tbody", *(_row(headings, kinds, row) for row in rows), role="rowgroup"),
        role="table",
    )


def _row(headings: Sequence[str], kinds: Sequence[Mapping[str, str]], row: Sequence[str]) -> Markup:
    name, *cells = row
    told = (
        element("td", each, role="cell", data_heading=heading, **kind)
        for each, heading, kind in zip(cells, headings[1:], kinds[1:], strict=True)
    )
    return element("tr", element("th", name, scope="row", role="rowheader"), *told, role="row")


def marked(words: str) -> Markup:
    """Return a text that stands out by its shape and its weight, and by its colour besides."""
    return element("strong", triangle(), words, class_="word look")


def triangle() -> Markup:
    """Return the mark of what differs; the word beside it says so to those who can't see it."""
    return joined(element("span", "▲", aria_hidden="true"), "\u00a0")
