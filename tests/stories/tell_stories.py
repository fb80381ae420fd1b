"""Make the figures and pictures of the stories and the glossary: `python tests/stories/tell_stories.py`."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import does_planting_pay
import glossary
import how_many_acres
import leave_or_collect
import which_tree
from story import Story, Told, filled_page

STORIES = (which_tree.STORY, how_many_acres.STORY, leave_or_collect.STORY, does_planting_pay.STORY)


def made_of(story: Story, books: Mapping[str, Told]) -> dict[Path, str]:
    """Return a story's page and pictures as its workbooks make them today, by their files."""
    page = filled_page(story.page.read_text(encoding="utf-8"), story.marks(books), story.folder)
    pictures = {story.path / name: text for name, text in story.pictures(books).items()}
    return {story.page: page, **pictures}


def glossary_page() -> str:
    """Return the glossary with the figures that the book has today."""
    return filled_page(glossary.PAGE.read_text(encoding="utf-8"), glossary.marks(glossary.book()), glossary.PAGE.name)


def main() -> None:
    """Write what the stories and the glossary say today."""
    glossary.PAGE.write_text(glossary_page(), encoding="utf-8")
    for story in STORIES:
        for path, text in made_of(story, story.told()).items():
            path.write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
