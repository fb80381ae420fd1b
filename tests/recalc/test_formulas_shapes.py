"""What shares a plan has the values, to the bit, and the graph that the library alone gives it."""

from __future__ import annotations

import random
from pathlib import Path
from typing import Any

import formulas
import pytest
from formulas.cell import CELL
from formulas.errors import FormulaError
from formulas.functions import DSP, get_functions
from openpyxl import Workbook
from openpyxl.workbook.defined_name import DefinedName
from openpyxl.worksheet.formula import ArrayFormula

from podbook.recalc.formulas_shapes import BY_VALUE, Model, Plan

HERE, THERE = "Hay", "Far Field"
VALUES = [
    [1, 0, -2.5, "ewe"],
    [True, "A1", "5", None],
    [0.1, 0.2, "ewe", "=1/0"],
    [3, "", False, "=A1+1"],
    [2, 1, 4, 7],
]
NAMES = {
    "price": "Data!$A$1",
    "rent": "Data!$A$3",
    "again": "Data!$A$1",
    "column": "Data!$A$1:$A$5",
    "longer": "Data!$A$1:$A$6",
    "block": "Data!$A$1:$C$3",
    "clock": "'One o''clock'!$B$2",
    "blank": f"{HERE}!$AA$1",
    "twice": "Data!$A$1:$A$2,Data!$C$1:$C$2",
    "five": "5",
    "hidden": "Data!$A$1",
}
CELLS = ["A1", "D2", "$B2", "C$3", "$D$4", "a5", "Data!A1", "Data!$C$3", "'Far Field'!B2", "'One o''clock'!D4", "A1:A1"]
CELLS += ["price", "PRICE", "rent", "again", "clock", "blank"]
RANGES = ["A1:A5", "$A1:$B3", "Data!A$1:A$5", "B3:A1", "'Far Field'!A1:D1", "column", "longer", "block", "price", "C4"]
# {c} and {r} are a cell and a range, others each time they are said; {d} and {s} stay the same in one formula.
OF_VALUES = [
    *("{c}", "-{c}", "{c}%", "{c}+{c}", "{d}-{d}", "{c}*2", "{c}*3", "{c}=TRUE", "{c}&{c}", '{c}&"A1"', '{c}&"B2"'),
    *("{r}", "({c}+{c})*({c}+{c})", "({d}+1)*({d}+1)", "1/{c}", "SQRT({c})", "{c}>={c}", "{c}<>{c}", '"=A1"&{c}'),
    *("IF({c}>0,{c},{c})", "IF({c},{c})", "IF({c},,{c})", "IF({d}=0,{c},{c}/{d})", "IF(TRUE,{c},A1)", "EXP({c})"),
    *("IFERROR({c},{c})", "IFERROR(1/{c},{c})", "AND({c}>0,{c}<3)", "OR({c},{c})", "NOT({c})", "ISNUMBER({c})"),
    *("ISERROR({c}/{c})", "SUM({r})", "SUM({r},{c},2)", "COUNT({r})", "AVERAGE({r})", "MAX({r},{c})", "MIN({r})"),
    *("SUMPRODUCT({s},{s})", "SUMPRODUCT({r}*{c})", "SUMIF({s},{c},{s})", 'SUMIF({s},">1",{s})', 'COUNTIF({r},"ewe")'),
    *("INDEX({r},{c})", "INDEX({r},1,1)", "INDEX({r},2)+INDEX({r},{c}+1)", "MATCH({c},{r},0)", "MATCH({c},{r})"),
    *("INDEX({s},MATCH({c},{s},0))", "CHOOSE({c},{c},{c})", "CHOOSE(2,{c},{c})", "ROUND({c},1)", "ROWS({r})"),
    *("COLUMNS({r})", "ROWS(block)*COLUMNS(block)+{c}", "COUNT({s})<ROWS({s})", "COUNT({s})*COLUMNS({s})", "ABS({c})"),
    *("LN({c})", "NPV({c},{r})", "FIND({c},{c})", "PMT({c},2,{c})", "IRR({r},{c})", "SUM({c}:{c})", "{c}+Lacking!A1"),
]
OF_MORE = [
    *(
        "ROW()",
        "COLUMN()",
        "ROW({c})",
        "COLUMN({r})",
        "ROW()+{c}",
        "OFFSET({c},1,0)",
        "ISFORMULA({c})",
        "ISFORMULA({r})",
    ),
    *('INDIRECT("A1")', 'INDIRECT("B"&{c})', "AREAS({r})", "UPPER({c})", "ISREF({c})", "ISBLANK({c})", "NOSUCH({c})"),
    *("SINGLE({r})", "@{r}", "ADDRESS(ROW({c}),2)", "LET(x,A1,x+A1)", "SUM(({c},{c}))", "SUM({r} {r})"),
    *("SUM(A1:INDEX({r},2))", "SUM({1,2}*{c})", "A1 + {c}", "{c}+1E+2", "{c}+five", "SUM(twice)+{c}", "ROWS(twice)"),
    *("lacking+{c}", "hidden+{c}", "TRUE()+{c}", "1+2", "SUM(1,2)"),
]


def readable(shape: str, chance: random.Random) -> str:
    """A formula of the shape that the library can read."""
    while True:
        formula = f"={shape}"
        for slot, choices in (("{d}", CELLS), ("{s}", RANGES)):
            formula = formula.replace(slot, chance.choice(choices))
        for slot, choices in (("{c}", CELLS), ("{r}", RANGES)):
            while slot in formula:
                formula = formula.replace(slot, chance.choice(choices), 1)
        try:
            formulas.Parser().ast(formula)
        except (FormulaError, ValueError):
            continue
        return formula


def book(path: Path, cells: dict[tuple[str, str], Any]) -> str:
    workbook = Workbook()
    del workbook["Sheet"]
    for title in (HERE, "Data", THERE, "One o'clock"):
        sheet = workbook.create_sheet(title)
        for row, values in enumerate(VALUES, 1):
            for column, value in enumerate(values, 1):
                sheet.cell(row, column, value)
    for name, place in NAMES.items():
        workbook.defined_names[name] = DefinedName(name, attr_text=place, hidden=name == "hidden")
    for (title, coordinate), value in cells.items():
        workbook[title][coordinate] = value
    workbook.save(path)
    return str(path)


def exact(solution: Any) -> dict[str, Any]:
    """Every value of the model, to the bit and with its type."""

    def bits(value: Any) -> tuple[str, str]:
        as_text = value.hex() if isinstance(value, float) else repr(value)
        return type(value).__name__, "".join(value) if isinstance(value, str) else as_text

    return {
        "".join(node): (ranges.value.shape, list(map(bits, ranges.value.ravel())))
        for node, ranges in solution.items()
        if isinstance(ranges, formulas.ranges.Ranges)
    }


def compared(path: str) -> tuple[Any, dict[str, Any]]:
    """The model with plans, and its values, once they were found to be those of the library's own model."""
    plain, shared = (model.loads(path).finish(complete=False) for model in (formulas.ExcelModel(), Model()))
    assert list(shared.cells) == list(plain.cells)
    graphs = [{node: set(after) for node, after in model.dsp.dmap.succ.items()} for model in (plain, shared)]
    assert graphs[1] == graphs[0]
    values = exact(shared.calculate())
    assert values == exact(plain.calculate())
    return shared, values


def sharing(model: Any, title: str, coordinates: list[str]) -> int:
    cells = [model.cells[f"'[book.xlsx]{title.upper()}'!{coordinate}"] for coordinate in coordinates]
    return sum(isinstance(cell.func.func, Plan) for cell in cells)


@pytest.mark.parametrize("seed", range(2))
def test_every_value_is_the_library_s_own(tmp_path: Path, seed: int) -> None:
    chance = random.Random(seed)
    cells = {
        (title, f"{column}{row}"): readable(shape, chance)
        for row, shape in enumerate(OF_VALUES + OF_MORE, 1)
        for title in (HERE, THERE)
        for column in "FGHI"
    }
    model, values = compared(book(tmp_path / "book.xlsx", cells))
    found = [values.get(f"'[book.xlsx]{title.upper()}'!{coordinate}") for title, coordinate in cells]
    assert {kind for value in found if value for kind, _ in value[1]} >= {"float", "int", "bool", "str", "XlError"}
    assert len(found) - found.count(None) > 0.9 * len(cells)
    counted = [sharing(model, title, [coordinate]) for title, coordinate in cells]
    assert sum(counted) > 200
    assert not any(counted[8 * len(OF_VALUES) :])


def test_a_shape_is_taken_apart_once(tmp_path: Path) -> None:
    columns = {
        "F": "=A{0}*price",
        "G": "=Data!$A{0}*rent",
        "H": "=INDEX(column,A{0})",
        "I": "=COUNT(A1:A{0})<ROWS(A1:A{0})",
        "J": "=D{0}",
    }
    cells = {(HERE, f"{column}{row}"): text.format(row) for column, text in columns.items() for row in range(2, 40)}
    model, _ = compared(book(tmp_path / "book.xlsx", cells))
    counted = {column: sharing(model, HERE, [f"{column}{row}" for row in range(2, 40)]) for column in columns}
    assert counted == {"F": 37, "G": 38, "H": 37, "I": 37, "J": 37}


def test_a_circle_and_a_range_over_it_stay_what_they_are(tmp_path: Path) -> None:
    circle = {"F1": "=F2+1", "F2": "=F1+1", "F3": "=F2", "F4": "=A1+1", "F5": "=SUM(F1:F4)", "F6": "=F4+1", "F7": "=F7"}
    circle |= {"F8": "=IF(A1>0,A1,F9)", "F9": "=IF(A1>0,F8,A1)", "F10": "=SUM(F4:F12)", "F11": "=A5+1"}
    _, values = compared(book(tmp_path / "book.xlsx", {(HERE, cell): formula for cell, formula in circle.items()}))
    found = {cell for cell in circle if f"'[book.xlsx]HAY'!{cell}" in values}
    assert found == {"F4", "F6", "F11"}


def test_a_formula_over_several_cells_is_left_alone(tmp_path: Path) -> None:
    formula = "=A1:A3*Data!A3:A5"
    cells = {(HERE, "F1"): formula, (HERE, "G1"): ArrayFormula("G1:G3", formula), (HERE, "H1"): formula}
    model, values = compared(book(tmp_path / "book.xlsx", cells))
    assert values["'[book.xlsx]HAY'!G1:G3"][0] == (3, 1)
    assert [sharing(model, HERE, [place]) for place in ("F1", "G1:G3", "H1")] == [0, 0, 1]


@pytest.mark.parametrize("broken", ["=TRUE!A1", "=true_price", "=2A1", "=A1(", "=A1)", "=A1+", "=A1*/2"])
def test_what_the_library_refuses_is_refused(tmp_path: Path, broken: str) -> None:
    cells = {(HERE, "F1"): "=Data!A1", (HERE, "F2"): "=price", (HERE, "F3"): broken}
    path = book(tmp_path / "book.xlsx", cells)
    with pytest.raises(FormulaError) as alone:
        formulas.ExcelModel().loads(path)
    with pytest.raises(FormulaError) as shared:
        Model().loads(path)
    assert repr(shared.value) == repr(alone.value)


def test_every_function_that_is_shared_is_tried_here_and_asks_for_no_place() -> None:
    for name in BY_VALUE:
        assert any(f"{name}(" in shape for shape in OF_VALUES), f"no shape here has {name}"
        function = get_functions()[name]
        assert function is not get_functions()["NOSUCH"], name
        if isinstance(function, dict):
            assert not {CELL, DSP} & set(function.get("extra_inputs", ())), name
