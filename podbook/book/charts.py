"""The charts of the workbook: native ones, that any spreadsheet program shows and prints."""

from __future__ import annotations

from openpyxl.chart import BarChart, Reference, ScatterChart, Series
from openpyxl.chart.axis import ChartLines
from openpyxl.chart.legend import Legend
from openpyxl.chart.shapes import GraphicalProperties
from openpyxl.drawing.line import LineProperties
from openpyxl.worksheet.worksheet import Worksheet

from podbook.book import look
from podbook.book.formula import sheet_prefix
from podbook.book.layout import Layout
from podbook.book.model import Picture

WIDTH, HEIGHT = 22.0, 7.2
"""Size in centimetres: as wide as eight columns, as tall as the rows that the layout keeps free."""


def add(page: Worksheet, picture: Picture, row: int, layout: Layout) -> None:
    """Put a chart on a sheet, its upper left corner in column A of a row."""
    chart: ScatterChart | BarChart
    along = _range(picture.categories, layout)
    if picture.kind == "line":
        chart = ScatterChart(scatterStyle="lineMarker")
        chart.x_axis.majorGridlines = None
        chart.x_axis.scaling.min, chart.x_axis.scaling.max = 0, picture.end
    else:
        stacked = picture.kind == "stacked"
        chart = BarChart(grouping="stacked" if stacked else "clustered", overlap=100 if stacked else None)
    chart.title = None
    chart.width, chart.height = WIDTH, HEIGHT  # type: ignore[assignment]  # centimetres, which the stubs take as whole
    chart.x_axis.title, chart.y_axis.title = picture.along, picture.up
    chart.x_axis.delete = chart.y_axis.delete = False
    chart.x_axis.tickLblPos = "low"
    chart.y_axis.number_format = "#,##0"
    chart.y_axis.majorGridlines = ChartLines(spPr=GraphicalProperties(ln=LineProperties(solidFill=look.GRID)))
    chart.legend = Legend() if len(picture.series) > 1 else None
    if chart.legend is not None:
        chart.legend.position = "b"
    for number, (key, words) in enumerate(picture.series):
        series = Series(_range(key, layout), along if picture.kind == "line" else None, title=words)
        if picture.kind == "line":
            shade, dash = look.STROKES[number % len(look.STROKES)]
            series.graphicalProperties.line.solidFill = shade
            series.graphicalProperties.line.dashStyle = dash
            series.graphicalProperties.line.width = 28000
            series.smooth = False
            series.marker.symbol = "none"
        else:
            series.graphicalProperties.solidFill = look.SHADES[number % len(look.SHADES)]
            series.graphicalProperties.line.solidFill = look.INK
        chart.series.append(series)
    if isinstance(chart, BarChart):
        chart.set_categories(along)
    page.add_chart(chart, f"A{row}")


def _range(key: str, layout: Layout) -> Reference:
    place = layout.places[key]
    return Reference(range_string=f"{sheet_prefix(place.sheet)}{place.cells[0]}:{place.cells[-1]}")
