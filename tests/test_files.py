"""Files that podbook writes: whole or not at all, with the rights that the user gives new files."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from podbook.errors import PodbookError
from podbook.files import drafted


@pytest.mark.skipif(os.name != "posix", reason="rights as Unix has them")
@pytest.mark.parametrize(("mask", "rights"), [(0o022, 0o644), (0o077, 0o600), (0o002, 0o664)])
def test_a_file_has_the_rights_of_any_new_one(tmp_path: Path, mask: int, rights: int) -> None:
    before = os.umask(mask)
    try:
        with drafted(tmp_path / "a.csv") as draft:
            draft.write_text("a", encoding="utf-8")
    finally:
        os.umask(before)
    assert (tmp_path / "a.csv").stat().st_mode & 0o777 == rights


def test_what_can_not_be_written_is_named_as_it_was_asked_for(tmp_path: Path) -> None:
    path = tmp_path / ("a" * 300 + ".csv")
    said = r"a{300}\.csv: can't be written \(File name too long\); name another file"
    with pytest.raises(PodbookError, match=said), drafted(path) as draft:
        draft.write_text("a", encoding="utf-8")
    assert list(tmp_path.iterdir()) == []
