"""A name that sums up cells of many kinds, such as all checks of a block, must cover them all."""

from __future__ import annotations

import re
import zipfile
from pathlib import Path

import pytest
from packages import parts_of

from podbook.recalc import DEFAULT
from podbook.review.verify import verify

NAME, BOOK = "planting_checks", "xl/workbook.xml"


@pytest.mark.parametrize(
    ("stands", "covers"),
    [
        (lambda span: re.sub(r"\d+$", lambda row: str(int(row[0]) - 1), span), -1),
        (lambda span: re.sub(r"(?<=\$)\d+(?=:)", lambda row: str(int(row[0]) + 2), span), -2),
        (lambda _: "#REF!", None),
        (str.lower, None),
    ],
    ids=["shorter below", "shorter above", "lost", "in small letters"],
)
def test_a_name_that_no_longer_covers_its_cells_is_named(
    whole: Path, tmp_path: Path, stands: object, covers: int | None
) -> None:
    parts = dict(parts_of(whole))
    text = parts[BOOK].decode()
    found = re.search(rf'(?<=<definedName name="{NAME}">)[^<]+', text)
    assert found is not None
    new = stands(found[0])  # type: ignore[operator]
    assert new != found[0]
    parts[BOOK] = (text[: found.start()] + new + text[found.end() :]).encode()
    path = tmp_path / "returned.xlsx"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as package:
        for part, content in parts.items():
            package.writestr(part, content)
    verdict = verify(path, (DEFAULT,))
    assert not verdict.agrees
    (first,) = [each for each in verdict.findings if each.kind == "name"]
    assert (first.counts, first.key, first.stands) == (True, NAME, new)
    count = int(first.what.rpartition(" of its ")[2].split()[0])
    assert f"covers {0 if covers is None else count + covers} of its {count} cells" in first.what
