"""The charts of the workbook: native ones, that any spreadsheet program prints."""

from __future__ import annotations

from openpyxl.worksheet.worksheet import Worksheet

from podbook.book.layout import Layout


def add(sheet: str, page: Worksheet, layout: Layout) -> None:
    """Add the charts that belong on a sheet."""
