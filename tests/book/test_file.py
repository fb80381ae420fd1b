"""The built file as a file: sound to a strict reader, the same bytes each time, open only where it should be."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import zipfile
from collections import Counter
from pathlib import Path

import pytest
from lxml import etree
from openpyxl import Workbook, load_workbook
from openpyxl.cell import Cell
from openpyxl.utils import range_boundaries
from openxml_audit import OpenXmlValidator, ValidationSeverity

from podbook import recalc, regions
from podbook.book.layout import lay_out
from podbook.book.model import Book, Single, Table
from podbook.book.node import Node
from podbook.book.writer import write
from podbook.inputs.farm import filled
from podbook.sheets import book_of
from podbook.units import shown as unit_shown

ROOT = Path(__file__).parents[2]
MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
FONT_ORDER = (
    "b", "i", "strike", "condense", "extend", "outline", "shadow", "u", "vertAlign", "sz", "color", "name", "family",
    "charset", "scheme",
)  # fmt: skip
"""The order of the elements of a font in the schema of Office Open XML."""
TITLES = [
    "Start", "Farm", "Feeds", "Trees", "Pods", "Stand", "Herd", "Needs", "Rations", "Winter", "Savings", "Handout",
    "Season log", "Collect", "Planting", "Returns", "Crop sizes", "Quick sums", "Pod trees", "Checks", "Cautions",
    "Sources", "Works",
]  # fmt: skip


@pytest.fixture(scope="module")
def book() -> Book:
    return book_of(regions.load("us_midatl_appal"), filled())


@pytest.fixture(scope="module")
def path(book: Book, tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("file") / "farm.xlsx"
    write(book, made)
    return made


@pytest.fixture(scope="module")
def typed(path: Path) -> Workbook:
    return load_workbook(path)


@pytest.fixture(scope="module")
def shown(path: Path) -> Workbook:
    return load_workbook(path, data_only=True)


def cells_of(workbook: Workbook) -> list[Cell]:
    return [
        cell for sheet in workbook.worksheets for row in sheet.iter_rows() for cell in row if isinstance(cell, Cell)
    ]


def named(workbook: Workbook, node: Node) -> list[tuple[str, str]]:
    """Sheet and coordinate of every cell of a node, by its defined name in the file."""
    sheet, _, area = str(workbook.defined_names[node.name].attr_text).partition("!")
    left, top, right, bottom = range_boundaries(area.replace("$", ""))
    page = workbook[sheet.strip("'")]
    return [(page.title, cell.coordinate) for row in page.iter_rows(top, bottom, left, right) for cell in row]


def kinds(path: Path) -> Counter[str]:
    """What a validator with the schemas of Office finds in a file, by kind."""
    found = OpenXmlValidator(max_errors=0, security_validation=True).validate(path)
    return Counter(
        f"{error.severity.value}: "
        + (re.sub(r"\[\d+\]", "", error.path) + " in another order" if not error.id else error.id)
        for error in found.errors
    )


@pytest.fixture(scope="module")
def found_in(path: Path) -> Counter[str]:
    """What the validator finds in the book as it is written."""
    return kinds(path)


def with_fonts_in_order(path: Path, target: Path) -> Path:
    with zipfile.ZipFile(path) as source, zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as package:
        for part in source.namelist():
            content = source.read(part)
            if part == "xl/styles.xml":
                styles = etree.fromstring(content)
                for font in styles.iter(f"{MAIN}font"):
                    font[:] = sorted(font, key=lambda element: FONT_ORDER.index(element.tag.removeprefix(MAIN)))
                content = etree.tostring(styles)
            package.writestr(part, content)
    return target


def test_a_strict_reader_finds_only_two_habits_of_openpyxl(path: Path, tmp_path: Path, found_in: Counter[str]) -> None:
    """It writes a font's name before its other elements, and every text into its cell: Excel reads both.

    With the fonts put in order no error is left; the texts in their cells are no error, but a warning that Excel will
    move them when it saves.
    """
    texts = "warning: Excel_InlineStrCells"
    orders = {f"error: /styleSheet/{place}/font in another order" for place in ("fonts", "dxfs/dxf")}
    assert set(found_in) == {texts, *orders}
    ordered = with_fonts_in_order(path, tmp_path / "ordered.xlsx")
    result = OpenXmlValidator(max_errors=0, security_validation=True).validate(ordered)
    assert result.is_valid
    assert {(error.severity, error.id) for error in result.errors} == {(ValidationSeverity.WARNING, texts.split()[-1])}


def test_the_strict_reader_would_find_a_fault(path: Path, tmp_path: Path, found_in: Counter[str]) -> None:
    broken = tmp_path / "broken.xlsx"
    with zipfile.ZipFile(path) as source, zipfile.ZipFile(broken, "w") as package:
        for part in source.namelist():
            content = source.read(part)
            if part == "xl/worksheets/sheet1.xml":
                content = content.replace(b"<sheetData>", b"<sheetData><plough/>", 1)
            package.writestr(part, content)
    assert set(kinds(broken)) - set(found_in)


def test_two_builds_are_the_same_bytes(path: Path, tmp_path: Path) -> None:
    again = tmp_path / "again.xlsx"
    surroundings = {"PYTHONPATH": str(ROOT), "PYTHONHASHSEED": "7", "TZ": "Asia/Tokyo", "LC_ALL": "C"}
    command = [sys.executable, "-m", "podbook", "build", str(again)]
    subprocess.run(command, check=True, capture_output=True, env={**os.environ, **surroundings}, timeout=60)
    assert again.read_bytes() == path.read_bytes()


def test_no_part_of_the_file_tells_when_or_by_whom_it_was_made(path: Path) -> None:
    with zipfile.ZipFile(path) as package:
        assert {entry.date_time for entry in package.infolist()} == {(2000, 1, 1, 0, 0, 0)}
        core = package.read("docProps/core.xml").decode()
    assert set(re.findall(r"\d{4}-\d\d-\d\dT[\d:]+Z", core)) == {"2000-01-01T00:00:00Z"}
    assert re.findall(r"<dc:creator[^>]*>(.*?)</dc:creator>", core) == ["podbook"]
    assert "lastModifiedBy" not in core


def test_every_formula_cell_has_its_value_stored(path: Path, typed: Workbook, shown: Workbook) -> None:
    formulas = {(cell.parent.title, cell.coordinate): cell for cell in cells_of(typed) if cell.data_type == "f"}
    wanted: dict[str, list[str]] = {}
    for sheet, cell in formulas:
        wanted.setdefault(sheet, []).append(cell)
    values = recalc.values(path, wanted=wanted)
    wrong = {}
    for (sheet, cell), formula in formulas.items():
        stands, value = shown[sheet][cell].value, values[sheet, cell]
        if stands is None:
            right = value is None and '""' in str(formula.value)
        elif isinstance(stands, str):
            right = stands == value and not stands.startswith("#")
        else:
            right = stands == pytest.approx(value, rel=1e-12, abs=1e-12)
        if not right:
            wrong[sheet, cell] = (formula.value, stands, value)
    assert len(formulas) > 3000
    assert wrong == {}


def test_nothing_is_hidden(path: Path, typed: Workbook) -> None:
    assert {sheet.sheet_state for sheet in typed.worksheets} == {"visible"}
    with zipfile.ZipFile(path) as package:
        parts = {part: package.read(part).decode() for part in package.namelist() if part.endswith((".xml", ".rels"))}
    assert [part for part, text in parts.items() if re.search(r'\b(?:hidden|veryHidden)="(?:1|true)"', text)] == []
    assert [part for part, text in parts.items() if re.search(r'<row [^>]*\bht="0"|<col [^>]*\bwidth="0"', text)] == []
    assert [cell.coordinate for cell in cells_of(typed) if cell.protection.hidden] == []


def test_nothing_reaches_out_of_the_file(path: Path, typed: Workbook) -> None:
    with zipfile.ZipFile(path) as package:
        names = package.namelist()
        links = {part: package.read(part).decode() for part in names if part.endswith(".rels")}
        types = package.read("[Content_Types].xml").decode()
    reaching = re.compile(r"vba|macro|external|embeddings|activeX|customXml|connections|queryTable", re.IGNORECASE)
    assert [name for name in names if reaching.search(name)] == []
    assert [part for part, text in links.items() if "TargetMode" in text] == []
    assert reaching.search(types) is None
    formulas = [str(cell.value) for cell in cells_of(typed) if cell.data_type == "f"]
    formulas += [str(name.attr_text) for name in typed.defined_names.values()]
    assert [formula for formula in formulas if re.search(r"\[|://|WEBSERVICE|HYPERLINK|INDIRECT", formula)] == []


def test_every_sheet_is_protected_without_a_password(path: Path, typed: Workbook) -> None:
    assert [sheet.title for sheet in typed.worksheets if not sheet.protection.sheet] == []
    with zipfile.ZipFile(path) as package:
        parts = {part: package.read(part).decode() for part in package.namelist() if part.endswith(".xml")}
    word = re.compile(r"\b(?:\w*[pP]assword|hashValue|saltValue|lockStructure)=")
    assert [part for part, text in parts.items() if word.search(text)] == []


def test_only_cells_to_fill_in_and_notes_on_tally_and_log_are_unlocked(book: Book, typed: Workbook) -> None:
    entries = {cell for node in book.nodes.values() if node.role == "entry" for cell in named(typed, node)}
    rows = [re.sub(r"[A-Z]+", "A", cell) for _, cell in named(typed, book.nodes["tally.type"])]
    months = [re.sub(r"[A-Z]+", "A", cell) for _, cell in named(typed, book.nodes["log.picked"])]
    notes = {("Trees", cell) for cell in rows} | {("Season log", cell) for cell in months}
    unlocked = {(cell.parent.title, cell.coordinate) for cell in cells_of(typed) if not cell.protection.locked}
    assert len(rows) == 60
    assert unlocked == entries | notes
    assert {typed[sheet][cell].data_type for sheet, cell in unlocked} <= {"n", "s"}


def test_every_cell_to_fill_in_is_checked_while_it_is_typed(book: Book, typed: Workbook) -> None:
    rules: dict[tuple[str, str], list[tuple[object, ...]]] = {}
    for sheet in typed.worksheets:
        for rule in sheet.data_validations.dataValidation:
            for area in rule.sqref.ranges:
                for row in sheet.iter_rows(area.min_row, area.max_row, area.min_col, area.max_col):
                    for cell in row:
                        told = (rule.type, rule.formula1, rule.formula2, rule.showErrorMessage, rule.error)
                        rules.setdefault((sheet.title, cell.coordinate), []).append(told)
    wanted: dict[tuple[str, str], list[tuple[object, ...]]] = {}
    for node in (node for node in book.nodes.values() if node.role == "entry"):
        for cell in named(typed, node):
            if node.choices:
                wanted[cell] = [
                    ("list", book.nodes[node.choices].name, None, True, "Choose one of the words in the list.")
                ]
            elif node.low is not None and node.high is not None:
                (found,) = rules.get(cell, [(None,) * 5])
                message = str(found[4])
                assert message.startswith(f"A number from {node.low:g} to {node.high:g}"), (cell, message)
                wanted[cell] = [("decimal", f"{node.low:.12g}", f"{node.high:.12g}", True, message)]
            else:  # any text: it is only told what belongs there
                wanted[cell] = [(None, None, None, False, None)]
    assert len(wanted) > 500
    assert rules == wanted


def test_no_message_is_longer_than_excel_allows(typed: Workbook) -> None:
    rules = [rule for sheet in typed.worksheets for rule in sheet.data_validations.dataValidation]
    assert rules
    assert max(len(rule.errorTitle or "") for rule in rules) <= 32
    assert max(len(rule.error or "") for rule in rules) <= 225
    assert [rule.sqref for rule in rules if rule.type is not None and not (rule.error and rule.errorTitle)] == []
    assert max(len(rule.promptTitle or "") for rule in rules) <= 32
    assert max(len(rule.prompt or "") for rule in rules) <= 255


def units(shown: Workbook) -> dict[tuple[str, str], str | None]:
    """The unit beside or above every number, as a reader finds it: in the column or the row that 'Unit' heads."""
    found: dict[tuple[str, str], str | None] = {}
    for sheet in shown.worksheets:
        head: Cell | None = None
        for row in sheet.iter_rows():
            if all(cell.value is None for cell in row):
                head = None
            head = next((cell for cell in row if cell.value == "Unit"), head)
            for cell in row:
                if isinstance(cell.value, int | float) and not isinstance(cell.value, bool):
                    unit = None
                    if head is not None:
                        down = head.column == 1
                        unit = sheet.cell(head.row if down else cell.row, cell.column if down else head.column).value
                    found[sheet.title, cell.coordinate] = unit
    return found


def without_headings(book: Book) -> dict[tuple[str, str], bool]:
    """The numbers of blocks that have no headings, and whether the unit stands beside each, or in the words over it."""
    layout = lay_out(book)
    found = {}
    for sheet in book.sheets:
        for block in sheet.blocks:
            if not isinstance(block, Single | Table) or block.headed:
                continue
            for node in block.rows if isinstance(block, Single) else (*block.fields, *block.tails):
                word = unit_shown(node.unit).split(" ")[0]
                said = isinstance(block, Single) or word in re.findall(r"\w+", f"{block.title} {node.label}".lower())
                for cell in layout.places[node.key].cells:
                    found[sheet.title, cell] = (
                        said or {"ton": "tons", "day": "days"}.get(word, "-") in node.label.lower()
                    )
    return found


def test_every_number_states_its_unit(book: Book, shown: Workbook) -> None:
    bare = without_headings(book)
    assert [
        cell for cell, said in bare.items() if not said and isinstance(shown[cell[0]][cell[1]].value, float | int)
    ] == []
    found = {cell: unit for cell, unit in units(shown).items() if cell not in bare}
    assert len(found) > 3000
    assert [cell for cell, unit in found.items() if not isinstance(unit, str) or not unit.strip()] == []
    assert {unit for unit in found.values() if unit and re.fullmatch(r"[\d.,]+", unit)} == set()


def test_every_unit_is_printed_for_a_reader(shown: Workbook) -> None:
    assert {unit for unit in units(shown).values() if unit and "_" in unit} == set()


def test_the_sheets_stand_in_the_order_of_the_work(typed: Workbook) -> None:
    assert typed.sheetnames == TITLES
    assert [sheet["A1"].value for sheet in typed.worksheets] == TITLES
