"""The workbook on paper: which way a page stands, where it turns, and how small it is printed."""

from __future__ import annotations

from openpyxl.utils import get_column_letter
from openpyxl.worksheet.header_footer import HeaderFooterItem, _HeaderFooterPart
from openpyxl.worksheet.page import PageMargins
from openpyxl.worksheet.pagebreak import Break
from openpyxl.worksheet.properties import PageSetupProperties
from openpyxl.worksheet.worksheet import Worksheet

from podbook.book.layout import Laid
from podbook.book.model import Sheet

LETTER = 1
"""Number of the paper size US letter."""
UPRIGHT, LYING = (540.0, 690.0), (720.0, 510.0)
"""What the margins leave of a page, in points, width and height."""
SMALL = 0.65
"""Scale below which a sheet that is not turned by hand takes two pages, if it is printed larger on them."""
LARGER = 1.08
"""How much larger that must be."""
SLACK = 0.95
"""Share of two pages that a sheet can fill: no row is broken in two, and both repeat their headings."""
LONGEST_NAME = 60
"""Letters of a farm's name that are printed at the head of a page."""
USUAL_HEIGHT = 15.0
"""Height of a row that has none of its own, in points."""
REPEATED = "1:2"
"""Rows that every page repeats."""


def set_page(page: Worksheet, sheet: Sheet, laid: tuple[Laid, ...], widest: int, farm: str) -> None:
    """Set a sheet's printed area, the way it lies, its pages, and what stands at their head and foot."""
    last = laid[: sheet.printed][-1].last_row
    columns = max(widest, 2)
    page.page_setup.paperSize = LETTER
    page.page_margins = PageMargins(left=0.5, right=0.5, top=0.5, bottom=0.7, header=0.3, footer=0.3)
    page.print_title_rows = REPEATED
    page.print_area = f"A1:{get_column_letter(columns)}{last}"
    page.HeaderFooter.oddHeader = HeaderFooterItem(right=_HeaderFooterPart(text=farm[:LONGEST_NAME].replace("&", "&&")))
    page.HeaderFooter.oddFooter = HeaderFooterItem(
        left=_HeaderFooterPart(text="podbook - &A"), right=_HeaderFooterPart(text="Page &P of &N")
    )
    letters = [get_column_letter(column) for column in range(1, columns + 1)]
    width = sum(0.75 * (7 * page.column_dimensions[letter].width + 5) for letter in letters)
    heights = [page.row_dimensions[row].height or USUAL_HEIGHT for row in range(1, last + 1)]
    if sheet.turns:
        turns = [laid[block].title_row - 1 for block in sheet.turns]
        parts, tall = tuple(zip((1, *turns), (*(turn - 1 for turn in turns), last), strict=True)), 0
        for turn in turns:
            page.row_breaks.append(Break(id=turn - 1))
        lies = _scale(LYING, width, heights, parts) > _scale(UPRIGHT, width, heights, parts)
    else:
        lies, tall = _on_pages(width, heights)
    page.page_setup.orientation = "landscape" if lies else "portrait"
    page.page_setup.fitToWidth, page.page_setup.fitToHeight = 1, tall
    page.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)


def _on_pages(width: float, heights: list[float]) -> tuple[bool, int]:
    """Return whether a sheet is printed lying, and on how many pages: one, or two if it were too small on one."""
    whole = ((1, len(heights)),)
    scales = {
        (lies, tall): _scale((across, down * (1 if tall == 1 else tall * SLACK)), width, heights, whole)
        for lies, (across, down) in ((False, UPRIGHT), (True, LYING))
        for tall in (1, 2)
    }
    one = max((each for each in scales if each[1] == 1), key=lambda each: scales[each])
    two = max((each for each in scales if each[1] == 2), key=lambda each: scales[each])
    return two if scales[one] < SMALL and scales[two] > LARGER * scales[one] else one


def _scale(size: tuple[float, float], width: float, heights: list[float], parts: tuple[tuple[int, int], ...]) -> float:
    """Return the largest scale, up to 1, at which every part of a sheet stands on a page of its own."""
    top, bottom = (int(row) for row in REPEATED.split(":"))
    above = sum(heights[top - 1 : bottom])
    tallest = max(sum(heights[first - 1 : last]) + (above if first > 1 else 0) for first, last in parts)
    return min(1.0, size[0] / width, size[1] / tallest)
