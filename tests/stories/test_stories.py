"""The stories of decisions: what stands in them is what their workbooks say today, and no figure is typed."""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from pathlib import Path
from xml.etree import ElementTree

import glossary
import pictures
import pytest
from story import DECISIONS, DEMO, MARK, ROOT, Story, Told, filled_page
from tell_stories import STORIES, glossary_page, made_of

REBUILD = "is stale; run: python tests/stories/tell_stories.py"
SVG = "{http://www.w3.org/2000/svg}"
WIDEST = 8.0
"""Mean width of a letter in words of 14 px, with room to spare."""
HEADINGS = ["What is filled in", "What the book says", "What decides it", "What is uncertain", "Before you act"]
CAUTIONS = ("supplement, never the whole ration", "nutritionist", "veterinarian", "weed law")


@dataclass(frozen=True)
class Made:
    """A story as it is made now."""

    story: Story
    books: dict[str, Told]
    files: dict[Path, str]


@pytest.fixture(scope="module", params=STORIES, ids=lambda story: story.folder)
def made(request: pytest.FixtureRequest) -> Made:
    story: Story = request.param
    books = story.told()
    return Made(story, books, made_of(story, books))


def test_the_page_and_the_pictures_are_what_the_workbooks_say(made: Made) -> None:
    for path, text in made.files.items():
        assert path.is_file(), f"{path.relative_to(ROOT)} is missing; run: python tests/stories/tell_stories.py"
        assert path.read_text(encoding="utf-8") == text, f"{path.relative_to(ROOT)} {REBUILD}"


def test_the_folder_holds_nothing_else(made: Made) -> None:
    assert set(made.story.path.iterdir()) == {*made.files, made.story.path / "farm.toml"}


def test_nothing_is_amiss_in_the_workbooks_but_what_the_page_says(made: Made) -> None:
    for name, told in made.books.items():
        failed = {key for key in told.places if key.startswith("check_") and told.value(key)}
        assert failed == ({made.story.looks[name]} if name in made.story.looks else set()), name
        assert told.number("entries_failed") == 0, name
        assert "(invented)" in str(told.value("book_title"))
    page = made.files[made.story.page]
    assert all(made.books[name].node(check).label in page for name, check in made.story.looks.items())


def test_every_figure_stands_in_a_mark_and_every_mark_is_used(made: Made) -> None:
    page = made.files[made.story.page]
    assert {found[1] for found in MARK.finditer(page)} == set(made.story.marks(made.books))
    typed = re.sub(r"```.*?```|`[^`]*`|\]\([^)]*\)", " ", MARK.sub(" ", page), flags=re.DOTALL)
    assert not re.findall(r".*\d.*", typed), "a figure outside the marks"


def test_a_story_is_told_in_the_same_order_and_keeps_its_cautions(made: Made) -> None:
    page = made.files[made.story.page]
    assert re.findall(r"^## (.+)$", page, re.MULTILINE) == HEADINGS
    assert "**This farm is invented.**" in page
    assert all(words in page for words in CAUTIONS)


def test_a_picture_says_in_words_what_it_shows(made: Made) -> None:
    for path, text in made.files.items():
        if path.suffix == ".svg":
            picture = ElementTree.fromstring(text)
            assert picture.findtext(f"{SVG}title")
            assert re.search(r"\d", picture.findtext(f"{SVG}desc", ""))
            assert re.search(rf"!\[[^\]]{{40,}}\]\({re.escape(path.name)}\)", made.files[made.story.page])


def test_the_series_of_a_picture_differ_in_grey_and_its_words_fit(made: Made) -> None:
    for path, text in made.files.items():
        if path.suffix == ".svg":
            picture = ElementTree.fromstring(text)
            hatches = [b"".join(map(ElementTree.tostring, each)) for each in picture.iter(f"{SVG}pattern")]
            strokes = [each.get("stroke-dasharray") for each in picture.iter(f"{SVG}polyline")]
            assert len(set(hatches)) == len(hatches)
            assert len(set(strokes)) * 2 == len(strokes), "each curve, and its line in the legend"
            assert len(set(hatches)) + len(set(strokes)) >= 2
            for words in picture.iter(f"{SVG}text"):
                wide = len(words.text or "") * WIDEST
                left = float(words.get("x", "")) - {"end": wide, "middle": wide / 2}.get(
                    words.get("text-anchor", ""), 0
                )
                assert left >= 0, words.text
                assert left + wide <= pictures.WIDTH, words.text


def test_a_figure_that_was_changed_by_hand_is_set_right(made: Made) -> None:
    page = made.files[made.story.page]
    spoiled = MARK.sub(lambda found: re.sub(r"\d", "7", found[0]), page)
    assert spoiled != page
    assert filled_page(spoiled, made.story.marks(made.books), "spoiled") == page


def test_each_folder_is_told_of() -> None:
    assert set(DECISIONS.iterdir()) == {story.path for story in STORIES}


def test_the_farm_on_which_planting_is_asked_for_is_the_demo_farm() -> None:
    farm, demo = (
        tomllib.loads((folder / "farm.toml").read_text(encoding="utf-8"))
        for folder in (DECISIONS / "does_planting_pay", DEMO)
    )
    assert farm["farm"].pop("title") != demo["farm"].pop("title")
    assert farm == demo


def test_the_glossary_has_the_figures_of_the_book() -> None:
    page = glossary.PAGE.read_text(encoding="utf-8")
    assert {found[1] for found in MARK.finditer(page)} == set(glossary.marks(glossary.book()))
    assert glossary_page() == page, f"glossary.md {REBUILD}"
