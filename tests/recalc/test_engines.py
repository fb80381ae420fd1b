"""Three engines, one small workbook on their common ground: they agree, and none of them trusts a stored value."""

from __future__ import annotations

import importlib.util
import math
import os
import re
import shutil
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest
from openpyxl import Workbook, load_workbook
from openpyxl.workbook.defined_name import DefinedName

from podbook.errors import EngineFailed
from podbook.recalc import DEFAULT, ENGINES, Cell, Fault, fill, formualizer_engine, installed, values
from podbook.recalc.formulas_engine import values as formulas_values
from podbook.recalc.libreoffice_engine import values as libreoffice_values

SHEET = "Hay and Pods"
FAULT = Fault("any")
# Formula and value, worked out by hand (or closed-form) from the inputs of `book`.
TABLE: list[tuple[str, Cell]] = [
    ("=price/(dry*2)", 50.0),
    ("=1+2*3-4/2^2", 6.0),
    ("=SUM(amounts)", 10.0),
    ("=AVERAGE(amounts)", 2.5),
    ("=COUNT(amounts)", 4.0),
    ("=MIN(amounts)", 1.0),
    ("=MAX(amounts,price)", 80.0),
    ("=ABS(1-price)", 79.0),
    ("=ROUND(price/3,2)", 26.67),
    ("=EXP(LN(price))", 80.0),
    ("=SQRT(price+1)", 9.0),
    ('=INDEX(amounts,MATCH("doe",labels,0))', 3.0),
    ('=SUMIF(labels,"ewe",amounts)', 5.0),
    ('=COUNTIF(labels,"ewe")', 2.0),
    ("=CHOOSE(2,price,dry)", 0.8),
    ("=SUMPRODUCT(amounts,amounts)", 30.0),
    ("=NPV(0.1,amounts)", 1 / 1.1 + 2 / 1.1**2 + 3 / 1.1**3 + 4 / 1.1**4),
    ("=IRR(flows,0.1)", 0.1),
    ("=PMT(0.05,1,100)", -105.0),
    ("=IF(price>50,price,dry)", 80.0),
    ('=IF(AND(price>50,NOT(dry>1)),"dear","cheap")', "dear"),
    ("=OR(price>100,dry>100)", False),
    ("=ISNUMBER(price)", True),
    ("=ISERROR(price/0)", True),
    ("=price>=80", True),
    ('=price&" per ton"', "80 per ton"),
    ('=IF(price>50,"",1)', None),
    ("=price/0", FAULT),
    ("=SQRT(0-price)", FAULT),
    ('=MATCH("cow",labels,0)', FAULT),
    ("=SUM(Data!A1:A4)+Data!A2", 12.0),
    ("=E2*2", 100.0),
]
WANTED = {SHEET: [f"E{row}" for row in range(2, 2 + len(TABLE))], "Data": ["A1", "B2", "A9"]}


@pytest.fixture
def book(tmp_path: Path) -> Path:
    workbook = Workbook()
    sheet = workbook.active
    assert sheet is not None
    sheet.title = SHEET
    sheet["A2"], sheet["A3"] = 80, 0.8
    data = workbook.create_sheet("Data")
    for row, (amount, label, flow) in enumerate(
        zip((1, 2, 3, 4), ("ewe", "buck", "doe", "ewe"), (-100, 10, 10, 110), strict=True), 1
    ):
        data.cell(row, 1, amount)
        data.cell(row, 2, label)
        data.cell(row, 3, flow)
    for name, place in {
        "price": f"'{SHEET}'!$A$2",
        "dry": f"'{SHEET}'!$A$3",
        "amounts": "Data!$A$1:$A$4",
        "labels": "Data!$B$1:$B$4",
        "flows": "Data!$C$1:$C$4",
    }.items():
        workbook.defined_names[name] = DefinedName(name, attr_text=place)
    for row, (formula, _) in enumerate(TABLE, 2):
        sheet.cell(row, 5, formula)
    path = tmp_path / "Stand 1 o'clock.xlsx"
    workbook.save(path)
    return path


def with_formulas(path: Path, formulas: dict[str, str]) -> Path:
    workbook = load_workbook(path)
    for coordinate, formula in formulas.items():
        workbook[SHEET][coordinate] = formula
    workbook.save(path)
    return path


def forged(path: Path) -> Path:
    """The same file, with the number 777 stored as the value of every formula."""
    target = path.with_name("forged.xlsx")
    with zipfile.ZipFile(path) as source, zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as package:
        for part in source.infolist():
            content = source.read(part)
            if part.filename.startswith("xl/worksheets/"):
                content, count = re.subn(rb"</f><v ?/>|</f><v></v>", b"</f><v>777</v>", content)
                assert count == len(TABLE) or b"<f>" not in content
            package.writestr(part.filename, content)
    return target


def same(found: Cell, expected: Cell) -> bool:
    if isinstance(expected, Fault):
        return isinstance(found, Fault)
    if isinstance(expected, float):
        return isinstance(found, float) and math.isclose(found, expected, rel_tol=1e-12)
    return found == expected and type(found) is type(expected)


def need(engine: str) -> None:
    if engine not in installed():
        if engine == "libreoffice" and os.environ.get("PODBOOK_ALL_WITNESSES") != "1":
            pytest.skip("soffice is not installed")
        pytest.fail(f"the engine {engine} is not installed")


@pytest.mark.parametrize("engine", ENGINES)
@pytest.mark.parametrize("prepare", [lambda path: path, forged], ids=["as written", "forged"])
def test_every_engine_computes_the_values_worked_out_by_hand(
    book: Path, engine: str, prepare: Callable[[Path], Path]
) -> None:
    need(engine)
    path = prepare(book)
    before = path.read_bytes()
    found = values(path, engine, WANTED)
    wrong = {
        formula: (found[SHEET, f"E{row}"], expected)
        for row, (formula, expected) in enumerate(TABLE, 2)
        if not same(found[SHEET, f"E{row}"], expected)
    }
    assert not wrong
    assert [found["Data", coordinate] for coordinate in WANTED["Data"]] == [1.0, "buck", None]
    assert len(found) == len(TABLE) + 3
    assert path.read_bytes() == before


@pytest.mark.parametrize("engine", ENGINES)
def test_a_sheet_that_is_not_there_is_an_error(book: Path, engine: str) -> None:
    need(engine)
    with pytest.raises(EngineFailed, match=f"no sheet 'Hay'; there are '{SHEET}', 'Data'"):
        values(book, engine, {"Hay": ["A1"]})


@pytest.mark.parametrize("engine", ENGINES)
def test_a_circle_is_a_fault_not_a_missing_cell(book: Path, engine: str) -> None:
    need(engine)
    path = with_formulas(book, {"G1": "=G2+1", "G2": "=G1+1", "G3": "=G2"})
    found = values(path, engine, {SHEET: ["G1", "G2", "G3", "E2"]})
    assert all(isinstance(found[SHEET, cell], Fault) for cell in ("G1", "G2", "G3"))
    assert found[SHEET, "E2"] == 50.0


def test_everything_that_is_not_empty_is_given_when_nothing_is_named(book: Path) -> None:
    found = values(book)
    assert found[SHEET, "A2"] == 80.0
    assert len(found) == len(TABLE) + 2 + 12


def test_a_range_written_backwards_does_not_spoil_the_book(book: Path) -> None:
    path = with_formulas(book, {"G1": "=SUM(Data!A$4:$A1)", "G2": '=IF(A2>1,"A4:A1",0)', "G3": "=COUNT(B4:A1)"})
    found = values(path, wanted={SHEET: ["G1", "G2", "G3", "E21"]})
    assert list(found.values()) == [10.0, "A4:A1", 2.0, 80.0]


def test_all_engines_are_installed_here() -> None:
    assert {"formualizer", "formulas"} <= set(installed())


@pytest.mark.parametrize("engine", ["formualizer", "formulas"])
def test_a_missing_package_says_what_to_install(book: Path, engine: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(importlib.util, "find_spec", lambda name: None)
    assert engine not in installed()
    with pytest.raises(EngineFailed, match=f"^engine '{engine}' is not installed: run `pip install {engine}`$"):
        values(book, engine, WANTED)


def test_a_missing_program_says_what_to_install(book: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(shutil, "which", lambda name: None)
    assert "libreoffice" not in installed()
    with pytest.raises(EngineFailed, match="install LibreOffice Calc"):
        values(book, "libreoffice", WANTED)


def test_an_unknown_engine_names_the_known_ones(book: Path) -> None:
    with pytest.raises(EngineFailed, match="'abacus' is not known; there are 'formualizer', 'formulas', 'libreoffice'"):
        values(book, "abacus", WANTED)


@pytest.mark.parametrize("engine", ENGINES)
def test_a_file_that_is_no_workbook_is_one_clear_error(tmp_path: Path, engine: str) -> None:
    need(engine)
    path = tmp_path / "notes.xlsx"
    with zipfile.ZipFile(path, "w") as package:
        package.writestr("notes.txt", "no workbook")
    with pytest.raises(EngineFailed, match=r"notes.xlsx") as caught:
        values(path, engine, {"Data": ["A1"]})
    assert "\n" not in str(caught.value)


def test_formulas_is_stopped_when_it_takes_too_long(book: Path) -> None:
    with pytest.raises(EngineFailed, match=r"stopped after 0.05 s"):
        formulas_values(book, WANTED, seconds=0.05)


def test_libreoffice_is_stopped_when_it_takes_too_long(book: Path) -> None:
    need("libreoffice")
    with pytest.raises(EngineFailed, match=r"stopped after 0.05 s"):
        libreoffice_values(book, WANTED, seconds=0.05)


@pytest.mark.parametrize("reference", ["='[Secret.xlsx]Data'!A1", "=[1]Data!A1+1", "='other/[Secret.xlsx]Data'!A1"])
def test_formulas_is_never_shown_a_link_to_another_book(book: Path, reference: str) -> None:
    secret = Workbook()
    secret.create_sheet("Data")["A1"] = "the secret"
    secret.save(book.with_name("Secret.xlsx"))
    with pytest.raises(EngineFailed, match="reference in brackets"):
        values(with_formulas(book, {"G1": reference}), "formulas", {SHEET: ["G1"]})


def test_formulas_accepts_brackets_in_a_text(book: Path) -> None:
    path = with_formulas(book, {"G1": '=A2&" [lb]"'})
    assert values(path, "formulas", {SHEET: ["G1"]}) == {(SHEET, "G1"): "80 [lb]"}


@pytest.mark.parametrize("prepare", [lambda path: path, forged], ids=["as written", "forged"])
def test_fill_stores_the_values_and_changes_nothing_else(book: Path, prepare: Callable[[Path], Path]) -> None:
    path = prepare(book)
    with zipfile.ZipFile(path) as package:
        before = {part: package.read(part) for part in package.namelist()}
    fill(path)
    with zipfile.ZipFile(path) as package:
        after = {part: package.read(part) for part in package.namelist()}
    assert list(after) == list(before)
    assert [part for part in after if after[part] != before[part]] == ["xl/worksheets/sheet1.xml"]
    stored = load_workbook(path, data_only=True)[SHEET]
    assert stored["E2"].value == 50
    assert stored["E22"].value == "dear"
    assert stored["E29"].value == "#DIV/0!"
    assert [entry.name for entry in path.parent.iterdir() if entry.name.startswith(".")] == []


def test_fill_keeps_the_file_when_a_function_is_not_known(book: Path) -> None:
    path = with_formulas(book, {"G1": "=ACRES(1)"})
    before = path.read_bytes()
    with pytest.raises(EngineFailed, match="ACRES"):
        fill(path)
    assert path.read_bytes() == before


def test_fill_keeps_the_file_when_the_engine_refuses_it(book: Path) -> None:
    path = with_formulas(book, {"G1": "=SUM(A3:A2)"})
    before = path.read_bytes()
    with pytest.raises(EngineFailed, match="could not calculate"):
        fill(path)
    assert path.read_bytes() == before


def test_fill_notices_a_formula_that_got_no_value(book: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    import formualizer

    before = book.read_bytes()
    monkeypatch.setattr(
        formualizer,
        "recalculate_xlsx_bytes",
        lambda data, **_: {
            "bytes": data,
            "summary": {"unknown_functions": [], "evaluated": len(TABLE)},
            "formula_cells": len(TABLE),
        },
    )
    with pytest.raises(EngineFailed, match="got no value"):
        formualizer_engine.fill(book)
    assert book.read_bytes() == before


def test_the_default_engine_is_the_fast_one() -> None:
    assert DEFAULT == "formualizer"
