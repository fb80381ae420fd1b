"""Spoil a workbook in thousands of ways, and see that verification says so, or says why it can't.

Run it with: python tests/review/fuzz.py [how many of each kind] [first seed] [kinds that hold this word]
"""

from __future__ import annotations

import signal
import sys
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from types import FrameType

sys.path.append(str(Path(__file__).parents[1]))
import spoiling_book  # noqa: F401
import spoiling_cells  # noqa: F401
from spoiling import KINDS, NOT_MADE, Sound, spoiled
from strict import wrongly_agreed

from podbook.errors import EngineFailed, NotOurWorkbook, Refused
from podbook.recalc import DEFAULT
from podbook.review.bounded import allowed
from podbook.review.find import opened
from podbook.review.verify import verify


class Hang(BaseException):
    """A file took too long; no handler of errors may swallow it."""


@contextmanager
def bounded(seconds: float) -> Iterator[None]:
    """Raise Hang in what is done within, if it takes more processor time."""
    within = True

    def late(_signal: int, _frame: FrameType | None) -> None:
        if within:
            raise Hang

    # The handler stays: a signal on its way when the timer is stopped would end the process.
    signal.signal(signal.SIGPROF, late)
    signal.setitimer(signal.ITIMER_PROF, seconds)
    try:
        yield
    finally:
        within = False
        signal.setitimer(signal.ITIMER_PROF, 0)


@dataclass(frozen=True)
class Judgement:
    """What came of one spoiled file."""

    outcome: str
    fault: str = ""
    """What is wrong with how it was answered."""


def judged(sound: Sound, content: bytes, path: Path) -> Judgement:
    """Verify a spoiled file, and return what came of it."""
    path.write_bytes(content)
    try:
        with bounded(allowed(path)):
            verdict = verify(path, (DEFAULT,))
    except (NotOurWorkbook, Refused, EngineFailed) as problem:
        line = str(problem)
        fault = "the answer is not one line" if "\n" in line or not 20 < len(line) < 600 else ""
        return Judgement(type(problem).__name__, f"{fault}: {line}" if fault else "")
    except Hang:
        return Judgement("Hang", "it took too long")
    except BaseException:
        return Judgement("crash", traceback.format_exc())
    if not verdict.agrees:
        return Judgement(
            "differs", "" if any(each.counts for each in verdict.findings) else "differs without a finding"
        )
    if content == sound.content:
        return Judgement("untouched")
    found = opened(path)
    seen = {
        (place.sheet, cell): found.cells[(place.sheet, cell)] for place in found.places.values() for cell in place.cells
    }
    return Judgement("agrees", wrongly_agreed(sound.reading, content, seen))


def main() -> int:
    each = int(sys.argv[1]) if len(sys.argv) > 1 else 20
    first = int(sys.argv[2]) if len(sys.argv) > 2 else 0
    only = sys.argv[3] if len(sys.argv) > 3 else ""
    from bases import bases

    start, total, faults = time.perf_counter(), Counter[str](), 0
    with tempfile.TemporaryDirectory() as folder:
        sounds = [Sound.of(path) for path in bases(Path(folder))]
        path = Path(folder, "spoiled.xlsx")
        for kind in (kind for kind in KINDS if only in kind):
            counts: Counter[str] = Counter()
            for seed in range(first, first + each):
                try:
                    content = spoiled(sounds[seed % len(sounds)], kind, seed)
                except NOT_MADE:
                    counts["not made"] += 1
                    continue
                judgement = judged(sounds[seed % len(sounds)], content, path)
                counts[judgement.outcome] += 1
                if judgement.fault:
                    faults += 1
                    print(f"FAULT {kind} {seed}: {judgement.outcome}: {judgement.fault}", flush=True)
            total += counts
            print(f"{kind:<44}" + ", ".join(f"{count} {word}" for word, count in counts.most_common()), flush=True)
    print(f"{sum(total.values()):,} files in {time.perf_counter() - start:.0f} s: {dict(total)}; {faults} faults")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
