"""The workbook on paper: which way a page stands, where it turns, and how small it is printed."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import accumulate, pairwise

from openpyxl.utils import get_column_letter
from openpyxl.worksheet.header_footer import HeaderFooterItem, _HeaderFooterPart
from openpyxl.worksheet.page import PageMargins
from openpyxl.worksheet.pagebreak import Break
from openpyxl.worksheet.properties import PageSetupProperties
from openpyxl.worksheet.worksheet import Worksheet

from podbook.book import look
from podbook.book.layout import Laid, answers
from podbook.book.model import Book, Sheet, Table
from podbook.systems import MONEY

SIDE, TOP, BOTTOM = 36.0, 36.0, 50.0
"""Margins, in points."""
MARGIN_DIGITS = 4
"""Digits of an inch that are written: Pythons differ in the last digits of a sum."""
SPARE = 16.0
"""Points of a page's height that are kept free beyond its margins."""
SMALL = 0.7
"""Scale below which a sheet that is not turned by hand takes two pages, if it is printed larger on them."""
LARGER = 1.08
"""How much larger that must be."""
FULL = 0.975
"""Share of a page that is filled where pages are turned: no program may find it too small for the last row."""
SLACK = 0.95
"""Share of two pages that a sheet can fill where it is broken anywhere: no row is broken in two."""
WHOLE = 0.87
"""How small a sheet may be printed, of what it would be broken anywhere, so that its blocks stay whole."""
LEAST = 0.5
"""Scale below which a sheet takes as many pages as it needs: the tally of hundreds of trees."""
LONGEST_NAME = 60
"""Letters of a farm's name that are printed at the head of a page."""
REPEATED = "1:2"
"""Rows that every page repeats, where no table is broken over two."""
PIXELS_A_DIGIT, POINTS_A_PIXEL = 7.0, 0.75
"""Width of a digit of the usual type, in which columns are measured."""

Size = tuple[float, float]
Part = tuple[int, int]
"""First and last row of what stands on one page."""


@dataclass(frozen=True)
class Paper:
    """A size of paper."""

    number: int
    """Its number in a workbook."""
    width: float
    height: float
    """Of a page that stands upright, in points."""

    def size(self, lies: bool) -> Size:
        """Return the width and height of a page."""
        return (self.height, self.width) if lies else (self.width, self.height)

    def room(self, lies: bool) -> Size:
        """Return what the margins leave of a page."""
        width, height = self.size(lies)
        return width - 2 * SIDE, height - TOP - BOTTOM - SPARE


LETTER, A4 = Paper(1, 612.0, 792.0), Paper(9, 595.3, 841.9)


def paper_of(book: Book) -> Paper:
    """Return the paper that is usual where a book's money is: US letter for dollars, else A4."""
    return LETTER if book.nodes["saving"].unit == MONEY else A4


@dataclass(frozen=True)
class Printed:
    """How a sheet may be printed."""

    lies: bool
    pages: int
    """How many pages it is fitted on; 0 where pages are turned, or it takes as many as it needs."""
    scale: float
    turns: tuple[int, ...] = ()
    """Rows before which a page is turned."""


@dataclass(frozen=True)
class Measured:
    """How wide and how high a sheet is, in points."""

    width: float
    bottoms: tuple[float, ...]
    """How high the rows are together up to each row, from none of them."""

    def height(self, first: int, last: int) -> float:
        """Return how high some rows are together."""
        return self.bottoms[last] - self.bottoms[first - 1]

    def heights(self, parts: tuple[Part, ...]) -> list[float]:
        """Return how high each part of the sheet is, with the rows that every page repeats."""
        above = self.height(*(int(row) for row in REPEATED.split(":")))
        return [self.height(first, last) + (above if first > 1 else 0) for first, last in parts]

    def scale(self, size: Size, parts: tuple[Part, ...]) -> float:
        """Return the largest scale, up to 1, at which every part of the sheet stands on a page of its own."""
        return min(1.0, size[0] / self.width, size[1] / max(self.heights(parts)))


def measured(page: Worksheet, columns: int, last: int) -> Measured:
    """Measure the first columns and rows of a sheet."""
    letters = map(get_column_letter, range(1, columns + 1))
    digits = sum(page.column_dimensions[letter].width for letter in letters)
    known = map(page.row_dimensions.get, range(1, last + 1))
    heights = (row.ht or look.ROW_HEIGHT if row else look.ROW_HEIGHT for row in known)
    return Measured(POINTS_A_PIXEL * PIXELS_A_DIGIT * digits, tuple(accumulate(heights, initial=0.0)))


def set_page(page: Worksheet, sheet: Sheet, laid: tuple[Laid, ...], widest: int, farm: str, paper: Paper) -> None:
    """Set a sheet's printed area, the way it lies, its pages, and what stands at their head and foot."""
    shown = laid[: sheet.printed]
    columns, last = max(widest, 2), max(each.last_row for each in shown)
    page.page_setup.paperSize = paper.number
    page.print_title_rows = REPEATED
    page.print_area = f"A1:{get_column_letter(columns)}{last}"
    page.HeaderFooter.oddHeader = HeaderFooterItem(right=_HeaderFooterPart(text=farm[:LONGEST_NAME].replace("&", "&&")))
    page.HeaderFooter.oddFooter = HeaderFooterItem(
        left=_HeaderFooterPart(text="podbook - &A"), right=_HeaderFooterPart(text="Page &P of &N")
    )
    found = measured(page, columns, last)
    if sheet.turns:
        turns = tuple(laid[block].title_row for block in sheet.turns)
        printed = max((_turned(found, paper, lies, last, turns) for lies in (False, True)), key=_scale_of)
    else:
        printed = _printed(found, paper, last, _begins(shown))
    if not printed.turns and printed.pages != 1:
        page.print_title_rows = _headings(found, shown)
    for turn in printed.turns:
        page.row_breaks.append(Break(id=turn - 1))
    page.page_setup.orientation = "landscape" if printed.lies else "portrait"
    page.page_setup.fitToWidth, page.page_setup.fitToHeight = 1, printed.pages
    page.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
    side = SIDE
    if printed.turns:  # programs fit the width alone then: the margins leave no more than the height has room for
        side = (paper.size(printed.lies)[0] - printed.scale * found.width) / 2
    left, top, bottom = (round(each / 72, MARGIN_DIGITS) for each in (side, TOP, BOTTOM))
    page.page_margins = PageMargins(left=left, right=left, top=top, bottom=bottom, header=0.3, footer=0.3)


def _scale_of(printed: Printed) -> float:
    return printed.scale


def _headings(found: Measured, shown: tuple[Laid, ...]) -> str:
    """Return the rows that every page repeats of a sheet that is broken anywhere: the headings of its highest table."""
    tables = [laid for laid in shown if isinstance(laid.block, Table) and laid.block.headed]
    if not tables:
        return REPEATED
    highest = max(tables, key=lambda laid: found.height(laid.first_row, laid.last_row))
    last = highest.heading_row if highest.block.across else highest.first_row - 1  # type: ignore[union-attr]  # a table
    return f"{highest.heading_row}:{last}"


def _begins(shown: tuple[Laid, ...]) -> list[int]:
    """Return the rows before which a page can be turned so that every block stays whole."""
    found, filled = [], shown[0].last_row
    for before, laid in pairwise(shown):
        if laid.title_row > filled and not answers(before, laid):
            found.append(laid.title_row)
        filled = max(filled, laid.last_row)
    return found


def _printed(found: Measured, paper: Paper, last: int, begins: list[int]) -> Printed:
    """Return how a sheet is printed best: on one page, or on two if it were too small on one."""
    ways = (False, True)
    one = max((_fitted(found, paper, lies, last, 1) for lies in ways), key=_scale_of)
    two = max((_fitted(found, paper, lies, last, 2) for lies in ways), key=_scale_of)
    if begins:
        turn = min(begins, key=lambda begin: max(found.heights(parts_of(last, (begin,)))))
        turned = max((_turned(found, paper, lies, last, (turn,)) for lies in ways), key=_scale_of)
        if turned.scale >= WHOLE * two.scale:
            two = turned
    if one.scale >= SMALL or two.scale <= LARGER * one.scale:
        return one
    if two.scale < LEAST:
        return max((_fitted(found, paper, lies, last, 0) for lies in ways), key=_scale_of)
    return two


def _fitted(found: Measured, paper: Paper, lies: bool, last: int, pages: int) -> Printed:
    """Return how a sheet is printed on so many pages, broken anywhere; on as many as it needs where that is 0."""
    width, height = paper.room(lies)
    room = height if pages == 1 else height * pages * SLACK if pages else float("inf")
    return Printed(lies, pages, found.scale((width, room), ((1, last),)))


def _turned(found: Measured, paper: Paper, lies: bool, last: int, turns: tuple[int, ...]) -> Printed:
    """Return how a sheet is printed whose pages are turned before some rows."""
    width, height = paper.room(lies)
    return Printed(lies, 0, found.scale((width, height * FULL), parts_of(last, turns)), turns)


def parts_of(last: int, turns: tuple[int, ...]) -> tuple[Part, ...]:
    """Return the rows that stand on each page, where pages are turned before some rows."""
    return tuple(zip((1, *turns), (*(turn - 1 for turn in turns), last), strict=True))
