"""The report in a real browser, on a phone and on paper: valid, harmless, readable."""

from __future__ import annotations

import base64
import hashlib
import re
import threading
from collections.abc import Iterator
from dataclasses import replace
from http.server import BaseHTTPRequestHandler, HTTPServer
from itertools import pairwise
from pathlib import Path

import browser
import pytest
from reports import LONG, QUOTED, SCRIPT, SHEET, tree, words

from podbook.review.report import page as report
from podbook.review.report.chart import HATCHES
from podbook.review.report.markup import MOST
from podbook.review.report.spans import by_sheet
from podbook.review.report.told import MOST_AT_LENGTH
from podbook.review.verify import Verdict

PHONE, DESK = 390, 1000


def test_a_browser_takes_it_as_it_is_written(pages: dict[str, Path], tmp_path: Path) -> None:
    for page in pages.values():
        source = page.read_text(encoding="utf-8")
        assert source.startswith("<!DOCTYPE html>\n")
        tags, texts = browser.parsed(source)
        assert browser.parsed(browser.dom(page)) == (tags, texts)
    mended = tmp_path / "mended.html"
    mended.write_text("<!DOCTYPE html>\n<html><head></head><body><p>a<div>b</div></p></body></html>", encoding="utf-8")
    assert browser.parsed(browser.dom(mended)) != browser.parsed(mended.read_text(encoding="utf-8"))


def test_its_headings_tables_and_names_can_be_found_by_a_screen_reader(pages: dict[str, Path]) -> None:
    for page in pages.values():
        whole_page = tree(page)
        assert whole_page.get("lang") == "en"
        levels = [int(each.tag[1]) for each in whole_page.iter() if re.fullmatch(r"h[1-6]", each.tag)]
        assert levels.count(1) == 1
        assert levels[0] == 1
        assert all(after <= before + 1 for before, after in pairwise(levels))
        for table in whole_page.iter("table"):
            assert table[0].tag == "caption"
            assert words(table[0])
            assert {each.get("scope") for each in table.findall("./thead/tr/th")} == {"col"}
            assert all(row[0].tag == "th" for row in table.findall("./tbody/tr"))
            assert all(row[0].get("scope") == "row" for row in table.findall("./tbody/tr"))
        ids = [each.get("id") for each in whole_page.iter() if each.get("id")]
        assert len(ids) == len(set(ids))
        named = [name for each in whole_page.iter() for name in each.get("aria-labelledby", "").split()]
        assert set(named) <= set(ids)
        assert all(each.get("role") == "img" for each in whole_page.iter("svg"))


def test_its_policy_lets_nothing_in_but_its_own_style(pages: dict[str, Path]) -> None:
    for page in pages.values():
        whole_page = tree(page)
        (style,) = whole_page.iter("style")
        stamp = base64.b64encode(hashlib.sha256((style.text or "").encode()).digest()).decode()
        (policy,) = [each.get("content", "") for each in whole_page.iter("meta") if "http-equiv" in each.attrib]
        assert policy.split("; ")[:2] == ["default-src 'none'", f"style-src 'sha256-{stamp}'"]
        assert "unsafe" not in policy
        assert "url(" not in (style.text or "")
        assert "@import" not in (style.text or "")
        reaching = {"src", "href", "action", "data", "srcset", "poster", "style", "formaction", "background"}
        for each in whole_page.iter():
            assert each.tag not in ("script", "link", "img", "iframe", "object", "embed", "form", "base", "a")
            assert not reaching & set(each.attrib)
            assert not [name for name in each.attrib if name.startswith("on")]
            assert all("url(" not in value or value.startswith("url(#") for value in each.attrib.values())


def test_the_browser_has_nothing_to_complain_of(pages: dict[str, Path], tmp_path: Path) -> None:
    for page in pages.values():
        assert browser.complaints(page) == []
    bad = tmp_path / "bad.html"
    bad.write_text(pages["right"].read_text(encoding="utf-8").replace("<h1>", "<h1 style='color:red'>"), "utf-8")
    assert len(browser.complaints(bad)) == 1


@pytest.fixture
def server() -> Iterator[tuple[str, list[str]]]:
    """A server on this machine, and what was asked of it."""
    asked: list[str] = []

    class Listener(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            asked.append(self.path)
            self.send_response(204)
            self.end_headers()

        def log_message(self, *_: object) -> None:
            pass

    listener = HTTPServer(("127.0.0.1", 0), Listener)
    thread = threading.Thread(target=listener.serve_forever)
    thread.start()
    yield f"http://127.0.0.1:{listener.server_port}", asked
    listener.shutdown()
    thread.join()
    listener.server_close()


def test_no_request_leaves_it(wrong: Verdict, server: tuple[str, list[str]], tmp_path: Path) -> None:
    address, asked = server
    fetching = f'<img src="{address}/seen" />'
    first = next(each for each in wrong.findings if each.kind == "entry")
    told = report.page(replace(wrong, title=fetching, status=fetching, findings=(replace(first, stands=fetching),)))
    escaped, raw, bare = (tmp_path / f"{name}.html" for name in ("escaped", "raw", "bare"))
    escaped.write_text(told, encoding="utf-8")
    assert told.count("&lt;img src=&quot;http") == 4
    browser.dom(escaped)
    assert asked == []
    raw.write_text(told.replace("<main>", f"<main>{fetching}"), encoding="utf-8")
    browser.dom(raw)
    assert asked == []  # though it was let through as markup, the policy stops it
    bare.write_text(re.sub(r"<meta http-equiv.*?/>", "", raw.read_text(encoding="utf-8")), encoding="utf-8")
    browser.dom(bare)
    assert asked == ["/seen"]  # without escape and without policy it is fetched: this test can fail


def test_texts_of_the_file_appear_as_texts(pages: dict[str, Path], harmed: Path) -> None:
    tags, texts = browser.parsed(browser.dom(pages["wrong"]))
    assert not [tag for tag in tags if tag[0] in ("script", "img", "b")]
    told = "\n".join(texts)
    assert texts.count(SCRIPT) == 1  # the heading; the title of the page says more
    for text in (SHEET, QUOTED):
        assert text in told
    assert "w" * 50 in told
    assert LONG not in told
    assert str(harmed.parent) not in told


WIDE = "return page.documentElement.scrollWidth;"


@pytest.mark.parametrize("name", ["right", "wrong", "many"])
def test_nothing_overflows_a_phone(pages: dict[str, Path], tmp_path: Path, name: str) -> None:
    opened = pages[name].read_text(encoding="utf-8").replace("<details>", '<details open="">')
    for width in (PHONE, 641):  # the narrowest screen on which tables are tables is the second
        assert browser.measured(opened, width, WIDE, tmp_path) <= width


def test_what_overflows_a_phone_is_noticed(pages: dict[str, Path], tmp_path: Path) -> None:
    wide = pages["right"].read_text(encoding="utf-8").replace("max-width: 32rem", "min-width: 600px")
    assert browser.measured(re.sub(r"<meta http-equiv.*?/>", "", wide), PHONE, WIDE, tmp_path) > PHONE


CONTRASTS = """
const ground = (element) => {
  for (; element; element = element.parentElement) {
    const colour = view.getComputedStyle(element).backgroundColor;
    if (!/, 0\\)$/.test(colour)) return colour;
  }
  return 'rgb(255, 255, 255)';
};
const found = [];
for (const element of page.body.querySelectorAll('*')) {
  if (![...element.childNodes].some((each) => each.nodeType === 3 && each.textContent.trim())) continue;
  if (['title', 'desc'].includes(element.tagName)) continue;
  const looks = view.getComputedStyle(element);
  found.push([element.ownerSVGElement ? looks.fill : looks.color, ground(element)]);
  const before = view.getComputedStyle(element, '::before');
  if (before.content !== 'none') found.push([before.color, ground(element)]);
}
return found;
"""


def contrast(one: str, other: str) -> float:
    """The contrast of two colours (WCAG 2.2, relative luminance)."""

    def luminance(colour: str) -> float:
        parts = [int(each) / 255 for each in re.findall(r"\d+", colour)[:3]]
        linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def test_contrast_is_as_printed_in_the_guidelines() -> None:
    assert contrast("rgb(0, 0, 0)", "rgb(255, 255, 255)") == pytest.approx(21)
    assert contrast("rgb(118, 118, 118)", "rgb(255, 255, 255)") == pytest.approx(4.54, abs=0.005)


def test_every_text_stands_out_from_its_ground(pages: dict[str, Path], tmp_path: Path) -> None:
    source = pages["wrong"].read_text(encoding="utf-8")
    for width in (PHONE, DESK):
        found = browser.measured(source, width, CONTRASTS, tmp_path)
        assert len(found) > 300
        assert len({tuple(each) for each in found}) >= 5
        assert [each for each in found if contrast(*each) < 4.5] == []
    pale = re.sub(r"<meta http-equiv.*?/>", "", source.replace("<h1>", "<h1 style='color:#999'>"))
    assert [each for each in browser.measured(pale, DESK, CONTRASTS, tmp_path) if contrast(*each) < 4.5] == [
        ["rgb(153, 153, 153)", "rgb(255, 255, 255)"]
    ]


def test_marks_differ_without_colour() -> None:
    grounds = {feed: tuple(int(ground[at : at + 2], 16) for at in (0, 2, 4)) for feed, (ground, _) in HATCHES.items()}
    for feed, ground in grounds.items():
        for other, another in grounds.items():
            if feed != other:
                same_strokes = HATCHES[feed][1] == HATCHES[other][1]
                assert not same_strokes
                assert contrast(f"rgb{ground}", f"rgb{another}") > 1.2


def squeezed(text: str) -> str:
    return "".join(text.split())


def on_paper(page: Path, size: str, folder: Path, old: str = "", new: str = "") -> list[str]:
    """The pages as they are printed on paper of a size, with something else in the style if need be."""
    source = re.sub(r"<meta http-equiv.*?/>", "", page.read_text(encoding="utf-8"))
    assert old in source
    source = source.replace(old, new) if old else source
    paper = folder / f"{page.stem}-{size}.html"
    paper.write_text(source.replace("</head>", f"<style>@page {{ size: {size}; }}</style></head>"), encoding="utf-8")
    return browser.printed(paper, folder)


@pytest.mark.parametrize("size", ["a4", "letter"])
def test_it_is_printed_whole_with_what_is_folded(
    pages: dict[str, Path], wrong: Verdict, tmp_path: Path, size: str
) -> None:
    assert len(on_paper(pages["right"], size, tmp_path)) <= 5
    paper = on_paper(pages["wrong"], size, tmp_path)
    assert len(paper) <= 9
    told = squeezed("".join(re.sub(r"\d+ ?/ ?\d+\s*$", "", each) for each in paper))
    counting = [each for each in wrong.findings if each.counts]
    for each in counting:
        assert squeezed(each.cell) in told
    for each in {(each.key, each.kind): each for each in reversed(counting)}.values():
        for text in (each.label, each.what, each.stands, each.should, each.effect, each.advice):
            assert squeezed(text[:MOST]).lower() in told.lower()
    cause = max(counting, key=lambda each: len(each.followers))
    for spanned in by_sheet(cause.followers).values():
        assert squeezed(", ".join(spanned)) in told
    assert [squeezed(each.strip().rsplit("\n", 1)[-1]) for each in paper] == [
        f"{number}/{len(paper)}" for number in range(1, len(paper) + 1)
    ]


def test_what_is_folded_is_printed_by_the_style_alone(pages: dict[str, Path], wrong: Verdict, tmp_path: Path) -> None:
    cause = max(wrong.findings, key=lambda each: len(each.followers))
    spanned = squeezed(", ".join(by_sheet(cause.followers)["Rations"]))
    assert spanned in squeezed("".join(on_paper(pages["wrong"], "a4", tmp_path)))
    shut = on_paper(pages["wrong"], "a4", tmp_path, "details::details-content", "details::none")
    assert spanned not in squeezed("".join(shut))


def split(paper: list[str]) -> list[int]:
    """The findings of ``many`` whose beginning and end are not on one page."""
    starts = [{int(each) for each in re.findall(r"\d+\. Thing (\d+) happened", page)} for page in paper]
    ends = [{int(each) for each in re.findall(r"Mend thing (\d+) now", page)} for page in paper]
    assert len(set().union(*starts)) == len(set().union(*ends)) == MOST_AT_LENGTH - 1
    return sorted(set().union(*(start ^ end for start, end in zip(starts, ends, strict=True))))


def test_no_finding_is_split_by_the_end_of_a_page(pages: dict[str, Path], tmp_path: Path) -> None:
    for size in ("a4", "letter"):
        assert split(on_paper(pages["many"], size, tmp_path)) == []
    assert split(on_paper(pages["many"], "a4", tmp_path, "break-inside: avoid", "break-inside: auto")) != []


def test_a_table_repeats_its_headings_on_every_page(pages: dict[str, Path], tmp_path: Path) -> None:
    paper = on_paper(pages["many"], "a4", tmp_path)
    rows = [page for page in paper if re.search(r"^ *\d+ +Winter: C\d+ ", page, re.MULTILINE)]
    assert len(rows) > 2
    assert all(re.search(r"No\. +Where +What happened", page) for page in rows)
