"""How high rows are: as low as their letters allow, so that much of a sheet is in view and on a page."""

from __future__ import annotations

from openpyxl.worksheet.worksheet import Worksheet

from podbook.book import look
from podbook.book.layout import FIRST_BLOCK_ROW, Laid, answers
from podbook.book.model import Block, Picture, Single, Table
from podbook.book.node import Node


def set_heights(page: Worksheet, blocks: tuple[Laid, ...]) -> None:
    """Give all rows of a sheet their height that have none of their own."""
    page.sheet_format.defaultRowHeight, page.sheet_format.customHeight = look.ROW_HEIGHT, True
    above = FIRST_BLOCK_ROW - 1
    heights = {2: look.PURPOSE_HEIGHT, above: look.GAP_HEIGHT}
    for before, laid in zip((None, *blocks), blocks, strict=False):
        gap = look.GAP_HEIGHT / 2 if before and answers(before, laid) else look.GAP_HEIGHT
        heights.update(dict.fromkeys(range(above + 1, laid.title_row), gap))
        if not isinstance(laid.block, Picture):
            heights[laid.title_row] = look.BLOCK_HEIGHT
        rows = enumerate(_rows(laid.block), laid.first_row)
        heights.update((row, look.HEADLINE_HEIGHT) for row, node in rows if node.headline)
        above = max(above, laid.last_row)
    for row, height in heights.items():
        if page.row_dimensions[row].height is None:
            page.row_dimensions[row].height = height


def _rows(block: Block) -> tuple[Node, ...]:
    """Return the nodes of a block that has one in each row."""
    if isinstance(block, Single):
        return block.rows
    return block.fields if isinstance(block, Table) and block.across else ()
