"""The charts of the workbook: native ones, that any spreadsheet program shows and prints, also in black and white.

Each has its title, the titles of both axes with their unit, and series that differ by dash or by hatching, not by
colour alone. `package.py` reads from them the words that stand for them where they can't be seen.
"""

from __future__ import annotations

from openpyxl.chart import BarChart, Reference, ScatterChart, Series
from openpyxl.chart.axis import ChartLines
from openpyxl.chart.data_source import AxDataSource, StrRef
from openpyxl.chart.label import DataLabelList
from openpyxl.chart.legend import Legend
from openpyxl.chart.marker import Marker
from openpyxl.chart.series import Series as Drawn
from openpyxl.chart.shapes import GraphicalProperties
from openpyxl.chart.text import RichText, Text
from openpyxl.chart.title import Title
from openpyxl.drawing.colors import ColorChoice
from openpyxl.drawing.fill import PatternFillProperties
from openpyxl.drawing.line import LineProperties
from openpyxl.drawing.spreadsheet_drawing import AnchorMarker, TwoCellAnchor
from openpyxl.drawing.text import CharacterProperties, Paragraph, ParagraphProperties, RegularTextRun
from openpyxl.drawing.text import Font as Face
from openpyxl.worksheet.worksheet import Worksheet

from podbook.book import look
from podbook.book.formula import sheet_prefix
from podbook.book.layout import PICTURE_ROWS, Layout
from podbook.book.model import Picture

Chart = ScatterChart | BarChart
TITLE, AXIS, LABEL = 12, 10, 9
"""Sizes of type, in points."""
THICK, THIN = 28000, 9525
"""Widths of lines, in the units of drawings (12,700 to a point)."""
GAP = 72000
"""Room left of a chart that stands beside another, in the same units."""
WHOLE, SHORT = "#,##0;-#,##0;", '[=0]"";[<100]0.0;#,##0'
"""Formats of the figures at bars; none stands where there is no bar."""
NOTHING = ";;;"
"""A format that shows no figure at all."""


def add(page: Worksheet, picture: Picture, row: int, layout: Layout) -> None:
    """Put a chart on a sheet: over its columns, its title in the row given and as many rows below as are kept free."""
    chart: Chart
    along = _range(picture.categories, layout)
    if picture.kind == "line":
        chart = ScatterChart(scatterStyle="lineMarker")
        chart.x_axis.majorGridlines = None
        chart.x_axis.scaling.min, chart.x_axis.scaling.max = 0, picture.end
    elif picture.kind == "lying":
        chart = lying_bars()
    else:
        stacked = picture.kind == "stacked"
        chart = BarChart(grouping="stacked" if stacked else "clustered", overlap=100 if stacked else None, gapWidth=60)
    if picture.kind != "lying":
        chart.x_axis.axPos = "b"
    for number, (key, words) in enumerate(picture.series):
        series = Series(_range(key, layout), along if picture.kind == "line" else None, title=words)
        (stroke if picture.kind == "line" else fill)(series, number)
        if len(picture.series) == 1 and picture.kind != "line":
            series.dLbls = _figures(SHORT if picture.kind == "lying" else WHOLE)
        chart.series.append(series)
        if isinstance(chart, BarChart):
            series.cat = AxDataSource(strRef=StrRef(f=str(along)))
    dress(chart, picture.title, picture.along, picture.up)
    if picture.kind == "lying":  # the figures stand at the bars
        chart.y_axis.number_format, chart.y_axis.majorGridlines = NOTHING, None
    put(page, chart, row, picture.columns)


def put(page: Worksheet, chart: Chart, row: int, columns: tuple[int, int], rows: int = PICTURE_ROWS + 1) -> None:
    """Anchor a chart to cells, so that it covers no others however wide a program draws its columns."""
    first, last = columns
    anchor = TwoCellAnchor(
        editAs="twoCell",
        _from=AnchorMarker(col=first - 1, colOff=GAP if first > 1 else 0, row=row - 1),
        to=AnchorMarker(col=last, row=row - 1 + rows),
    )
    chart.anchor = anchor  # type: ignore[assignment]  # the stubs know the name of a cell only
    page.add_chart(chart)


def lying_bars(overlap: int | None = None) -> BarChart:
    """Return a chart of bars that lie one above the other, the first on top."""
    chart = BarChart(barDir="bar", gapWidth=40, overlap=overlap)
    chart.x_axis.scaling.orientation = "maxMin"
    chart.x_axis.axPos, chart.y_axis.axPos = "l", "b"
    chart.y_axis.crosses = "max"
    return chart


def dress(chart: Chart, title: str, along: str, up: str) -> None:
    """Give a chart its titles, its axes and its legend."""
    chart.title = _title(title, TITLE, look.LEAF)
    chart.x_axis.title, chart.y_axis.title = (_title(words, AXIS, look.INK) for words in (along, up))
    chart.roundedCorners = False
    chart.graphical_properties = GraphicalProperties(
        solidFill=look.PAPER, ln=LineProperties(solidFill=look.RULE, w=THIN)
    )
    for axis in (chart.x_axis, chart.y_axis):
        axis.delete = False
        axis.txPr = _type(AXIS)
        axis.spPr = GraphicalProperties(ln=LineProperties(solidFill=look.QUIET, w=THIN))
    chart.x_axis.tickLblPos = "low"
    chart.y_axis.number_format = "#,##0"
    chart.y_axis.majorGridlines = ChartLines(spPr=GraphicalProperties(ln=LineProperties(solidFill=look.GRID, w=THIN)))
    chart.legend = Legend() if len(chart.series) > 1 else None
    if chart.legend is not None:
        chart.legend.position = "b"
        chart.legend.txPr = _type(AXIS)


def stroke(series: Drawn, number: int) -> None:
    """Draw a series as a line of its own dash."""
    shade, dash = look.STROKES[number % len(look.STROKES)]
    series.graphicalProperties = GraphicalProperties(ln=LineProperties(solidFill=shade, prstDash=dash, w=THICK))
    series.smooth = False
    series.marker = Marker(symbol="none")


def fill(series: Drawn, number: int) -> None:
    """Draw a series as bars of its own shade and hatching, each with an outline that stands out from the paper."""
    shade, hatching = look.FILLS[number % len(look.FILLS)]
    outline = LineProperties(solidFill=look.INK, w=THIN)
    if hatching:
        ink, ground = (ColorChoice(srgbClr=each) for each in (look.INK, shade))  # type: ignore[arg-type]  # it takes a colour's name
        hatched = PatternFillProperties(prst=hatching, fgClr=ink, bgClr=ground)
        series.graphicalProperties = GraphicalProperties(pattFill=hatched, ln=outline)
    else:
        series.graphicalProperties = GraphicalProperties(solidFill=shade, ln=outline)


def _figures(form: str) -> DataLabelList:
    """Return labels that say the figure of each bar."""
    return DataLabelList(
        numFmt=form, txPr=_type(LABEL), dLblPos="outEnd", showVal=True, showSerName=False, showCatName=False,
        showLegendKey=False, showPercent=False,
    )  # fmt: skip


def _title(words: str, size: int, ink: str) -> Title:
    letters = _letters(size, ink, bold=True)
    paragraph = Paragraph(pPr=ParagraphProperties(defRPr=letters), r=[RegularTextRun(rPr=letters, t=words)])
    return Title(tx=Text(rich=RichText(p=[paragraph])), overlay=False)


def _type(size: int) -> RichText:
    letters = _letters(size, look.INK)
    return RichText(p=[Paragraph(pPr=ParagraphProperties(defRPr=letters), endParaRPr=letters)])


def _letters(size: int, ink: str, *, bold: bool = False) -> CharacterProperties:
    return CharacterProperties(sz=100 * size, b=bold, solidFill=ink, latin=Face(typeface=look.FACE))


def _range(key: str, layout: Layout) -> Reference:
    """Return the cells of a node; of a table, the headings over its items."""
    if key in layout.places:
        place = layout.places[key]
        return Reference(range_string=f"{sheet_prefix(place.sheet)}{place.cells[0]}:{place.cells[-1]}")
    return Reference(range_string=layout.headings(key))
