"""Build a workbook for every farm of a list: all of them are judged before the first is written."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor, as_completed
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any

from podbook import limits, own_files, recalc, regions
from podbook.book.layout import lay_out
from podbook.book.writer import write
from podbook.errors import BadInput, PodbookError, listed
from podbook.farm_book import Ordered, book_for
from podbook.inputs import clients
from podbook.inputs.cells import Table
from podbook.inputs.clients import Client
from podbook.inputs.farm import filled
from podbook.inputs.filled import Filled
from podbook.regions import Region
from podbook.review.amounts import amount
from podbook.review.before_building import in_file, slips_in
from podbook.review.entries import Slip
from podbook.sheets import book_of, figures_of
from podbook.sheets.season import months
from podbook.systems import SYSTEMS

Judge = Callable[[str, Callable[[], Any]], Any]
RESULTS = ("first_head_days", "first_saving", "first_status")
HEADINGS = ("farm", "workbook", "region", "units", "head-days of winter", "saved this winter", "status")


@dataclass(frozen=True)
class Built:
    """One workbook that was built."""

    name: str
    path: Path
    region: str
    units: str
    results: tuple[str, ...]
    """Key results as the workbook works them out, in words; see ``RESULTS``."""

    def row(self) -> tuple[str, ...]:
        """Return it as a row of a table; see ``HEADINGS``."""
        return (self.name, str(self.path), self.region, self.units, *self.results)


def ordered(
    path: Path, folder: Path, region: str | None = None, units: str | None = None, *, replace: bool = False
) -> list[Ordered]:
    """Return what a list of farms asks for, or raise BadInput with a complaint for everything that can't be built.

    ``region`` and ``units`` are those of the rows that don't say.
    """
    usual = regions.know(region or regions.HOME).name
    asked = book_of(regions.load(usual), Filled("", ()))
    table, rows = clients.read(path, [entry.name for _, entry in figures_of(asked.sheets)])
    rows = [dataclasses.replace(row, region=row.region or usual, units=row.units or units or "") for row in rows]
    found = [_ordered(table, row, folder, replace) for row in rows]
    table.settle()
    return [each for each in found if each is not None]


def _ordered(table: Table, client: Client, folder: Path, replaced: bool) -> Ordered | None:
    """Return one row's order; complain of all that can't be built, as far as one fault does not hide another."""
    judged = partial(_judged, table, client)
    place = judged("region", lambda: regions.know(client.region))
    station = judged("station", lambda: regions.station(client.station).id) if client.station else ""
    if client.units and client.units not in SYSTEMS:
        table.complain(client.line, "units", f"'{client.units}'", listed(SYSTEMS))
        place = None
    path = folder / client.file
    if path.exists() and not replaced:
        table.complain(client.line, "file", f"{path}, which is there already", "another, or --replace")
    here = place or regions.load(regions.HOME)
    units = client.units if client.units in SYSTEMS else here.units
    given = _given(judged, client, place, units)
    own = Filled(client.name, (), units=units) if given is None else given
    if client.figures and own.units != units:
        words = f"figures in {units} units and those of {client.inputs} in {own.units}"
        table.complain(client.line, clients.NAME, words, "one system of units: use one in both")
        return None
    figures = {**own.figures, **client.figures}
    order = Ordered(here.name, units, dataclasses.replace(own, title=client.name, figures=figures), path, station or "")
    for slip in judged("", lambda: slips_in(book_for(order))) or ():
        column, where = _column(client, slip)
        allowed = f"{slip.allowed}{f'. {slip.hint}' if slip.hint else ''}"
        found = f"{where}found {slip.found}; allowed: {allowed}"
        table.complain(client.line, column, *((found, "") if where else (slip.found, allowed)))
    return order


def _judged(table: Table, client: Client, column: str, work: Callable[[], Any]) -> Any:
    """Return what comes of work on what stands in a column; None, after complaining, if it can't be used."""
    named = {str(getattr(client, each)): each for each in clients.FILES}
    try:
        return work()
    except BadInput as problem:
        for each in problem.complaints:
            said = dataclasses.replace(each, file=Path(each.file).name)
            table.complain(client.line, named.get(each.file, column), str(said), "")
    except PodbookError as problem:
        table.complain(client.line, column, str(problem), "")
    return None


def _given(judged: Judge, client: Client, place: Region | None, units: str) -> Filled | None:
    """Return what a row's own files say; None if they can't be used. Each that is lacking is told of."""
    paths = {each: path for each in clients.FILES if (path := getattr(client, each)) is not None}
    texts = [judged(each, partial(own_files.text, path, clients.KINDS[each])) for each, path in paths.items()]
    if None in texts:
        return None
    if client.inputs is None:
        return Filled(client.name, (), units=units)
    names = [month.name for month in months(place or regions.load(regions.HOME))]
    log = client.log if place else None
    found: Filled | None = judged("inputs", lambda: filled(client.inputs, client.trees, client.lab, log, names, units))
    return found


def _column(client: Client, slip: Slip) -> tuple[str, str]:
    """Return the column in which a figure that can't be used stands, and where in the file that is named there."""
    place = in_file(slip)
    name = place.removeprefix("figures.")
    if name in client.figures:
        return name, ""
    column = {"tally": "trees", "lab": "lab", "log": "log"}.get(slip.key.partition(".")[0], "inputs")
    return column, f"{getattr(client, column).name}, {place}: "


def build(orders: Sequence[Ordered], tell: Callable[[int], None], *, replace: bool = False) -> list[Built]:
    """Build the workbooks, as many at once as there are cores; ``tell`` is called with the number that are done.

    Returns them in the order of the list. Raises PodbookError or OSError where one can't be written; those that are
    written are whole.
    """
    done: dict[Path, Built] = {}
    with ProcessPoolExecutor(max_workers=min(len(orders), limits.cores())) as pool:
        waiting = [pool.submit(_build, order, replace) for order in orders]
        try:
            for each in as_completed(waiting):
                done[each.result().path] = each.result()
                tell(len(done))
        except BrokenProcessPool:
            missing = ", ".join(str(order.path) for order in orders if order.path not in done)
            raise PodbookError(f"building was stopped from outside; not built: {missing}") from None
        finally:
            pool.shutdown(cancel_futures=True)
    return [done[order.path] for order in orders]


def _build(order: Ordered, replaced: bool) -> Built:
    book = book_for(order)
    write(book, order.path, replace=replaced)
    places = lay_out(book).places
    wanted: dict[str, list[str]] = {}
    for key in RESULTS:
        wanted.setdefault(places[key].sheet, []).append(places[key].cells[0])
    values = recalc.values(order.path, recalc.DEFAULT, wanted)
    results = (amount(book.nodes[key], values[(places[key].sheet, places[key].cells[0])]) for key in RESULTS)
    return Built(order.filled.title, order.path, order.region, book.units, tuple(results))
