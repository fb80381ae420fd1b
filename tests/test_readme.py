"""Every command that the README, the front page and the help give as an example does what it says."""

from __future__ import annotations

import re
import shlex
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from podbook.cli import COMMANDS, app, command
from podbook.cli.front import JOBS, NEXT

ROOT = Path(__file__).parents[1]
DEMO = ROOT / "worked_examples" / "demo_farm"
SLOW = "--all-engines"
"""Left to the README's first command, which the CI script runs."""
OF_THE_HOUSE = "podbook templates"
"""Rewrites the templates; `--check` is run by the CI script, and by its own tests."""

NAMED = ("podbook verify",)
"""Named in a sentence, not shown."""


def examples(text: str) -> list[str]:
    """Return the commands in a text, without those in which a word in capitals stands for another, or only named."""
    found = re.findall(r"`(podbook [^`]+)`", text)
    return [each for each in found if SLOW not in each and not re.search(r"\b[A-Z]{4}\b", each) and each not in NAMED]


README = examples((ROOT / "README.md").read_text(encoding="utf-8"))
FRONT = [each for _, commands in JOBS for each in commands.split(", ")] + [NEXT]
HELP = [
    example
    for name in COMMANDS
    for example in re.findall(r"Example: (podbook [^\n]+(?:\n[^\n]+)*)", str(command(name).help))
    if SLOW not in example
]
EVERY = [
    each
    for each in dict.fromkeys(" ".join(example.split()) for example in (*README, *FRONT, *HELP))
    if each != OF_THE_HOUSE and each != f"{OF_THE_HOUSE} --check"
]


def run(command: str) -> Result:
    return CliRunner().invoke(app, shlex.split(command)[1:])


@pytest.mark.parametrize("command", EVERY)
def test_an_example_runs(command: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("PODBOOK_REGIONS", "")
    for name in ("farm.toml", "tally.csv", "lab.csv", "log.csv"):
        shutil.copy(DEMO / name, name)
    Path("farms.csv").write_text("farm,region,hay_price\nNorth farm (invented),us_ozarks,140\n", encoding="utf-8")
    if "mine.toml" in command and "--start" not in command:
        assert run("podbook regions --start mine.toml").exit_code == 0
    if not command.startswith("podbook build farm.xlsx"):
        shutil.copy(DEMO / "demo_farm.xlsx", "farm.xlsx")
        Path("returned").mkdir()
        shutil.copy("farm.xlsx", "returned/farm.xlsx")
    done = run(command)
    assert done.exit_code == 0, done.output
    assert done.output
    for made in re.findall(r"(?:--(?:report|into|every-draw|start|out) |carry farm.xlsx |build )([\w.-]+)", command):
        assert made.startswith("--") or Path(made).exists()


def test_there_are_examples_of_every_command() -> None:
    for source in (README, HELP):
        named = {each.split()[1] for each in source}
        assert named >= set(COMMANDS) - {"templates"}


def test_podbook_alone_says_what_it_can_do_and_the_next_step() -> None:
    done = run("podbook")
    assert done.exit_code == 0
    assert done.output.rstrip().splitlines()[-1].startswith("Next: podbook build demo.xlsx")
    assert all(command in done.output for _, command in JOBS)


def test_the_list_of_commands_is_not_cut_off() -> None:
    told = run("podbook --help").output
    assert "..." not in told.replace("ARGS]...", "")
    assert [name for name in COMMANDS if str(command(name).short_help) not in told] == []
