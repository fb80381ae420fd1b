"""The published trees of Auburn and Virginia, from the files of the worked example to the cells of LibreOffice."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

import pytest
from published_rows import rows

from podbook import regions
from podbook.book.writer import write
from podbook.inputs import lab
from podbook.inputs.farm import filled
from podbook.recalc import DEFAULT, Cell, installed, values
from podbook.review.before_building import refuse_slips
from podbook.review.find import opened
from podbook.review.verify import verify
from podbook.sheets import book_of

EXAMPLE = Path(__file__).parents[1] / "worked_examples" / "auburn_and_virginia"
SHEETS = lab.read(EXAMPLE / "lab.csv")
MILLWOOD, CALHOUN, VIRGINIA = range(3)
AGE = 8
"""Years from planting at which the published stand is in full crop."""
KG_PER_LB = 0.45359237
AUBURN_ROW = next(row for row in rows() if row.source == "moore-1948" and row.function.startswith("trees.mean_crop"))
VIRGINIA_ROWS = [row for row in rows() if row.source == "johnson-2013" and "Millwood in Virginia" in row.place]
WANTED = ("by_type.mean", "lab.dry_matter", "lab.sugar_whole", "lab.share", "trees_per_area", "years.fed", "offer.dry",
          "offer.fed", "stand_age")  # fmt: skip


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    target = tmp_path_factory.mktemp("stand") / "auburn.xlsx"
    farm = filled(farm=EXAMPLE / "farm.toml", trees=EXAMPLE / "tally.csv", lab=EXAMPLE / "lab.csv")
    book = book_of(regions.load("us_midatl_appal"), farm)
    refuse_slips(book)
    write(book, target)
    return target


@pytest.fixture(scope="module")
def cell(path: Path) -> Callable[[str, int], float]:
    """What LibreOffice makes of an item of a node, counted from 0."""
    if "libreoffice" not in installed():
        if os.environ.get("PODBOOK_ALL_WITNESSES") != "1":
            pytest.skip("soffice is not installed")
        pytest.fail("the engine libreoffice is not installed")
    places = opened(path).places
    wanted: dict[str, list[str]] = {}
    for key in WANTED:
        wanted.setdefault(places[key].sheet, []).extend(places[key].cells)
    found: dict[tuple[str, str], Cell] = values(path, "libreoffice", wanted)

    def of(key: str, item: int = 0) -> float:
        value = found[places[key].sheet, places[key].cells[item]]
        assert isinstance(value, float), f"{key} holds {value!r}"
        return value

    return of


def test_millwood_at_auburn_bears_the_published_mean(cell: Callable[..., float]) -> None:
    as_picked = cell("by_type.mean", MILLWOOD) / cell("lab.dry_matter", MILLWOOD)
    assert as_picked == pytest.approx(AUBURN_ROW.inputs["crop"].mean())
    assert round(as_picked, 2) == 84.76


def test_millwood_at_auburn_bears_the_published_bushels_an_acre(cell: Callable[..., float]) -> None:
    assert cell("trees_per_area") == pytest.approx(AUBURN_ROW.inputs["trees_per_area"], rel=1e-4)
    assert cell("stand_age") == AGE
    as_picked = cell("years.fed", AGE - 1)
    assert round(as_picked) == 2967
    assert AUBURN_ROW.agrees(as_picked / AUBURN_ROW.inputs["b"])


def test_no_pod_of_the_published_acre_is_lost_on_the_way_to_stock(cell: Callable[..., float]) -> None:
    on_offer = sum(cell("offer.fed", item) for item in (MILLWOOD, CALHOUN, VIRGINIA))
    assert on_offer == pytest.approx(cell("years.fed", AGE - 1))


def test_only_millwood_stands_on_the_published_acre(cell: Callable[..., float]) -> None:
    assert cell("offer.dry", MILLWOOD) > 0
    assert [cell("offer.dry", item) for item in (CALHOUN, VIRGINIA)] == [0, 0]


def test_millwood_in_virginia_bears_the_published_mean(cell: Callable[..., float]) -> None:
    kilograms = [row.inputs["a"] for row in VIRGINIA_ROWS]
    assert len(kilograms) == 3
    found = cell("by_type.mean", VIRGINIA)
    assert round(found, 1) == 25.9
    assert round(found * KG_PER_LB, 1) == round(sum(kilograms) / 3, 1) == 11.8


@pytest.mark.parametrize("item", range(len(SHEETS)), ids=lambda item: SHEETS[item].kind)
def test_what_the_laboratory_printed_comes_out_on_the_dry_basis(cell: Callable[..., float], item: int) -> None:
    sheet = SHEETS[item]
    dry = 1 - sheet.moisture / 100 if sheet.as_fed else 1
    assert cell("lab.sugar_whole", item) == pytest.approx(sheet.first.sugar / dry)
    assert cell("lab.share", item) == sheet.seed_share


@pytest.mark.parametrize(("item", "published"), [(MILLWOOD, 36), (CALHOUN, 38)], ids=["Millwood", "Calhoun"])
def test_sugar_at_auburn_is_the_published_share_of_dry_matter(
    cell: Callable[..., float], item: int, published: float
) -> None:
    assert cell("lab.sugar_whole", item) == pytest.approx(published, abs=0.05)


def test_the_published_stand_agrees_cell_by_cell(path: Path) -> None:
    verdict = verify(path, [DEFAULT])
    assert verdict.slips == ()
    assert [each.disagreements for each in verdict.comparisons] == [()]
    assert verdict.agrees
