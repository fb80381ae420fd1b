"""Workbooks that come back from users, edited by real office programs: what was done is found, and nothing else."""

from __future__ import annotations

import os
import re
import shutil
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import cases_changed
import cases_entered
import cases_lines
import cases_moved
import office
import pytest
from office import Job, step, unprotect
from openpyxl import Workbook, load_workbook
from returned import BOOK, Expected, Returned, at, make

from podbook.book.writer import write
from podbook.proof.agreement import differs
from podbook.review.findings import Finding
from podbook.review.verify import verify

WORKBOOKS = (
    *cases_moved.WORKBOOKS,
    *cases_lines.WORKBOOKS,
    *cases_changed.WORKBOOKS,
    *cases_entered.WORKBOOKS,
)
AT_A_START = 4
"""How many workbooks one start of LibreOffice makes: few, so that two workers can make and judge at once."""
BATCHES = [WORKBOOKS[first : first + AT_A_START] for first in range(0, len(WORKBOOKS), AT_A_START)]

Made = Callable[[Returned], Path]


def need(program: str) -> None:
    if shutil.which(program) is None:
        if os.environ.get("PODBOOK_ALL_WITNESSES") != "1":
            pytest.skip(f"{program} is not installed")
        pytest.fail(f"{program} is not installed")


@contextmanager
def alone(lock: Path) -> Iterator[None]:
    """Hold a lock that is a folder, so that two workers do not do the same work."""
    while True:
        try:
            lock.mkdir()
            break
        except FileExistsError:
            time.sleep(0.1)
    try:
        yield
    finally:
        lock.rmdir()


@pytest.fixture(scope="session")
def room(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder that all workers share."""
    base = tmp_path_factory.getbasetemp()
    room = (base.parent if "PYTEST_XDIST_WORKER" in os.environ else base) / "returned"
    room.mkdir(exist_ok=True)
    return room


@pytest.fixture(scope="session")
def demo(room: Path) -> Path:
    """The workbook as it is sent out."""
    path = room / "demo.xlsx"
    with alone(room / "demo.lock"):
        if not path.exists():
            write(BOOK, path)
    return path


@pytest.fixture(scope="session")
def made(room: Path, demo: Path) -> Made:
    """Return the path of a workbook that came back; those of its batch are made with it, once."""

    def path(book: Returned) -> Path:
        for program in sorted(book.programs):
            need(program)
        number, batch = next((number, batch) for number, batch in enumerate(BATCHES) if book in batch)
        there = [each for each in batch if all(map(shutil.which, each.programs))]
        with alone(room / f"{number}.lock"):
            if not (room / str(number)).exists():
                making = room / f"{number}.making"
                shutil.rmtree(making, ignore_errors=True)
                make(there, demo, making)
                making.rename(room / str(number))
        return room / str(number) / f"{book.name}.xlsx"

    return path


def fits(expected: Expected, found: Finding) -> bool:
    """Return whether a finding is what was expected."""
    told = " ".join((found.what, found.stands, found.should, found.effect, found.advice))
    where = not expected.address or found.address.partition(":")[0] == expected.address
    same = (found.key, found.item, found.counts) == (expected.key, expected.item, expected.counts)
    return same and where and expected.words in told


@pytest.mark.parametrize("book", WORKBOOKS, ids=lambda book: book.name)
def test_what_was_done_is_found_and_nothing_else(book: Returned, made: Made) -> None:
    verdict = verify(made(book), ("formualizer",))
    expected = [(case.did, each) for case in book.cases for each in case.expects]
    with_it = tuple(key for case in book.cases for key in case.with_it)
    missed = [(did, each) for did, each in expected if not any(fits(each, found) for found in verdict.findings)]
    spare = [
        found
        for found in verdict.findings
        if not any(fits(each, found) for _, each in expected) and not (with_it and found.key.startswith(with_it))
    ]
    assert (missed, spare) == ([], [])
    assert verdict.agrees == (not any(each.counts for _, each in expected))


def test_what_only_follows_is_told_with_its_cause(made: Made) -> None:
    """LibreOffice calculated what hangs on the cell that was overwritten: those values, and no others, are new."""
    before, after = (
        load_workbook(made(book), data_only=True) for book in (cases_moved.WORKBOOKS[0], cases_changed.ONE)
    )
    moved = {
        f"{sheet.title}!{cell.coordinate}"
        for sheet in before.worksheets
        for line in sheet.iter_rows()
        for cell in line
        if differs(cell.value, after[sheet.title][cell.coordinate].value) is None
    }
    (found,) = verify(made(cases_changed.ONE), ("formualizer",)).findings
    assert found.address == "!".join(at("hay_bought_without"))
    assert len(moved) > 20
    assert {found.address, *found.followers} == moved


@pytest.mark.parametrize("book", WORKBOOKS, ids=lambda book: book.name)
def test_no_case_spoils_another_in_its_workbook(book: Returned) -> None:
    assert book.crossing() == []


def test_a_step_that_can_not_be_done_is_an_error(tmp_path: Path) -> None:
    need("soffice")
    workbook = Workbook()
    workbook.active.title = "Mine"
    workbook.active.append([1, 2])
    workbook.active.protection.sheet = True
    workbook.save(tmp_path / "mine.xlsx")
    steps = (step("CopyCells", "Mine", "A1", "Mine", "B1"), step("DeleteRows", "Mine", 1, 1), *unprotect("Mien"))
    jobs = [Job(tmp_path / "mine.xlsx", [each], tmp_path / f"{each.procedure}.xlsx") for each in steps]
    with pytest.raises(RuntimeError) as told:
        office.libreoffice(jobs, tmp_path / "office")
    failed = re.findall(r"(\w+)\.xlsx: (\w+)", str(told.value))
    assert failed == [(each.procedure, each.procedure) for each in steps]
    assert not any(job.into.exists() for job in jobs)
