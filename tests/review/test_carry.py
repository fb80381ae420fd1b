"""Carry a farm's inputs from one workbook into another: what arrives, whatever edition it comes from."""

from __future__ import annotations

import re
import zipfile
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from pathlib import Path

import pytest
from old_books import (
    KILOGRAM,
    REGION,
    alter,
    assert_same_results,
    assert_verifies,
    beside,
    build,
    contents,
    digest,
    edition,
    fate,
    insert,
    moving,
    put,
    rename,
    spot,
)
from openpyxl import Workbook, load_workbook
from openpyxl.workbook.defined_name import DefinedName

from podbook import regions
from podbook.book.refill import refilled
from podbook.book.writer import write
from podbook.inputs.farm import filled
from podbook.inputs.tally import TreeRecord
from podbook.recalc import DEFAULT
from podbook.review.carrying.carry import carry
from podbook.review.carrying.moving import Moving
from podbook.review.verify import verify
from podbook.sheets import book_of


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return build(tmp_path_factory.mktemp("old") / "demo.xlsx")


@pytest.fixture
def altered(demo: Path, tmp_path: Path) -> Callable[..., Path]:
    """Change a copy of the demo farm's workbook."""
    return lambda *changes: alter(demo, tmp_path / "old.xlsx", *changes)


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
    assert load_workbook(new)["Trees"]["A101"].value == "=not a formula"


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
    area = 0.40468564224
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
    assert [(each.key, each.was, each.old) for each in left if each.key] == [("acreage_entry", 99, "Farm!B45")]
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
    ("coat_wet_entry", "maybe", "the text 'maybe'", "one of 'no', 'yes'"),
    ("cold_rule_entry", 1, "1", "one of 'acclimatised'"),
    ("groups_kind", "camel", "the text 'camel'", "one of 'dry pregnant cow'"),
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
    assert "found 1000000;" in fate(done.fates, "groups.head").why
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
