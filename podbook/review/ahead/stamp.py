"""The stamps of a snapshot: of what was filled in when it was made, and of what stands in it."""

from __future__ import annotations

import hashlib
import json
from typing import Any

from podbook.review.find import SNAPSHOT, Opened, filled_in

INPUTS, NUMBERS, AREA = SNAPSHOT


def fingerprint(found: Opened) -> str:
    """Return a fingerprint of everything that is filled in, of formulas what they come to."""
    entries = [
        (key, [_settled(each) for each in column]) for key, column in filled_in(found).items() if key in found.places
    ]
    return _hashed([found.book.region, entries])


def state(found: Opened) -> str:
    """Return what is wrong with the snapshot of a workbook: nothing where it has none, or one that still holds."""
    if found.snapshot is None:
        return ""
    if found.snapshot[INPUTS] != fingerprint(found):
        return "is stale: something was filled in since"
    if found.snapshot[NUMBERS] != stamp_of(found.snapshot[AREA]):
        return "was changed by hand"
    return ""


def stamp_of(rows: Any) -> str:
    """Return the fingerprint of what stands in some rows of cells."""
    return _hashed([[_settled(each) for each in row] for row in rows])


def _settled(content: Any) -> Any:
    """Return a content so that it survives being saved by another program: numbers to twelve digits, no empty text."""
    if isinstance(content, int | float) and not isinstance(content, bool):
        return f"{float(content):.12g}"
    return None if not content else content if isinstance(content, bool | str) else str(content)


def _hashed(content: Any) -> str:
    return hashlib.sha256(json.dumps(content, ensure_ascii=False).encode()).hexdigest()[:20]
