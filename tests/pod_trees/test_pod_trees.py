"""The kinds of pod tree: complete, sourced, and as their sources print them."""

from __future__ import annotations

from pathlib import Path

import pytest

from podbook.errors import BadInput
from podbook.inputs import lab
from podbook.inputs.filled import TypeOfTree
from podbook.inputs.usual import with_sheets
from podbook.pod_trees import FIGURES, SAID, load, pod_trees
from podbook.pod_trees.kind import ANALYSIS
from podbook.sources import FIGURE_MARKS, bibliography

KINDS = pod_trees().kinds
FILE = Path(__file__).parents[2] / "podbook" / "data" / "pod_trees.toml"

SAWAL = "Sawal, Ram Ratan and Yadav 2004, abstract"
MOORE = "Moore 1948, analysis of ground pods as received: 12.47 water, 8.58 protein, 2.12 fat, 3.14 ash"
WILEY = "Wiley, leaf 457, fresh edible chestnut: 42.7 water, 6.5 protein, 6.3 fat, 43.1 starch and sugar, 1.4 ash"
KAYA = "Kaya and Kamalak 2012, abstract"
CAROBS = "Carobs Australia, pages"
PUBLISHED = {
    # (kind, figure): (lowest printed, highest printed, unit as printed, source)
    ("mesquite", "cp"): (12, 12, "percent", SAWAL),
    ("mesquite", "sugar"): (15, 15, "percent", SAWAL),
    ("mesquite", "tdn"): (75, 75, "percent", SAWAL),
    ("mesquite", "first_crop_age"): (3, 4, "year", SAWAL),
    ("mesquite", "tree_yield"): (10, 50, "kg_fed/tree", SAWAL),
    ("carob", "sugar"): (37, 57, "percent", CAROBS),
    ("carob", "first_crop_age"): (3, 4, "year", CAROBS),
    ("carob", "tree_yield"): (60, 100, "kg_fed/tree", CAROBS),
    ("carob", "cp"): (8.0, 8.0, "percent", "Medjekal and others 2017, abstract"),
    ("carob", "ndf"): (29.20, 38.04, "percent", "Karabulut and others 2006, abstract"),
    ("oak", "cp"): (2.5, 6.2, "percent", KAYA),
    ("oak", "ndf"): (23.1, 32.6, "percent", KAYA),
    ("oak", "starch"): (60.0, 68.2, "percent", KAYA),
    ("oak", "tree_yield"): (200, 600, "lb_fed/tree", "Smith 1929, leaf 179"),
    ("chestnut", "tree_yield"): (150, 200, "kg_fed/tree", "Smith 1953, leaf 150"),
    ("mulberry", "cp"): (10.25, 10.25, "percent", "Koyuncu and others, abstract"),
    ("persimmon", "first_crop_age"): (10, 10, "year", "McDuffie Mirror 2005"),
    ("persimmon", "full_crop_age"): (25, 50, "year", "McDuffie Mirror 2005"),
    ("honey locust, good", "sugar"): (29, 29, "percent", "Smith 1929, leaf 117"),
    ("honey locust, wild", "dry_matter"): (87.53, 87.53, "percent", MOORE),
    ("honey locust, good", "tree_yield"): (43, 43, "kg_fed/tree", "Wilson, Springtree, summary"),
    ("honey locust, grafted", "first_crop_age"): (4, 4, "year", "Moore 1948: set 1938, 58.3 lb in 1942"),
}
DERIVED = {
    # (kind, figure): (worked out here from the printed parts, half of the last digit kept)
    ("honey locust, wild", "cp"): (8.58 / 0.8753, 0.05),
    ("honey locust, wild", "fat"): (2.12 / 0.8753, 0.005),
    ("honey locust, wild", "ash"): (3.14 / 0.8753, 0.005),
    ("honey locust, grafted", "tree_yield"): ((146 + 39.5 + 180 + 12) / 4, 1e-9),
    ("honey locust, grafted", "ndf"): (0.75 * 27.3 + 0.25 * 13.2, 0.05),
    ("honey locust, grafted", "tdn"): (0.75 * 78.7 + 0.25 * 96.3, 0.05),
    ("honey locust, grafted", "full_crop_age"): (1946 - 1938, 0),
    ("chestnut", "dry_matter"): (100 - 42.7, 1e-9),
    ("chestnut", "cp"): (100 * 6.5 / 57.3, 0.05),
    ("chestnut", "fat"): (100 * 6.3 / 57.3, 0.05),
    ("chestnut", "ash"): (100 * 1.4 / 57.3, 0.005),
    ("chestnut", "starch_sugar"): (100 * 43.1 / 57.3, 0.05),
    ("carob", "full_crop_age"): (10, 0),
}


def test_the_kinds_asked_for_are_there() -> None:
    wanted = {"honey locust", "mesquite", "carob", "oak", "chestnut", "mulberry", "persimmon"}
    assert set(pod_trees().species) == wanted
    assert [kind.name for kind in KINDS if kind.species == "honey locust"] == [
        "honey locust, wild", "honey locust, good", "honey locust, grafted",
    ]  # fmt: skip
    assert len(KINDS) == 9


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.key)
def test_every_figure_and_word_has_its_unit_source_and_mark(kind) -> None:
    assert kind.figures
    for each in (*kind.figures.values(), *(getattr(kind, word) for word in SAID)):
        assert each.source in bibliography()
        assert each.mark in FIGURE_MARKS
        assert each.place
        assert not (each.mark == "published" and bibliography()[each.source].mark == "memory")
    for name, figure in kind.figures.items():
        assert figure.name == name
        assert FIGURES[name].low <= figure.value <= FIGURES[name].high


@pytest.mark.parametrize("caution", pod_trees().cautions, ids=lambda each: f"{each.species}: {each.about}")
def test_every_caution_has_its_source_and_mark(caution) -> None:
    assert caution.source in bibliography()
    assert caution.mark in FIGURE_MARKS
    assert caution.text.endswith(".")


@pytest.mark.parametrize(("species", "about", "words"), [
    ("oak", "poison", "kidneys of cattle"), ("oak", "green acorns", "15.1 %"), ("persimmon", "impaction", "horses"),
    ("mesquite", "never alone", "never the sole feed"), ("mesquite", "weed", "weed law"), ("carob", "tannin", "52 %"),
    ("mulberry", "summer only", "can't be stockpiled"), ("chestnut", "starch", "rumen"),
    ("honey locust", "sugar", "veterinarian"), ("honey locust", "thorns", "wound"),
    ("honey locust", "law", "Queensland"),
])  # fmt: skip
def test_the_gravest_cautions_are_said(species: str, about: str, words: str) -> None:
    (text,) = [each.text for each in pod_trees().cautions if (each.species, each.about) == (species, about)]
    assert words in text


def figure(kind: str, name: str):
    found = pod_trees().find(kind)
    assert found is not None
    return found.figures[name]


@pytest.mark.parametrize("which", PUBLISHED, ids=lambda each: " ".join(each))
def test_a_published_figure_is_as_its_source_prints_it(which: tuple[str, str]) -> None:
    low, high, unit, _ = PUBLISHED[which]
    found = figure(*which)
    assert found.mark == "published"
    assert found.printed_unit == unit
    assert (found.printed if found.low is None else found.low) == low
    assert (found.printed if found.high is None else found.high) == high
    assert low <= found.printed <= high


def test_no_published_figure_is_left_untyped() -> None:
    aside = {
        ("carob", "seed_share"): "Feedipedia 320 says a tenth; the range's other end is another source's",
        ("honey locust, wild", "first_crop_age"): "8 and more; the range joins three sources",
        ("honey locust, good", "first_crop_age"): "as of the wild",
        ("honey locust, good", "sugar"): "as of the wild",
        ("honey locust, good", "dry_matter"): "as of the wild",
        ("honey locust, grafted", "dry_matter"): "as of the wild",
        ("honey locust, grafted", "sugar"): "just over 36; the range joins three places",
    }
    published = {(kind.name, each.name) for kind in KINDS for each in kind.figures.values() if each.mark == "published"}
    assert published == {*PUBLISHED, *aside}
    assert figure("carob", "seed_share").value == 0.10
    assert all(figure(kind, "dry_matter").value == 87.53 for kind, name in aside if name == "dry_matter")
    assert figure("honey locust, grafted", "sugar").value == 36


@pytest.mark.parametrize("which", DERIVED, ids=lambda each: " ".join(each))
def test_a_derived_figure_follows_from_what_is_printed(which: tuple[str, str]) -> None:
    value, slack = DERIVED[which]
    assert figure(*which).mark == "derived"
    assert abs(figure(*which).value - value) <= slack


def test_no_derived_figure_is_left_unproved() -> None:
    derived = {(kind.name, each.name) for kind in KINDS for each in kind.figures.values() if each.mark == "derived"}
    assert derived == set(DERIVED)


KILOGRAMS = {"carob": 80, "mesquite": 30, "chestnut": 175, "honey locust, good": 43}


@pytest.mark.parametrize(("kind", "kilograms"), KILOGRAMS.items())
def test_kilograms_become_pounds_by_the_exact_factor(kind: str, kilograms: float) -> None:
    found = figure(kind, "tree_yield")
    assert found.unit == "lb_fed/tree"
    assert found.printed == kilograms
    assert found.value == pytest.approx(kilograms / 0.45359237, rel=1e-14, abs=0)
    assert float(f"{found.value * 0.45359237:.12g}") == kilograms
    assert f"{kilograms:g} kg" in found.where or "to" in found.as_printed


def test_sugar_and_starch_are_told_apart() -> None:
    assert "sugar" not in pod_trees().find("oak").figures
    assert "sugar" not in pod_trees().find("chestnut").figures
    assert "starch" not in pod_trees().find("chestnut").figures


def test_only_a_kind_of_which_all_is_known_has_a_usual_analysis(tmp_path: Path) -> None:
    whole = [kind for kind in KINDS if not kind.lacks]
    assert [kind.name for kind in whole] == ["honey locust, wild"]
    for kind in KINDS:
        assert kind.lacks == tuple(name for name in ANALYSIS if name not in kind.figures)
    for kind in whole:
        made = TypeOfTree("Lane", "seedling", 1, 8, 20, kind=kind.name, analysis="usual")
        (sheet,) = with_sheets(tmp_path / "farm.toml", [made], [])
        one = sheet.first
        numbers = {"cp": one.cp, "ndf": one.ndf, "fat": one.fat, "ash": one.ash, "sugar": one.sugar}
        cells = {"type": "Lane", "basis": "dry", "parts": "whole", "moisture": sheet.moisture,
                 "seed_share": sheet.seed_share, **numbers}  # fmt: skip
        path = tmp_path / "lab.csv"
        row = ",".join(str(cells.get(column, "")) for column in lab.COLUMNS)
        path.write_text(",".join(lab.COLUMNS) + "\n" + row + "\n", encoding="utf-8")
        assert lab.read(path) == [sheet]


def test_a_crop_to_plan_with_is_dry_and_only_where_the_age_of_full_crop_is_known() -> None:
    crops = {kind.name: kind.own_yield for kind in KINDS}
    assert crops["carob"] == pytest.approx(80 / 0.45359237 * 0.86)
    assert crops["oak"] == pytest.approx(200 * 0.575)
    assert [name for name, crop in crops.items() if crop is None] == ["mesquite", "chestnut", "mulberry"]


def test_a_kind_is_found_by_name_or_key() -> None:
    assert pod_trees().find("Honey locust, WILD") is pod_trees().find("honey_locust_wild") is KINDS[0]
    assert pod_trees().find("elm") is None


CP, CAROB_FROST = "cp = { value = 12,", 'species = "carob"\nabout = "frost"'
RIPE = 'place = "ripe pods", mark = "published"'
FULL_OAK = 'place = "white oak", mark = "from memory"'
FRUITING = '{ value = 4, low = 3, high = 4, unit = "year", source = "sawal-2004"'
SUMMER = 'keeps = { word = "no", source = "judgement", place = "over'
NOT_READ = "'published' of 'silvics-white-oak', which was not read"
BROKEN = {
    "an unknown figure": (CP, "protein = { value = 12,", "mesquite.protein", "an unknown figure"),
    "another unit": ('value = 12, unit = "percent"', 'value = 12, unit = "share"', "mesquite.cp.unit", "'share'"),
    "no source": (f'source = "sawal-2004", {RIPE}', RIPE, "mesquite.cp.source", "nothing"),
    "a source that is nowhere": (
        f'"sawal-2004", {RIPE}', f'"sawal-1804", {RIPE}', "mesquite.cp.source", "'sawal-1804'",
    ),
    "an unknown mark": (RIPE, RIPE.replace("published", "sure"), "mesquite.cp.mark", "'sure'"),
    "published but not read": (
        FULL_OAK, FULL_OAK.replace("from memory", "published"), "oak.full_crop_age.mark", NOT_READ,
    ),
    "out of bounds": (CP, "cp = { value = 0.12,", "mesquite.cp.value", "0.12"),
    "a word for a number": (CP, 'cp = { value = "12",', "mesquite.cp.value", "'12'"),
    "outside its own range": (
        FRUITING, FRUITING.replace("value = 4", "value = 5"), "mesquite.first_crop_age.value", "5",
    ),
    "half a range": ("{ low = 10, high = 50,", "{ value = 20, low = 10,", "mesquite.tree_yield.low", "[10, None]"),
    "an unknown name in a figure": (CP, f"{CP} sure = 1,", "mesquite.cp.sure", "an unknown name"),
    "an unknown name in a kind": (
        'botanical = "Prosopis juliflora"', 'botanical = "P"\ncolour = "red"', "mesquite.colour", "an unknown name",
    ),
    "a word that is none": (SUMMER, SUMMER.replace('"no"', '"maybe"'), "mulberry.keeps.word", "'maybe'"),
    "a caution of nothing": (
        CAROB_FROST, CAROB_FROST.replace("carob", "elm"), "caution of elm, frost", "a species without a kind",
    ),
    "a name again": ('name = "carob"', 'name = "oak"', "oak", "two kinds of that name"),
}  # fmt: skip


@pytest.mark.parametrize(("old", "new", "where", "found"), BROKEN.values(), ids=BROKEN)
def test_a_file_that_is_wrong_is_refused_with_the_place(
    tmp_path: Path, old: str, new: str, where: str, found: str
) -> None:
    text = FILE.read_text(encoding="utf-8")
    assert old in text
    path = tmp_path / "pod_trees.toml"
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(BadInput) as caught:
        load(path)
    assert [
        (each.column, each.found) for each in caught.value.complaints if each.column == where and found in each.found
    ]


def test_a_species_without_a_caution_is_refused(tmp_path: Path) -> None:
    text = FILE.read_text(encoding="utf-8")
    path = tmp_path / "pod_trees.toml"
    path.write_text(
        text.replace('[[caution]]\nspecies = "persimmon"', '[[caution]]\nspecies = "oak"'), encoding="utf-8"
    )
    with pytest.raises(BadInput, match="persimmon': found no caution"):
        load(path)
