"""Chromium without a window: what it makes of a page, what it complains of, and what it prints."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import tempfile
from functools import cache
from html import escape
from html.parser import HTMLParser
from pathlib import Path
from typing import Any
from urllib.parse import unquote

import pytest

PROGRAM = "chromium"


def need(program: str) -> None:
    if shutil.which(program) is None:
        if os.environ.get("PODBOOK_ALL_WITNESSES") != "1":
            pytest.skip(f"{program} is not installed")
        pytest.fail(f"{program} is not installed")


def _run(page: Path, *options: str) -> subprocess.CompletedProcess[str]:
    """Run the browser over a page, with a profile of its own that is thrown away."""
    need(PROGRAM)
    with tempfile.TemporaryDirectory() as profile:
        return subprocess.run(
            [PROGRAM, "--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars", "--enable-logging=stderr",
             f"--user-data-dir={profile}", *options, page.as_uri()],
            check=True, capture_output=True, encoding="utf-8", timeout=120,
        )  # fmt: skip


@cache
def _seen(page: Path) -> subprocess.CompletedProcess[str]:
    return _run(page, "--dump-dom", "--virtual-time-budget=2000")


def dom(page: Path) -> str:
    """Return the document as the browser holds it, as HTML; of one path it is asked once."""
    return _seen(page).stdout


def complaints(page: Path) -> list[str]:
    """Return what the browser writes to a page's console; of one path it is asked once."""
    return [line.partition("CONSOLE")[2] for line in _seen(page).stderr.splitlines() if "CONSOLE" in line]


def printed(page: Path, folder: Path) -> list[str]:
    """Return the text of every page as it is printed."""
    need("pdftotext")
    pdf = folder / f"{page.stem}.pdf"
    _run(page, "--no-pdf-header-footer", f"--print-to-pdf={pdf}")
    reading = ["pdftotext", "-layout", "-enc", "UTF-8", str(pdf), "-"]
    text = subprocess.run(reading, check=True, capture_output=True, encoding="utf-8", timeout=60).stdout
    return text.removesuffix("\f").split("\f")


def measured(markup: str, width: int, script: str, folder: Path) -> Any:
    """Return what a script says of a page that is shown in a frame of some width; it finds the page as ``page``.

    The script runs in the page around the frame, so that the framed page's own policy does not stop it.
    """
    around = folder / "around.html"
    around.write_text(
        f"<!DOCTYPE html><iframe id='frame' style='width:{width}px;height:800px;border:0' srcdoc=\"{escape(markup)}\">"
        "</iframe><pre id='said'></pre><script>document.getElementById('frame').onload = (event) => {"
        "const page = event.target.contentDocument; const view = event.target.contentWindow;"
        f"const said = (() => {{ {script} }})();"
        "document.getElementById('said').textContent = encodeURIComponent(JSON.stringify(said)); };</script>",
        encoding="utf-8",
    )
    found = re.search(r'<pre id="said">(.+?)</pre>', _run(around, "--dump-dom", "--virtual-time-budget=2000").stdout)
    assert found is not None, "the script said nothing"
    return json.loads(unquote(found[1]))


class _Tags(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.tags: list[tuple[str, ...]] = []
        self.text: list[str] = []

    def handle_starttag(self, tag: str, attributes: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, *(f"{name}={value}" for name, value in attributes)))

    def handle_startendtag(self, tag: str, attributes: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attributes)
        if tag not in ("meta", "br"):
            self.handle_endtag(tag)

    def handle_endtag(self, tag: str) -> None:
        self.tags.append((f"/{tag}",))

    def handle_data(self, text: str) -> None:
        if text.strip():
            self.text.append(text.strip())


def parsed(markup: str) -> tuple[list[tuple[str, ...]], list[str]]:
    """Return the tags of a page in their order, and its texts."""
    reader = _Tags()
    reader.feed(markup)
    reader.close()
    return reader.tags, reader.text
