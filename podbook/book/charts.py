"""The charts of the workbook: native ones, that any spreadsheet program shows and prints."""

from __future__ import annotations

from openpyxl.chart import BarChart, LineChart, Reference, Series
from openpyxl.chart.legend import Legend
from openpyxl.worksheet.worksheet import Worksheet

from podbook.book import look
from podbook.book.formula import sheet_prefix
from podbook.book.layout import Layout
from podbook.book.model import Picture

WIDTH, HEIGHT = 22.0, 7.6
"""Size in centimetres: as wide as eight columns, as tall as the rows that the layout keeps free."""


def add(page: Worksheet, picture: Picture, row: int, layout: Layout) -> None:
    """Put a chart on a sheet, its upper left corner in column A of a row."""
    chart: LineChart | BarChart
    if picture.kind == "line":
        chart = LineChart()
    else:
        stacked = picture.kind == "stacked"
        chart = BarChart(grouping="stacked" if stacked else "clustered", overlap=100 if stacked else None)
    chart.title = None
    chart.width, chart.height = WIDTH, HEIGHT  # type: ignore[assignment]  # centimetres, which the stubs take as whole
    chart.x_axis.title, chart.y_axis.title = picture.along, picture.up
    chart.x_axis.delete = chart.y_axis.delete = False
    chart.legend = Legend()
    chart.legend.position = "b"
    for number, (key, words) in enumerate(picture.series):
        series = Series(_range(key, layout), title=words)
        shade = look.SHADES[number % len(look.SHADES)]
        if picture.kind == "line":
            series.graphicalProperties.line.solidFill = shade
            series.graphicalProperties.line.width = 28000
            series.smooth = False
        else:
            series.graphicalProperties.solidFill = shade
            series.graphicalProperties.line.solidFill = look.INK
        chart.series.append(series)
    chart.set_categories(_range(picture.categories, layout))
    page.add_chart(chart, f"A{row}")


def _range(key: str, layout: Layout) -> Reference:
    place = layout.places[key]
    return Reference(range_string=f"{sheet_prefix(place.sheet)}{place.cells[0]}:{place.cells[-1]}")
