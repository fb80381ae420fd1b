"""A newcomer's path through the commands, each run as a program: what is printed, where, and the exit code."""

from __future__ import annotations

import csv
import hashlib
import json
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from openpyxl import Workbook, load_workbook
from packages import cell_of, parts_of

from podbook import recalc
from podbook.recalc import Fault
from podbook.review.gate.read import read

ROOT = Path(__file__).parents[1]
DEMO = ROOT / "podbook" / "data" / "demo"
Done = subprocess.CompletedProcess[str]


def podbook(*words: str | Path) -> Done:
    """Run a command; whatever it prints must not be a traceback."""
    surroundings = {name: value for name, value in os.environ.items() if name not in ("FORCE_COLOR", "COLUMNS")}
    done = subprocess.run(
        [sys.executable, "-m", "podbook", *map(str, words)],
        capture_output=True,
        check=False,
        encoding="utf-8",
        env={**surroundings, "PYTHONPATH": str(ROOT), "PYTHONUTF8": "1", "NO_COLOR": "1"},
        timeout=200,
    )
    assert "Traceback" not in done.stderr + done.stdout, done.stderr
    return done


def digest(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()


def formula_cells(path: Path) -> dict[str, list[str]]:
    book = load_workbook(path)
    return {
        sheet.title: [cell.coordinate for row in sheet.iter_rows() for cell in row if cell.data_type == "f"]
        for sheet in book.worksheets
    }


def names(folder: Path) -> set[str]:
    """Everything in a folder, hidden files too."""
    return {each.name for each in folder.iterdir()}


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Done]:
    path = tmp_path_factory.mktemp("farm") / "farm.xlsx"
    return path, podbook("build", path)


@pytest.fixture(scope="module")
def demo(built: tuple[Path, Done]) -> Path:
    return built[0]


@pytest.fixture
def copy(demo: Path, tmp_path: Path) -> Path:
    return Path(shutil.copyfile(demo, tmp_path / "copy.xlsx"))


def test_build_makes_one_file_and_says_what_comes_next(built: tuple[Path, Done]) -> None:
    path, done = built
    assert (done.returncode, done.stdout) == (0, "")
    assert done.stderr.splitlines() == [
        f"{path}: built for Demo farm (invented). Next: open it, or check it with: podbook verify {path}"
    ]
    assert names(path.parent) == {"farm.xlsx"}


def test_verify_counts_every_formula_cell(demo: Path) -> None:
    count = sum(map(len, formula_cells(demo).values()))
    before = digest(demo)
    done = podbook("verify", demo)
    assert (done.returncode, done.stderr) == (0, "")
    counted = re.search(r"formualizer\D+([\d,]+)\D+([\d,]+)", done.stdout)
    assert counted is not None
    assert counted.groups() == (f"{count:,}", f"{count:,}")
    assert "The workbook's own status: All checks hold\nAll agrees.\n" in done.stdout
    assert digest(demo) == before
    assert names(demo.parent) == {"farm.xlsx"}


def test_verify_gives_one_json_object(demo: Path) -> None:
    done = podbook("verify", demo, "--json")
    verdict = json.loads(done.stdout)
    (engine,) = verdict["engines"]
    assert (done.returncode, done.stderr) == (0, "")
    assert (verdict["file"], verdict["agrees"], verdict["findings"]) == (str(demo), True, [])
    assert verdict["farm"] == "Demo farm (invented)"
    assert verdict["status"] == "All checks hold"
    assert engine["engine"] == "formualizer"
    assert engine["cells"] == engine["agreeing"] == sum(map(len, formula_cells(demo).values()))
    assert 0 <= engine["worst_relative_difference"] <= 1e-9
    assert all(figure["stored"] == figure["own"] == figure["should"] for figure in verdict["figures"])


def test_functions_lists_each_with_units_and_source() -> None:
    plain = json.loads(podbook("functions", "--json").stdout)
    assert list(plain) == ["functions"]
    functions = plain["functions"]
    assert len({each["name"] for each in functions}) == len(functions) > 100
    for each in functions:
        assert each["source"], each["name"]
        assert each["place"], each["name"]
        assert each["says"], each["name"]
        assert all(measured["unit"] for measured in (*each["arguments"], each["returns"])), each["name"]
    done = podbook("functions")
    lines = done.stdout.splitlines()
    heads = [position for position, line in enumerate(lines) if " -> [" in line]
    assert (done.returncode, done.stderr) == (0, "")
    assert lines[-1] == f"{len(functions)} functions"
    assert [lines[head].split(" -> ")[0] for head in heads] == [each["name"] for each in functions]
    for each, head, end in zip(functions, heads, [*heads[1:], len(lines) - 1], strict=True):
        block = lines[head:end]
        assert any(line.startswith(f"    source: {each['source']}, ") for line in block), each["name"]
        for argument in each["arguments"]:
            assert any(re.match(rf"    {argument['name']}\b.*\[.+\]", line) for line in block), each["name"]


def test_functions_with_a_word_lists_those_that_hold_it() -> None:
    every = [each["name"] for each in json.loads(podbook("functions", "--json").stdout)["functions"]]
    some = [each["name"] for each in json.loads(podbook("functions", "Energy", "--json").stdout)["functions"]]
    assert some == [name for name in every if "energy" in name]
    assert 0 < len(some) < len(every)


def test_functions_with_an_unknown_word_says_how_to_see_them_all() -> None:
    done = podbook("functions", "tractor")
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr == "no reference function's name holds 'tractor'; 'podbook functions' lists them all\n"


def test_build_leaves_a_file_that_is_there_until_told(demo: Path, tmp_path: Path) -> None:
    path = tmp_path / "mine.xlsx"
    path.write_bytes(b"a farmer's own notes")
    done = podbook("build", path)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.splitlines() == [
        f"{path}: is already there; nothing was written. Name another file, or add --replace"
    ]
    assert path.read_bytes() == b"a farmer's own notes"
    assert podbook("build", path, "--replace").returncode == 0
    assert path.read_bytes() == demo.read_bytes()
    assert names(tmp_path) == {"mine.xlsx"}


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("build", "{folder}/none/farm.xlsx"), r"none/farm\.xlsx: there is no folder '.*none'; make it first"),
        (("build", "{folder}", "--replace"), r"a workbook's name must end in \.xlsx here; name it so"),
        (("build", "{folder}/farm.xlsx", "--region", "moon"), r"moon.*no such region.*us_midatl_appal"),
        (("build", "{folder}/farm.xlsx", "--colour"), r"No such option '--colour'"),
        (("build",), r"name the workbook to make"),
        (("templates", "{folder}/t", "--only", "moon"), r"'moon'; allowed: .*nz.*us_midatl_appal_metric"),
        (
            ("build", "{folder}/farm.xlsx", "--trees", "{folder}/none.csv"),
            r"none\.csv: found no such file; allowed: the path of a CSV file$",
        ),
        (
            ("build", "{folder}/farm.xlsx", "--farm", "{folder}/none.toml"),
            r"none\.toml: found no such file; allowed: the path of a farm's file",
        ),
        (("verify", "farm.xlsx", "--engine", "abacus"), r"'abacus'; allowed: 'formualizer', 'formulas', 'libreoffice'"),
        (("verify",), r"Missing argument"),
        (("sow",), r"No such command 'sow'"),
    ],
    ids=lambda value: " ".join(value).replace("{folder}", ".") if isinstance(value, tuple) else "",
)
def test_wrong_usage_is_exit_code_2_and_writes_nothing(tmp_path: Path, words: tuple[str, ...], told: str) -> None:
    done = podbook(*(word.format(folder=tmp_path) for word in words))
    assert (done.returncode, done.stdout) == (2, "")
    assert re.search(told, done.stderr), done.stderr
    assert names(tmp_path) == set()


def test_templates_are_made_and_a_stale_one_is_named(tmp_path: Path) -> None:
    folder = tmp_path / "templates"
    only = ("--only", "nz", "--only", "us_midatl_appal_metric")
    missing = podbook("templates", folder, "--check", *only)
    assert missing.returncode == 1
    assert not folder.exists()
    made = podbook("templates", folder, *only)
    assert made.returncode == 0
    assert names(folder) == {
        f"{name}{suffix}" for name in ("nz", "us_midatl_appal_metric") for suffix in (".xlsx", ".md")
    }
    fresh = podbook("templates", folder, "--check", *only)
    assert (fresh.returncode, fresh.stdout, fresh.stderr) == (0, "", "")
    page = folder / "nz.md"
    page.write_text(page.read_text(encoding="utf-8") + "A line by hand.\n", encoding="utf-8")
    stale = podbook("templates", folder, "--check", "--only", "nz")
    assert stale.returncode == 1
    assert stale.stderr.splitlines() == [f"{page}: is stale; run: podbook templates {folder}"]
    assert page.read_text(encoding="utf-8").endswith("A line by hand.\n")


@pytest.mark.parametrize("check", [(), ("--check",)])
def test_templates_want_a_folder(tmp_path: Path, check: tuple[str, ...]) -> None:
    file = tmp_path / "templates"
    file.write_text("mine")
    done = podbook("templates", file, *check)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr == f"{file}: is not a folder; name the folder in which the templates stand\n"
    assert file.read_text() == "mine"


def spoiled(folder: Path, name: str, cells: dict[tuple[int, str], str]) -> Path:
    """A file of the demo farm with other texts in some cells, by line and column."""
    with (DEMO / name).open(encoding="utf-8", newline="") as file:
        rows = list(csv.reader(file))
    for (line, column), text in cells.items():
        rows[line - 1][rows[0].index(column)] = text
    path = folder / name
    with path.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows(rows)
    return path


def refused(folder: Path, *words: str | Path) -> list[str]:
    """The complaints of a build that must be refused and write nothing."""
    before = names(folder)
    done = podbook("build", folder / "farm.xlsx", *words)
    assert (done.returncode, done.stdout) == (2, "")
    assert names(folder) == before
    return done.stderr.splitlines()


WEIGHT = "a plain number, without commas or units, from 0 to 3000 lb"
BAD_TREES = {
    "a comma": ("weight_lb", "1,200", "'1,200'", WEIGHT),
    "a unit": ("weight_lb", "35 lb", "'35 lb'", WEIGHT),
    "a blank": ("weight_lb", "", "a blank", "a number from 0 to 3000 lb"),
    "a negative weight": ("weight_lb", "-138", "'-138'", "a number from 0 to 3000 lb"),
    "35 for 0.35": ("moisture", "35", "'35'", "a share from 0 to 0.7; for 35 % write 0.35"),
    "an unknown type": ("type", "Wyld", "'Wyld'", "one of 'Wild', 'Good', 'Selected grafted'"),
}


@pytest.mark.parametrize(("column", "text", "found", "allowed"), BAD_TREES.values(), ids=BAD_TREES)
def test_a_bad_cell_of_the_tally_is_named(tmp_path: Path, column: str, text: str, found: str, allowed: str) -> None:
    path = spoiled(tmp_path, "tally.csv", {(5, column): text})
    assert refused(tmp_path, "--trees", path) == [
        f"{path}, line 5, column '{column}': found {found}; allowed: {allowed}",
        "1 place to mend; nothing was written",
    ]


def test_a_lab_sheet_that_adds_to_more_than_100_is_named(tmp_path: Path) -> None:
    path = spoiled(tmp_path, "lab.csv", {(2, "cp"): "30", (2, "ndf"): "70"})
    assert refused(tmp_path, "--lab", path) == [
        f"{path}, line 2, column 'cp': found cp + ndf + fat + ash of 106.1 % of dry matter; "
        "allowed: parts that add to at most 100 %",
        "1 place to mend; nothing was written",
    ]


def test_every_bad_row_is_named(tmp_path: Path) -> None:
    cells = {(2, "weight_lb"): "35 lb", (4, "moisture"): "13", (4, "weight_lb"): "", (9, "type"): "Wyld"}
    *complaints, last = refused(tmp_path, "--trees", spoiled(tmp_path, "tally.csv", cells))
    assert last == "4 places to mend; nothing was written"
    places = [re.search(r"line (\d+), column '(\w+)'", line) for line in complaints]
    assert {(int(place[1]), place[2]) for place in places if place} == set(cells)
    assert [int(place[1]) for place in places if place] == [2, 4, 4, 9]


def own_farm(folder: Path, change: Callable[[str], str]) -> tuple[str | Path, ...]:
    """The options that build the demo farm from files, its farm file changed."""
    path = folder / "farm.toml"
    before = (DEMO / "farm.toml").read_text(encoding="utf-8")
    path.write_text(change(before), encoding="utf-8")
    assert path.read_text(encoding="utf-8") != before
    return "--farm", path, "--trees", DEMO / "tally.csv", "--lab", DEMO / "lab.csv"


def with_figure(line: str) -> Callable[[str], str]:
    return lambda text: text.replace("[figures]\n", f"[figures]\n{line}\n")


BAD_FARMS: dict[str, tuple[Callable[[str], str], tuple[str, ...]]] = {
    "an unknown key": (
        lambda text: text.replace("share = 0.3\n", "share = 0.3\ncolour = 3\n", 1),
        ("farm.toml", "'type 1.colour'", "a name that it does not have", "allowed: 'name', 'origin', 'share'"),
    ),
    "a missing key": (
        lambda text: text.replace("share = 0.3\n", "", 1),
        ("farm.toml", "'type 1'", "found no share"),
    ),
    "a text for a number": (
        lambda text: text.replace("share = 0.3\n", 'share = "0.3"\n', 1),
        ("farm.toml", "'type 1.share'", "found '0.3'", "allowed: a plain number"),
    ),
    "a text for a figure": (
        with_figure('hay_price = "1,200"'),
        ("Price of hay, delivered", "found the text '1,200'", "a number from 20 to 700 $/ton as fed"),
    ),
    "a figure out of range": (
        with_figure("hay_price = 5000"),
        ("Price of hay, delivered", "found 5000", "a number from 20 to 700 $/ton as fed"),
    ),
    "35 for 0.35": (
        with_figure("storage_loss = 35"),
        (
            "Lost in storage",
            "found 35",
            "a number from 0 to 0.5 share",
            "For 35 % write 0.35.",
        ),
    ),
    "an unknown figure": (
        with_figure("hay_prise = 140"),
        ("'hay_prise' is no figure of the book; nearest to it: 'hay_price', ", "; 'podbook figures' lists them all"),
    ),
    "a word that is not in the list": (
        with_figure('rank_stock = "horses"'),
        ("Kind of stock for comparing trees", "found the text 'horses'", "one of 'cattle', 'sheep', 'goats'."),
    ),
    "a kind of stock that is not in the list": (
        lambda text: text.replace('kind = "ewe"', 'kind = "mare"'),
        ("Group 4: Kind", "found the text 'mare'", "'growing cattle', 'ewe', 'doe'."),
    ),
}


@pytest.mark.parametrize(("change", "told"), BAD_FARMS.values(), ids=BAD_FARMS)
def test_a_bad_value_of_the_farm_file_is_named(
    tmp_path: Path, change: Callable[[str], str], told: tuple[str, ...]
) -> None:
    words = "\n".join(refused(tmp_path, *own_farm(tmp_path, change)))
    assert [each for each in told if each not in words] == [], words


def test_a_list_of_words_offers_words_only(tmp_path: Path) -> None:
    change = own_farm(tmp_path, lambda text: text.replace('origin = "grafted"', 'origin = "cutting"'))
    words = "\n".join(refused(tmp_path, *change))
    assert "found the text 'cutting'" in words
    assert "None" not in words


def test_a_title_that_looks_like_a_formula_stays_a_text(tmp_path: Path) -> None:
    options = own_farm(tmp_path, lambda text: text.replace("Demo farm (invented)", "=1+1"))
    path = tmp_path / "farm.xlsx"
    assert podbook("build", path, *options).returncode == 0
    cells = [cell for sheet in load_workbook(path) for row in sheet.iter_rows() for cell in row]
    titled = [cell for cell in cells if str(cell.value).startswith("=1+1")]
    assert {cell.parent.title for cell in titled} >= {"Start", "Farm"}
    assert {cell.data_type for cell in titled} == {"s"}
    assert podbook("verify", path).returncode == 0


def other_workbook(path: Path) -> None:
    book = Workbook()
    assert book.active is not None
    book.active["A1"] = "=1+1"
    book.save(path)


def cut_short(path: Path) -> None:
    path.write_bytes(b"PK\x03\x04" + bytes(400))


NOT_OURS: dict[str, tuple[Callable[[Path], Any], str]] = {
    "missing": (lambda path: None, "there is no such file"),
    "a text": (lambda path: path.write_text("tree,type,year\n"), "is not an .xlsx workbook"),
    "empty": (lambda path: path.write_bytes(b""), "is not an .xlsx workbook"),
    "cut short": (cut_short, "is damaged"),
    "someone else's": (other_workbook, "is not a workbook that podbook built"),
    "an old .xls": (
        lambda path: path.write_bytes(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(600)),
        "is an old .xls or has a password; save it as .xlsx without a password",
    ),
}


@pytest.mark.parametrize(("make", "told"), NOT_OURS.values(), ids=NOT_OURS)
def test_a_file_that_cannot_be_checked_is_exit_code_3(tmp_path: Path, make: Callable[[Path], Any], told: str) -> None:
    path = tmp_path / "farm.xlsx"
    make(path)
    before = digest(path) if path.is_file() else None
    words, plain = podbook("verify", path), podbook("verify", path, "--json")
    assert (words.returncode, plain.returncode) == (3, 3)
    assert words.stdout == ""
    assert plain.stderr == words.stderr
    (line,) = words.stderr.splitlines()
    assert "farm.xlsx" in line
    assert told in line
    assert json.loads(plain.stdout) == {"file": str(path), "agrees": None, "could_not_check": line}
    assert (digest(path) if path.is_file() else None) == before
    assert names(tmp_path) <= {"farm.xlsx"}


@pytest.mark.parametrize(("edition", "age"), [("0", ", an older one"), ("907", ", a newer one"), ("b", "")])
def test_another_edition_is_named_with_the_way_on(copy: Path, edition: str, age: str) -> None:
    edit(copy, "book_edition", edition)
    done = podbook("verify", copy)
    assert done.returncode == 3
    assert f"is edition {edition} of the book{age}; this podbook checks edition" in done.stderr
    assert f"podbook carry {copy} NEW.xlsx" in done.stderr


def test_a_folder_stands_for_its_workbooks_and_the_worst_decides(demo: Path, tmp_path: Path) -> None:
    assert (
        podbook("verify", tmp_path).stderr
        == f"{tmp_path}: holds no .xlsx workbook; name files, or a folder that holds some\n"
    )
    shutil.copyfile(demo, tmp_path / "a.xlsx")
    shutil.copyfile(demo, tmp_path / "b.xlsx")
    edit(tmp_path / "b.xlsx", "saving", 1)
    assert podbook("verify", tmp_path).returncode == 1
    (tmp_path / "c.xlsx").write_text("=1+1")
    (tmp_path / "~$a.xlsx").write_text("locked")
    plain, table = podbook("verify", tmp_path, "--json"), podbook("verify", tmp_path, "--csv")
    assert (plain.returncode, table.returncode) == (3, 3)
    together = json.loads(plain.stdout)
    assert [each["agrees"] for each in together["files"]] == [True, False, None]
    assert (together["agrees"], together["differs"], together["unchecked"]) == (1, 1, 1)
    rows = list(csv.DictReader(table.stdout.splitlines()))
    assert [row["result"] for row in rows] == ["agrees", "differs", "unchecked"]
    assert rows[1]["first finding"].startswith("Savings!")
    assert "Traceback" not in plain.stderr + table.stderr


def place(path: Path, name: str) -> tuple[str, str]:
    """Sheet and first cell of a defined name."""
    return cell_of(parts_of(path), name)


def edit(path: Path, name: str, content: object) -> str:
    """Type into the first cell of a name, as a spreadsheet program would store it; return its address."""
    sheet, cell = place(path, name)
    book = load_workbook(path)
    book[sheet][cell] = content
    book.save(path)
    return f"{sheet}!{cell}"


def stored(path: Path, name: str) -> Any:
    return read(path).stored[place(path, name)]


def test_a_result_overwritten_is_told_by_what_it_shows(copy: Path) -> None:
    edit(copy, "first_saving", 500)
    first, *_ = json.loads(podbook("verify", copy, "--json").stdout)["findings"]
    assert re.match(r"It shows \$500 instead of \$[\d,]+; nothing else by itself today", first["effect"])


@pytest.mark.parametrize("factor", [1, 1.1], ids=["its own number", "another number"])
def test_a_formula_overwritten_is_named_first(copy: Path, factor: float) -> None:
    number = stored(copy, "hay_landed_price") * factor
    address = edit(copy, "hay_landed_price", number)
    before = digest(copy)
    done = podbook("verify", copy, "--json")
    verdict = json.loads(done.stdout)
    assert (done.returncode, done.stderr, verdict["agrees"]) == (1, "", False)
    engine, (first, *others) = verdict["engines"][0], verdict["findings"]
    assert f"{first['sheet']}!{first['cell']}" == address
    assert first["what"] == "a formula was overwritten"
    assert first["stands"] == f"{number:.12g}"
    assert first["should"].startswith("=hay_price/")
    assert len(first["followers"]) == engine["cells"] - engine["agreeing"] - 1
    assert (len(first["followers"]) > 0) == (factor != 1)
    assert first["effect"].startswith("Nothing by itself today;") == (factor == 1)
    assert first["should"] in first["advice"]
    assert not any(each["counts"] for each in others)
    words = podbook("verify", copy)
    named = re.findall(r"^\s*(\w+![A-Z]+\d+) \(", words.stdout, re.MULTILINE)
    assert words.returncode == 1
    assert named[0] == address
    assert words.stdout.endswith("1 finding: mend what is named above, first things first.\n")
    assert digest(copy) == before


SLIPS: dict[str, tuple[str, object, str, str, str]] = {
    "a text with a comma": (
        "hay_price_entry",
        "1,200",
        "the text '1,200'",
        "a number from 20 to 700 $/ton as fed",
        "Write the bare number: no commas, no units. The default is used meanwhile.",
    ),
    "a blank": (
        "hay_price_entry",
        None,
        "nothing",
        "a number from 20 to 700 $/ton as fed",
        "The default is used meanwhile.",
    ),
    "35 for 0.35": (
        "storage_loss_entry",
        35,
        "35",
        "a number from 0 to 0.5 share",
        "For 35 % write 0.35. The default is used meanwhile.",
    ),
    "a unit in the tally": (
        "tally_weight",
        "35 lb",
        "the text '35 lb'",
        "a number from 0 to 3000 lb as fed",
        "Write the bare number: no commas, no units. It is left out meanwhile.",
    ),
    "a blank in a lab sheet": (
        "lab_cp",
        None,
        "nothing",
        "a number from 1 to 60 %",
        "It is left out meanwhile.",
    ),
}


@pytest.mark.parametrize(("name", "content", "found", "allowed", "advice"), SLIPS.values(), ids=SLIPS)
def test_a_filled_in_cell_that_cannot_be_used_is_named(
    copy: Path, name: str, content: object, found: str, allowed: str, advice: str
) -> None:
    address = edit(copy, name, content)
    before = digest(copy)
    words, plain = podbook("verify", copy), podbook("verify", copy, "--json")
    assert (words.returncode, plain.returncode) == (1, 1)
    lines = words.stdout.splitlines()
    (heading,) = (number for number, line in enumerate(lines) if line.startswith(f"{address} ("))
    assert lines[heading + 1 : heading + 3] == [f"    stands:  {found}", f"    should:  {allowed}"]
    verdict = json.loads(plain.stdout)
    (entry,) = (each for each in verdict["findings"] if each["counts"])
    assert (entry["kind"], f"{entry['sheet']}!{entry['cell']}") == ("entry", address)
    assert (entry["stands"], entry["should"]) == (found, allowed)
    assert advice in f"{entry['advice']} {entry['effect']}."
    assert verdict["agrees"] is False
    assert verdict["status"].startswith("LOOK")
    assert verdict["engines"][0]["cells"] == verdict["engines"][0]["agreeing"]
    assert digest(copy) == before


def need_libreoffice() -> None:
    if "libreoffice" not in recalc.installed():
        if os.environ.get("PODBOOK_ALL_WITNESSES") != "1":
            pytest.skip("soffice is not installed")
        pytest.fail("soffice is not installed")


TEXTS = ("a text with a comma", "a unit in the tally")
"""Programs may take them for numbers each in its own way; all slips go through the everyday engine elsewhere."""


@pytest.mark.parametrize(("name", "content"), [SLIPS[slip][:2] for slip in TEXTS], ids=TEXTS)
def test_the_workbook_itself_says_look_and_shows_no_error_value(copy: Path, name: str, content: object) -> None:
    need_libreoffice()
    assert not stored(copy, "status").startswith("LOOK")
    edit(copy, name, content)
    cells = formula_cells(copy)
    values = recalc.values(copy, "libreoffice", cells)
    assert len(values) == sum(map(len, cells.values())) > 3000
    assert [address for address, value in values.items() if isinstance(value, Fault)] == []
    assert str(values[place(copy, "status")]).startswith("LOOK")
    assert str(values[place(copy, "first_status")]).startswith("LOOK")


# A season log


LOG = "month,pods_picked_lb,pods_fed_lb,hay_fed_ton,hay_fed_bales,supplement_fed_lb,hay_money,supplement_money," + (
    "collecting_money,days_fed,head_fed,note\n"
)


def test_a_log_from_a_file_stands_in_the_workbook(tmp_path: Path) -> None:
    log, path = tmp_path / "log.csv", tmp_path / "farm.xlsx"
    log.write_text(LOG + "Nov,640\nDec,800,,2.5,,,310,,,17,97,mud at the gate\n", encoding="utf-8")
    done = podbook("build", path, "--log", log)
    assert (done.returncode, done.stdout) == (0, "")
    cells = [str(cell.value) for row in load_workbook(path)["Season log"].iter_rows() for cell in row]
    assert "mud at the gate" in cells
    assert not any(each.startswith("Invented") for each in cells)
    assert podbook("verify", path).returncode == 0


@pytest.mark.parametrize(
    ("row", "told"),
    [
        ("Jul,640", "line 2, column 'month': found 'Jul'; allowed: one of 'Oct', 'Nov'"),
        ("Nov,1 ton", "line 2, column 'pods_picked_lb': found '1 ton'; allowed: a plain number"),
        ("Nov,,,,,,,,,17", "line 2, column 'head_fed': found a blank; allowed: both days_fed and head_fed, or neither"),
    ],
)
def test_a_log_that_cannot_be_used_stops_the_build(tmp_path: Path, row: str, told: str) -> None:
    log, path = tmp_path / "log.csv", tmp_path / "farm.xlsx"
    log.write_text(f"{LOG}{row}\n", encoding="utf-8")
    done = podbook("build", path, "--log", log)
    assert (done.returncode, done.stdout) == (2, "")
    assert told in done.stderr
    assert not path.exists()
