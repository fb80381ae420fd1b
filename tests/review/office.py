"""Office programs at work on a workbook: what a user does at the screen, done by the real program without one."""

from __future__ import annotations

import os
import re
import shutil
import signal
import subprocess
import zipfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from xml.sax.saxutils import escape

from openpyxl import load_workbook

PROCEDURES = Path(__file__).with_suffix(".bas")
SECONDS = 300
XLSX, ODS = "Calc MS Excel 2007 XML", "calc8"
PULL_UP, PULL_LEFT = 1, 2
"""How the hole is filled where cells are deleted: LibreOffice's own numbers."""

_MODULE = """<?xml version="1.0" encoding="UTF-8"?>
<!DOCTYPE script:module PUBLIC "-//OpenOffice.org//DTD OfficeDocument 1.0//EN" "module.dtd">
<script:module xmlns:script="http://openoffice.org/2000/script" script:name="Module1" \
script:language="StarBasic">{text}</script:module>
"""


@dataclass(frozen=True)
class Step:
    """One thing done to the open workbook: a procedure of office.bas and what it is told."""

    procedure: str
    told: tuple[str | float, ...]


@dataclass(frozen=True)
class Job:
    """A workbook to open, the steps to take, and where the result goes."""

    source: Path
    steps: Sequence[Step]
    into: Path
    by_way_of_ods: bool = False


def step(procedure: str, *told: str | float) -> Step:
    """Return one step."""
    return Step(procedure, told)


def unprotect(*sheets: str) -> list[Step]:
    """Take the protection off some sheets."""
    return [step("Unprotect", sheet) for sheet in sheets]


def libreoffice(jobs: Sequence[Job], folder: Path) -> None:
    """Do all jobs in one start of LibreOffice, in a new folder; raise RuntimeError if a step can't be done."""
    profile, log = folder / "profile", folder / "log.txt"
    folder.mkdir(parents=True)
    command = ["soffice", f"-env:UserInstallation={profile.as_uri()}", "--headless", "--norestore"]
    # The first start makes the profile; in a new one LibreOffice puts its own empty module over ours.
    _run([*command, "--terminate_after_init"])
    module = profile / "user" / "basic" / "Standard" / "Module1.xba"
    text = PROCEDURES.read_text(encoding="utf-8") + _main(jobs, folder, log)
    module.write_text(_MODULE.format(text=escape(text)), encoding="utf-8")
    for number, job in enumerate(jobs):
        # LibreOffice locks what it opens, and another start may be at work on the same workbook.
        shutil.copyfile(job.source, folder / f"{number}.xlsx")
    _run([*command, "macro:///Standard.Module1.Main"])
    said = log.read_text(encoding="utf-8").splitlines() if log.is_file() else []
    if said != ["done"]:
        raise RuntimeError("; ".join(said) or "LibreOffice did not run the steps")


def _run(command: list[str]) -> None:
    process = subprocess.Popen(
        command,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        start_new_session=True,
    )
    try:
        process.wait(timeout=SECONDS)
    finally:
        # The launcher leaves its worker behind when it is stopped, so the whole group goes.
        if process.poll() is None:
            os.killpg(process.pid, signal.SIGKILL)
            process.wait()


def _main(jobs: Sequence[Job], folder: Path, log: Path) -> str:
    """Return the procedures that do the jobs, each until its first step that can't be done, and note what happened."""
    lines = []
    for number, job in enumerate(jobs):
        lines += [
            f"Sub Job{number}()",
            "Dim book, doing",
            "On Error GoTo Failed",
            'doing = "open"',
            f"book = Opened({_literal(str(folder / f'{number}.xlsx'))})",
        ]
        for each in job.steps:
            told = ", ".join(map(_literal, each.told))
            lines += [
                f"doing = {_literal(f'{each.procedure} {told}')}",
                f"{each.procedure}(book{', ' if told else ''}{told})",
            ]
        lines += ['doing = "save"']
        if job.by_way_of_ods:
            between = str(job.into.with_suffix(".ods"))
            lines += [
                f"SaveAs(book, {_literal(between)}, {_literal(ODS)})",
                "book.close(True)",
                f"book = Opened({_literal(between)})",
            ]
        lines += [
            f"SaveAs(book, {_literal(str(job.into))}, {_literal(XLSX)})",
            "book.close(True)",
            "Exit Sub",
            "Failed:",
            f'Note({_literal(str(log))}, {_literal(job.into.name)} & ": " & doing & ": " & Error$)',
            "End Sub",
        ]
    calls = [f"Job{number}" for number in range(len(jobs))]
    done = f'Note({_literal(str(log))}, "done")'
    return "\n".join([*lines, "Sub Main", *calls, done, "StarDesktop.terminate()", "End Sub"])


def _literal(told: str | float) -> str:
    """Return a value as Basic writes it."""
    if isinstance(told, bool):
        return str(told)
    if isinstance(told, str):
        return '"' + told.replace('"', '""') + '"'
    return f"{told!r}"


def gnumeric(source: Path, into: Path) -> None:
    """Open a workbook in Gnumeric and save it."""
    command = ["ssconvert", "--export-type=Gnumeric_Excel:xlsx2", str(source), str(into)]
    subprocess.run(command, check=True, capture_output=True, timeout=SECONDS)


def openpyxl(source: Path, into: Path, contents: Mapping[tuple[str, str], Any]) -> None:
    """Open a workbook with openpyxl, put something in some cells, and save it: the stored values are gone then."""
    workbook = load_workbook(source)
    for (sheet, cell), content in contents.items():
        workbook[sheet][cell].value = content
    workbook.save(into)


def by_hand(source: Path, into: Path, contents: Mapping[tuple[str, str], float]) -> None:
    """Change stored numbers in the file itself, as a program does that does not calculate."""
    titles = load_workbook(source, read_only=True).sheetnames
    changed = {title: {cell: value for (sheet, cell), value in contents.items() if sheet == title} for title in titles}
    with zipfile.ZipFile(source) as package, zipfile.ZipFile(into, "w", zipfile.ZIP_DEFLATED) as copy:
        for part in package.infolist():
            content = package.read(part)
            for number, title in enumerate(titles, 1):
                if part.filename == f"xl/worksheets/sheet{number}.xml":
                    for cell, value in changed[title].items():
                        content = _stored(content, cell, value)
            copy.writestr(part, content)


def _stored(sheet: bytes, cell: str, value: float) -> bytes:
    found = re.subn(rb'(<c r="%s"[^>]*>(?:<f>[^<]*</f>)?<v>)[^<]*' % cell.encode(), rb"\g<1>%r" % value, sheet)
    if found[1] != 1:
        raise ValueError(f"{cell} holds no number")
    return found[0]
