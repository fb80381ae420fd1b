"""The third engine: LibreOffice, headless, with a profile of its own that computes every formula on loading.

With its usual settings it would keep the stored values of the file.
"""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import tempfile
from pathlib import Path
from typing import Any

from openpyxl import load_workbook
from openpyxl.utils.datetime import to_excel

from podbook.coordinates import row_and_column
from podbook.errors import EngineFailed
from podbook.recalc.cell import Address, Cell, Fault, Wanted, lacking

SECONDS = 120
"""A book of 30,000 formulas takes about 2 s."""

_SETTINGS = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry" xmlns:xs="http://www.w3.org/2001/XMLSchema">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load">
<prop oor:name="OOXMLRecalcMode" oor:op="fuse"><value>0</value></prop>
</item>
</oor:items>
"""


def values(path: Path, wanted: Wanted, seconds: float = SECONDS) -> dict[Address, Cell]:
    """The value of each wanted cell."""
    with tempfile.TemporaryDirectory(prefix="podbook-") as directory:
        return _read(path.name, _recalculated(path, Path(directory), seconds), wanted)


def _recalculated(path: Path, directory: Path, seconds: float) -> Path:
    profile = directory / "profile"
    (profile / "user").mkdir(parents=True)
    (profile / "user" / "registrymodifications.xcu").write_text(_SETTINGS, encoding="utf-8")
    source = directory / "in" / "book.xlsx"
    source.parent.mkdir()
    shutil.copyfile(path, source)
    command = [
        "soffice",
        f"-env:UserInstallation={profile.as_uri()}",
        "--headless",
        "--norestore",
        "--infilter=Calc MS Excel 2007 XML",
        "--convert-to",
        "xlsx:Calc MS Excel 2007 XML",
        "--outdir",
        str(directory / "out"),
        str(source),
    ]
    _run(path.name, command, seconds)
    result = directory / "out" / source.name
    if not result.is_file():
        # It ends with exit code 0 even when it could not read the file.
        raise EngineFailed(f"{path.name}: LibreOffice could not read or calculate the file")
    return result


def _run(name: str, command: list[str], seconds: float) -> None:
    process = subprocess.Popen(
        command,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        start_new_session=True,
    )
    try:
        process.wait(timeout=seconds)
    except subprocess.TimeoutExpired as late:
        raise EngineFailed(f"{name}: LibreOffice was stopped after {seconds:g} s") from late
    finally:
        # The launcher leaves its worker behind when it is stopped, so the whole group goes.
        if process.poll() is None:
            if hasattr(os, "killpg"):
                os.killpg(process.pid, signal.SIGKILL)
            else:
                process.kill()
            process.wait()


def _read(name: str, result: Path, wanted: Wanted) -> dict[Address, Cell]:
    book = load_workbook(result, read_only=True, data_only=True)
    try:
        if complaint := lacking(wanted, book.sheetnames):
            raise EngineFailed(f"{name}: {complaint}")
        found: dict[Address, Cell] = {}
        for sheet, coordinates in wanted.items():
            rows, columns = zip(*map(row_and_column, coordinates or ["A1"]), strict=True)
            # The stated extent of a sheet can be its last possible row.
            book[sheet].reset_dimensions()
            there = {
                cell.coordinate: _cell(cell)
                for row in book[sheet].iter_rows(max_row=max(rows), max_col=max(columns))
                for cell in row
                if cell.value is not None
            }
            found |= {(sheet, coordinate): there.get(coordinate) for coordinate in coordinates}
        return found
    finally:
        book.close()


def _cell(cell: Any) -> Cell:
    if cell.data_type == "e":
        return Fault(str(cell.value))
    if cell.value == "":
        return None
    if isinstance(cell.value, bool | str):
        return cell.value
    if isinstance(cell.value, int | float):
        return float(cell.value)
    return float(to_excel(cell.value))  # type: ignore[no-untyped-call]
