"""The worked examples: each folder's workbook is what its files build today, and agrees in every engine."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from podbook import recalc, regions
from podbook.book.writer import write
from podbook.inputs.farm import filled
from podbook.review.verify import verify
from podbook.sheets import book_of
from podbook.templates import content

ROOT = Path(__file__).parents[1]
EXAMPLES = ROOT / "worked_examples"
FILES = {"farm": "farm.toml", "trees": "tally.csv", "lab": "lab.csv", "log": "log.csv"}
FOLDERS = sorted(path.parent for path in EXAMPLES.glob("*/farm.toml"))
each_folder = pytest.mark.parametrize("folder", FOLDERS, ids=lambda folder: folder.name)


def inputs(folder: Path) -> dict[str, Path]:
    return {option: folder / name for option, name in FILES.items() if (folder / name).is_file()}


@pytest.fixture(scope="module")
def fresh(tmp_path_factory: pytest.TempPathFactory) -> dict[Path, Path]:
    """Every example's workbook, built now."""
    made = {}
    for folder in FOLDERS:
        made[folder] = tmp_path_factory.mktemp(folder.name) / f"{folder.name}.xlsx"
        write(book_of(regions.load("us_midatl_appal"), filled(**inputs(folder))), made[folder])
    return made


def test_every_folder_is_a_farm() -> None:
    returned = EXAMPLES / "came_home"  # a workbook that was handed out; see tests/review/test_came_home.py
    decisions = EXAMPLES / "decisions"  # told from workbooks that are built anew; see tests/stories
    assert {path for path in EXAMPLES.iterdir() if path.is_dir()} == {*FOLDERS, returned, decisions}
    assert EXAMPLES / "demo_farm" in FOLDERS


def test_the_demonstration_farm_is_the_one_that_is_built_without_options() -> None:
    assert filled(**inputs(EXAMPLES / "demo_farm")) == filled()


@each_folder
def test_the_committed_workbook_is_what_its_files_build(folder: Path, fresh: dict[Path, Path]) -> None:
    committed = folder / f"{folder.name}.xlsx"
    options = "".join(f" --{option} {path.relative_to(ROOT)}" for option, path in inputs(folder).items())
    rebuild = f"podbook build {committed.relative_to(ROOT)}{options} --replace"
    assert committed.is_file(), f"{committed.relative_to(ROOT)} is missing; run: {rebuild}"
    same = content(committed) == content(fresh[folder])
    assert same, f"{committed.relative_to(ROOT)} is stale; run: {rebuild}"


@each_folder
def test_every_cell_agrees_and_nothing_is_amiss(folder: Path, fresh: dict[Path, Path]) -> None:
    """The other engines: tests/recalc/test_every_engine.py."""
    if os.environ.get("PODBOOK_ALL_WITNESSES") == "1":
        assert recalc.installed() == recalc.ENGINES
    engines = (recalc.DEFAULT,)
    before = fresh[folder].read_bytes()
    verdict = verify(fresh[folder], engines)
    assert [comparison.engine for comparison in verdict.comparisons] == list(engines)
    for comparison in verdict.comparisons:
        assert comparison.disagreements == (), comparison.engine
        assert comparison.cells == comparison.agreeing > 3000
    assert verdict.slips == ()
    assert verdict.agrees
    assert fresh[folder].read_bytes() == before
