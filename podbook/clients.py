"""Build a workbook for every farm of a list: all of them are judged before the first is written."""

from __future__ import annotations

import dataclasses
import os
from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor, as_completed
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass
from pathlib import Path

from podbook import recalc, regions
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
from podbook.review.entries import in_file, slips_in
from podbook.sheets import book_of, figures_of
from podbook.sheets.season import months
from podbook.systems import SYSTEMS

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
    """Return one row's order; None, after complaining, if it can't be built."""
    column = "region"
    order = None
    try:
        place = regions.know(client.region)
        column = "station"
        station = regions.station(client.station).id if client.station else ""
        column = "units"
        if client.units and client.units not in SYSTEMS:
            table.complain(client.line, column, f"'{client.units}'", listed(SYSTEMS))
            return None
        column = clients.NAME
        order = _order(client, place, station, folder)
        if order.path.exists() and not replaced:
            table.complain(client.line, "file", f"{order.path}, which is there already", "another, or --replace")
        for slip in slips_in(book_for(order)):
            name, hint = in_file(slip).removeprefix("figures."), f". {slip.hint}" if slip.hint else ""
            table.complain(client.line, name, slip.found, f"{slip.allowed}{hint}")
    except BadInput as problem:
        for each in problem.complaints:
            where = ", ".join(filter(None, (f"line {each.line}" if each.line else "", each.column)))
            found_in = ": ".join(filter(None, (Path(each.file).name, where)))
            table.complain(client.line, found_in, each.found, each.allowed)
    except PodbookError as problem:
        table.complain(client.line, column, str(problem), "")
    return order


def _order(client: Client, place: Region, station: str, folder: Path) -> Ordered:
    units = client.units or place.units
    given = Filled(client.name, (), units=units)
    if client.inputs is not None:
        names = [month.name for month in months(place)]
        given = filled(client.inputs, client.trees, client.lab, client.log, names, units)
    if client.figures and given.units != units:
        raise PodbookError(f"its figures are in {units} units and those of {client.inputs} in {given.units}; use one")
    given = dataclasses.replace(given, title=client.name, figures={**given.figures, **client.figures})
    return Ordered(place.name, units, given, folder / client.file, station)


def build(orders: Sequence[Ordered], tell: Callable[[int], None], *, replace: bool = False) -> list[Built]:
    """Build the workbooks, as many at once as there are cores; ``tell`` is called with the number that are done.

    Returns them in the order of the list. Raises PodbookError or OSError where one can't be written; those that are
    written are whole.
    """
    done: dict[Path, Built] = {}
    with ProcessPoolExecutor(max_workers=min(len(orders), os.cpu_count() or 1)) as pool:
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
