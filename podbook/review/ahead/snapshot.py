"""The outlook as a sheet of the workbook: a snapshot, stamped with a fingerprint of what was filled in."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

import numpy as np

from podbook import files, recalc
from podbook.book import look, package
from podbook.book.model import FIGURE_WIDTH, LABEL_WIDTH
from podbook.errors import EngineFailed, PodbookError
from podbook.review import bounded
from podbook.review.ahead.drawings import lost, told
from podbook.review.ahead.outlook import NPV, RESULTS, Outlook
from podbook.review.ahead.stamp import AREA, INPUTS, NUMBERS, fingerprint, stamp_of
from podbook.review.find import loaded, opened

if TYPE_CHECKING:
    from openpyxl import Workbook
    from openpyxl.worksheet.worksheet import Worksheet

SHEET = "Outlook"
BINS = 24
CHART_ROWS = 19
CAUTION = (
    "A snapshot: it does not move when the book changes. 'podbook verify' says when it is stale.",
    "The ranges are yours, and no promise: what is not in them is not in here. Frost counts as an expected loss.",
)


def write(result: Outlook, into: Path, *, replace: bool = False) -> Mapping[str, Counter[str]]:
    """Write a copy of the workbook with the outlook as a sheet of its own; the workbook itself stays as it is.

    Returns what is drawn on the workbook's sheets and could not be carried over.
    Raises PodbookError if the copy may not be written, or a sheet of that name is there that podbook did not make; and
    if it is to take the workbook's own place and something would be lost.
    """
    source = Path(result.path)
    files.refuse(into, ".xlsx", replace=replace)
    inputs = fingerprint(opened(source))
    with files.drafted(into) as draft:
        missing, refusal = bounded.one(source, partial(_copied, result, inputs, into, draft))
        if refusal:
            raise PodbookError(refusal)
        try:
            bounded.one(draft, recalc.fill)
        except EngineFailed as problem:
            raise EngineFailed(str(problem).replace(str(draft), str(into)).replace(draft.name, str(into))) from None
    return cast("Mapping[str, Counter[str]]", missing)


def _copied(result: Outlook, inputs: str, into: Path, draft: Path, source: Path) -> tuple[Any, str]:
    """Write the draft of the copy; return what is lost in it, and why there is no copy, if there is none."""
    workbook = loaded(source)
    missing = lost(source, workbook)
    if missing and into.exists() and into.samefile(source):
        problem = f"{into}: would lose {told(missing)}, which can't be copied; nothing was written. Name another file"
        return missing, problem
    if SHEET in workbook.sheetnames:
        if INPUTS not in workbook.defined_names:
            return missing, (
                f"{source}: has a sheet '{SHEET}' that podbook did not make; rename it, nothing was written"
            )
        workbook.remove(workbook[SHEET])
    _fill(workbook, workbook.create_sheet(SHEET), result, inputs)
    workbook.save(draft)
    package.tell_charts(draft)
    return missing, ""


def _fill(workbook: Workbook, page: Worksheet, result: Outlook, inputs: str) -> None:
    from openpyxl.workbook.defined_name import DefinedName
    from openpyxl.worksheet.properties import PageSetupProperties

    page.sheet_view.showGridLines = False
    page.column_dimensions["A"].width = LABEL_WIDTH
    for letter in "BCDEFGH":
        page.column_dimensions[letter].width = FIGURE_WIDTH
    page.row_dimensions[1].height = look.TITLE_HEIGHT
    _put(page, 1, [SHEET], look.TITLE)
    _put(page, 2, ["What could go differently: one range at a time, and all at once in many draws."], look.PURPOSE)
    for row, line in enumerate(CAUTION, 3):
        _put(page, row, [line], look.SLANTED)
    tornado = _bands(page, 6, result) + 1
    swings = tornado + CHART_ROWS + 1
    histogram = _swings(page, swings, result) + 1
    printed = histogram + CHART_ROWS
    bars = printed + 2
    last = _histogram(page, bars, result)
    _put(page, last + 1, ["Fingerprint of what was filled in", inputs], look.SLANTED)
    rows = [[cell.value for cell in line] for line in page.iter_rows(min_row=1, max_row=last, max_col=8)]
    _put(page, last + 2, ["Fingerprint of this sheet", stamp_of(rows)], look.SLANTED)
    for name, span in ((INPUTS, f"$B${last + 1}"), (NUMBERS, f"$B${last + 2}"), (AREA, f"$A$1:$H${last}")):
        workbook.defined_names[name] = DefinedName(name, attr_text=f"{SHEET}!{span}")
    _charts(
        page,
        result.money,
        tornado,
        (swings + 2, swings + 1 + len(result.swings)),
        histogram,
        (bars + 2, bars + 1 + BINS),
    )
    page.page_setup.orientation, page.page_setup.fitToWidth, page.page_setup.fitToHeight = "portrait", 1, 1
    page.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
    page.print_area = f"A1:H{printed}"


def _put(page: Worksheet, row: int, words: list[Any], font: Any, looks: Mapping[int, str] | None = None) -> None:
    for column, word in enumerate(words, 1):
        cell = page.cell(row, column, word)
        cell.font = font
        cell.alignment = look.RIGHT if not isinstance(word, str) else look.LEFT if column == 1 else look.CENTRED
        cell.number_format = (looks or {}).get(column, "General" if isinstance(word, str) else "#,##0.00")


def _bands(page: Worksheet, row: int, result: Outlook) -> int:
    _put(page, row, [f"{result.count:,} draws, seed {result.seed}, usual case"], look.BLOCK)
    _put(page, row + 1, ["", "As planned", "10 of 100 below", "Median", "10 of 100 above", "Unit"], look.HEADING)
    for step, (name, unit) in enumerate(zip(RESULTS, (result.money, result.money, "years"), strict=True), row + 2):
        look_of = "0.0" if unit == "years" else "#,##0"
        _put(
            page,
            step,
            [name.capitalize(), *(_in_years(each, unit) for each in (result.likely[name], *result.band(name))), unit],
            look.PLAIN,
            dict.fromkeys(range(2, 6), look_of),
        )
    row += 2 + len(RESULTS)
    _put(page, row, ["Share of draws in which it pays at your own rate", result.paying], look.HEADING, {2: "0.0%"})
    _put(page, row + 1, ["Share of draws that are paid back in 40 years", result.paid_back], look.PLAIN, {2: "0.0%"})
    for step, one in enumerate(result.kin, row + 2):
        _put(
            page,
            step,
            [f"{one.name}: trees alike by {one.alike:g}; the stand varies by", one.spread],
            look.PLAIN,
            {2: "0.0%"},
        )
    return row + 2 + len(result.kin)


def _in_years(figure: float, unit: str) -> float | str:
    """Return a figure as it is shown: what is never paid back is 0 years in the book."""
    return "never" if unit == "years" and not figure else figure


def _swings(page: Worksheet, row: int, result: Outlook) -> int:
    _put(page, row, ["One at a time: net present value, against the plan"], look.BLOCK)
    _put(
        page,
        row + 1,
        [
            "Range",
            "Lowest",
            "Likely",
            "Highest",
            f"NPV at lowest, {result.money}",
            f"NPV at highest, {result.money}",
            "At lowest: change",
            "At highest: change",
        ],
        look.HEADING,
    )
    page.row_dimensions[row + 1].height = 30
    for step, each in enumerate(result.swings, row + 2):
        quantity, planned = each.quantity, result.likely[NPV]
        numbers = [
            quantity.low,
            quantity.likely,
            quantity.high,
            each.low[NPV],
            each.high[NPV],
            each.low[NPV] - planned,
            each.high[NPV] - planned,
        ]
        _put(
            page,
            step,
            [quantity.label, *numbers],
            look.PLAIN,
            {2: "0.00#", 3: "0.00#", 4: "0.00#", **dict.fromkeys(range(5, 9), "#,##0")},
        )
    return row + 2 + len(result.swings)


def _histogram(page: Worksheet, row: int, result: Outlook) -> int:
    _put(page, row, ["How the draws fall: net present value"], look.BLOCK)
    _put(page, row + 1, [f"From about, {result.money}", "Draws"], look.HEADING)
    counts, edges = np.histogram(result.draws[NPV], BINS)
    for step, (count, edge) in enumerate(zip(counts, edges, strict=False), row + 2):
        _put(page, step, [float(np.round(edge)), int(count)], look.PLAIN, {1: "#,##0", 2: "#,##0"})
    return row + 1 + BINS


def _charts(
    page: Worksheet, money: str, tornado_at: int, swings: tuple[int, int], histogram_at: int, bars: tuple[int, int]
) -> None:
    from openpyxl.chart import BarChart, Reference, Series
    from openpyxl.chart.data_source import AxDataSource, StrRef

    from podbook.book import charts

    tornado, histogram = charts.lying_bars(overlap=100), BarChart(barDir="col", gapWidth=5)
    named = str(Reference(page, min_col=1, min_row=swings[0], max_row=swings[1]))
    for number, (column, words) in enumerate(((7, "at the lowest"), (8, "at the highest"))):
        series = Series(Reference(page, min_col=column, min_row=swings[0], max_row=swings[1]), title=words)
        series.cat = AxDataSource(strRef=StrRef(f=named))
        charts.fill(series, number)
        tornado.series.append(series)
    histogram.append(Series(Reference(page, min_col=2, min_row=bars[0], max_row=bars[1]), title="draws"))
    charts.fill(histogram.series[0], 1)
    histogram.set_categories(Reference(page, min_col=1, min_row=bars[0], max_row=bars[1]))
    up, worth = f"Net present value against the plan, {money}", f"Net present value, {money}"
    charts.dress(tornado, "What moves the result most: one range at a time", "Range", up)
    charts.dress(histogram, "How the draws fall", worth, "Draws")
    histogram.x_axis.number_format, histogram.x_axis.axPos = "#,##0", "b"
    for chart, row in ((tornado, tornado_at), (histogram, histogram_at)):
        charts.put(page, chart, row, (1, 8), CHART_ROWS - 1)
