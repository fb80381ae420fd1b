"""The parts of the report: markup, spans of cells, the chart."""

from __future__ import annotations

from xml.etree import ElementTree

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from openpyxl.utils import get_column_letter
from openpyxl.utils.cell import coordinate_to_tuple
from reports import unfolded

from podbook.review.report.chart import Bar, bars
from podbook.review.report.markup import MOST, Markup, element, short
from podbook.review.report.spans import by_sheet, spans


@given(st.text(st.characters(codec="utf-8", exclude_categories=["Cc", "Cf"], exclude_characters="\ufffe\uffff")))
def test_any_text_comes_back_out_of_its_element_and_attribute(text: str) -> None:
    found = ElementTree.fromstring(element("p", text, title=text))
    assert (found.text or "", found.get("title"), len(found)) == (text, text, 0)


@pytest.mark.parametrize("text", ["\x00", "\x1b", "\x85", "\u202e", "\u2066", "\ufffe", "\U0001ffff", "\ud800"])
def test_what_can_not_be_seen_is_shown_as_such(text: str) -> None:
    assert element("p", f"a{text}b") == "<p>a\ufffdb</p>\n"


def test_markup_is_not_escaped_twice_and_lines_end_alike() -> None:
    assert element("p", element("em", "<"), "a\r\nb\rc", data_heading='"') == (
        '<p data-heading="&quot;"><em>&lt;</em>a\nb\nc</p>\n'
    )
    assert element("p", Markup("<br>")) == "<p><br></p>\n"


def test_a_text_too_long_to_read_is_cut_and_says_so() -> None:
    assert short("a" * MOST) == "a" * MOST
    assert short("a" * 32_767) == f"{'a' * MOST} … (32,767 letters)"


@given(st.sets(st.tuples(st.integers(1, 30), st.integers(1, 30)), max_size=200))
def test_spans_hold_their_cells_and_no_others(places: set[tuple[int, int]]) -> None:
    cells = [f"{get_column_letter(column)}{row}" for column, row in places]
    found = spans(cells)
    back = list(unfolded(found))
    assert sorted(back) == sorted(cells)
    assert found == sorted(found, key=lambda each: coordinate_to_tuple(each.partition(":")[0]))


def test_spans_are_few() -> None:
    assert spans(["B3", "C2", "B2", "C3", "E9", "E7"]) == ["B2:C3", "E7", "E9"]
    assert by_sheet(["A!b!C2", "A!b!D2", "?!days, item 3"]) == {"A!b": ["C2:D2"], "?": ["days, item 3"]}


@example([[0.0, 0.0]])
@example([[0.0, 5e-324]])
@given(st.lists(st.lists(st.floats(0, 1e9), min_size=2, max_size=2), min_size=1, max_size=8))
def test_bars_are_as_long_as_their_figures(months: list[list[float]]) -> None:
    groups = {str(number): [Bar("a", {"pods": pods, "hay": hay})] for number, (pods, hay) in enumerate(months)}
    drawn = ElementTree.fromstring(bars(groups, title="t", description="d", along="pounds"))
    right, most = float(drawn.get("viewBox", "").split()[2]), max(map(sum, months))
    lines = [(float(each.get("x1", "")), each) for each in drawn.findall("line")]
    ticks = [each.text or "" for each in drawn.findall("text") if each.get("text-anchor") == "middle"]
    assert len(lines) == len(ticks) >= 2
    scale = (lines[-1][0] - lines[0][0]) / float(ticks[-1].replace(",", ""))
    shown = [float(each.get("width", "")) for each in drawn.findall("rect")]
    wanted = [each * scale for month in months for each in month if each > 0]
    assert shown == pytest.approx(wanted, abs=0.02)
    assert all(float(each.get("x", "")) + float(each.get("width", "")) <= right for each in drawn.findall("rect"))
    assert float(ticks[-1].replace(",", "")) >= most
