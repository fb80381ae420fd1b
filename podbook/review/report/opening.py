"""How a report begins: what was checked and with what, the verdict in a sentence, the key figures three ways."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from podbook.review.figures import NOT_STORED, KeyFigure
from podbook.review.report.markup import Markup, element, joined, short
from podbook.review.report.parts import marked, section, table
from podbook.review.verify import Verdict
from podbook.sheets.start import EDITION

NAMELESS = "A farm without a name"
PLANNING_AID = (
    "A planning aid. Pods are a supplement, never the whole ration: read the cautions below before the first pod is"
    " fed, and call a veterinarian at signs of grain overload."
)


def title(verdict: Verdict) -> str:
    """Return the farm's name."""
    return short(verdict.title) or NAMELESS


def opening(verdict: Verdict) -> Markup:
    """Return the heading, what was checked, and the verdict."""
    file = Path(verdict.path).name
    facts = (
        ("file", short(file)),
        ("its state", joined("SHA-256 ", element("code", verdict.digest[:32]), " (first half)")),
        ("book", f"edition {EDITION}, region {verdict.region}"),
        ("its own word", joined(element("q", short(verdict.status)), " (the status line of its first page)")),
    )
    rows = [
        (each.engine, f"{each.cells:,}", f"{each.agreeing:,}", f"{each.cells - each.agreeing:,}", f"{each.worst:.1e}")
        for each in verdict.comparisons
    ]
    return element(
        "header",
        element("h1", title(verdict)),
        element("p", f"What is right in {short(file)}, and what is not", class_="quiet"),
        _sentence(verdict),
        *_asks(verdict),
        element("p", PLANNING_AID, class_="caution"),
        element(
            "dl",
            *(element("div", element("dt", name), element("dd", words)) for name, words in facts),
            class_="facts",
        ),
        element(
            "p",
            "Checked: every formula, its text and its value; every given figure, coefficient and name; everything that"
            " is filled in; the values stored for phones and previews. Sheets of your own are calculated, not checked.",
        ),
        table(
            "Formula cells, by the program that calculated them anew",
            ("Engine", "Formula cells", "Agree", "Don't", "Largest relative difference"),
            rows,
            numbers=range(1, 5),
        ),
    )


def _sentence(verdict: Verdict) -> Markup:
    """Return the verdict: how much is still right, and how much was found."""
    worst = min(verdict.comparisons, key=lambda each: each.agreeing)
    counting = [each for each in verdict.findings if each.counts]
    entries = sum(each.kind == "entry" for each in counting)
    share = f"{worst.agreeing:,} of {worst.cells:,} formula cells agree"
    share += " in every engine" if len(verdict.comparisons) > 1 else ""
    if verdict.agrees:
        word = element("strong", element("span", "●", aria_hidden="true"), " All agrees:", class_="word")
        return element("p", word, f" {share}; no findings.", class_="verdict")
    number = f"{len(counting):,} {'finding' if len(counting) == 1 else 'findings'}"
    among = f", {entries} of them {'an entry' if entries == 1 else 'entries'} the book can't use" if entries else ""
    return element("p", marked("LOOK:"), f" {share}; {number}{among}.", class_="verdict look")


def _asks(verdict: Verdict) -> Iterator[Markup]:
    """Yield that the workbook itself asks its reader to look, right as its formulas may be, and at what."""
    if not verdict.looks:
        return
    if verdict.agrees:
        said = element("q", short(verdict.status))
        words = joined(
            " the workbook itself asks you to look: ", said, ". Its formulas are right; its results may not be fine."
        )
    else:
        words = joined(" by what is filled in, the workbook has results to look at, too; mend what is wrong first.")
    if verdict.agrees or verdict.asks:
        yield element("p", marked("LOOK:"), words, class_="verdict look")
    if verdict.asks:
        yield element("ul", *(element("li", short(str(each))) for each in verdict.asks))


def left_out(verdict: Verdict) -> Iterator[Markup]:
    """Yield what figures that are worked out from what is filled in leave out, if they do."""
    if any(each.counts and each.kind in ("entry", "line", "name", "sheet") for each in verdict.findings):
        words = "Entries that are gone, or that the book can't use, are left out or stand at their default here."
        yield joined(" ", marked("LOOK:"), f" {words} Mend them before you feed by these figures.")


def key_figures(verdict: Verdict) -> Markup:
    """Return the key figures three ways."""
    wrong = [each for each in verdict.figures if not each.right]
    words = (
        f"{len(wrong)} of {len(verdict.figures)} differ; they are marked LOOK, and what is not as it should be ▲."
        if wrong
        else "All of them are as they should be."
    )
    headings = ("Key figure", "Stored in the file", "By its own formulas", "As it should be", "All three")
    return section(
        "key-figures",
        "The key figures, three ways",
        element("p", words),
        table("Key figures of the first page", headings, (tuple(_row(each)) for each in verdict.figures)),
        element(
            "p",
            "Stored: what a phone or a preview shows, which calculate nothing. As it should be: worked out from what is"
            " filled in, by functions written separately from the formulas.",
            *left_out(verdict),
        ),
    )


def _row(each: KeyFigure) -> Iterator[str]:
    yield short(each.label)
    off = [not each.right and found not in (each.should, NOT_STORED) for found in (each.stored, each.own)]
    for found, differs in zip((each.stored, each.own), off, strict=True):
        yield marked(short(found)) if differs else short(found)
    yield short(each.should)
    yield "agree" if each.right else marked("LOOK" if any(off) else "LOOK: beyond the digits shown")
