"""What one wrong cell does, against working the whole book out anew with it."""

from __future__ import annotations

import numpy as np
import pytest
from live import Live

from podbook.proof.agreement import differs
from podbook.proof.effects import Effects
from podbook.proof.evaluate import end_to_end
from podbook.proof.wiring import Wiring


@pytest.mark.parametrize("key", ["hay_price_entry", "area_entry", "groups.body_weight", "mix.share", "tally.weight"])
def test_an_entry_changed_does_what_the_whole_book_says(live: Live, key: str) -> None:
    entries = live.entries
    wiring = Wiring(live.book)
    expected = end_to_end(live.book, entries, wiring)
    stands = entries[key][0] * 1.07
    anew = end_to_end(live.book, {**entries, key: (stands, *entries[key][1:])}, wiring)
    changed = Effects(wiring, expected).of((key, 0), stands)
    assert changed
    for where in wiring.order:
        if where == (key, 0):
            continue
        found = changed.get(where, expected[where[0]][where[1]])
        wanted = anew[where[0]][where[1]]
        same = found == wanted or (
            isinstance(found, float) and isinstance(wanted, float) and np.isclose(found, wanted, rtol=1e-7, atol=1e-7)
        )
        assert same or differs(found, wanted) is not None, where
