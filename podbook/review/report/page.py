"""A verdict as a page of HTML that a person can read and print: whole in itself, without scripts."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from podbook import files, regions
from podbook.pod_trees import pod_trees
from podbook.review.report import opening
from podbook.review.report.markup import Markup, element, joined
from podbook.review.report.parts import section
from podbook.review.report.style import POLICY, STYLE
from podbook.review.report.told import asides, findings
from podbook.review.report.winter import winter
from podbook.review.verify import Verdict
from podbook.sheets import cautions

HOW = (
    "The file was looked through for what is unsafe, opened for reading only, and not changed.",
    "Every formula was calculated anew by each engine named above (stored values are not believed). Its text was"
    " compared with the formula of the book, and its value with a function that was written separately from the same"
    " source: fed by the cells beside it, so that a fault names its own cell, and from the entries alone, so that"
    " nothing hides. Numbers agree that differ by at most a billionth of their size.",
    "Not checked: whether what is filled in is true, and what you added. Figures from memory or judgement are marked"
    " so on the sheet Works. The same file gives the same report; it bears no date for that reason.",
)


def write(verdict: Verdict, path: Path, *, replace: bool = False) -> None:
    """Write the report on a verdict. Raises PodbookError if the file may not be written."""
    files.refuse(path, ".html", replace=replace)
    text = page(verdict)
    with files.drafted(path) as draft:
        draft.write_bytes(text.encode())


def page(verdict: Verdict) -> str:
    """Return the report on a verdict; the same verdict gives the same text."""
    head = element(
        "head",
        element("meta", charset="utf-8"),
        element("meta", http_equiv="Content-Security-Policy", content=POLICY),
        element("meta", name="viewport", content="width=device-width, initial-scale=1"),
        element("meta", name="referrer", content="no-referrer"),
        element("title", f"{opening.title(verdict)}: what is right and what is not"),
        element("style", Markup(STYLE)),
    )
    body = element("body", element("main", *_sections(verdict)))
    return f"<!DOCTYPE html>\n{element('html', head, body, lang='en')}"


def _sections(verdict: Verdict) -> Iterator[Markup]:
    yield opening.opening(verdict)
    yield opening.key_figures(verdict)
    counting = [each for each in verdict.findings if each.counts]
    causes = [each for each in counting if each.kind != "entry"]
    entries = [each for each in counting if each.kind == "entry"]
    aside = [each for each in verdict.findings if not each.counts]
    none = element("p", "None.")
    yield section("findings", "What was found, causes first", *(findings(causes) if causes else (none,)))
    told = findings(entries, len(causes) + 1) if entries else (none,)
    yield section("entries", "What is filled in and can't be used", *told)
    yield section("aside", "Only worth knowing", asides(aside) if aside else none)
    yield winter(verdict)
    yield _cautions(verdict)
    yield section("how", "How this was checked", element("ul", *(element("li", line) for line in HOW)))


def _cautions(verdict: Verdict) -> Markup:
    notices = tuple(notice.text for notice in regions.load(verdict.region).notices)
    trees = tuple(
        (f"{each.capitalize()}, of which this farm has a type", tuple(_cautions_of(each))) for each in verdict.trees
    )
    blocks = (*cautions.BLOCKS, *trees, *((("Notices for this region", notices),) if notices else ()))
    told = (
        element("div", element("h3", title), element("ul", *(element("li", line) for line in lines)))
        for title, lines in blocks
    )
    return section("cautions", "Cautions: read this before the first pod is fed", joined(*told))


def _cautions_of(species: str) -> Iterator[str]:
    return (each.text for each in pod_trees().cautions if each.species == species)
