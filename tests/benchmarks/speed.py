"""How long the commands take, each as a whole process, and the audit of units: python tests/benchmarks/speed.py [times]

Prints the median of several runs. No test: times differ by machine.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
from pathlib import Path
from time import perf_counter

ROOT = Path(__file__).parents[2]


def seconds(*words: str) -> float:
    start = perf_counter()
    surroundings = {**os.environ, "PYTHONPATH": str(ROOT)}
    subprocess.run([sys.executable, "-m", "podbook", *words], check=True, capture_output=True, env=surroundings)
    return perf_counter() - start


def seconds_of_audit() -> float:
    """How long the unit audit of the demo book takes in a fresh process, its building and imports left out."""
    timed = (
        "import time; from podbook import regions; from podbook.inputs.farm import filled;"
        "from podbook.proof.units import audit; from podbook.sheets import book_of;"
        "book = book_of(regions.load('us_midatl_appal'), filled()); book.nodes; book.by_name;"
        "start = time.perf_counter(); assert not audit(book); print(time.perf_counter() - start)"
    )
    surroundings = {**os.environ, "PYTHONPATH": str(ROOT)}
    done = subprocess.run([sys.executable, "-c", timed], check=True, capture_output=True, env=surroundings, text=True)
    return float(done.stdout)


def main(times: int) -> None:
    with tempfile.TemporaryDirectory() as folder:
        book = str(Path(folder, "demo.xlsx"))
        jobs = {
            "build": ("build", book, "--replace"),
            "verify": ("verify", book),
            "outlook, 10,000 draws": ("outlook", book),
            "outlook, 10,000 draws, with the hay's TDN": ("outlook", book, "--vary", "hay_tdn=55,65"),
        }
        print(f"{'command':45} median, s    (of {times}; {os.cpu_count()} cores, Python {sys.version.split()[0]})")
        for name, words in jobs.items():
            print(f"{name:45} {statistics.median(seconds(*words) for _ in range(times)):9.2f}")
        audits = statistics.median(seconds_of_audit() for _ in range(times))
        print(f"{'the audit of units alone':45} {audits:9.2f}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 3)
