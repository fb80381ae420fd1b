"""The farm's own file, and what is filled in where a file is not named."""

from __future__ import annotations

from pathlib import Path

import pytest

from podbook.errors import BadInput
from podbook.inputs.farm import BORROWED, filled
from podbook.inputs.filled import Group, TypeOfTree

TYPE = '[[type]]\nname = "{}"\norigin = "seedling"\nshare = 0.5\nfirst_crop_age = 9\nfull_crop_age = 20\n'
GROUP = '[[group]]\nkind = "ewe"\nhead = 30\nbody_weight = 150\n'
FARM = '[farm]\ntitle = "Ridge"\n'
LAB = "type,basis,parts,moisture,seed_share,cp,ndf,ndicp,adicp,fat,ash,lignin,sugar" + "".join(
    f",seed_{name}" for name in ("cp", "ndf", "ndicp", "adicp", "fat", "ash", "lignin", "sugar")
)
TALLY = "tree,type,year,age,weight_lb,share_picked,moisture"


def farm_file(folder: Path, text: str) -> Path:
    path = folder / "farm.toml"
    path.write_text(text, encoding="utf-8")
    return path


def lab_file(folder: Path, *types: str) -> Path:
    path = folder / "lab.csv"
    rows = [f"{each},dry,whole,12.5,0.30,10.4,34.0,,,2.3,3.8,7.2,17.0" for each in types]
    path.write_text("\n".join([LAB, *rows]) + "\n", encoding="utf-8")
    return path


def tally_file(folder: Path, *types: str) -> Path:
    path = folder / "tally.csv"
    rows = [f"{tree},{each},2024,20,100,1,0.13" for tree, each in enumerate(types, 1)]
    path.write_text("\n".join([TALLY, *rows]) + "\n", encoding="utf-8")
    return path


def complaint(path: Path) -> tuple[str, str, str]:
    """Column, found and allowed of the first complaint about a farm's file."""
    with pytest.raises(BadInput) as caught:
        filled(farm=path)
    first, *_ = caught.value.complaints
    assert first.file == str(path)
    return first.column, first.found, first.allowed


def test_nothing_named_is_the_whole_demo_farm() -> None:
    found = filled()
    assert found.title == "Demo farm (invented)"
    assert [each.name for each in found.types] == [each.kind for each in found.sheets]
    assert {each.kind for each in found.records} == {each.name for each in found.types}
    assert {each.kind for each in found.groups} == {"dry pregnant cow", "cow with calf", "growing cattle", "ewe", "doe"}
    assert found.figures["stand_age"] == 15


def test_a_farm_alone_borrows_neither_trees_nor_lab_sheets(tmp_path: Path) -> None:
    found = filled(farm=farm_file(tmp_path, FARM + TYPE.format("Wild")))
    assert (found.title, found.records, found.sheets, found.groups, found.figures) == ("Ridge", (), (), (), {})
    assert found.types == (TypeOfTree("Wild", "seedling", 0.5, 9, 20),)


def test_trees_alone_stand_on_the_demo_farm_and_say_so(tmp_path: Path) -> None:
    demo = filled()
    found = filled(trees=tally_file(tmp_path, "Good", "Wild"))
    assert found.title == BORROWED
    assert [each.kind for each in found.records] == ["Good", "Wild"]
    assert (found.types, found.sheets, found.groups) == (demo.types, demo.sheets, demo.groups)


def test_lab_sheets_alone_make_the_types_in_equal_shares(tmp_path: Path) -> None:
    found = filled(lab=lab_file(tmp_path, "Ash hollow", "Mill", "Creek", "Barn"))
    assert found.title == BORROWED
    assert [each.name for each in found.types] == ["Ash hollow", "Mill", "Creek", "Barn"]
    assert [each.share for each in found.types] == [0.25] * 4
    assert found.records == ()
    assert found.groups == filled().groups


def test_trees_are_read_by_the_types_of_the_lab_sheets(tmp_path: Path) -> None:
    found = filled(trees=tally_file(tmp_path, "Mill"), lab=lab_file(tmp_path, "Mill"))
    assert [each.kind for each in found.records] == ["Mill"]
    with pytest.raises(BadInput, match=r"tally\.csv, line 3, column 'type': found 'Wild'; allowed: one of 'Mill'"):
        filled(trees=tally_file(tmp_path, "Mill", "Wild"), lab=lab_file(tmp_path, "Mill"))


def test_all_three_files_are_taken_as_they_are(tmp_path: Path) -> None:
    own = farm_file(tmp_path, FARM + TYPE.format("Mill") + TYPE.format("Creek") + GROUP)
    found = filled(farm=own, trees=tally_file(tmp_path, "Creek"), lab=lab_file(tmp_path, "Creek", "Mill"))
    assert found.title == "Ridge"
    assert [each.name for each in found.types] == ["Mill", "Creek"]
    assert [each.kind for each in found.sheets] == ["Creek", "Mill"]
    assert [each.kind for each in found.records] == ["Creek"]


def test_a_lab_sheet_of_a_type_that_the_farm_lacks_is_named(tmp_path: Path) -> None:
    own, lab = farm_file(tmp_path, FARM + TYPE.format("Mill")), lab_file(tmp_path, "Mill", "Creek", "Barn")
    with pytest.raises(BadInput) as caught:
        filled(farm=own, lab=lab)
    told = [(each.file, each.line, each.column, each.found) for each in caught.value.complaints]
    assert told == [(str(lab), 3, "type", "'Creek'"), (str(lab), 4, "type", "'Barn'")]
    assert {each.allowed for each in caught.value.complaints} == {"one of 'Mill'"}


def test_a_lab_sheet_below_an_empty_line_is_named_by_its_own_line(tmp_path: Path) -> None:
    own, lab = farm_file(tmp_path, FARM + TYPE.format("Mill")), lab_file(tmp_path, "Mill", "Creek")
    lab.write_text(lab.read_text(encoding="utf-8").replace("Mill,", "\nMill,"), encoding="utf-8")
    with pytest.raises(BadInput) as caught:
        filled(farm=own, lab=lab)
    assert [each.line for each in caught.value.complaints] == [4]


def test_what_a_group_does_not_say_has_its_default(tmp_path: Path) -> None:
    extra = GROUP + "days_pregnant = 50\ncondition = 6.5\n"
    found = filled(farm=farm_file(tmp_path, FARM + TYPE.format("Wild") + GROUP + extra)).groups
    assert found == (Group("ewe", 30, 150), Group("ewe", 30, 150, condition=6.5, days_pregnant=50))


def test_figures_are_kept_as_they_are_written(tmp_path: Path) -> None:
    figures = '[figures]\nhay_price = 140\nstorage_loss = 0.2\nrank_stock = "sheep"\n'
    found = filled(farm=farm_file(tmp_path, FARM + TYPE.format("Wild") + figures)).figures
    assert found == {"hay_price": 140, "storage_loss": 0.2, "rank_stock": "sheep"}


def test_a_type_keeps_its_own_yield(tmp_path: Path) -> None:
    found = filled(farm=farm_file(tmp_path, FARM + TYPE.format("Wild") + "own_yield = 45\n" + TYPE.format("Good")))
    assert [each.own_yield for each in found.types] == [45, None]


def test_a_file_saved_with_a_byte_order_mark_is_read(tmp_path: Path) -> None:
    path = farm_file(tmp_path, "\ufeff" + FARM + TYPE.format("Wild"))
    assert filled(farm=path).title == "Ridge"


NUMBER = "a plain number"
WORD = "a word in quotes"
FIGURE = "a number, or a word in quotes"
TITLE = "a title of 1 to 60 letters"
NAME = "a name of at most 30 characters that begins with a letter"
PARTS = "[farm], [[type]], [[group]], [figures]"
OF_TYPE = "'name', 'origin', 'share', 'first_crop_age', 'full_crop_age', 'own_yield', 'tree_price', 'kind', 'analysis'"
ONE = FARM + TYPE.format("Wild")
REFUSED = {
    "an unknown part": (ONE + "[trees]\ncount = 3\n", "trees", "a part that a farm file does not have", PARTS),
    "a part of the wrong kind": ("farm = 3\n", "farm", "a part that a farm file does not have", PARTS),
    "a list of one": (FARM + "[type]\nname = 'Wild'\n", "type", "a part that a farm file does not have", PARTS),
    "nothing": ("", "farm.title", "nothing", TITLE),
    "no title": ("[farm]\n" + TYPE.format("Wild"), "farm.title", "nothing", TITLE),
    "a blank title": ('[farm]\ntitle = " "\n', "farm.title", "' '", TITLE),
    "a title with a line break": ('[farm]\ntitle = "a\\nb"\n', "farm.title", "'a\\nb'", TITLE),
    "a title with a character no sheet holds": ('[farm]\ntitle = "a\\u0001"\n', "farm.title", "'a\\x01'", TITLE),
    "an unknown name in farm": (
        FARM + 'owner = "x"\n',
        "farm.owner",
        "a name that it does not have",
        "'title', 'units'",
    ),
    "no type": (FARM, "type", "0 types", "1 to 6 types"),
    "an unknown name in type": (ONE + "colour = 3\n", "type 1.colour", "a name that it does not have", OF_TYPE),
    "a type that is a number": ("type = [3]\n" + FARM, "type 1", "3", "a part with names and values"),
    "a blank name": (ONE + TYPE.format(""), "type 2.name", "''", WORD),
    "a name to calculate": (ONE + TYPE.format("=1+1"), "type 2.name", "'=1+1'", NAME),
    "a name with a wildcard": (ONE + TYPE.format("W*"), "type 2.name", "'W*'", NAME),
    "a text for a number": (ONE.replace("0.5", '"0.5"'), "type 1.share", "'0.5'", NUMBER),
    "a number for a word": (ONE.replace('"seedling"', "3"), "type 1.origin", "3", WORD),
    "yes for a number": (ONE + GROUP.replace("30", "true"), "group 1.head", "True", NUMBER),
    "a number without end": (ONE + GROUP.replace("30", "inf"), "group 1.head", "inf", NUMBER),
    "no number": (ONE + GROUP.replace("30", "nan"), "group 1.head", "nan", NUMBER),
    "a number that no cell holds": (
        ONE + GROUP.replace("30", "1" + "0" * 400),
        "group 1.head",
        "1" + "0" * 38 + "…",
        NUMBER,
    ),
    "a blank kind": (ONE + GROUP.replace("ewe", ""), "group 1.kind", "''", WORD),
    "yes for a figure": (ONE + "[figures]\nhay_price = true\n", "figures.hay_price", "True", FIGURE),
    "a list for a figure": (ONE + "[figures]\nhay_price = [1, 2]\n", "figures.hay_price", "[1, 2]", FIGURE),
    "a figure without end": (ONE + "[figures]\nhay_price = inf\n", "figures.hay_price", "inf", FIGURE),
    "a figure that no cell holds": (ONE + f"[figures]\narea = 1{'0' * 400}\n", "figures.area", f"1{'0' * 38}…", FIGURE),
}


@pytest.mark.parametrize(("text", "column", "found", "allowed"), REFUSED.values(), ids=REFUSED)
def test_a_value_that_cannot_be_used_is_named(tmp_path: Path, text: str, column: str, found: str, allowed: str) -> None:
    assert complaint(farm_file(tmp_path, text)) == (column, found, allowed)


def test_all_that_is_wrong_in_a_file_is_told_at_once(tmp_path: Path) -> None:
    text = """[farm]
title = ""
[[type]]
name = "Wild"
origin = "seedling"
share = "half"
colour = "green"
first_crop_age = 8
full_crop_age = 20
[[group]]
kind = "ewe"
head = "35 hd"
body_weight = 140
[[group]]
kind = "ewe"
[figures]
hay_price = [1]
"""
    path = farm_file(tmp_path, text)
    with pytest.raises(BadInput) as caught:
        filled(path)
    assert [each.column for each in caught.value.complaints] == [
        "farm.title", "type 1.share", "type 1.colour", "group 1.head", "group 2", "figures.hay_price",
    ]  # fmt: skip


def test_everything_that_a_type_lacks_is_named_at_once(tmp_path: Path) -> None:
    column, found, _ = complaint(farm_file(tmp_path, FARM + '[[type]]\nname = "Wild"\nshare = 1\n'))
    assert (column, found) == ("type 1", "no origin, first_crop_age, full_crop_age")


def test_everything_that_a_group_lacks_is_named_at_once(tmp_path: Path) -> None:
    column, found, _ = complaint(farm_file(tmp_path, ONE + "[[group]]\nhead = 3\n"))
    assert (column, found) == ("group 1", "no kind, body_weight")


def test_two_types_of_one_name_are_refused_whatever_their_capitals(tmp_path: Path) -> None:
    column, _, allowed = complaint(farm_file(tmp_path, ONE + TYPE.format("WILD")))
    assert (column, allowed) == ("type 2.name", "a name of its own")


def test_six_types_five_groups_and_sixty_letters_are_the_most(tmp_path: Path) -> None:
    def text(letters: int, types: int, groups: int) -> str:
        title = f'[farm]\ntitle = "{"a" * letters}"\n'
        return title + "".join(TYPE.format(f"Type {n}") for n in range(types)) + GROUP * groups

    most = filled(farm=farm_file(tmp_path, text(60, 6, 5)))
    assert (len(most.title), len(most.types), len(most.groups)) == (60, 6, 5)
    assert complaint(farm_file(tmp_path, text(61, 6, 5)))[0] == "farm.title"
    assert complaint(farm_file(tmp_path, text(60, 7, 5)))[:2] == ("type", "7 types")
    assert complaint(farm_file(tmp_path, text(60, 6, 6)))[:2] == ("group", "6 groups")


def test_a_file_that_cannot_be_read_is_named_with_the_reason(tmp_path: Path) -> None:
    def told(content: bytes | None) -> str:
        path = tmp_path / "farm.toml"
        path.unlink(missing_ok=True)
        if content is not None:
            path.write_bytes(content)
        with pytest.raises(BadInput) as caught:
            filled(farm=path)
        return str(caught.value).removeprefix(f"{tmp_path}/")

    kind = "a farm's file (TOML)"
    assert told(None) == f"farm.toml: found no such file; allowed: the path of {kind}"
    assert complaint(tmp_path) == ("", "a folder", f"the path of {kind}")
    assert told(FARM.encode() + b"title\n") == (
        "farm.toml, line 3: found a line that is no TOML (expected '=' after a key in a key/value pair);"
        ' allowed: lines such as name = 3 or name = "a word", below headings in [brackets]'
    )
    assert told(FARM.encode() + b"a = [1,").startswith("farm.toml: found an end that is no TOML (")
    assert told(b'[farm]\ntitle = "\xff"\n') == (
        f"farm.toml, line 2: found letters that are not UTF-8; allowed: {kind}, saved as UTF-8"
    )
    assert told(b"PK\x03\x04 and more") == (
        f"farm.toml: found a workbook or another packed file; allowed: {kind}, which is plain text"
    )
    assert told(f"{FARM}[figures]\narea = 1{'0' * 5000}".encode()).endswith(f"to be read; allowed: {kind}")
    assert told(b"#" * 10_000_001) == f"farm.toml: found more than 10,000,000 bytes; allowed: {kind}"


@pytest.mark.parametrize("units", ['["us"]', "{a = 1}", "3"])
def test_units_that_are_no_word_are_refused(tmp_path: Path, units: str) -> None:
    column, _, allowed = complaint(farm_file(tmp_path, f"{FARM}units = {units}\n{TYPE.format('Ridge')}"))
    assert (column, allowed) == ("farm.units", "'us', 'metric'")
