"""What stands in the report; that it is the same for the same file, and written whole or not at all."""

from __future__ import annotations

import hashlib
import json
import re
import shutil
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from openpyxl import load_workbook
from reports import SHEET, section, tree, unfolded, words

from podbook.cli import app
from podbook.errors import PodbookError
from podbook.review.report import page as report
from podbook.review.report.markup import MOST
from podbook.review.report.told import MOST_AT_LENGTH, MOST_IN_BRIEF, MOST_ROWS
from podbook.review.verify import Verdict, verify
from podbook.sheets import cautions

POINT = re.compile(r"^(\d+)\. ")


def test_its_parts_stand_in_their_order(pages: dict[str, Path]) -> None:
    for page in pages.values():
        order = ["key-figures", "findings", "entries", "aside", "winter", "cautions", "how"]
        assert [each.get("id") for each in tree(page).iter("h2")] == order
        assert tree(page).findall(".//main/*")[0].tag == "header"


def test_it_begins_with_the_farm_the_file_the_engines_and_the_verdict(
    pages: dict[str, Path], right: Verdict, wrong: Verdict
) -> None:
    for name, verdict in (("right", right), ("wrong", wrong)):
        header = tree(pages[name]).find(".//header")
        assert header is not None
        told = words(header)
        (engine,) = verdict.comparisons
        counting = [each for each in verdict.findings if each.counts]
        assert verdict.title in told
        assert "farm.xlsx" in told
        assert hashlib.sha256(Path(verdict.path).read_bytes()).hexdigest()[:32] in told
        assert f"{engine.agreeing:,} of {engine.cells:,} formula cells agree" in told
        assert (f"{len(counting)} findings" if counting else "no findings.") in told
        assert ("LOOK:" in told) is not verdict.agrees
        rows = header.findall(".//tbody/tr")
        assert [words(cell) for cell in rows[0]][:3] == ["formualizer", f"{engine.cells:,}", f"{engine.agreeing:,}"]
        assert len(rows) == 1
    assert right.agrees
    assert not wrong.agrees


def test_the_key_figures_stand_three_ways_and_those_that_differ_are_marked(
    pages: dict[str, Path], right: Verdict, wrong: Verdict
) -> None:
    for name, verdict in (("right", right), ("wrong", wrong)):
        rows = section(pages[name], "key-figures").findall(".//tbody/tr")
        told = [[words(cell) for cell in row] for row in rows]
        assert [[cell.removeprefix("▲ ") for cell in row[:4]] for row in told] == [
            [each.label, each.stored, each.own, each.should] for each in verdict.figures
        ]
        assert ["LOOK" in row[4] for row in told] == [not each.right for each in verdict.figures]
        assert [row[4] == "agree" for row in told] == [each.right for each in verdict.figures]
        marked = [sum(cell.startswith("▲") for cell in row[1:3]) for row in told]
        assert [count > 0 for count in marked] == [not each.right for each in verdict.figures]
    assert any(not each.right for each in wrong.figures)


def test_every_finding_is_told_once_and_numbered_causes_before_entries(pages: dict[str, Path], wrong: Verdict) -> None:
    counting = [each for each in wrong.findings if each.counts]
    for name, kin in (
        ("findings", [each for each in counting if each.kind != "entry"]),
        ("entries", [each for each in counting if each.kind == "entry"]),
    ):
        part = section(pages["wrong"], name)
        groups = {(each.key, each.kind) for each in kin}
        assert len(part.findall("article")) == len(groups) > 1
        assert len(part.findall("article")) + len(part.findall(".//tbody/tr")) == len(kin)
        told = words(part).replace(" ", "")
        for each in kin:
            assert each.cell in told
            for text in (each.what, each.stands, each.should, each.effect):
                assert text[:MOST].replace(" ", "").lower() in told.lower()
    numbers = [int(point[1]) for each in tree(pages["wrong"]).iter("h3") if (point := POINT.match(words(each)))]
    numbers += [
        int(words(row[0])) for name in ("findings", "entries") for row in section(pages["wrong"], name).iter("tr")
        if words(row[0]).isdigit()
    ]  # fmt: skip
    assert sorted(numbers) == list(range(1, len(counting) + 1))


def test_what_only_follows_is_folded_under_its_cause_and_complete(pages: dict[str, Path], wrong: Verdict) -> None:
    cause = max(wrong.findings, key=lambda each: len(each.followers))
    assert len(cause.followers) > 1000
    article = next(
        each for each in section(pages["wrong"], "findings").iter("article") if f", {cause.cell}: " in words(each)
    )
    folded = next(each for each in article.iter("details") if f"{len(cause.followers):,} cells" in words(each[0]))
    assert folded.get("open") is None
    told = {(words(row[0]), cell) for row in folded.iter("div") for cell in unfolded(words(row[1]).split(", "))}
    assert told == {tuple(each.rsplit("!", 1)) for each in cause.followers}


def test_what_is_only_worth_knowing_stands_apart(pages: dict[str, Path], right: Verdict, wrong: Verdict) -> None:
    aside = [each for each in wrong.findings if not each.counts]
    lines = [words(each) for each in section(pages["wrong"], "aside").iter("li")]
    assert len(lines) == len(aside) > 0
    assert any(line.startswith(f"{SHEET}: A sheet of your own") for line in lines)
    assert not [each for each in right.findings if not each.counts]
    assert words(section(pages["right"], "aside")).endswith("None.")


def test_many_findings_are_all_counted_and_few_told_at_length(pages: dict[str, Path], many: Verdict) -> None:
    part = section(pages["many"], "findings")
    assert len(part.findall("article")) == MOST_AT_LENGTH
    brief = part.findall("table")
    assert len(brief) == 1
    assert len(brief[0].findall("./tbody/tr")) == MOST_IN_BRIEF
    alike = [each for each in part.findall("article") if each.find("details") is not None]
    assert len(alike) == 1
    assert len(alike[0].findall(".//tbody/tr")) == MOST_ROWS
    assert f"And 1 more: B{11 + MOST_ROWS}." in words(alike[0])
    untold = re.search(r"And ([\d,]+) more \(Winter ([\d,]+)\)", words(part))
    last = max(int(words(row[0])) for row in brief[0].iter("tr") if words(row[0]).isdigit())
    assert untold is not None
    assert int(untold[1]) == int(untold[2]) == len(many.findings) - last > 0
    assert len(pages["many"].read_bytes()) < 500_000


def test_the_winter_is_told_by_month_as_a_table_and_as_a_chart(pages: dict[str, Path], right: Verdict) -> None:
    part = section(pages["right"], "winter")
    season = right.season
    assert not season.otherwise
    months, eaten = (table.findall("./tbody/tr") for table in part.iter("table"))
    assert [tuple(words(cell) for cell in row) for row in months] == list(season.rows())
    assert [words(each) for each in part.findall("./ul")[0]] == list(season.sentences())
    assert len(months) == len(eaten) == len(season.months) > 3
    picture = part.find(".//svg")
    assert picture is not None
    title, described = picture.find("title"), picture.find("desc")
    assert title is not None
    assert described is not None
    assert picture.get("aria-labelledby", "").split() == [title.get("id"), described.get("id")]
    for row in eaten:
        for cell in row[1:]:
            assert words(cell) == "0" or words(cell) in words(described)


def test_figures_of_the_winter_that_the_workbook_gets_wrong_are_marked(
    pages: dict[str, Path], right: Verdict, wrong: Verdict
) -> None:
    part = section(pages["wrong"], "winter")
    assert wrong.season.otherwise
    assert {key: column for key, column in wrong.season.figures.items() if key == "winter.days"} == {
        "winter.days": right.season.figures["winter.days"]
    }
    marked = [cell for row in part.findall("./table")[0].iter("tr") for cell in row if words(cell).startswith("▲")]
    assert len(marked) > 5
    assert "are left out or stand at their default here" in words(part)


@pytest.mark.parametrize("sheet", ["Pods", "Herd"])
def test_a_winter_that_hangs_on_entries_that_are_gone_is_not_told(whole: Path, tmp_path: Path, sheet: str) -> None:
    path = tmp_path / "gone.xlsx"
    workbook = load_workbook(whole)
    del workbook[sheet]
    workbook.save(path)
    verdict = verify(path, ["formualizer"])
    report.write(verdict, tmp_path / "gone.html")
    part = section(tmp_path / "gone.html", "winter")
    assert "The winter can't be told" in words(part)
    assert part.find(".//table") is None
    assert part.find(".//svg") is None
    assert "Signs of grain overload" in words(section(tmp_path / "gone.html", "cautions"))


def test_no_figure_of_feed_stands_without_its_caution(pages: dict[str, Path]) -> None:
    for page in pages.values():
        whole_page = words(tree(page))
        assert all(line in whole_page for _, lines in cautions.BLOCKS for line in lines)
        assert whole_page.index("Pods are a supplement, never the whole ration") < whole_page.index("head-days")
        assert "Call a veterinarian at signs of grain overload" in words(section(page, "winter"))


def test_the_same_file_gives_the_same_bytes(harmed: Path, pages: dict[str, Path], tmp_path: Path) -> None:
    elsewhere = Path(shutil.copyfile(harmed, tmp_path / harmed.name))
    report.write(verify(elsewhere, ["formualizer"]), tmp_path / "again.html")
    assert (tmp_path / "again.html").read_bytes() == pages["wrong"].read_bytes()
    source = pages["wrong"].read_text(encoding="utf-8")
    assert str(tmp_path.parent) not in source
    assert not re.search(r"20\d\d-\d\d-\d\d|\d\d:\d\d", source)


def run(*options: str | Path) -> Any:
    return CliRunner().invoke(app, ["verify", *map(str, options)])


def test_verify_writes_it_and_says_the_same_as_without(harmed: Path, pages: dict[str, Path], tmp_path: Path) -> None:
    path = tmp_path / "farm.html"
    bare, told = run(harmed, "--json"), run(harmed, "--json", "--report", path)
    assert (bare.exit_code, told.exit_code) == (1, 1)
    assert told.stdout == bare.stdout
    assert json.loads(told.stdout)["agrees"] is False
    assert bare.stderr == ""
    assert told.stderr == f"{path}: written. Next: open it in a browser, and print it from there\n"
    assert path.read_bytes() == pages["wrong"].read_bytes()
    assert {each.name for each in tmp_path.iterdir()} == {"farm.html"}


def test_verify_overwrites_a_report_only_when_told_to(whole: Path, pages: dict[str, Path], tmp_path: Path) -> None:
    path = tmp_path / "farm.html"
    path.write_text("a farmer's own notes", encoding="utf-8")
    done = run(whole, "--report", path)
    assert (done.exit_code, done.stdout) == (2, "")
    assert done.stderr == f"{path}: is already there; nothing was written. Name another file, or add --replace\n"
    assert path.read_text(encoding="utf-8") == "a farmer's own notes"
    assert run(whole, "--report", path, "--replace").exit_code == 0
    assert path.read_bytes() == pages["right"].read_bytes()


@pytest.mark.parametrize(
    ("name", "told"), [("farm.pdf", "a file's name must end in .html here"), ("none/farm.html", "there is no folder")]
)
def test_verify_refuses_a_report_that_it_can_not_write_before_it_begins(tmp_path: Path, name: str, told: str) -> None:
    done = run(tmp_path / "none.xlsx", "--report", tmp_path / name)
    assert (done.exit_code, done.stdout) == (2, "")
    assert told in done.stderr
    assert list(tmp_path.iterdir()) == []


def test_a_file_that_can_not_be_checked_gets_no_report(tmp_path: Path) -> None:
    (tmp_path / "farm.xlsx").write_text("no workbook", encoding="utf-8")
    assert run(tmp_path / "farm.xlsx", "--report", tmp_path / "farm.html").exit_code == 3
    assert {each.name for each in tmp_path.iterdir()} == {"farm.xlsx"}


def test_a_report_is_not_written_over_another_unasked(right: Verdict, tmp_path: Path) -> None:
    path = tmp_path / "farm.html"
    path.write_text("the report before", encoding="utf-8")
    with pytest.raises(PodbookError, match="is already there"):
        report.write(right, path)
    assert path.read_text(encoding="utf-8") == "the report before"


def test_a_write_that_fails_leaves_what_was_there(
    right: Verdict, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "farm.html"
    path.write_text("the report before", encoding="utf-8")

    def full(self: Path, content: bytes) -> int:
        with self.open("wb") as file:
            file.write(content[:1000])
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "write_bytes", full)
    with pytest.raises(PodbookError, match=r"farm\.html: can't be written \(No space left"):
        report.write(right, path, replace=True)
    assert path.read_text(encoding="utf-8") == "the report before"
    assert {each.name for each in tmp_path.iterdir()} == {"farm.html"}
