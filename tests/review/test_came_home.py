"""The worked example of a workbook that came home: what is said of it today is what stands beside it."""

from __future__ import annotations

from pathlib import Path

import came_home
import pytest
from returned import at

from podbook.review.find import opened

REBUILD = "is stale; run: python tests/review/came_home.py"


@pytest.fixture(scope="module")
def told() -> dict[Path, str]:
    return came_home.told()


@pytest.mark.parametrize("path", [came_home.FINDINGS, came_home.REPORT, came_home.CARRIED], ids=lambda path: path.name)
def test_what_stands_beside_the_workbook_is_what_is_said_of_it(path: Path, told: dict[Path, str]) -> None:
    assert told[path] == path.read_text(encoding="utf-8"), f"{path.name} {REBUILD}"


def test_five_edits_are_found_at_their_cells_and_nothing_else_counts() -> None:
    from podbook.review.verify import verify

    verdict = verify(came_home.RETURNED, ("formualizer",))
    found = opened(came_home.RETURNED)
    counting = {(each.key, each.kind) for each in verdict.findings if each.counts}
    edited = {("hay_price_entry", "entry"), ("hay_bought_without", "formula"), ("saving", "formula")}
    assert counting == edited | {("kg_per_weight", "figure")}, REBUILD
    hectares = [each for each in verdict.findings if each.key == "area_entry"]
    assert "ha" in hectares[0].what
    assert not hectares[0].counts
    assert found.places["tally.type"].sheet == "Pods weighed" != at("tally.type")[0]
    assert any(each.kind == "own" and each.sheet == "My sums" for each in verdict.findings)
