"""Workbooks to be spoiled: the demo book as it is built, and as other programs save it."""

from __future__ import annotations

import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path

from openpyxl import load_workbook
from packages import packed, parts_of, share_strings

from podbook import regions
from podbook.book.writer import write
from podbook.inputs.farm import filled
from podbook.sheets import book_of


def bases(folder: Path, *, office: bool = True) -> Iterator[Path]:
    """Yield the demo as it is built, with shared strings and without values, and as LibreOffice saves it, if it may."""
    built = folder / "built.xlsx"
    write(book_of(regions.load("us_midatl_appal"), filled()), built)
    yield built
    saved = folder / "saved.xlsx"
    load_workbook(built).save(saved)
    parts = parts_of(saved)
    share_strings(parts)
    yield packed(saved, parts)
    if office and shutil.which("soffice"):
        profile = f"-env:UserInstallation={(folder / 'profile').as_uri()}"
        command = [
            "soffice",
            profile,
            "--headless",
            "--convert-to",
            "xlsx",
            "--outdir",
            str(folder / "office"),
            str(built),
        ]
        subprocess.run(command, check=True, capture_output=True, timeout=300)
        yield folder / "office" / "built.xlsx"
