"""The bibliography is complete and well formed."""

from __future__ import annotations

import re

import pytest

from podbook import regions
from podbook.inputs.farm import filled
from podbook.sheets import book_of
from podbook.sources import MARKS, NO_DOCUMENT, Source, bibliography

KEY = re.compile(r"[a-z][a-z0-9]*(-[a-z0-9]+)*")
YEAR = re.compile(r"(1[6-9]|20)\d\d|undated")


def test_the_keys_without_a_document_are_there() -> None:
    assert set(NO_DOCUMENT) <= set(bibliography())


@pytest.mark.parametrize("source", bibliography().values(), ids=lambda source: source.key)
def test_an_entry_is_well_formed(source: Source) -> None:
    assert KEY.fullmatch(source.key)
    assert source.mark in MARKS
    assert source.title
    assert not source.title.endswith(".")
    assert re.fullmatch(r"[A-Z].*[^.]\.", source.read), "one sentence"
    if source.key in NO_DOCUMENT:
        assert source.cited == source.title
    else:
        assert source.author
        assert source.place
        assert YEAR.fullmatch(source.year)
        assert source.cited.startswith(f"{source.author} ({source.year}); {source.title}; ")


def test_a_key_with_a_year_has_the_year_of_its_source() -> None:
    for source in bibliography().values():
        if year := re.search(r"-((1[89]|20)\d\d)$", source.key):
            assert source.year == year[1] or source.key == "noaa-normals-1991-2020", source.key


def test_no_title_stands_twice() -> None:
    cited = [source.cited for source in bibliography().values()]
    assert len(cited) == len(set(cited))


def test_every_source_that_the_book_names_is_in_the_bibliography() -> None:
    nodes = book_of(regions.load("us_midatl_appal"), filled()).nodes.values()
    named = {node.source for node in nodes if node.source} | {node.ref.function.source for node in nodes if node.ref}
    assert named <= bibliography().keys()
