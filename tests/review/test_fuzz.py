"""However a workbook is spoiled, verification answers, in bounded time, and never says wrongly that all agrees."""

from __future__ import annotations

from pathlib import Path

import pytest
from bases import bases
from fuzz import judged
from spoiling import KINDS, NOT_MADE, Sound, spoiled
from strict import Strict, Unreadable, wrongly_agreed

from podbook.errors import NotOurWorkbook
from podbook.recalc import DEFAULT
from podbook.review.gate.read import read
from podbook.review.verify import verify

EACH = 1
"""How many files are spoiled in each way: each takes 2 s; ``fuzz.py`` does as many as one likes."""
FIRST = 1_000


@pytest.fixture(scope="module")
def sounds(tmp_path_factory: pytest.TempPathFactory) -> list[Sound]:
    return [Sound.of(path) for path in bases(tmp_path_factory.mktemp("bases"), office=False)]


@pytest.mark.parametrize("kind", KINDS)
def test_a_spoiled_workbook_is_answered_rightly(sounds: list[Sound], tmp_path: Path, kind: str) -> None:
    faults = []
    for seed in range(FIRST, FIRST + EACH):
        try:
            content = spoiled(sounds[seed % len(sounds)], kind, seed)
        except NOT_MADE:
            continue
        judgement = judged(sounds[seed % len(sounds)], content, tmp_path / "spoiled.xlsx")
        if judgement.fault:
            faults.append(f"{kind} {seed}: {judgement.outcome}: {judgement.fault}")
    assert not faults, "\n".join(faults)


def test_what_is_spoiled_is_sound_before(sounds: list[Sound], tmp_path: Path) -> None:
    """Else nothing could be wrong with a verdict that something differs."""
    for sound in sounds:
        path = tmp_path / "sound.xlsx"
        path.write_bytes(sound.content)
        assert verify(path, (DEFAULT,)).agrees
        assert judged(sound, sound.content, path).outcome == "untouched"


def test_a_wrong_agreement_would_be_seen(sounds: list[Sound], tmp_path: Path) -> None:
    """The strict reading tells a swapped name, a changed formula and an unreadable part from what they were."""
    sound = sounds[0]
    assert sound.reading.cells[("Feeds", "D7")][0] == "formula"
    seen = {("Feeds", "D7"): "", ("Feeds", "B7"): sound.reading.cells[("Feeds", "B7")][1]}
    assert not wrongly_agreed(sound.reading, sound.content, seen)
    for kind, words in (("names: swapped", "the name "), ("parts: removed", "unreadable"), ("names: one more", "")):
        told = [wrongly_agreed(sound.reading, spoiled(sound, kind, seed), seen) for seed in range(12)]
        assert any(each and each.startswith(words) for each in told), kind


def test_the_strict_reading_and_ours_agree_on_damage(sounds: list[Sound], tmp_path: Path) -> None:
    path, both = tmp_path / "spoiled.xlsx", 0
    for seed in range(12):
        content = spoiled(sounds[0], "elements of a sheet: moved", seed)
        try:
            Strict(content).reading()
        except Unreadable:
            path.write_bytes(content)
            with pytest.raises(NotOurWorkbook):
                read(path)
            both += 1
    assert both
