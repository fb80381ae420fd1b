"""One cell told of: what it holds, what feeds it back to what was typed, and whether its reference agrees."""

from __future__ import annotations

import json
import os
import re
import zipfile
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result
from openpyxl import load_workbook

from podbook import regions
from podbook.book.formula import Place, precedents
from podbook.book.writer import write
from podbook.cli import app
from podbook.errors import UnclearName
from podbook.inputs.farm import filled
from podbook.proof.wiring import Where
from podbook.review.explaining import desk as desks
from podbook.review.explaining.desk import Desk, Several
from podbook.review.explaining.explain import Explainer
from podbook.review.explaining.explanation import Explanation
from podbook.review.explaining.feeding import Branch
from podbook.review.explaining.screen import print_explanation
from podbook.review.find import opened
from podbook.sheets import book_of

REGION = "us_midatl_appal"


@pytest.fixture(scope="module")
def farm(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("explain") / "farm.xlsx"
    write(book_of(regions.load(REGION), filled()), path)
    return path


@pytest.fixture(scope="module")
def explainer(farm: Path) -> Explainer:
    return Explainer(farm)


@pytest.fixture(scope="module")
def places(farm: Path) -> Mapping[str, Place]:
    return opened(farm).places


@pytest.fixture
def changed(farm: Path, places: Mapping[str, Place], tmp_path: Path) -> Callable[..., Path]:
    """Return a function that puts other contents into cells of a copy of the workbook."""

    def change(contents: Mapping[Where | tuple[str, str], Any]) -> Path:
        workbook = load_workbook(farm)
        for (key, item), content in contents.items():
            sheet, cell = (key, item) if isinstance(item, str) else (places[key].sheet, places[key].cells[item])
            workbook[sheet][cell].value = content
            if isinstance(item, str):
                workbook[sheet][cell].data_type = "s"
        path = tmp_path / "changed.xlsx"
        workbook.save(path)
        return path

    return change


def explain(*words: str | Path) -> Result:
    return CliRunner().invoke(app, ["explain", *map(str, words)])


def told(*words: str | Path) -> dict[str, Any]:
    found = json.loads(explain(*words, "--json").stdout)
    assert isinstance(found, dict)
    return found


@pytest.fixture
def screen(capsys: pytest.CaptureFixture[str]) -> Callable[[Explanation], str]:
    """Return a function that prints an explanation, and gives what is on the screen."""

    def show(found: Explanation) -> str:
        capsys.readouterr()
        print_explanation(found)
        return capsys.readouterr().out

    return show


def branches(roots: tuple[Branch, ...]) -> Iterator[Branch]:
    for branch in roots:
        yield branch
        yield from branches(branch.branches)


def names(roots: tuple[Branch, ...]) -> list[str]:
    return [each.cell.name if each.cell else each.column.name if each.column else each.stranger for each in roots]


# ---- cells of the demo


def test_a_single_figure_is_told_in_full(explainer: Explainer) -> None:
    found = explainer.explain("hay_landed_price")
    assert found.cell.label == "Hay: price of a ton that is eaten"
    assert found.cell.value == pytest.approx(125 / (0.9 * 0.87), rel=1e-12)
    assert (found.cell.unit, found.cell.sheet) == ("USD/short_ton_fed", "Feeds")
    assert found.formula is not None
    assert found.formula.stands == "=hay_price/((1-storage_loss)*(1-feeding_waste))"
    assert found.formula.words == (
        "‹Price of hay, delivered› ÷ ((1 - ‹Hay: Lost in storage›) × (1 - ‹Hay: Wasted at the feeder›))",
    )
    assert names(found.inputs) == ["hay_price", "storage_loss", "feeding_waste"]
    assert [each.kind for each in found.inputs] == ["figure"] * 3
    assert [(each.cell.name, each.cell.value, each.state) for each in found.entries] == [
        ("hay_price_entry", 125, "as the default"),
        ("storage_loss_entry", 0.1, "as the default"),
        ("feeding_waste_entry", 0.13, "as the default"),
    ]
    function = found.function
    assert function is not None
    assert function.name == "feeds.price_of_eaten"
    assert [(each.name, each.unit) for each in function.parameters] == [
        ("price", "USD/short_ton_fed"),
        ("storage_loss", "fraction"),
        ("feeding_waste", "fraction"),
    ]
    assert function.parameters[0].cells[0].name == "hay_price"
    assert function.result == pytest.approx(125 / (0.9 * 0.87), rel=1e-12)
    assert (found.agrees, found.changes) == (True, ())


def test_an_equation_is_told_with_its_source(explainer: Explainer) -> None:
    function = explainer.explain("hay_de").function
    assert function is not None
    assert function.name == "energy.digestible_energy"
    assert function.says.startswith("Return the digestible energy of a feed from its TDN (percent of dry matter).")
    assert "DE = 0.04409 TDN" in function.says
    assert (function.origin.key, function.origin.place) == ("nrc-beef-1996", "p. 126 (1 kg TDN = 4.409 Mcal DE)")
    assert "Nutrient Requirements of Beef Cattle" in function.origin.cited
    assert function.origin.mark == "read"


def test_a_coefficient_ends_a_branch_with_its_source(explainer: Explainer) -> None:
    found = explainer.explain("hay_de")
    coefficient = next(each for each in found.inputs if each.cell and each.cell.name == "de_per_tdn")
    assert (coefficient.kind, coefficient.source) == ("coefficient", "nrc-beef-1996, p. 126, read")
    alone = explainer.explain("de_per_tdn")
    assert (alone.role, alone.cell.value, alone.agrees) == ("coefficient", 0.04409, True)
    assert alone.origin is not None
    assert (alone.origin.place, alone.origin.mark) == ("p. 126", "read")


def test_a_gate_is_told(explainer: Explainer) -> None:
    function = explainer.explain("tally.crop@3").function
    assert function is not None
    assert function.gate is not None
    assert (function.gate.name, function.gate.value, function.otherwise) == ("tally.counted@3", 1, "0")


def test_an_item_of_a_table(explainer: Explainer) -> None:
    found = explainer.explain("tally.crop@3")
    assert found.cell.item == "Row 3"
    assert names(found.inputs) == ["tally.counted@3", "tally.dry@3", "tally.picked@3"]
    filled_in = {each.cell.name: each.cell.value for each in found.entries}
    crop = filled_in["tally.weight@3"] * (1 - filled_in["tally.moisture@3"]) / filled_in["tally.picked@3"]
    assert found.cell.value == pytest.approx(crop, rel=1e-12)


def test_a_pick_from_a_column_tells_of_the_cell_that_is_picked(explainer: Explainer) -> None:
    found = explainer.explain("pod_crop")
    age = explainer.explain("stand_age").cell.value
    assert names(found.inputs) == ["area", "stand_age", f"years.dry@{age:.0f}"]


def test_a_long_column_is_told_together(explainer: Explainer) -> None:
    found = explainer.explain("by_type.mean@2")
    column = next(each.column for each in found.inputs if each.column and each.column.name == "tally.crop")
    crops = explainer.desk.here.column("tally.crop")
    assert column.count == len(crops) == 60
    assert column.total == pytest.approx(sum(crops))
    assert (column.least, column.most) == (min(crops), max(crops))
    assert [value for _, value in column.not_zero] == [each for each in crops if each]
    assert column.not_zero[0][0] == "Row 1"


def test_a_span_of_fields_is_told_with_all_between_its_ends(explainer: Explainer) -> None:
    found = explainer.explain("years.dry@20")
    assert names(found.inputs) == [f"years.pods_{number}@20" for number in range(1, 7)]


def test_a_whole_column_may_be_asked_for(explainer: Explainer) -> None:
    found = explainer.explain("tally_crop")
    assert found.column is not None
    assert (found.column.name, found.column.count, found.amiss, found.agrees) == ("tally.crop", 60, (), True)
    assert found.cell.name == "tally.crop@1"


def test_a_name_for_several_cells_together(explainer: Explainer) -> None:
    found = explainer.explain("winter_checks")
    assert found.column is not None
    assert found.column.label == "The winter: checks"
    assert found.column.words == (("ok", found.column.count),)
    assert explainer.explain("winter_checks@1").cell.name == found.cell.name == "temperature_before_check"


def test_a_column_tells_of_the_cell_that_counts_most(explainer: Explainer) -> None:
    found = explainer.explain("hay_bought_with", 2)
    column = found.inputs[0]
    assert column.column is not None
    most = max(column.column.not_zero, key=lambda each: each[1])
    assert [(each.which, each.cell.item, each.cell.value) for each in column.branches if each.cell] == [
        ("the largest of them", *most)
    ]


def test_the_tree_goes_as_deep_as_it_is_asked_to(explainer: Explainer) -> None:
    def deepest(roots: tuple[Branch, ...]) -> int:
        return max((1 + deepest(each.branches) for each in roots), default=0)

    for depth in (1, 2, 5):
        found = explainer.explain("saving", depth)
        assert deepest(found.inputs) == depth, depth
        assert any(each.cut for each in branches(found.inputs))
    whole = explainer.explain("hay_me", 40)
    assert not any(each.cut for each in branches(whole.inputs))


def test_a_cell_is_told_of_once(explainer: Explainer) -> None:
    found = explainer.explain("saving", 9)
    grown = [each.cell.name for each in branches(found.inputs) if each.cell and each.branches]
    assert len(grown) == len(set(grown)) > 20
    first = [each.cell.name for each in branches(found.inputs) if each.cell and not each.again and not each.cut]
    assert len(first) == len(set(first))
    known = {*first, *(each.cell.name for each in branches(found.inputs) if each.cell and each.cut)}
    assert {each.cell.name for each in branches(found.inputs) if each.cell and each.again} <= known


def test_what_feeds_a_cell_is_what_its_formula_names(explainer: Explainer) -> None:
    """Against the list that the writer of the book goes by: less only what a pick leaves aside, more only in spans."""
    desk, seen = explainer.desk, 0
    for node in desk.book.worked:
        for item in {0, node.count // 2, node.count - 1}:
            formula = node.formula_of(item)
            read = set()
            for each in desk.inputs((node.key, item)):
                read |= set(each.cells) if isinstance(each, Several) else {each}
            named = set(precedents(desk.book, node, item))
            left = {key for key, _ in named - read}
            assert all(f"INDEX({desk.book.nodes[key].name}," in formula or "ROWS(" in formula for key in left), node.key
            assert read <= named or ":" in formula, node.key
            seen += len(read)
    assert seen > 10_000


def test_what_feeds_a_reference_function_is_found_upstream(explainer: Explainer) -> None:
    """What a formula is worked from is typed apart from what its reference is fed by: all of it must be upstream."""
    desk = explainer.desk
    for node in desk.book.worked:
        where = (node.key, node.count - 1)
        fed = {each for each in desk.wiring.feeds(where) if desk.book.nodes[each[0]].role == "entry"}
        missing = {key for key, _ in fed - set(desk.upstream(where))}
        named = {key for key, _ in precedents(desk.book, node, where[1])}
        assert missing <= named, (node.key, missing)


def test_every_node_is_told_of(explainer: Explainer) -> None:
    book = explainer.book
    for node in book.nodes.values():
        found = explainer.explain(node.key if node.size is None else f"{node.key}@{node.count}", 2)
        assert found.agrees, (node.key, found.verdict)
        assert found.changes == (), node.key
        assert (found.formula is None) == (found.function is None) == (found.role != "worked"), node.key
        if found.formula is not None:
            assert found.formula.words, node.key
            assert found.formula.should == "", node.key
        assert not found.cell.error, node.key


def test_explain_opens_nothing_for_writing(farm: Path) -> None:
    before = farm.read_bytes()
    farm.chmod(0o444)
    try:
        assert explain("saving", farm).exit_code == 0
    finally:
        farm.chmod(0o644)
    assert farm.read_bytes() == before
    assert os.listdir(farm.parent) == [farm.name]


# ---- names


@pytest.mark.parametrize(
    ("name", "found"),
    [
        ("tally.crop@3", "tally.crop@3"),
        ("TALLY_CROP@3", "tally.crop@3"),
        ("tally.crop@row 3", "tally.crop@3"),
        ("winter.pods_eaten@Jan", "winter.pods_eaten@4"),
        ("winter.pods_eaten@january", "winter.pods_eaten@4"),
        ("winter.pods_eaten@Month 4", "winter.pods_eaten@4"),
        ("by_type.mean@selected grafted", "by_type.mean@3"),
        ("returns.worth_own@usual", "returns.worth_own@2"),
        ("price of hay, delivered", "hay_price"),
        ("hay price", "hay_price"),
        ("stock can graze, at the START", "stockpile_start"),
        ("whole crop@3", "tally.crop@3"),
    ],
)
def test_a_cell_is_found_by_what_it_is_called(explainer: Explainer, name: str, found: str) -> None:
    assert explainer.explain(name).cell.name == found


def test_a_label_that_goes_on_is_asked_about_with_one_that_does_not(explainer: Explainer) -> None:
    with pytest.raises(UnclearName, match="which one") as asked:
        explainer.explain("price of hay")
    assert [line.split()[0] for line in str(asked.value).splitlines()[1:]] == ["hay_price", "cases.hay", "cases.price"]


def test_a_cell_is_found_by_its_address(explainer: Explainer, places: Mapping[str, Place]) -> None:
    for key, item in (("trees_per_area", 0), ("sizes.crop", 3), ("hay_price_entry", 0), ("types.name", 1)):
        sheet, cell = places[key].sheet, places[key].cells[item]
        for written in (f"'{sheet}'!{cell}", f"{sheet}!{cell}", f"'{sheet.upper()}'!${cell[0]}${cell[1:]}"):
            found = explainer.explain(written).cell
            assert (found.sheet, found.cell) == (sheet, cell)
            assert found.name.partition("@")[0] == key


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("hay_prise", r"^hay_prise: nothing in the book is called that; close to it are 'hay_price',"),
        ("xyzzyxyzzy", r"^xyzzyxyzzy: nothing in the book is called that$"),
        ("", r"^NAME: found nothing"),
        ("months.days@99", r"'months.days' has 8 items, @1 to @8; found @99$"),
        ("months.days@0", r"@1 to @8; found @0$"),
        ("months.days@²", r"no item of 'months.days' is called '²'"),
        ("months.days@Juvember", r"no item of 'months.days' is called 'Juvember'; it has 8, such as 'Month"),
        ("hay_price@2", r"'hay_price' is a single cell; leave out @2$"),
        ("Nowhere!B2", r"no sheet of the book is called 'Nowhere'; there are 'Start', 'Farm', "),
        ("Stand!ZZ999", r"no figure of the book stands there, nor in its row$"),
        ("Stand!B2:B9", r"is no address of one cell; write it as Stand!B12"),
        ("b12", r"which sheet\? Name it before the cell, such as Start!B12$"),
    ],
)
def test_an_unknown_name_says_so_in_one_line(explainer: Explainer, name: str, words: str) -> None:
    with pytest.raises(UnclearName, match=words) as caught:
        explainer.explain(name)
    assert "\n" not in str(caught.value)


def test_several_that_match_are_listed(explainer: Explainer) -> None:
    with pytest.raises(UnclearName) as caught:
        explainer.explain("dry matter")
    lines = str(caught.value).splitlines()
    assert lines[0] == "dry matter: which one?"
    assert any(re.match(r"  hay_dry_matter  Hay: Dry matter \(Feeds!D\d+\)$", line) for line in lines)
    assert set(caught.value.close) >= {"hay_dry_matter", "corn_dry_matter"}
    with pytest.raises(UnclearName) as caught:
        explainer.explain("of")
    lines = str(caught.value).splitlines()
    assert len(lines) == 1 + 12 + 1
    assert lines[-1] == f"  and {len(caught.value.close) - 12} more; write more of it"


def test_beside_a_figure_stands_its_row(explainer: Explainer, places: Mapping[str, Place]) -> None:
    row = places["yearly_loss"].cells[0][1:]
    with pytest.raises(UnclearName, match="in its row stand") as caught:
        explainer.explain(f"Stand!A{row}")
    assert "yearly_loss" in caught.value.close


# ---- what was filled in


def test_a_default_in_use_is_told(changed: Callable[..., Path], screen: Callable[[Explanation], str]) -> None:
    explainer = Explainer(changed({("hay_price_entry", 0): "about 130", ("storage_loss_entry", 0): 0.2}))
    found = explainer.explain("hay_landed_price")
    states = {each.cell.name: (each.cell.value, each.state, each.used) for each in found.entries}
    assert states["hay_price_entry"] == ("about 130", "default in use", 125)
    assert states["storage_loss_entry"] == (0.2, "typed", 0.2)
    assert found.cell.value == pytest.approx(125 / (0.8 * 0.87))
    assert found.agrees
    assert 'LOOK: "about 130" is typed in Feeds!' in screen(found)
    assert "The default is used meanwhile." in screen(found)
    alone = explainer.explain("hay_price_entry")
    assert alone.typed is not None
    assert (alone.typed.state, alone.verdict) == ("default in use", "it is filled in by you, and can't be used")


def test_a_row_that_is_left_out_is_told(changed: Callable[..., Path]) -> None:
    found = Explainer(changed({("tally.moisture", 2): 35})).explain("tally.crop@3")
    assert found.cell.value == 0
    entry = next(each for each in found.entries if each.cell.name == "tally.moisture@3")
    assert entry.state == "left out"
    assert entry.slip.endswith("It is left out meanwhile.")
    assert "0.35" in entry.slip


def test_what_is_blank_is_counted(explainer: Explainer) -> None:
    found = explainer.explain("pod_crop")
    blank = [each for each in found.entries if each.state == "blank"]
    assert len(blank) > 100
    assert all(each.cell.value in (None, "") for each in blank)
    plain = found.plain()
    assert (plain["blank_entries"], len(plain["entries"])) == (len(blank), len(found.entries) - len(blank))


@pytest.mark.parametrize(
    ("key", "unit"),
    [
        ("hay_price_dry", "$/ton as fed ÷ (lb DM/lb as fed × lb as fed/ton as fed) = $/lb DM, as declared"),
        ("saving", "$, as declared"),
        ("status", ""),
        ("months.celsius@4", "°F of difference × °C/°F = °C, as declared; read from °C of difference: "
                             "degrees above freezing are degrees Celsius: there 0 is freezing"),
    ],
)  # fmt: skip
def test_how_the_unit_of_a_formula_comes_about(explainer: Explainer, key: str, unit: str) -> None:
    found = explainer.explain(key)
    assert found.formula is not None
    assert found.formula.unit == unit


# ---- what was changed


@pytest.mark.parametrize(
    ("stands", "unit"),
    [
        ("=hay_price/hay_dry_matter", "$/ton as fed ÷ (lb DM/lb as fed) = $ lb as fed/lb DM/ton as fed, not $/lb DM: "
                                      "a factor of 2,000 is lost, or one too many"),
        ("=hay_price+pod_crop", "none: it adds lb DM to $/ton as fed"),
        ("=hay_price/2000", "not known: it names something that is none of the book's cells, or a number whose unit "
                            "nobody stated"),
        ("=pod_crop^9^9^9", "not known: it names something that is none of the book's cells, or a number whose unit "
                            "nobody stated"),
        (0.07, ""),
    ],
)  # fmt: skip
def test_the_unit_of_a_formula_that_was_changed(changed: Callable[..., Path], stands: Any, unit: str) -> None:
    found = Explainer(changed({("hay_price_dry", 0): stands})).explain("hay_price_dry")
    assert found.formula is not None
    assert found.formula.unit == unit


def test_a_formula_that_was_typed_over(changed: Callable[..., Path], screen: Callable[[Explanation], str]) -> None:
    explainer = Explainer(changed({("hay_landed_price", 0): 159.64}))
    found = explainer.explain("hay_landed_price")
    assert found.formula is not None
    assert (found.formula.stands, found.formula.words) == ("159.64", ())
    assert found.formula.should == "=hay_price/((1-storage_loss)*(1-feeding_waste))"
    assert found.formula.should_in_words[0].startswith("‹Price of hay, delivered› ÷")
    assert (found.agrees, found.verdict, found.entries) == (False, "a formula was overwritten", ())
    assert names(found.inputs) == ["hay_price", "storage_loss", "feeding_waste"]
    assert "What should feed it (nothing does: its formula was typed over)" in screen(found)
    follower = explainer.explain("hay_price_dry")
    assert not follower.agrees
    assert [(each.cell.name, each.what) for each in follower.changes] == [
        ("hay_landed_price", "a formula was overwritten")
    ]
    assert follower.inputs[0].kind == "changed"
    assert "what feeds it is not right" in follower.verdict


def test_a_formula_that_was_changed_is_told_both_ways(changed: Callable[..., Path]) -> None:
    stands = "=hay_price/(1-storage_loss)+Farm!Z99+corn_price"
    found = Explainer(changed({("hay_landed_price", 0): stands})).explain("hay_landed_price")
    assert found.formula is not None
    assert found.formula.stands == stands
    assert found.formula.words == ("‹Price of hay, delivered› ÷ (1 - ‹Hay: Lost in storage›) + Farm!Z99 + ‹Corn›",), (
        found.formula.words
    )
    assert found.formula.should == "=hay_price/((1-storage_loss)*(1-feeding_waste))"
    assert names(found.inputs) == ["hay_price", "storage_loss", "Farm!Z99", "corn_price"]
    assert not found.agrees
    assert "a formula was changed" in found.verdict


def test_a_changed_formula_that_has_no_words_is_told_as_it_stands(changed: Callable[..., Path]) -> None:
    odd = {
        ("hay_landed_price", 0): "=HYPER(1)&2",
        ("hay_price_dry", 0): "=" + "1+" * 400 + "1",
        ("hay_cost_per_me", 0): "=FOO(hay_price)",
    }
    explainer = Explainer(changed(odd))
    for (key, _), stands in odd.items():
        found = explainer.explain(key)
        assert found.formula is not None
        assert (found.formula.stands, found.formula.words) == (stands, ())
        assert not found.agrees
    assert names(explainer.explain("hay_cost_per_me").inputs) == ["hay_price"]


def test_a_changed_coefficient_is_found_upstream(changed: Callable[..., Path]) -> None:
    path = changed({("de_per_tdn", 0): 0.05})
    explainer = Explainer(path)
    alone, above = explainer.explain("de_per_tdn"), explainer.explain("saving")
    assert (alone.agrees, alone.verdict) == (False, "a coefficient was changed")
    assert not above.agrees
    assert [(each.cell.name, each.stands, each.should) for each in above.changes] == [("de_per_tdn", "0.05", "0.04409")]
    beside = explainer.explain("hay_landed_price")
    assert beside.agrees


def test_a_column_with_one_cell_typed_over(changed: Callable[..., Path]) -> None:
    found = Explainer(changed({("tally.crop", 4): 77})).explain("tally.crop")
    assert (found.amiss, found.agrees, found.cell.name) == (("tally.crop@5",), False, "tally.crop@5")


@pytest.mark.parametrize("lost", ["", None])
def test_a_cell_that_is_lost(farm: Path, monkeypatch: pytest.MonkeyPatch, lost: Any) -> None:
    whole = opened(farm)
    gone = {("tally.crop", 2), ("tally.moisture", 1), ("wind_check", 0)}
    places = {
        key: Place(place.sheet, tuple(lost if (key, item) in gone else cell for item, cell in enumerate(place.cells)))
        for key, place in whole.places.items()
        if key != "frost_chance_check"
    }
    cells = {**whole.cells, **{(place.sheet, lost): None for place in places.values()}}
    monkeypatch.setattr(desks, "opened", lambda path: replace(whole, places=places, cells=cells))
    explainer = Explainer(farm)
    for name in ("tally.crop@3", "wind_check", "frost_chance_check"):
        found = explainer.explain(name)
        assert (found.cell.cell, found.cell.error, found.agrees) == ("", "the cell is gone", False)
        assert found.formula is not None
        assert found.formula.stands == "nothing"
    above = explainer.explain("by_type.mean@2")
    column = next(each.column for each in above.inputs if each.column and each.column.name == "tally.crop")
    assert column.errors == 1
    assert ("tally.crop@3", "the cell is gone") in [(each.cell.name, each.what) for each in above.changes]
    assert [each.kind for each in explainer.explain("tally.dry@2").inputs][-1] == "gone"


# ---- moved and named otherwise


def test_addresses_in_a_sheet_with_another_title(
    farm: Path, places: Mapping[str, Place], tmp_path: Path, screen: Callable[[Explanation], str]
) -> None:
    path = tmp_path / "renamed.xlsx"
    with zipfile.ZipFile(farm) as source, zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as target:
        for part in source.namelist():
            text = source.read(part)
            if part.endswith(".xml"):
                text = re.sub(rb"\bStand!", b"'My (b)stand(-b)'!", text)
                text = text.replace(b'name="Stand"', b'name="My (b)stand(-b)"')
            target.writestr(part, text)
    cell = places["trees_per_area"].cells[0]
    explainer = Explainer(path)
    found = explainer.explain(f"'My (b)stand(-b)'!{cell}")
    assert (found.cell.name, found.agrees, found.cell.sheet) == ("trees_per_area", True, "My (b)stand(-b)")
    assert f"'My (b)stand(-b)'!{cell}, in " in screen(found)
    with pytest.raises(UnclearName, match="no sheet of the book is called 'Stand'"):
        explainer.explain(f"Stand!{cell}")


# ---- texts of the file


def test_texts_of_the_file_are_printed_as_they_stand(
    changed: Callable[..., Path], places: Mapping[str, Place], screen: Callable[[Explanation], str]
) -> None:
    labels = ["[red]x[/red]", "=1+1", "[link=http://x.test]y[/link]", 'a ‹b› "c" \\[/]']
    rows = [re.sub(r"\D", "", cell) for cell in places["tally.crop"].cells]
    contents: dict[Any, Any] = {("Trees", f"A{row}"): label for row, label in zip(rows, labels, strict=False)}
    path = changed({**contents, ("groups.kind", 0): "[bold]cow[/bold]"})
    explainer = Explainer(path)
    for row, label in enumerate(labels, 1):
        shown = screen(explainer.explain(f"tally.crop@{row}"))
        assert f"Whole crop, Row {row} ({label}) = " in shown
        assert shown.count(f", Row {row} ({label})") > 15
        assert explainer.explain(f"tally.crop@{label}").cell.name == f"tally.crop@{row}"
    assert '"[bold]cow[/bold]"' in screen(explainer.explain("groups.kind@1"))
    told_by_command = explain("tally.crop@1", path)
    assert (told_by_command.exit_code, "Row 1 ([red]x[/red])" in told_by_command.stdout) == (0, True)


def test_a_label_of_many_lines_stays_in_one(changed: Callable[..., Path], places: Mapping[str, Place]) -> None:
    row = re.sub(r"\D", "", places["tally.crop"].cells[2])
    path = changed({("Trees", f"A{row}"): "one\ntwo\u202ethree" + "x" * 500})
    found = Explainer(path).explain("tally.crop@3").cell.item
    assert found.startswith("Row 3 (one two three")
    assert found.endswith("x…)")
    assert len(found) < 100


# ---- the command


def test_the_object_holds_what_is_told(farm: Path, explainer: Explainer) -> None:
    found = told("winter.hay_with@Jan", farm, "--depth", "2")
    same: Explanation = explainer.explain("winter.hay_with@4", 2)
    assert found["file"] == str(farm)
    assert found["cell"]["value"] == same.cell.value
    assert found["formula"]["stands"] == same.formula.stands if same.formula else False
    assert [each["cell"]["name"] for each in found["inputs"]] == [f"ration_{group}.hay_with@4" for group in range(1, 6)]
    assert found["inputs"][0]["branches"]
    assert found["function"]["origin"]["key"]
    assert found["agrees"] is True


def test_the_screen_holds_what_is_told(farm: Path) -> None:
    printed = explain("hay_me", farm)
    assert printed.exit_code == 0
    for words in (
        "Hay: metabolizable energy (ME) = ",
        "=me_per_de*hay_de",
        "Metabolizable share of digestible energy› × ‹Hay: digestible energy (DE)›",
        "Unit: Mcal/kg DM, as declared",
        "coefficient: nrc-beef-1996, p. 126, read",
        "Reference function: energy.metabolizable_energy",
        "ME = 0.82 DE.",
        "mark: read",
        "yes: formula and reference function agree",
        "The workbook's own status: All checks hold",
        "never the whole ration",
    ):
        assert words in printed.stdout, words


def test_exit_codes(farm: Path, tmp_path: Path, changed: Callable[..., Path]) -> None:
    no_file = explain("saving", tmp_path / "none.xlsx")
    assert (no_file.exit_code, no_file.stdout) == (3, "")
    (tmp_path / "text.xlsx").write_text("no workbook")
    assert explain("saving", tmp_path / "text.xlsx").exit_code == 3
    unchecked = told("saving", tmp_path / "text.xlsx")
    assert unchecked["agrees"] is None
    assert "is not an .xlsx workbook" in unchecked["could_not_check"]
    several = explain("dry matter", farm)
    assert (several.exit_code, several.stdout) == (2, "")
    assert "which one?" in several.stderr
    assert "hay_dry_matter" in told("dry matter", farm)["which_one"]
    assert explain("saving", farm, "--depth", "0").exit_code == 2
    assert explain("saving").exit_code == 2
    assert explain("saving", changed({("saving", 0): 1})).exit_code == 1


def test_a_desk_looks_at_no_stored_value(farm: Path, tmp_path: Path) -> None:
    path = tmp_path / "stale.xlsx"
    with zipfile.ZipFile(farm) as source, zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as target:
        for part in source.namelist():
            text = source.read(part)
            if part.startswith("xl/worksheets/sheet"):
                text = re.sub(rb"(</f><v>)[0-9.]+(</v>)", rb"\g<1>7\g<2>", text)
            target.writestr(part, text)
    assert Desk(path).value(("saving", 0)) == Desk(farm).value(("saving", 0)) != 7
