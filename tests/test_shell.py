"""What a shell asks of the commands: what may stand next, and an exit code that means an interrupt."""

from __future__ import annotations

import pytest
from click.testing import CliRunner

from podbook import pod_trees, recalc, regions
from podbook.cli import COMMANDS, app
from podbook.cli.talk import INTERRUPTED
from podbook.systems import SYSTEMS


def completed(words: str) -> list[str]:
    """Return what bash is offered for the last of some words."""
    asked = {"_PODBOOK_COMPLETE": "bash_complete", "COMP_WORDS": words, "COMP_CWORD": str(words.count(" "))}
    done = CliRunner().invoke(app, [], prog_name="podbook", env=asked)
    assert done.exit_code == 0, done.output
    return [line.removeprefix("plain,") for line in done.output.splitlines() if line]


@pytest.mark.parametrize(
    ("words", "offered"),
    [
        ("podbook ", list(COMMANDS)),
        ("podbook ver", ["verify"]),
        ("podbook verify --rep", ["--report", "--replace"]),
        ("podbook verify --engine ", list(recalc.ENGINES)),
        ("podbook verify --engine libre", ["libreoffice"]),
        ("podbook build --units ", list(SYSTEMS)),
        ("podbook carry --units m", ["metric"]),
        ("podbook build --region ", list(regions.known())),
        ("podbook carry --region eu_med", ["eu_mediterranean"]),
        ("podbook regions --like n", ["nz"]),
        ("podbook regions ", list(regions.known())),
        ("podbook build --region moon", []),
    ],
)
def test_a_shell_completes(words: str, offered: list[str]) -> None:
    assert completed(words) == offered


@pytest.mark.parametrize("words", ["podbook verify ", "podbook build --trees ", "podbook verify --region "])
def test_files_are_left_to_the_shell(words: str) -> None:
    assert completed(words) == ["file,"]


def test_a_command_that_there_is_not_is_answered_with_the_nearest() -> None:
    done = CliRunner().invoke(app, ["verfy", "farm.xlsx"])
    assert done.exit_code == 2
    assert "Did you mean 'verify'?" in done.output


def test_an_interrupted_command_does_not_say_that_something_differs(monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupted() -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(pod_trees, "pod_trees", interrupted)
    assert CliRunner().invoke(app, ["trees"]).exit_code == INTERRUPTED == 130
