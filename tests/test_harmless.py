"""Texts from files neither steer a terminal nor run in a spreadsheet."""

from __future__ import annotations

import io
from contextlib import redirect_stdout

import pytest
from rich.table import Table

from podbook.cli.talk import print_csv
from podbook.harmless import for_csv, plain
from podbook.review.words import Screen


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("\x1b[31mred", "\\x1b[31mred"),
        ("\x9b31mred", "\\x9b31mred"),
        ("bell\x07back\x08", "bell\\x07back\\x08"),
        ("over\rwritten", "over\\rwritten"),
        ("pods\u202egnihton", "pods\\u202egnihton"),
        ("one\u2028two", "one\\u2028two"),
        ("Müller's — 5 °F, 草", "Müller's — 5 °F, 草"),
        ("[bold]hay[/bold] :cow:", "[bold]hay[/bold] :cow:"),
        ("two\nlines\tapart", "two\nlines\tapart"),
    ],
)
def test_plain(text: str, wanted: str) -> None:
    assert plain(text) == wanted


def test_one_line_stays_one_line() -> None:
    assert plain("two\nlines\tapart", one_line=True) == "two\\nlines apart"


def test_a_long_text_is_cut_and_says_so() -> None:
    line = plain("=" + "1+" * 4_000, one_line=True)
    assert len(line) < 1_100
    assert line.endswith("(8,001 characters)")


@pytest.mark.parametrize("text", ["=1+1", "+1", "-1", "@SUM(1)", "\t=1", "\r=1", "=cmd|'/c calc'!A1"])
def test_what_a_spreadsheet_would_calculate(text: str) -> None:
    assert for_csv((text, -1.5)) == [f"'{plain(text)}", -1.5]


def test_no_field_steers_a_terminal() -> None:
    assert for_csv(["\x1b[31mred.xlsx"]) == ["\\x1b[31mred.xlsx"]


@pytest.mark.parametrize("text", ["", "hay", "1-1", "a=b", "'=1"])
def test_what_it_would_not(text: str) -> None:
    assert for_csv([text]) == [text]


def test_a_screen_prints_what_is_written() -> None:
    said = io.StringIO()
    with redirect_stdout(said):
        screen = Screen(width=200)
        table = Table("[i]heading[/i]")
        table.add_row("[/] [link=http://127.0.0.1]\x1b]8;;x\x07 :cow:")
        screen.print(table)
        screen.print("[bold]a[/bold]\nAll agrees.", style="bold")
    assert "[i]heading[/i]" in said.getvalue()
    assert "[/] [link=http://127.0.0.1]\\x1b]8;;x\\x07 :cow:" in said.getvalue()
    assert "[bold]a[/bold]\\nAll agrees.\n" in said.getvalue()
    assert "\x1b" not in said.getvalue()


def test_a_table_as_csv_has_the_same_line_ends_everywhere(monkeypatch: pytest.MonkeyPatch) -> None:
    said = io.StringIO(newline="\r\n")  # as on Windows
    monkeypatch.setattr("sys.stdout", said)
    print_csv([("a", 1), ("b", 2)])
    assert said.getvalue() == "a,1\r\nb,2\r\n"
