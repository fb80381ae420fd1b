"""LibreOffice, run headless and bounded, with a profile of its own: it makes another file of a workbook.

Its profile computes every formula on loading; with its usual settings it would keep the stored values of the file.
"""

from __future__ import annotations

import os
import shutil
import subprocess
from pathlib import Path

from podbook.errors import EngineFailed
from podbook.recalc.program import run

PROGRAM = "soffice"
SECONDS = 120
"""A book of 30,000 formulas takes about 2 s."""
WORKBOOK, PDF = "xlsx:Calc MS Excel 2007 XML", "pdf:calc_pdf_Export"
"""What it can make: the ending, and the filter in LibreOffice's words."""

_SETTINGS = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry" xmlns:xs="http://www.w3.org/2001/XMLSchema">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load">
<prop oor:name="OOXMLRecalcMode" oor:op="fuse"><value>0</value></prop>
</item>
</oor:items>
"""


def present() -> bool:
    """Return whether this machine can run it."""
    return shutil.which(PROGRAM) is not None


def converted(path: Path, made: str, directory: Path, seconds: float = SECONDS) -> Path:
    """Return the file, in a directory that is empty, that LibreOffice makes of a copy of a workbook.

    Raises EngineFailed where it can't, or takes longer than its seconds.
    """
    profile = directory / "profile"
    (profile / "user").mkdir(parents=True)
    (profile / "user" / "registrymodifications.xcu").write_text(_SETTINGS, encoding="utf-8")
    source = directory / "in" / "book.xlsx"
    source.parent.mkdir()
    shutil.copyfile(path, source)
    command = [
        PROGRAM,
        f"-env:UserInstallation={profile.as_uri()}",
        "--headless",
        "--norestore",
        "--infilter=Calc MS Excel 2007 XML",
        "--convert-to",
        made,
        "--outdir",
        str(directory / "out"),
        str(source),
    ]
    _run(path.name, command, directory, seconds)
    result = directory / "out" / f"{source.stem}.{made.partition(':')[0]}"
    if not result.is_file():
        # It ends with exit code 0 even when it could not read the file.
        raise EngineFailed(f"{path.name}: LibreOffice could not read or calculate the file")
    return result


def _run(name: str, command: list[str], directory: Path, seconds: float) -> None:
    nothing = subprocess.DEVNULL
    environment = {**os.environ, "TMPDIR": str(directory)}  # where it leaves files when it is stopped
    try:  # the launcher leaves its worker behind when it is stopped, unless both have a session of their own
        run(
            command,
            seconds,
            stdin=nothing,
            stdout=nothing,
            stderr=nothing,
            env=environment,
            start_new_session=True,
        )
    except subprocess.TimeoutExpired as late:
        raise EngineFailed(f"{name}: LibreOffice was stopped after {seconds:g} s") from late
