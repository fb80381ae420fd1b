"""The parts that the sections of a report are made of."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from podbook.review.report.markup import Markup, element, joined


def section(name: str, heading: str, *parts: str) -> Markup:
    """Return a section with its heading."""
    return element("section", element("h2", heading, id=name), *parts, aria_labelledby=name)


def table(
    caption: str, headings: Sequence[str], rows: Iterable[Sequence[str]], *, numbers: Iterable[int] = ()
) -> Markup:
    """Return a table whose first column names its rows; the columns in ``numbers`` hold figures.

    A wide one is moved sideways by itself on a narrow screen; it can be reached with the keyboard for that.
    """
    figures = frozenset(numbers)
    head = element("tr", *(_cell("th", each, place in figures, scope="col") for place, each in enumerate(headings)))
    body = (
        element(
            "tr",
            *(
                _cell("td" if place else "th", each, place in figures, **({} if place else {"scope": "row"}))
                for place, each in enumerate(row)
            ),
        )
        for row in rows
    )
    whole = element("table", element("caption", caption), element("thead", head), element("tbody", *body))
    return element("div", whole, class_="wide", tabindex=0, role="group", aria_label=caption)


def marked(words: str) -> Markup:
    """Return a text that stands out by its shape and its weight, and by its colour besides."""
    return element("strong", triangle(), words, class_="word look")


def triangle() -> Markup:
    """Return the mark of what differs; the word beside it says so to those who can't see it."""
    return joined(element("span", "▲", aria_hidden="true"), " ")


def _cell(tag: str, words: str, is_number: bool, **attributes: str) -> Markup:
    if is_number:
        attributes["class_"] = "number"
    return element(tag, words, **attributes)
