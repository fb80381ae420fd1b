"""What a practitioner reads: its commands are real, its links lead somewhere, its words are those of the book."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest

from podbook import regions
from podbook.book.model import Book
from podbook.cli import COMMANDS, command
from podbook.inputs.farm import filled
from podbook.sheets import book_of
from podbook.units import spelled

ROOT = Path(__file__).parents[1]
EXAMPLES = ROOT / "worked_examples"
PAGES = (ROOT / "README.md", *sorted(EXAMPLES.rglob("*.md")))
GUIDE, GLOSSARY = EXAMPLES / "README.md", EXAMPLES / "glossary.md"
OF_THE_HOUSE = {"templates", "functions"}
"""Commands that a practitioner has no need of."""
TERMS = (
    "as fed", "dry matter", "TDN", "ME", "Mcal", "MJ", "NEm", "crude protein", "reachable protein", "NDF",
    "NDICP", "ADICP", "lignin", "head-day", "stockpile", "supplement", "step-up", "sugar limit", "acidosis",
    "grain overload", "on-year", "off-year", "selected", "grafted", "wild", "pollinator", "first crop",
    "full crop", "crown cover", "survival", "establishment", "NPV", "IRR", "payback", "benefit over cost",
    "break-even", "discount rate", "poor", "usual", "good case", "mark", "published", "derived", "judgement",
    "common practice", "from memory", "invented", "witness", "engine",
)  # fmt: skip
each_page = pytest.mark.parametrize("page", PAGES, ids=lambda page: str(page.relative_to(ROOT)))


def commands(text: str) -> list[str]:
    """Return the command lines of podbook in a text: in blocks of code, and in line."""
    fenced = [
        line for block in re.findall(r"^```.*?^```", text, re.DOTALL | re.MULTILINE) for line in block.splitlines()
    ]
    inline = re.findall(r"`([^`\n]+)`", re.sub(r"^```.*?^```", "", text, flags=re.DOTALL | re.MULTILINE))
    parts = [part.strip() for line in (*fenced, *inline) for part in re.split(r"&&|;", line)]
    found = [re.sub(r"^\S*/podbook ", "podbook ", part) for part in parts]
    indented = re.findall(r"^ {4}(podbook .+)$", text, re.MULTILINE)
    return [part for part in (*found, *indented) if part.startswith("podbook ")]


def amiss(line: str) -> str:
    """Return what is wrong with a command line, without running it; nothing if it could be run."""
    _, name, *words = shlex.split(line)
    if name not in COMMANDS:
        return f"there is no command '{name}'"
    if not words:
        return ""  # only named
    try:
        command(name).make_context(name, words)
    except Exception as problem:  # whatever the parser refuses it with
        return f"{type(problem).__name__}: {getattr(problem, 'message', problem)}"
    return ""


def anchors(page: Path) -> set[str]:
    """Return the anchors of a page's headings."""
    headings = re.findall(r"^#+ (.+)$", page.read_text(encoding="utf-8"), re.MULTILINE)
    return {re.sub(r"[^\w -]", "", heading.casefold()).replace(" ", "-") for heading in headings}


@pytest.fixture(scope="module")
def book() -> Book:
    return book_of(regions.load(regions.HOME), filled())


@each_page
def test_every_command_line_is_one(page: Path) -> None:
    found = {line: amiss(line) for line in commands(page.read_text(encoding="utf-8"))}
    assert not {line: wrong for line, wrong in found.items() if wrong}


@pytest.mark.parametrize(
    "line",
    [
        "podbook bild farm.xlsx",
        "podbook verify farm.xlsx --rapport farm.html",
        "podbook carry farm.xlsx",
        "podbook season a b",
    ],
)
def test_a_command_line_that_is_none_is_found(line: str) -> None:
    assert amiss(line)
    assert commands(f"Run\n\n```\n{line}\n```\n\nor `{line}`.") == [line, line]


@each_page
def test_every_link_leads_somewhere(page: Path) -> None:
    for target in re.findall(r"\]\(([^)]+)\)", page.read_text(encoding="utf-8")):
        path, _, anchor = target.partition("#")
        there = (page.parent / path).resolve() if path else page
        assert "://" not in target, "a page that is elsewhere may be gone tomorrow"
        assert there.exists(), f"{target} in {page.name}"
        assert not anchor or anchor in anchors(there), f"{target} in {page.name}"


def test_every_page_is_reached_from_the_readme() -> None:
    reached, ahead = set(), [ROOT / "README.md"]
    while ahead:
        page = ahead.pop()
        reached.add(page)
        linked = re.findall(r"\]\(([^)#]+\.md)(?:#[^)]*)?\)", page.read_text(encoding="utf-8"))
        ahead += [each for each in {(page.parent / path).resolve() for path in linked} if each not in reached]
    assert set(PAGES) <= reached


def test_the_guide_shows_every_command_that_a_practitioner_needs() -> None:
    named = {line.split()[1] for line in commands(GUIDE.read_text(encoding="utf-8"))}
    assert named == set(COMMANDS) - OF_THE_HOUSE


def test_the_sheets_that_the_guide_and_the_glossary_name_are_there(book: Book) -> None:
    titles = {sheet.title for sheet in book.sheets}
    year, terms = rows(GUIDE, 4)[1:], rows(GLOSSARY, 4)
    named = {title for row in (*year, *terms) for title in row[3].split(", ")} - {"", "sheet"}
    assert named <= titles
    assert len(named) > 10


def test_the_glossary_has_every_term_with_a_unit_that_is_one() -> None:
    bold = " ".join(re.findall(r"\*\*(.+?)\*\*", GLOSSARY.read_text(encoding="utf-8")))
    words = re.split(r"[^\w-]+", bold.casefold())
    lacking = [term for term in TERMS if not set(term.casefold().split()) <= set(words)]
    assert not lacking
    for word, _, units, _ in rows(GLOSSARY, 4):
        for unit in units.split(", "):
            assert unit in ("", "unit", "head-days", "share", "$", "MJ", "Mcal") or spelled(unit), f"{word}: {unit}"


def test_the_glossary_is_in_order_and_brief() -> None:
    for table in GLOSSARY.read_text(encoding="utf-8").split("\n## ")[1:]:
        words = re.findall(r"^\| \*\*(.+?)\*\*", table, re.MULTILINE)
        assert words == sorted(words, key=str.casefold)
        for meaning in re.findall(r"^\| \*\*.+?\*\* \| ([^|]+) \|", table, re.MULTILINE):
            assert 1 <= len(re.findall(r"[.:](?= |$)", meaning)) <= 4
            assert len(meaning) < 400


def rows(page: Path, columns: int) -> list[tuple[str, ...]]:
    """Return the rows of a page's tables of so many columns, rulers left out."""
    found = [
        tuple(cell.strip() for cell in line.strip("|").split("|"))
        for line in page.read_text(encoding="utf-8").splitlines()
        if line.startswith("|") and not line.startswith("| ---")
    ]
    return [row for row in found if len(row) == columns]
