"""Every cell to fill in says what it is and where to get it, and no word of help is about nothing."""

from __future__ import annotations

import pytest

from podbook import regions, systems
from podbook.book.entering import prompt_of
from podbook.inputs.farm import filled
from podbook.sheets import book_of
from podbook.sheets.help import helps

LONGEST = 255
"""Characters that spreadsheet programs show of it."""


@pytest.mark.parametrize("units", list(systems.SYSTEMS))
@pytest.mark.parametrize("region", ["us_midatl_appal", "nz"])
def test_every_entry_has_help_that_is_shown_whole(region: str, units: str) -> None:
    entries = [n for n in book_of(regions.load(region), filled(), units).nodes.values() if n.role == "entry"]
    assert [node.key for node in entries if not node.note] == []
    assert [(node.key, len(prompt_of(node))) for node in entries if len(prompt_of(node)) > LONGEST] == []
    assert [node.key for node in entries if node.low is not None and f"{node.low:g} to " not in prompt_of(node)] == []


def test_no_help_is_about_nothing() -> None:
    nodes = book_of(regions.load("us_midatl_appal"), filled()).nodes
    assert [key for key in helps() if key not in nodes and f"{key}_entry" not in nodes] == []
    assert [key for key in helps() if nodes.get(f"{key}_entry", nodes.get(key)).note != helps()[key]] == []  # type: ignore[union-attr]
