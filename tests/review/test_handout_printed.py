"""The handout as a PDF: two pages, with the figures of the workbook, and none of a workbook that is wrong."""

from __future__ import annotations

import hashlib
import os
import re
import shutil
import subprocess
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result
from openpyxl import load_workbook

from podbook import recalc, regions
from podbook.book.writer import write
from podbook.cli import app
from podbook.inputs.filled import Filled, Group, TypeOfTree
from podbook.recalc import office
from podbook.sheets import book_of

DATE = re.compile(r"\b(?:19|20)\d\d\b|\d{1,2}[./]\d{1,2}[./]\d{2}")


def need(*programs: str) -> None:
    for program in programs:
        if shutil.which(program) is None:
            if os.environ.get("PODBOOK_ALL_WITNESSES") != "1":
                pytest.skip(f"{program} is not installed")
            pytest.fail(f"{program} is not installed")


def handout(*words: str | Path) -> Result:
    return CliRunner().invoke(app, ["handout", *map(str, words)])


def digest(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()


def pages_of(pdf: Path) -> list[str]:
    reading = ["pdftotext", "-layout", "-enc", "UTF-8", str(pdf), "-"]
    text = subprocess.run(reading, check=True, capture_output=True, encoding="utf-8", timeout=60).stdout
    return text.removesuffix("\f").split("\f")


def printed(workbook: Path, pdf: Path) -> list[str]:
    """The pages of a workbook's handout; the workbook is left as it was."""
    need("soffice", "pdftotext")
    before = digest(workbook)
    done = handout(workbook, "-o", pdf)
    assert (done.exit_code, done.stdout) == (0, ""), done.stderr
    assert digest(workbook) == before
    return pages_of(pdf)


@pytest.fixture(scope="module")
def pages(demo: Path, tmp_path_factory: pytest.TempPathFactory) -> list[str]:
    folder = tmp_path_factory.mktemp("handout")
    found = printed(demo, folder / "plan.pdf")
    assert [each.name for each in folder.iterdir()] == ["plan.pdf"]
    return found


def test_it_takes_two_pages_with_the_farm_and_their_number_and_no_date(pages: list[str]) -> None:
    assert len(pages) == 2
    for number, page in enumerate(pages, 1):
        assert "Demo farm (invented)" in page
        assert f"Page {number} of 2" in page
        assert not DATE.search(page)
        assert "##" not in page


def test_it_holds_the_figures_of_the_workbook(demo: Path, pages: list[str]) -> None:
    book = load_workbook(demo, data_only=True)

    def cells(name: str) -> list[Any]:
        sheet, _, span = book.defined_names[name].attr_text.rpartition("!")
        found = book[sheet.strip("'")][span.replace("$", "")]
        return [cell.value for row in found for cell in row] if isinstance(found, tuple) else [found.value]

    def shown(label: str, values: list[Any], look: str) -> str:
        return rf"{label}\s+" + r"\s+".join(re.escape(format(each, look)) for each in values)

    for label, name, look in (
        ("Days of feeding", "winter_days", ".0f"),
        ("Hay to have, tons", "winter_hay_tons_with", ".1f"),
        ("Supplement to have, tons", "winter_extra_tons_with", ".1f"),
    ):
        assert re.search(shown(label, cells(name), look), pages[0]), label
    eaten = [each / cells("pods_dry_matter")[0] for each in cells("winter_pods_eaten")]
    assert re.search(shown("Pods eaten, lb as picked", eaten, ",.0f"), pages[0])
    assert re.search(rf"Pods run out first in\s+{cells('out_month')[0]}\b", pages[0])
    assert re.search(rf"Most pods in the ration\s+{cells('full_share')[0]:.0%}", pages[0])
    assert re.search(r"Month\s+" + r"\s+".join(cells("months_label")), pages[0])
    for kind in ("dry pregnant cow", "ewe", "doe"):
        assert pages[0].count(f"\n{kind} ") == 2


def test_it_holds_the_cautions_of_this_farm_and_no_others(pages: list[str]) -> None:
    assert "Call a veterinarian" in pages[0]
    for word in ("Honey locust: sugar", "Honey locust: seed", "Cattle: protein", "Ewes: late in lamb"):
        assert word in pages[1]
    assert "Oak" not in pages[1]
    assert "Notes" in pages[1]


def test_a_farm_of_other_kinds_in_metric_units_has_its_own(tmp_path: Path) -> None:
    workbook = tmp_path / "farm.xlsx"
    types = (TypeOfTree("Wood", "seedling", 1, 5, 10, kind="oak"),)
    title = "Oaks & Sons &P <b>"
    write(
        book_of(regions.load("eu_mediterranean"), Filled(title, types, groups=(Group("ewe", 30, 150),)), "metric"),
        workbook,
    )
    pages = printed(workbook, tmp_path / "plan.PDF")
    assert len(pages) == 2
    assert all(page.count(title) == 2 for page in pages)
    assert "kg a head and day" in pages[0]
    assert "tonnes" in pages[0]
    assert not re.search(r"\b(?:lb|tons)\b", "".join(pages))
    assert "Acorns poison" in pages[1]
    assert "Honey locust" not in pages[1]
    assert "Late-pregnant ewes" in pages[1]
    assert "Whole pods leave cattle" not in pages[1]


@pytest.fixture
def copy(demo: Path, tmp_path: Path) -> Path:
    return Path(shutil.copyfile(demo, tmp_path / "farm.xlsx"))


def changed(path: Path, contents: Mapping[str, object]) -> None:
    book = load_workbook(path)
    for name, content in contents.items():
        sheet, _, cell = book.defined_names[name].attr_text.rpartition("!")
        book[sheet.strip("'")][cell.replace("$", "")] = content
    book.save(path)


@pytest.mark.parametrize(("name", "content", "told"), [
    ("full_share", 0.9, "Winter!B"), ("share_cap_entry", "lots", "Farm!B"),
])  # fmt: skip
def test_a_wrong_book_is_not_printed(copy: Path, tmp_path: Path, name: str, content: object, told: str) -> None:
    changed(copy, {name: content})
    before = digest(copy)
    done = handout(copy, "-o", tmp_path / "plan.pdf")
    assert done.exit_code == 1
    assert "not printed" in done.stderr
    assert told in done.stderr
    assert "podbook verify" in done.stderr
    assert {each.name for each in tmp_path.iterdir()} == {"farm.xlsx"}
    assert digest(copy) == before


def test_a_file_that_is_no_book_is_not_printed(tmp_path: Path) -> None:
    (tmp_path / "farm.xlsx").write_bytes(b"PK\x03\x04 no workbook")
    done = handout(tmp_path / "farm.xlsx", "-o", tmp_path / "plan.pdf")
    assert done.exit_code == 3
    assert len(done.stderr.strip().splitlines()) == 1
    assert {each.name for each in tmp_path.iterdir()} == {"farm.xlsx"}


def test_without_libreoffice_it_says_in_one_line_what_to_do(
    copy: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("podbook.review.bounded.one", lambda *_: "")
    monkeypatch.setattr(office, "present", lambda: False)
    assert "libreoffice" not in recalc.installed()
    done = handout(copy, "-o", tmp_path / "plan.pdf")
    assert done.exit_code == 3
    (line,) = done.stderr.strip().splitlines()
    assert re.search(r"install LibreOffice Calc, or print the sheet Handout from any spreadsheet program$", line)
    assert {each.name for each in tmp_path.iterdir()} == {"farm.xlsx"}


@pytest.mark.parametrize(("out", "said"), [
    ("plan.pdf", "is already there; nothing was written. Name another file, or add --replace"),
    ("plan.doc", "must end in .pdf"), ("gone/plan.pdf", "there is no folder"),
])  # fmt: skip
def test_nothing_is_overwritten_and_wrong_names_are_refused_at_once(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, out: str, said: str
) -> None:
    monkeypatch.setattr("podbook.review.bounded.one", lambda *_: pytest.fail("the workbook was opened"))
    (tmp_path / "plan.pdf").write_text("mine", encoding="utf-8")
    done = handout(tmp_path / "farm.xlsx", "-o", tmp_path / out)
    assert done.exit_code == 2
    assert said in done.stderr
    assert (tmp_path / "plan.pdf").read_text(encoding="utf-8") == "mine"


def test_a_pdf_that_is_there_is_replaced_when_told_to_and_whole(
    copy: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    pdf = tmp_path / "plan.pdf"
    pdf.write_text("mine", encoding="utf-8")

    def half(sheet: Path, made: str, directory: Path, seconds: float = 0) -> Path:
        raise office.EngineFailed("LibreOffice could not read or calculate the file")

    monkeypatch.setattr("podbook.review.bounded.one", lambda *_: "")
    monkeypatch.setattr(office, "present", lambda: True)
    monkeypatch.setattr(office, "converted", half)
    assert handout(copy, "-o", pdf, "--replace").exit_code == 3
    assert pdf.read_text(encoding="utf-8") == "mine"
    made = tmp_path / "made.pdf"
    made.write_text("new", encoding="utf-8")
    monkeypatch.setattr(office, "converted", lambda *_: made)
    assert handout(copy, "-o", pdf, "--replace").exit_code == 0
    assert pdf.read_text(encoding="utf-8") == "new"
