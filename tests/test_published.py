"""Every value of tests/published against the reference function that must reproduce it."""

from __future__ import annotations

import csv
from typing import Any

import pytest
from published_rows import FOLDER, PublishedRow, inputs_of, rows, run_chain

from podbook.sources import NO_DOCUMENT, bibliography

SLIPS = "slips.csv"
PUBLISHED = rows(*sorted({path.name for path in FOLDER.glob("*.csv")} - {SLIPS}))
BY_NAME = pytest.mark.parametrize("row", PUBLISHED, ids=str)


def slips() -> list[Any]:
    with (FOLDER / SLIPS).open(encoding="utf-8", newline="") as lines:
        return [pytest.param(slip, id=f"{slip['source']} {slip['printed_wrong']}") for slip in csv.DictReader(lines)]


def half_digit(printed: str) -> float:
    return 0.5 * 10.0 ** -len(printed.partition(".")[2])


@BY_NAME
def test_published_value_is_reproduced(row: PublishedRow) -> None:
    assert row.agrees(row.result()), f"{row.result()} is not {row.printed} within {row.tolerance}"


@BY_NAME
def test_row_says_where_its_value_stands(row: PublishedRow) -> None:
    assert row.source in bibliography().keys() - set(NO_DOCUMENT)
    assert row.place
    assert row.unit


def test_enough_values_were_read_in_their_source() -> None:
    assert sum(row.published for row in PUBLISHED) >= 60


def test_no_row_stands_twice() -> None:
    keys = [(row.function, str(row.inputs), row.printed, row.place) for row in PUBLISHED]
    assert len(keys) == len(set(keys))


@pytest.mark.parametrize("slip", slips())
def test_published_slip_is_not_reproduced(slip: dict[str, str]) -> None:
    found = run_chain(slip["function"], inputs_of(slip["inputs"])) * float(slip["scale"] or 1)
    assert found == pytest.approx(float(slip["right"]), rel=0, abs=half_digit(slip["right"]))
    assert abs(found - float(slip["printed_wrong"])) > half_digit(slip["printed_wrong"])
    assert slip["why"]
    assert slip["source"] in bibliography()
