"""Figures in another unit by the look of them; factors from NIST SP 811, appendix B (exact)."""

from __future__ import annotations

import pytest

from podbook.review.unit_slips import hint, remark


@pytest.mark.parametrize(
    ("unit", "found", "low", "high", "words"),
    [
        ("lb", 545, 800, 2500, "545 kg is 1202 lb"),
        ("acre", 4.0468564224, 5, 5000, "4.04686 ha is 10 acre"),
        ("USD/short_ton_fed", 0.0625, 20, 700, "0.0625 $/lb is 125 $/ton as fed"),
        ("lb_dry/acre", 2242.0, 100, 2200, "2242 lb DM/ha is 907.3 lb DM/acre"),
        ("fraction", 35, 0, 0.5, "For 35 % write 0.35."),
        ("percent", 0.6, 38, 70, "Write the percent as printed: 60 for 0.6."),
        ("degF", -5, 0, 90, "-5 °C is 23 °F"),
    ],
)
def test_a_figure_out_of_range_says_what_it_looks_like(
    unit: str, found: float, low: float, high: float, words: str
) -> None:
    assert words in hint(unit, found, low, high)


def test_a_share_that_is_only_too_large_is_not_taken_for_percent() -> None:
    assert hint("fraction", 0.7, 0, 0.5) == ""
    assert "write 0.35" in hint("fraction", 35, 0, 0.5)


def test_a_figure_that_fits_no_other_unit_says_nothing() -> None:
    assert hint("lb", 1e9, 800, 2500) == ""


def test_a_figure_in_range_is_remarked_on_only_where_it_would_be_the_default() -> None:
    assert "4.05 ha is 10.01 acre" in remark("acre", 4.05, 10, 0.1, 5000)
    assert remark("acre", 4.5, 10, 0.1, 5000) == ""
    assert remark("acre", 10, 10, 0.1, 5000) == ""
    assert remark("acre", 4.05, 0, 0.1, 5000) == ""
