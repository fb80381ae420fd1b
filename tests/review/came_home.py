"""Make the worked example of a workbook that came home: `python tests/review/came_home.py`, with LibreOffice."""

from __future__ import annotations

import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

import office
from office import Job, Step, step, unprotect
from returned import at, row

FOLDER = Path(__file__).parents[2] / "worked_examples" / "came_home"
SENT = FOLDER.parent / "demo_farm" / "demo_farm.xlsx"
RETURNED = FOLDER / "returned.xlsx"
FINDINGS, REPORT, CARRIED = FOLDER / "findings.txt", FOLDER / "report.html", FOLDER / "carried.txt"

STEPS: list[Step] = [
    *unprotect("Farm", "Feeds", "Trees", "Savings", "Sources"),
    step("SetText", *at("hay_price_entry"), "125 $"),
    step("SetNumber", *at("area_entry"), 4.05),
    step("PasteValue", *at("hay_bought_without")),
    step("SetFormula", *at("saving"), "=cost_without-cost_with*0.9"),
    step("SetNumber", *at("kg_per_weight"), 0.45),
    step("AddSheet", "My sums", 2),
    step("SetText", "My sums", "A1", "Saved a cow and winter"),
    step("SetFormula", "My sums", "B1", "=saving/30"),
    step("InsertRows", "Farm", row("area_entry") - 2, 1),
    step("SetText", "Farm", f"A{row('area_entry') - 2}", "The north pasture only"),
    step("RenameSheet", "Trees", "Pods weighed"),
    step("CalculateAll"),
]


def podbook(*words: str) -> subprocess.CompletedProcess[str]:
    """Run a command in the example's folder."""
    command = [sys.executable, "-m", "podbook", *words]
    return subprocess.run(command, cwd=FOLDER, capture_output=True, check=False, encoding="utf-8")


def told() -> dict[Path, str]:
    """Return what the commands say of the workbook, by the file that keeps it."""
    with tempfile.TemporaryDirectory() as scratch:
        report = Path(scratch) / REPORT.name
        verified = podbook("verify", RETURNED.name, "--report", str(report))
        carried = podbook("carry", RETURNED.name, str(Path(scratch) / "fresh.xlsx"))
        return {
            FINDINGS: verified.stdout,
            REPORT: report.read_text(encoding="utf-8"),
            CARRIED: carried.stdout,
        }


def main() -> None:
    """Make the returned workbook and what is said of it."""
    with tempfile.TemporaryDirectory() as scratch:
        made = Path(scratch) / RETURNED.name
        office.libreoffice([Job(SENT, STEPS, made)], Path(scratch) / "office")
        shutil.copyfile(made, RETURNED)
    for path, text in told().items():
        path.write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
