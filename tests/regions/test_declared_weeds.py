"""Where honey locust is a declared weed no region is given, and the reason and its source are."""

from __future__ import annotations

from pathlib import Path

import pytest

from podbook import regions
from podbook.errors import BadInput, PodbookError
from podbook.review.carrying.carry import carry
from podbook.sources import FIGURE_MARKS, bibliography

SPELLED = {
    "queensland": ("Queensland", "category 3", "Csurhes"),
    "QLD": ("Queensland", "must not be given away, sold or released", "mark: published"),
    "Qld, Australia": ("Queensland", "Biosecurity Act 2014", "Department of Agriculture"),
    "nsw": ("New South Wales", "regional priority weed", "weeds.dpi.nsw.gov.au"),
    "New_South-Wales": ("New South Wales", "regional priority weed", "weed authorities"),
    "N.S.W.": ("New South Wales", "regional priority weed", "mark: published"),
    "south africa": ("South Africa", "category 1b", "mark: from memory"),
    "South_Africa": ("South Africa", "category 1b", "Biodiversity Act"),
    "RSA": ("South Africa", "must be controlled", "mark: from memory"),
    "Argentina": ("Argentina", "dangerous invader", "Aula Botánica (2009)"),
    "uruguay": ("Uruguay", "plague", "Aula Botánica (2009)"),
    "sa_temperate": ("Argentina", "dangerous invader", "INTA"),
}


@pytest.mark.parametrize("words", SPELLED)
def test_it_is_refused_with_reason_source_and_advice(words: str) -> None:
    title, reason, source = SPELLED[words]
    with pytest.raises(PodbookError) as caught:
        regions.load(words)
    told = str(caught.value)
    assert not isinstance(caught.value, BadInput)
    assert f"no workbook is made for {title}." in told
    assert reason in told
    assert source in told
    assert "Ask the plant-health authority" in told
    assert "\n" not in told


@pytest.mark.parametrize("place", regions.declared_weeds(), ids=lambda place: place.name)
def test_a_place_is_whole_and_has_a_source(place: object) -> None:
    assert isinstance(place, type(regions.declared_weeds()[0]))
    source = bibliography()[place.source]
    assert place.mark in FIGURE_MARKS
    assert place.mark != "published" or source.mark != "memory"
    assert place.reason.endswith(".")
    assert place.name not in regions.names()
    for words in (place.name, place.title, *place.spellings):
        with pytest.raises(PodbookError, match=place.title):
            regions.load(words)


def test_no_two_places_share_a_spelling() -> None:
    said = [words for place in regions.declared_weeds() for words in (place.name, *place.spellings)]
    assert len(said) == len(set(said))


@pytest.mark.parametrize("words", ["queens", "wales", "africa", "qldx", "us_ozarks_"])
def test_other_words_are_no_such_region(words: str) -> None:
    with pytest.raises(BadInput, match="no such region"):
        regions.load(words)


def test_a_workbook_is_not_carried_there_either(demo: Path, tmp_path: Path) -> None:
    with pytest.raises(PodbookError, match=r"no workbook is made for Queensland.*restricted"):
        carry(demo, tmp_path / "new.xlsx", "queensland")
    assert not (tmp_path / "new.xlsx").exists()
