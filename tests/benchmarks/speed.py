"""How long podbook takes, side by side in one run: python tests/benchmarks/speed.py [times] [files]

Each job runs several times, cold in a process of its own unless it says warm; medians are printed, with the bar that
is aimed at. ``files`` is how many workbooks are verified in one call. No test: times differ by machine.
"""

from __future__ import annotations

import os
import platform
import shutil
import statistics
import subprocess
import sys
import tempfile
import zipfile
from collections.abc import Callable
from pathlib import Path
from time import perf_counter

ROOT = Path(__file__).parents[2]
BYTECODE = tempfile.TemporaryDirectory(prefix="podbook-")
SURROUNDINGS = {
    **os.environ,
    "PYTHONPATH": str(ROOT),
    "PYTHONDONTWRITEBYTECODE": "",
    "PYTHONPYCACHEPREFIX": BYTECODE.name,
}
"""With bytecode, which an installed package has: without it every process compiles podbook anew, for 0.15 s."""
BOOK = """
from pathlib import Path
from podbook import regions
from podbook.inputs.farm import filled
from podbook.sheets import book_of
book = book_of(regions.load("us_midatl_appal"), filled())
entries = {node.key: node.contents for node in book.nodes.values() if node.role == "entry"}
"""
IMPORTS = (
    "import podbook.cli.verifying, podbook.review.many, podbook.review.gate.read, podbook.recalc.formualizer_engine,"
    " formualizer, podbook.review.verify, podbook.review.words"
)
TIMED = "import time; start = time.perf_counter(); {job}; print(time.perf_counter() - start)"
AUDIT = BOOK + "from podbook.proof.units import audit; book.by_name\n" + TIMED.format(job="audit(book)")
REFERENCE = (
    BOOK
    + "from podbook.proof.evaluate import end_to_end; from podbook.proof.wiring import Wiring\n"
    + "wiring = Wiring(book); end_to_end(book, entries, wiring)\n"
    + TIMED.format(job="end_to_end(book, entries, wiring)")
)
BUILD_WARM = (
    BOOK
    + "from podbook.book.writer import write\nwrite(book, Path('{path}'), replace=True)\n"
    + TIMED.format(job="write(book_of(regions.load('us_midatl_appal'), filled()), Path('{path}'), replace=True)")
)
VERIFY_WARM = (
    "from pathlib import Path; from podbook.review.verify import verify\n"
    "verify(Path('{path}'), ('formualizer',))\n" + TIMED.format(job="verify(Path('{path}'), ('formualizer',))")
)
ENGINE = (
    "from pathlib import Path; from podbook.recalc import formualizer_engine as engine\nimport formualizer\n"
    + TIMED.format(job="engine._calculated(Path('{path}'))")
)
MUTANTS = (
    "import sys; sys.path[:0] = ['{tests}', '{tests}/proof']\n"
    "from pathlib import Path\nfrom test_mutation import one_of_every_node\nfrom changes import CHANGES\n"
    "from live import Live\nfrom mutation import Mutation\n"
    "path = Path('{path}'); mutation = Mutation(path, one_of_every_node(Live(path)))\n"
    + TIMED.format(job="made = sum(mutation.tally(kind).made for kind in CHANGES)")
    + "\nprint(made, file=sys.stderr)"
)


def process(*words: str) -> float:
    """Return how long a whole process takes by the clock."""
    start = perf_counter()
    subprocess.run(words, check=True, capture_output=True, env=SURROUNDINGS)
    return perf_counter() - start


def podbook(*words: str) -> Callable[[], float]:
    return lambda: process(sys.executable, "-m", "podbook", *words)


def told(code: str, **places: object) -> Callable[[], float]:
    """Return what a piece of code says it took within a fresh process."""

    def seconds() -> float:
        for name, value in places.items():
            nonlocal code
            code = code.replace(f"{{{name}}}", str(value))
        done = subprocess.run(
            [sys.executable, "-c", code], check=True, capture_output=True, env=SURROUNDINGS, text=True
        )
        return float(done.stdout)

    return seconds


def many(folder: Path, book: Path, files: int) -> tuple[float, float]:
    """Return how many workbooks a second are verified in one call, and the most memory of one process, in MB."""
    returned = folder / f"returned-{files}"
    returned.mkdir()
    for number in range(files):
        file = returned / f"{number:04}.xlsx"
        shutil.copyfile(book, file)
        with zipfile.ZipFile(file, "a") as package:
            package.comment = f"{number}".encode()  # no copies: of these the first alone is verified
    words = [sys.executable, "-m", "podbook", "verify", str(returned), "--csv"]
    measured = (
        f"import resource, subprocess; subprocess.run({words!r}, check=True, capture_output=True);"
        "print(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss)"
    )
    start = perf_counter()
    done = subprocess.run([sys.executable, "-c", measured], check=True, capture_output=True, env=SURROUNDINGS)
    return files / (perf_counter() - start), int(done.stdout) / 1024


def longer_tally(folder: Path, rows: int) -> Path:
    """Return a farm's workbook with as many trees weighed."""
    tally, book = folder / f"tally-{rows}.csv", folder / f"farm-{rows}.xlsx"
    lines = [f"{1 + row // 4},Wild,{2020 + row % 4},12,{40 + row % 60},0.9,0.14" for row in range(rows)]
    tally.write_text("\n".join(("tree,type,year,age,weight_lb,share_picked,moisture", *lines)), encoding="utf-8")
    process(sys.executable, "-m", "podbook", "build", str(book), "--trees", str(tally))
    return book


def main(times: int, files: int) -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        book = folder / "demo.xlsx"
        metric = folder / "metric.xlsx"
        process(sys.executable, "-m", "podbook", "build", str(book))
        process(sys.executable, "-m", "podbook", "build", str(metric), "--units", "metric")
        process(sys.executable, "-m", "podbook", "verify", str(book))
        converted = ("soffice", f"-env:UserInstallation=file://{folder}/office", "--headless", "--convert-to", "ods")
        jobs: dict[str, tuple[Callable[[], float], str]] = {
            "python that does nothing": (lambda: process(sys.executable, "-c", ""), ""),
            "imports of verify": (lambda: process(sys.executable, "-c", IMPORTS), "< 0.4"),
            "verify, cold": (podbook("verify", str(book)), "< 1.0, and a fifth of LibreOffice's"),
            "verify, cold, in metric units": (podbook("verify", str(metric)), "< 1.0"),
            "verify, warm": (told(VERIFY_WARM, path=book), ""),
            "the everyday engine alone, warm": (told(ENGINE, path=book), ""),
            "build, cold": (podbook("build", str(folder / "cold.xlsx"), "--replace"), "< 1.5"),
            "build, warm": (told(BUILD_WARM, path=folder / "warm.xlsx"), "< 0.5"),
            "reference functions over the book": (told(REFERENCE), "< 0.03"),
            "the audit of units": (told(AUDIT), "< 2"),
            "outlook, 10,000 draws, cold": (podbook("outlook", str(book)), "< 5"),
        }
        if shutil.which("soffice"):
            process(*converted, "--outdir", str(folder), str(book))
            jobs["LibreOffice converts the book, cold"] = (
                lambda: process(*converted, "--outdir", str(folder), str(book)), "",
            )  # fmt: skip
        print(f"{os.cpu_count()} cores, Python {platform.python_version()}, {platform.system()}; median of {times}\n")
        print(f"{'job':45}{'seconds':>9}  bar")
        found = {}
        for job, (measure, bar) in jobs.items():
            found[job] = statistics.median(measure() for _ in range(times))
            print(f"{job:45}{found[job]:9.2f}  {bar}", flush=True)
        for rows in (100, 1000):
            farm = str(longer_tally(folder, rows))
            seconds = statistics.median(podbook("verify", farm)() for _ in range(times))
            print(f"{f'verify, cold, {rows:,} rows of trees':45}{seconds:9.2f}  no faster than cells grow", flush=True)
        mutants = told(MUTANTS, tests=ROOT / "tests", path=book)()
        print(f"{'mutants of every kind, a cell of every node':45}{mutants:9.2f}  < 300", flush=True)
        for number in (files // 4, files):
            speed, memory = many(folder, book, number)
            print(f"{f'verify, {number} workbooks in one call':45}{speed:9.2f}  a second; {memory:.0f} MB at most each")
        if "LibreOffice converts the book, cold" in found:
            ratio = found["LibreOffice converts the book, cold"] / found["verify, cold"]
            print(f"\nLibreOffice takes {ratio:.1f} times as long as verify")


if __name__ == "__main__":
    main(*(int(word) for word in (*sys.argv[1:], *("3", "40")[len(sys.argv) - 1 :])))
