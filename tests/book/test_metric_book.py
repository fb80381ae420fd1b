"""The metric book: the same formulas and the same winter, in other units and words."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from openpyxl import load_workbook

from podbook import recalc, regions
from podbook.book.layout import lay_out
from podbook.book.metric import in_metric_words
from podbook.book.model import Book
from podbook.book.writer import write
from podbook.inputs import farm as farms
from podbook.proof.agreement import differs
from podbook.proof.evaluate import end_to_end
from podbook.review.ahead.outlook import outlook
from podbook.review.verify import verify
from podbook.sheets import book_of
from podbook.systems import METRIC, US, Turn

REGION = "us_midatl_appal"
US_WORDS = re.compile(
    r"\b(lbs?|pounds?|acres?|tons?|short ton|feet|ft|miles?|mph|bushels?|Fahrenheit|Mcal)\b|°F", re.IGNORECASE
)


def _values(path: Path, book: Book) -> dict[str, list[object]]:
    places = lay_out(book).places
    wanted: dict[str, list[str]] = {}
    for node in book.nodes.values():
        wanted.setdefault(places[node.key].sheet, []).extend(places[node.key].cells)
    values = recalc.values(path, recalc.DEFAULT, wanted)
    return {
        node.key: [values[(places[node.key].sheet, cell)] for cell in places[node.key].cells]
        for node in book.nodes.values()
    }


@pytest.fixture(scope="module")
def pair(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Book, Path, Book]:
    folder = tmp_path_factory.mktemp("pair")
    books = [book_of(regions.load(REGION), farms.filled(), units) for units in (US, METRIC)]
    paths = [folder / f"{units}.xlsx" for units in (US, METRIC)]
    for book, path in zip(books, paths, strict=True):
        write(book, path)
    return paths[0], books[0], paths[1], books[1]


def test_a_farm_in_both_systems_has_the_same_winter_cell_by_cell(pair: tuple[Path, Book, Path, Book]) -> None:
    us_path, us_book, metric_path, metric_book = pair
    us, metric = _values(us_path, us_book), _values(metric_path, metric_book)
    apart = []
    said = {node.key for node in us_book.nodes.values() if node.worded or node.key in ("mending.what", "doubting.what")}
    for node in metric_book.nodes.values():
        if node.role == "span" or node.key in ("book_units",):
            continue
        turn = metric_book.turns.get(node.key, Turn())
        for item, (one, other) in enumerate(zip(us[node.key], metric[node.key], strict=True)):
            number = isinstance(one, float | int) and not isinstance(one, bool)
            wanted = turn.of(float(one)) if number else in_metric_words(str(one)) if node.key in said else one
            if differs(other, wanted) is None:
                apart.append((node.key, item, one, other))
    assert apart == []
    assert any("tonne" in str(each) for each in metric["looking.what"])
    assert sum(turn != Turn() for turn in metric_book.turns.values()) > 500


def test_the_formulas_are_the_same_in_both_systems(pair: tuple[Path, Book, Path, Book]) -> None:
    us_path, _, metric_path, _ = pair
    us, metric = (load_workbook(path) for path in (us_path, metric_path))
    formulas = [
        {
            (sheet.title, cell.coordinate): cell.value
            for sheet in workbook.worksheets
            for row in sheet.iter_rows()
            for cell in row
            if cell.data_type == "f"
        }
        for workbook in (us, metric)
    ]
    assert len(formulas[0]) > 10_000
    assert formulas[0] == formulas[1]


def test_verification_finds_that_all_agrees(pair: tuple[Path, Book, Path, Book]) -> None:
    verdict = verify(pair[2], (recalc.DEFAULT,))
    assert verdict.comparisons[0].disagreements == ()
    assert verdict.comparisons[0].agreeing == verdict.comparisons[0].cells > 10_000


def test_the_same_draws_give_the_same_outlook(pair: tuple[Path, Book, Path, Book]) -> None:
    """Many draws at once are turned like a single figure."""
    us, metric = (outlook(path, count=40) for path in (pair[0], pair[2]))
    assert metric.draws.keys() == us.draws.keys()
    for name, draws in us.draws.items():
        np.testing.assert_allclose(metric.draws[name], draws, rtol=1e-9, atol=1e-6, err_msg=name)


@pytest.mark.parametrize(
    ("key", "wanted"),
    [
        ("kg_per_weight", 1),
        ("weight_per_ton", 1000),
        ("area_in_square_spacing", 10_000),
        ("freezing_point", 0),
        ("neutral_air", 20),
        ("celsius_per_degree", 1),
        ("kcal_per_energy", 1000 / 4.184),
        ("dry_per_degree", 0.018),
        ("fasting_heat", 0.077 * 4.184),
    ],
)
def test_factors_of_the_metric_book(pair: tuple[Path, Book, Path, Book], key: str, wanted: float) -> None:
    assert pair[3].nodes[key].contents[0] == pytest.approx(wanted, rel=1e-14)


def test_no_word_of_the_us_system_is_left(pair: tuple[Path, Book, Path, Book]) -> None:
    """Sources are quoted as they stand, and so is the bibliography; all else is turned."""
    _, _, path, book = pair
    quoted = {node.place for node in book.nodes.values()} | {node.mark for node in book.nodes.values()}
    left = []
    for sheet in load_workbook(path).worksheets:
        if sheet.title == "Works":
            continue
        for row in sheet.iter_rows():
            for cell in row:
                if cell.data_type != "s" or not US_WORDS.search(text := str(cell.value).replace("fescue foot", "")):
                    continue
                if not any(place and place in text for place in quoted) and not text.startswith("memory"):
                    left.append((sheet.title, cell.coordinate, text))
    assert left == []


@pytest.mark.parametrize(
    ("words", "wanted"),
    [
        ("Trees an acre", "Trees a hectare"),
        ("Beef cows 9 to 31 lb a day; does 2 to 5 lb.", "Beef cows 4.1 to 14 kg a day; does 0.91 to 2.3 kg."),
        ("A small bale: 3 x 1.5 x 1.17 ft.", "A small bale: 0.91 x 0.46 x 0.357 m."),
        ("110 % at 4 °F", "110 % at -16 °C"),
        ("corn 56 lb a bushel", "corn 72 kg a hectolitre"),
        ("30 $ a tree and 450 $ an acre", "30 $ a tree and 1,100 $ a hectare"),
        ("watch for fescue foot", "watch for fescue foot"),
        ("cotton, tonic and stone", "cotton, tonic and stone"),
        ("Miles of fence", "Kilometres of fence"),
    ],
)
def test_texts_are_turned(words: str, wanted: str) -> None:
    assert in_metric_words(words) == wanted


def test_a_farm_file_and_a_tally_in_metric_units_give_the_same_book(tmp_path: Path) -> None:
    """Weights in kilograms, spacing in metres, milk in kilograms a day: the same farm as in pounds and feet."""
    (tmp_path / "us.toml").write_text(
        '[farm]\ntitle = "Two (invented)"\n[[type]]\nname = "Wild"\norigin = "seedling"\nshare = 1\n'
        "first_crop_age = 8\nfull_crop_age = 20\nown_yield = 100\n[[group]]\nkind = 'cow with calf'\nhead = 20\n"
        "body_weight = 1200\npeak_milk = 20\n[figures]\narea = 10\nrow_spacing = 40\nhay_price = 120\nwind = 5\n",
        encoding="utf-8",
    )
    (tmp_path / "metric.toml").write_text(
        '[farm]\ntitle = "Two (invented)"\nunits = "metric"\n[[type]]\nname = "Wild"\norigin = "seedling"\nshare = 1\n'
        "first_crop_age = 8\nfull_crop_age = 20\nown_yield = 45.359237\n[[group]]\nkind = 'cow with calf'\nhead = 20\n"
        "body_weight = 544.310844\npeak_milk = 9.0718474\n[figures]\narea = 4.0468564224\nrow_spacing = 12.192\n"
        f"hay_price = {120 / 0.90718474!r}\nwind = 8.04672\n",
        encoding="utf-8",
    )
    heading = "tree,type,year,age,{},share_picked,moisture\n1,Wild,2024,30,{},1,0.13\n"
    (tmp_path / "us.csv").write_text(heading.format("weight_lb", 100), encoding="utf-8")
    (tmp_path / "metric.csv").write_text(heading.format("weight_kg", 45.359237), encoding="utf-8")
    one, other = (farms.filled(tmp_path / f"{units}.toml", tmp_path / f"{units}.csv") for units in ("us", "metric"))
    books = [book_of(regions.load(REGION), replace(each, records=each.records)) for each in (one, other)]
    for key, node in books[0].nodes.items():
        for here, there in zip(node.contents, books[1].nodes[key].contents, strict=True):
            assert here == (pytest.approx(there, rel=1e-13) if isinstance(there, float) else there), key


def test_a_farm_keeps_its_name_and_its_own_money() -> None:
    farm = replace(farms.filled(), title="Forty Acre Farm at Dollar Hill (invented)")
    book = book_of(regions.load("nz"), farm, METRIC)
    assert any(sheet.purpose.startswith("Forty Acre Farm at Dollar Hill (invented). Fill") for sheet in book.sheets)
    assert book.nodes["book_title"].contents == (farm.title,)
    assert "US dollars" in book.nodes["order.price"].note
    assert not any("US dollars" in node.note for key, node in book.nodes.items() if key.startswith("log."))


def test_a_figure_typed_in_metric_units_stands_in_the_cell_as_typed(tmp_path: Path) -> None:
    (tmp_path / "farm.toml").write_text(
        '[farm]\ntitle = "Ours (invented)"\nunits = "metric"\n[[type]]\nname = "Wild"\norigin = "seedling"\nshare = 1\n'
        "first_crop_age = 8\nfull_crop_age = 20\n[[group]]\nkind = 'ewe'\nhead = 20\nbody_weight = 70\n"
        "[figures]\narea = 9.9\nrow_spacing = 11\nhay_price = 140\nwind = 7\n",
        encoding="utf-8",
    )
    book = book_of(regions.load(REGION), farms.filled(tmp_path / "farm.toml"), METRIC)
    typed = {"area_entry": 9.9, "row_spacing_entry": 11, "hay_price_entry": 140, "wind_entry": 7}
    assert {key: book.nodes[key].contents[0] for key in typed} == typed
    assert book.nodes["groups.body_weight"].contents[0] == 70


def test_a_whole_number_is_turned_like_any_other() -> None:
    book = book_of(regions.load(REGION), farms.filled(), METRIC)
    entries = {node.key: node.contents for node in book.nodes.values() if node.role == "entry"}
    whole, plain = ({**entries, "row_spacing_entry": (11,)}, {**entries, "row_spacing_entry": (11.0,)})
    assert end_to_end(book, whole) == end_to_end(book, plain)
    assert end_to_end(book, whole)["trees_per_area"] != end_to_end(book, entries)["trees_per_area"]
