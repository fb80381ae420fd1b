"""Carry a farm's inputs from one workbook into another: what arrives, what does not, and whether it is said."""

from __future__ import annotations

import hashlib
import json
import re
import shutil
import zipfile
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from types import MappingProxyType
from typing import Any

import pytest
from openpyxl import Workbook, load_workbook
from openpyxl.chart import BarChart, Reference
from openpyxl.comments import Comment
from openpyxl.utils.cell import column_index_from_string, coordinate_from_string, get_column_letter
from openpyxl.workbook.defined_name import DefinedName
from typer.testing import CliRunner

from podbook import recalc, regions
from podbook.book.refill import refilled
from podbook.book.writer import write
from podbook.cli import app
from podbook.errors import EngineFailed, PodbookError
from podbook.inputs.farm import filled
from podbook.inputs.filled import Filled
from podbook.inputs.tally import TreeRecord
from podbook.proof.compare import differs
from podbook.recalc import DEFAULT
from podbook.review import snapshot
from podbook.review.carry import carry
from podbook.review.fate import Fate
from podbook.review.find import Opened, entered, opened, wanted
from podbook.review.moving import Moving
from podbook.review.old import Old
from podbook.review.outlook import outlook
from podbook.review.verify import verify
from podbook.sheets import book_of

REGION = "us_midatl_appal"
KILOGRAM = 1 / 0.45359237
"""Pounds in a kilogram; the international pound is exact."""
Change = Callable[[Workbook], Any]


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("old") / "demo.xlsx"
    write(book_of(regions.load(REGION), filled()), path)
    return path


@pytest.fixture
def altered(demo: Path, tmp_path: Path) -> Callable[..., Path]:
    def alter(*changes: Change, source: Path | None = None) -> Path:
        workbook = load_workbook(source or demo)
        for change in changes:
            change(workbook)
        path = tmp_path / "old.xlsx"
        workbook.save(path)
        return path

    return alter


def spot(workbook: Workbook, name: str, item: int = 0) -> Any:
    """The cell of an item of a name."""
    sheet, _, span = workbook.defined_names[name].attr_text.rpartition("!")
    cells = [cell for row in _rows(workbook[sheet.strip("'")][span.replace("$", "")]) for cell in row]
    return cells[item]


def _rows(found: Any) -> Any:
    return found if isinstance(found, tuple) else ((found,),)


def put(**contents: Any) -> Change:
    """Fill in cells by name, from the first item of a table on."""

    def change(workbook: Workbook) -> None:
        for name, content in contents.items():
            for item, each in enumerate(content if isinstance(content, list) else [content]):
                spot(workbook, name, item).value = each

    return change


def beside(name: str, unit: str, *, rows: int = 0, columns: int = 1) -> Change:
    """Put another unit beside a cell."""

    def change(workbook: Workbook) -> None:
        cell = spot(workbook, name)
        cell.parent.cell(cell.row + rows, cell.column + columns).value = unit

    return change


def edition(words: str) -> Change:
    return put(book_edition=words)


def rename(old: str, new: str | None) -> Change:
    def change(workbook: Workbook) -> None:
        name = workbook.defined_names.pop(old)
        if new is not None:
            workbook.defined_names[new] = DefinedName(new, attr_text=name.attr_text)

    return change


def insert(sheet: str, *, row: int = 0, column: int = 0) -> Change:
    """Insert a row or a column as a spreadsheet program does: names move with their cells, or grow around them."""

    def moved(coordinate: str) -> str:
        letters, number = coordinate_from_string(coordinate.replace("$", ""))
        place = column_index_from_string(letters)
        return f"${get_column_letter(place + (0 < column <= place))}${number + (0 < row <= number)}"

    def change(workbook: Workbook) -> None:
        for merged in list(workbook[sheet].merged_cells.ranges):
            workbook[sheet].unmerge_cells(str(merged))
        if row:
            workbook[sheet].insert_rows(row)
        else:
            workbook[sheet].insert_cols(column)
        for name in list(workbook.defined_names):
            title, _, span = workbook.defined_names[name].attr_text.rpartition("!")
            if title.strip("'") == sheet:
                words = f"{title}!{':'.join(map(moved, span.split(':')))}"
                workbook.defined_names[name] = DefinedName(name, attr_text=words)

    return change


def moving(path: Path, region: str = REGION) -> Moving:
    """Take the entries out of a workbook, without writing the new one."""
    bare = book_of(regions.load(region), Filled("", ()))
    return Moving(Old(path), bare, bare)


def fate(fates: Any, key: str, item: int = 0) -> Fate:
    (found,) = [each for each in fates if each.key == key and each.item == item]
    return found


def contents(path: Path, key: str) -> list[Any]:
    """What stands in the cells of a node of a workbook of today."""
    found = opened(path)
    place = found.places[key]
    return [found.cells[(place.sheet, cell)] for cell in place.cells]


def results(path: Path) -> tuple[Opened, dict[str, tuple[Any, ...]]]:
    """The value of every formula, by its node."""
    found = opened(path)
    values = recalc.values(path, DEFAULT, wanted(found))
    return found, {node.key: entered(found, values, node.key) for node in found.book.worked}


def assert_same_results(one: Path, other: Path) -> None:
    (_, wanted_values), (_, found) = results(one), results(other)
    assert found.keys() == wanted_values.keys()
    for key, column in wanted_values.items():
        assert all(differs(a, b) is not None for a, b in zip(column, found[key], strict=True)), key


def assert_verifies(path: Path) -> None:
    verdict = verify(path, (DEFAULT,))
    (comparison,) = verdict.comparisons
    assert comparison.agreeing == comparison.cells > 10_000
    assert verdict.agrees


def digest(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()


# To itself


def test_a_workbook_carried_into_its_own_edition_is_the_same_file(demo: Path, tmp_path: Path) -> None:
    before, new = digest(demo), tmp_path / "new.xlsx"
    done = carry(demo, new)
    assert done.complete
    assert done.counts["left"] == done.counts["converted"] == 0
    assert new.read_bytes() == demo.read_bytes()
    assert digest(demo) == before
    assert {each.name for each in tmp_path.iterdir()} == {"new.xlsx"}


def busy_farm(path: Path) -> Path:
    """A farm in which something of every kind is filled in: more rows than a bare book has, and notes beside them."""
    base = filled()
    kinds = [each.name for each in base.types]
    records = [TreeRecord(1 + n // 2, kinds[n // 2 % 3], 2020 + n % 2, 12.0, 20.0 + n, 0.9, 0.14) for n in range(70)]
    figures = {**base.figures, "hay_price": 171.5, "coat_wet": "YES", "pod_form": "ground", "own_rate": 0.04}
    book = book_of(
        regions.load(REGION), replace(base, title="Busy farm (invented)", records=tuple(records), figures=figures)
    )
    days, cases = book.nodes["months.days"].contents, book.nodes["cases.yields"].contents
    typed = {
        "months.days": (*days[:2], 10.0, *days[3:]),
        "months.name": ("Early", *book.nodes["months.name"].contents[1:]),
        "cases.yields": (0.5, *cases[1:]),
        "access.whole": (0.2, 0.7, 0.8),
        "by_type.own": (None, 44.5, None, None, None, None),
    }
    notes = list(book.tables["tally"].items)
    notes[0], notes[69] = "by the gate", "=not a formula"
    write(refilled(book, typed, {"tally": tuple(notes)}), path)
    return path


def test_everything_that_can_be_filled_in_arrives(tmp_path: Path) -> None:
    old, new = busy_farm(tmp_path / "old.xlsx"), tmp_path / "new.xlsx"
    done = carry(old, new)
    assert done.complete
    assert new.read_bytes() == old.read_bytes()
    assert_verifies(new)
    for key in ("hay_price_entry", "coat_wet_entry", "own_rate_entry"):
        assert fate(done.fates, key).outcome == "carried"
    assert fate(done.fates, "wind_entry").outcome == "default"
    assert {each.outcome for each in done.fates if each.key == "months.days"} == {"carried"}
    assert {each.outcome for each in done.fates if each.key == "months.temperature"} == {"default"}
    assert [each.becomes for each in done.fates if each.key == "tally.note"] == ["by the gate", "=not a formula"]
    assert load_workbook(new)["Trees"]["A100"].value == "=not a formula"


def test_the_same_farm_saved_by_another_program_gives_the_same_results(
    altered: Callable[..., Path], tmp_path: Path
) -> None:
    old, new = altered(put(hay_price_entry=140, tally_weight=[33.25, None, 0])), tmp_path / "new.xlsx"
    done = carry(old, new)
    assert done.complete
    assert_same_results(old, new)


# Another edition


def test_an_edition_of_kilograms_and_hectares_is_converted(
    altered: Callable[..., Path], demo: Path, tmp_path: Path
) -> None:
    weights = contents(demo, "groups.body_weight")
    area = 43560 * (1200 / 3937) ** 2 / 10_000
    old = altered(
        edition("0"),
        put(groups_body_weight=[each / KILOGRAM for each in weights]),
        beside("groups_body_weight_low", "kg", columns=-1),
        put(tally_weight=[each / KILOGRAM for each in contents(demo, "tally.weight") if each is not None]),
        beside("tally_weight_low", "kg as fed", rows=-1, columns=0),
        put(area_entry=12 * area, area_default=10 * area),
        beside("area_entry", "ha"),
        put(temperature_before_entry=10, temperature_before_default=10),
        beside("temperature_before_entry", "°C"),
        put(months_temperature=[(each - 32) / 1.8 for each in contents(demo, "months.temperature")]),
        beside("months_temperature_low", "°C", columns=-1),
        put(share_cap_entry=25, share_cap_default=20),
        beside("share_cap_entry", "%"),
    )
    new = tmp_path / "new.xlsx"
    done = carry(old, new)
    assert done.complete
    assert done.editions[0] == "0"
    assert_verifies(new)
    assert contents(new, "groups.body_weight") == pytest.approx(weights)
    assert contents(new, "tally.weight")[:25] == pytest.approx(contents(demo, "tally.weight")[:25])
    assert contents(new, "area_entry") == pytest.approx([12])
    assert contents(new, "share_cap_entry") == pytest.approx([0.25])
    assert contents(new, "temperature_before_entry") == contents(demo, "temperature_before_entry")
    assert contents(new, "months.temperature") == contents(demo, "months.temperature")
    moved = fate(done.fates, "area_entry")
    assert (moved.outcome, moved.was_in, moved.unit) == ("converted", "ha", "acre")
    assert fate(done.fates, "temperature_before_entry").outcome == "default"
    assert {each.outcome for each in done.fates if each.key == "months.temperature"} == {"default"}
    same = tmp_path / "same.xlsx"
    figures = {**filled().figures, "area": 12.0, "share_cap": 0.25}
    write(book_of(regions.load(REGION), replace(filled(), figures=figures)), same)
    assert_same_results(same, new)


def test_a_unit_that_cannot_be_turned_leaves_the_figure(altered: Callable[..., Path]) -> None:
    units = {"calf_weight": "kg as fed", "mature_weight": "9**9**9**9", "gain": "", "condition": "share"}
    changes = [beside(f"groups_{name}_low", unit, columns=-1) for name, unit in units.items()]
    stone = beside("groups_body_weight_low", "stone", columns=-1)
    moved = moving(altered(edition("0"), put(groups_body_weight=[90]), stone, *changes))
    assert fate(moved.fates, "groups.body_weight").becomes == 90 * 14
    for name, unit in units.items():
        found = fate(moved.fates, f"groups.{name}")
        assert found.outcome == "left"
        assert (unit or "no unit") in found.why
        assert moved.contents[f"groups.{name}"] == (None,) * 5


def test_names_that_an_edition_lacks_or_has_besides(altered: Callable[..., Path], tmp_path: Path) -> None:
    old = altered(
        edition("0"),
        put(area_entry=99, wind_entry=7),
        rename("area_entry", "acreage_entry"),
        rename("area_default", "acreage_default"),
        rename("row_spacing_entry", "rows_apart_entry"),
        rename("row_spacing_default", "rows_apart_default"),
        rename("wind_default", None),
        rename("cases_hay", None),
        put(hay_price_entry=131, hay_price_default=131),
    )
    new = tmp_path / "new.xlsx"
    done = carry(old, new)
    assert not done.complete
    assert_verifies(new)
    left = [each for each in done.fates if each.outcome == "left"]
    assert [(each.key, each.was, each.old) for each in left if each.key] == [("acreage_entry", 99, "Farm!B44")]
    assert {each.old for each in left if not each.key} == {f"Returns!{cell}" for cell in ("B9", "C9", "D9")}
    assert fate(done.fates, "area_entry").outcome == fate(done.fates, "cases.hay").outcome == "default"
    assert "not asked for" in fate(done.fates, "area_entry").why
    assert contents(new, "area_entry") == [10]
    assert fate(done.fates, "wind_entry").outcome == "carried"
    price = fate(done.fates, "hay_price_entry")
    assert (price.outcome, price.was, price.becomes) == ("default", 131, 125)
    assert "another" in price.why


def test_rows_and_columns_put_in_between_do_no_harm(altered: Callable[..., Path], demo: Path, tmp_path: Path) -> None:
    old = altered(
        insert("Farm", row=4),
        insert("Farm", row=45),
        insert("Farm", column=4),
        insert("Trees", row=40),
        insert("Herd", column=3),
        insert("Start", row=2),
        put(hay_price_entry=139),
    )
    new = tmp_path / "new.xlsx"
    done = carry(old, new)
    assert done.complete, [each for each in done.fates if each.outcome == "left"]
    assert done.title == "Demo farm (invented)"
    assert_verifies(new)
    blank = contents(new, "tally.tree").index(None)
    trees = contents(new, "tally.tree")
    assert trees[:blank] + trees[blank + 1 :][: 25 - blank] == contents(demo, "tally.tree")[:25]
    for key in ("types.name", "groups.kind", "groups.body_weight", "months.days"):
        assert contents(new, key) == contents(demo, key)


def test_a_column_put_in_between_holds_nothing_that_has_a_place(altered: Callable[..., Path]) -> None:
    moved = moving(altered(insert("Herd", column=3), lambda book: setattr(spot(book, "groups_head", 1), "value", 12)))
    (found,) = [each for each in moved.fates if each.outcome == "left"]
    assert (found.key, found.was, found.old) == ("groups.head", 12, "Herd!C9")


def test_items_in_another_order_are_known_by_their_headings(altered: Callable[..., Path]) -> None:
    def swap(workbook: Workbook) -> None:
        cattle, sheep = spot(workbook, "access_whole", 0), spot(workbook, "access_whole", 1)
        page = cattle.parent
        heading = next(row for row in range(cattle.row, 0, -1) if page.cell(row, cattle.column).value == "cattle")
        page.cell(heading, cattle.column).value, page.cell(heading, sheep.column).value = "sheep", "cattle"

    moved = moving(altered(edition("0"), swap, put(access_whole=[0.5, 0.25, 0.8])))
    assert moved.contents["access.whole"] == (0.25, 0.5, 0.8)


def test_an_edition_with_fewer_items_fills_the_first_ones(altered: Callable[..., Path]) -> None:
    def shorten(workbook: Workbook) -> None:
        for name in [name for name in workbook.defined_names if name.startswith("groups_")]:
            words = workbook.defined_names[name].attr_text
            workbook.defined_names[name] = DefinedName(name, attr_text=words.replace("$F$", "$D$"))

    moved = moving(altered(edition("0"), shorten))
    assert moved.contents["groups.kind"][2:] == ("growing cattle", None, None)
    assert not [each for each in moved.fates if each.outcome == "left"]


# Entries that can't be used


UNUSABLE = [
    ("hay_price_entry", "about 140", "the text 'about 140'", "Write the bare number"),
    ("corn_price_entry", 99999, "99999", "a number from"),
    ("hay_tdn_entry", 0.58, "0.58", "Write the percent as printed: 58"),
    ("share_cap_entry", 30, "30", "For 30 % write 0.3"),
    ("area_entry", True, "True", "a number from"),
    ("row_spacing_entry", datetime(2026, 3, 4), "2026-03-04", "a number from"),
    ("coat_wet_entry", "maybe", "the text 'maybe'", "one of no, yes"),
    ("cold_rule_entry", 1, "1", "one of acclimatised"),
    ("groups_kind", "camel", "the text 'camel'", "one of dry pregnant cow"),
    ("groups_head", -3, "-3", "a number from 1"),
    ("tally_type", "Wildling", "the text 'Wildling'", "a type named on the sheet Farm"),
    ("tally_moisture", "12 %", "the text '12 %'", "Write the bare number"),
    ("types_name", "a*b", "the text 'a*b'", "without * ?"),
    ("lab_seed_cp", 77, "77", "a number from"),
    ("wind_entry", "x" * 5000, "xxx…", "a number from"),
]


@pytest.fixture(scope="module")
def unusable(demo: Path, tmp_path_factory: pytest.TempPathFactory) -> Moving:
    path, workbook = tmp_path_factory.mktemp("unusable") / "old.xlsx", load_workbook(demo)
    put(**{name: content for name, content, _, _ in UNUSABLE})(workbook)
    workbook.save(path)
    return moving(path)


@pytest.mark.parametrize(("name", "found", "hint"), [(name, found, hint) for name, _, found, hint in UNUSABLE])
def test_an_entry_that_cannot_be_used_is_left_and_named(unusable: Moving, name: str, found: str, hint: str) -> None:
    node = unusable.book.by_name[name]
    left = fate(unusable.fates, node.key)
    assert left.outcome == "left"
    assert found in left.why
    assert hint in left.why
    assert len(left.why) < 300
    assert unusable.contents.get(node.key, node.contents)[0] == node.contents[0] == left.becomes


def test_what_is_left_out_of_a_column_leaves_the_rest_of_it(altered: Callable[..., Path], tmp_path: Path) -> None:
    old = altered(put(groups_head="many", tally_moisture=[7], hay_price_entry="dear", types_name=["a?b"]))
    new = tmp_path / "new.xlsx"
    done = carry(old, new)
    assert not done.complete
    assert {each.key for each in done.fates if each.outcome == "left"} == {
        "groups.head", "tally.moisture", "hay_price_entry", "types.name", "tally.type",
    }  # fmt: skip
    assert contents(new, "groups.head")[0] is None
    assert contents(new, "groups.body_weight")[0] == contents(old, "groups.body_weight")[0]
    assert contents(new, "tally.weight")[0] == contents(old, "tally.weight")[0]
    assert done.status.startswith("LOOK")
    verdict = verify(new, (DEFAULT,))
    assert not verdict.comparisons[0].disagreements
    assert {"groups.head", "tally.moisture"} <= {each.key for each in verdict.slips}


# Formulas


def test_a_formula_is_carried_as_its_value(altered: Callable[..., Path], tmp_path: Path) -> None:
    def own(workbook: Workbook) -> None:
        workbook.create_sheet("Mine")["B2"] = 33

    old = altered(
        own,
        put(
            hay_price_entry="=2*71.25",
            hay_tdn_entry="=1/0",
            hay_cp_entry='=""',
            wind_entry="=0+0",
            tally_weight=["=Mine!B2+1", 40],
            types_name=['="Wild "&"one"'],
            coat_wet_entry='=IF(1=1,"yes","no")',
            groups_head=["=1000*1000"],
        ),
    )
    new = tmp_path / "new.xlsx"
    done = carry(old, new)
    values = {"hay_price_entry": 142.5, "wind_entry": 0, "tally.weight": 34, "coat_wet_entry": "yes"}
    for key, value in {**values, "types.name": "Wild one"}.items():
        found = fate(done.fates, key)
        assert (found.outcome, found.becomes) == ("carried", value)
        assert re.fullmatch(r"the formula =.+ is carried as its value", found.why)
        assert contents(new, key)[0] == value
    assert fate(done.fates, "hay_tdn_entry").outcome == "left"
    assert "#DIV/0!" in fate(done.fates, "hay_tdn_entry").why
    assert "gives nothing" in fate(done.fates, "hay_cp_entry").why
    assert "found 1e+06" in fate(done.fates, "groups.head").why
    assert contents(new, "hay_tdn_entry") == contents(new, "hay_tdn_default")
    assert contents(new, "groups.head")[0] is None


def test_a_stored_value_is_never_carried(altered: Callable[..., Path], tmp_path: Path) -> None:
    path = altered(put(hay_price_entry="=100+41"))
    lying = tmp_path / "lying.xlsx"
    with zipfile.ZipFile(path) as source, zipfile.ZipFile(lying, "w", zipfile.ZIP_DEFLATED) as target:
        for name in source.namelist():
            content, times = re.subn(
                rb"(<f>100\+41</f>)<v\s*/>|(<f>100\+41</f>)<v></v>", rb"<f>100+41</f><v>55</v>", source.read(name)
            )
            assert times <= 1
            target.writestr(name, content)
    assert load_workbook(lying, data_only=True)["Feeds"]["B7"].value == 55
    assert fate(moving(lying).fates, "hay_price_entry").becomes == 141


# What is the user's own


def test_sheets_cells_notes_and_charts_of_the_users_own_are_listed(
    altered: Callable[..., Path], tmp_path: Path
) -> None:
    def own(workbook: Workbook) -> None:
        mine = workbook.create_sheet("Fodder <log>")
        for row in range(1, 6):
            mine.append([row, row * 2])
        chart = BarChart()
        chart.add_data(Reference(mine, min_col=2, min_row=1, max_row=5))
        mine.add_chart(chart, "D2")
        another = BarChart()
        another.add_data(Reference(mine, min_col=1, min_row=1, max_row=5))
        workbook["Savings"].add_chart(another, "T40")
        workbook["Feeds"]["P9"] = "ask the neighbour"
        workbook["Feeds"]["P10"] = 17
        workbook["Herd"]["B9"].comment = Comment("two heifers more in spring", "me")
        workbook["Cautions"]["A3"].comment = Comment("read", "me")

    done = carry(altered(own), tmp_path / "new.xlsx")
    assert not done.complete
    assert not done.counts["left"]
    assert {(each.kind, each.sheet, each.count, each.first) for each in done.leftovers} == {
        ("cells on a sheet of your own", "Fodder <log>", 10, "A1"),
        ("charts", "Fodder <log>", 1, ""),
        ("charts", "Savings", 1, ""),
        ("cells of your own beside the book's", "Feeds", 2, "P9"),
        ("notes on cells", "Herd", 1, "B9"),
        ("notes on cells", "Cautions", 1, "A3"),
    }
    assert len([words for words in done.sentences() if "of your own" in words]) == 6
    assert "6 places" in done.summary


def test_a_copied_sheet_is_the_users_own(altered: Callable[..., Path], tmp_path: Path) -> None:
    def copy(workbook: Workbook) -> None:
        workbook.copy_worksheet(workbook["Feeds"]).title = "Feeds (2)"

    done = carry(altered(copy), tmp_path / "new.xlsx")
    assert [(each.kind, each.sheet) for each in done.leftovers] == [("cells on a sheet of your own", "Feeds (2)")]
    assert not done.counts["left"]


def test_an_outlook_is_not_missed(demo: Path, tmp_path: Path) -> None:
    looked = tmp_path / "looked.xlsx"
    snapshot.write(outlook(demo, count=20), looked)
    done = carry(looked, tmp_path / "new.xlsx")
    assert done.complete
    assert [(each.sheet, each.lost) for each in done.leftovers] == [("Outlook", False)]
    assert "podbook outlook" in " ".join(done.sentences())


def test_a_boxed_cell_that_no_name_leads_to_is_left(altered: Callable[..., Path], tmp_path: Path) -> None:
    old = altered(put(hay_price_entry=150), rename("hay_price_entry", None))
    done = carry(old, tmp_path / "new.xlsx")
    assert [(each.old, each.was) for each in done.fates if each.outcome == "left"] == [("Feeds!B7", 150)]
    assert "gone" in fate(done.fates, "hay_price_entry").why


@pytest.mark.parametrize("title", ["x" * 61, "a\u202eb"])
def test_a_title_that_cannot_be_used_is_left(altered: Callable[..., Path], tmp_path: Path, title: str) -> None:
    old = altered(lambda workbook: setattr(workbook["Start"]["A5"], "value", title))
    done = carry(old, tmp_path / "new.xlsx")
    assert done.title == "A farm"
    assert fate(done.fates, "title").outcome == "left"


# Another region


@pytest.fixture
def elsewhere(monkeypatch: pytest.MonkeyPatch) -> str:
    """A second region, with dearer hay and a winter that begins a month earlier."""
    load, home = regions.load, regions.load(REGION)
    numbers = {**home.numbers, "hay_price": replace(home.numbers["hay_price"], value=170.0)}
    drop = replace(home.monthly["pod_drop"], by_month=MappingProxyType({9: 0.2, 10: 0.4, 11: 0.4}))
    warmth = {month: 50.0 + month for month in range(1, 13)}
    temperature = replace(home.monthly["temperature"], by_month=MappingProxyType(warmth))
    region = replace(
        home,
        name="elsewhere",
        numbers=MappingProxyType(numbers),
        monthly=MappingProxyType({"pod_drop": drop, "temperature": temperature}),
    )
    monkeypatch.setattr(regions, "names", lambda: ("elsewhere", REGION))
    monkeypatch.setattr(regions, "load", lambda name: region if name == "elsewhere" else load(name))
    return "elsewhere"


def test_another_region_gives_its_defaults_and_leaves_what_was_typed(
    altered: Callable[..., Path], demo: Path, tmp_path: Path, elsewhere: str
) -> None:
    names = contents(demo, "months.name")
    assert names[:2] == ["Oct", "Nov"]
    warm = [each + 1 for each in contents(demo, "months.temperature")]
    old, new = altered(put(months_temperature=warm, wage_entry=31)), tmp_path / "new.xlsx"
    done = carry(old, new, elsewhere)
    assert done.regions == (REGION, elsewhere)
    assert_verifies_but_for_entries(new)
    assert contents(new, "book_region") == [elsewhere]
    assert contents(new, "wage_entry") == [31]
    price = fate(done.fates, "hay_price_entry")
    assert (price.outcome, price.was, price.becomes) == ("default", 125, 170)
    assert contents(new, "months.name") == ["Sep", *names[:-1]]
    assert contents(new, "months.temperature") == [59, *warm[:-1]]
    assert contents(new, "months.drop") == [0.2, 0.4, 0.4, 0, 0, 0, 0, 0]
    left = [each for each in done.fates if each.outcome == "left"]
    assert [(each.key, each.was) for each in left] == [("months.temperature", warm[-1])]
    assert carry(new, tmp_path / "again.xlsx").regions == (elsewhere, elsewhere)


def assert_verifies_but_for_entries(path: Path) -> None:
    (comparison,) = verify(path, (DEFAULT,)).comparisons
    assert comparison.agreeing == comparison.cells > 10_000


def test_an_unknown_region_needs_another_to_be_named(altered: Callable[..., Path], demo: Path, tmp_path: Path) -> None:
    old, new = altered(put(book_region="nowhere", hay_price_entry=150)), tmp_path / "new.xlsx"
    with pytest.raises(PodbookError, match=r"'nowhere'.+--region.+us_midatl_appal"):
        carry(old, new)
    assert not new.exists()
    done = carry(old, new, REGION)
    assert done.complete
    assert contents(new, "hay_price_entry") == [150]
    assert contents(new, "months.days") == contents(demo, "months.days")
    doubtful = [each for each in done.fates if each.key == "months.days"]
    assert {each.outcome for each in doubtful} == {"carried"}
    assert all("'nowhere'" in each.why for each in doubtful)


# What is refused, and the command


def run(*words: str | Path) -> Any:
    done = CliRunner().invoke(app, ["carry", *map(str, words)])
    assert done.exception is None or isinstance(done.exception, SystemExit), done.exception
    return done


def test_the_command_tells_and_counts(altered: Callable[..., Path], tmp_path: Path) -> None:
    old = altered(put(hay_price_entry="[red]dear[/b]", wage_entry="=10+9"), edition("[/b]"))
    before, new = digest(old), tmp_path / "new.xlsx"
    done = run(old, new)
    assert done.exit_code == 1
    (summary,) = done.stderr.splitlines()
    assert summary.startswith(f"{new}: Demo farm (invented): ")
    assert summary.endswith(f"Next: podbook verify {new}")
    (line,) = [line for line in done.stdout.splitlines() if "[red]dear[/b]" in line]
    assert "left out" in line
    assert "Feeds!B7" in line
    assert "=10+9" in done.stdout
    assert digest(old) == before
    again = run(old, new, "--replace", "--json")
    told = json.loads(again.stdout)
    assert again.exit_code == 1
    assert (told["complete"], told["counts"]["left"]) == (
        False,
        sum(each["outcome"] == "left" for each in told["entries"]),
    )
    assert told["editions"] == ["[/b]", "1"]
    assert {"was": "[red]dear[/b]", "key": "hay_price_entry"}.items() <= next(
        each for each in told["entries"] if each["outcome"] == "left"
    ).items()


def test_a_whole_farm_is_carried_with_code_0(demo: Path, tmp_path: Path) -> None:
    done = run(demo, tmp_path / "new.xlsx")
    assert done.exit_code == 0
    assert "289 carried" in done.stderr
    assert "233 more figures" in done.stdout
    assert "left out" not in done.stdout


WRONG_USES: dict[str, Callable[[Path, Path], tuple[str | Path, ...]]] = {
    "is already there": lambda old, folder: (old, shutil.copyfile(old, folder / "there.xlsx")),
    "must end in .xlsx": lambda old, folder: (old, folder / "new.ods"),
    "there is no folder": lambda old, folder: (old, folder / "none" / "new.xlsx"),
    "the old workbook itself": lambda old, folder: (old, old, "--replace"),
    "is the old workbook": lambda old, folder: (old, _linked(old, folder / "link.xlsx"), "--replace"),
    "found 'moon'; this podbook knows": lambda old, folder: (old, folder / "new.xlsx", "--region", "moon"),
}


def _linked(old: Path, link: Path) -> Path:
    link.hardlink_to(old)
    return link


@pytest.mark.parametrize("words", WRONG_USES)
def test_a_wrong_use_is_told_in_one_line(demo: Path, tmp_path: Path, words: str) -> None:
    before, arguments = digest(demo), WRONG_USES[words](demo, tmp_path)
    there = {each.name: digest(each) for each in tmp_path.iterdir()}
    done = run(*arguments)
    assert (done.exit_code, done.stdout) == (2, "")
    (line,) = done.stderr.splitlines()
    assert words in line
    assert digest(demo) == before
    assert {each.name: digest(each) for each in tmp_path.iterdir()} == there


def _plain_workbook(path: Path) -> None:
    Workbook().save(path)


def _with_macros(path: Path) -> None:
    Workbook().save(path)
    with zipfile.ZipFile(path, "a") as package:
        package.writestr("xl/vbaProject.bin", b"x")


def _many_names(path: Path) -> None:
    workbook = Workbook()
    for number in range(300):
        workbook.defined_names[f"n{number}"] = DefinedName(f"n{number}", attr_text="Sheet!$A$1:$A$5000")
    workbook.save(path)


def _numbered(path: Path) -> None:
    workbook = Workbook()
    workbook.defined_names["book_edition"] = DefinedName("book_edition", attr_text="Sheet!$A$1")
    workbook["Sheet"]["A1"] = 4
    workbook.save(path)


UNREADABLE: dict[str, Callable[[Path], Any]] = {
    "there is no such file": lambda path: None,
    "is not an .xlsx workbook": lambda path: path.write_bytes(b"tree,type\n1,wild\n"),
    "is an old .xls or has a password": lambda path: path.write_bytes(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"x" * 600),
    "no cell named 'book_edition'": _plain_workbook,
    "is not a workbook that podbook built": _numbered,
    "macros": _with_macros,
    "its names lead to 1,500,000 cells": _many_names,
}


@pytest.mark.parametrize("words", UNREADABLE)
def test_a_file_that_cannot_be_read_is_told_in_one_line(tmp_path: Path, words: str) -> None:
    old, new = tmp_path / "old.xlsx", tmp_path / "new.xlsx"
    UNREADABLE[words](old)
    done = run(old, new)
    assert (done.exit_code, done.stdout) == (3, "")
    (line,) = done.stderr.splitlines()
    assert words in line
    assert not new.exists()
    told = json.loads(run(old, new, "--json").stdout)
    assert told["complete"] is None
    assert words in told["could_not_carry"]


def test_what_a_formula_cannot_be_written_is_left(altered: Callable[..., Path], tmp_path: Path) -> None:
    old = altered(lambda workbook: setattr(workbook["Trees"]["A31"], "value", "=CHAR(1)"))
    moved = moving(old)
    assert fate(moved.fates, "tally.note").outcome == "left"
    assert moved.labels["tally"][0] == "Row 1"


def test_nothing_is_written_where_writing_fails(demo: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(path: Path) -> None:
        raise EngineFailed("the engine stumbled")

    monkeypatch.setattr(recalc, "fill", fail)
    done = run(demo, tmp_path / "new.xlsx")
    assert (done.exit_code, done.stderr) == (3, "the engine stumbled\n")
    assert list(tmp_path.iterdir()) == []
