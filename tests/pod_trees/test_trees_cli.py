"""The command that tells of pod trees."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from packages import contents_of

from podbook.cli import app
from podbook.pod_trees import pod_trees


def run(*words: str | Path) -> Any:
    return CliRunner().invoke(app, list(map(str, words)))


def test_all_kinds_are_listed() -> None:
    done = run("trees")
    lines = done.stdout.splitlines()
    assert done.exit_code == 0
    assert [line.split(":")[0] for line in lines] == [kind.key for kind in pod_trees().kinds]
    assert [line.split(":")[0] for line in lines if "does not keep" in line] == ["mulberry", "persimmon"]


@pytest.mark.parametrize("kind", pod_trees().kinds, ids=lambda kind: kind.key)
def test_a_kind_is_told_with_sources_marks_and_cautions(kind: Any) -> None:
    done = run("trees", kind.name)
    assert done.exit_code == 0
    for figure in kind.figures.values():
        (line,) = [each for each in done.stdout.splitlines() if each.strip().startswith(f"{figure.label}:")]
        assert f"[{figure.mark}: {figure.source}]" in line
    for caution in pod_trees().cautions_of(kind):
        assert f"{caution.about}: {caution.text}  [{caution.mark}: {caution.source}]" in done.stdout
    assert ("a laboratory sheet is needed" in done.stdout) is bool(kind.lacks)


def test_one_object_holds_one_kind_or_all() -> None:
    carob = json.loads(run("trees", "carob", "--json").stdout)
    assert carob["figures"]["tree_yield"]["printed"] == {"value": 80, "unit": "kg_fed/tree", "low": 60, "high": 100}
    assert carob["figures"]["tree_yield"]["value"] == pytest.approx(80 / 0.45359237)
    assert carob["lacks_for_a_lab_sheet"] == ["fat", "ash"]
    assert {each["about"] for each in carob["cautions"]} >= {"tannin", "sugar"}
    every = json.loads(run("trees", "--json").stdout)
    assert [each["key"] for each in every["trees"]] == [kind.key for kind in pod_trees().kinds]
    assert every["trees"][4] == carob


def test_an_unknown_kind_is_wrong_usage_and_the_kinds_are_named() -> None:
    done = run("trees", "elm")
    assert (done.exit_code, done.stdout) == (2, "")
    assert done.stderr.splitlines() == [
        "'elm' is no kind of pod tree; name one of " + ", ".join(f"'{kind.key}'" for kind in pod_trees().kinds)
    ]


def test_a_farm_of_other_trees_is_built_verified_and_carried(tmp_path: Path) -> None:
    farm, book, new, page = (tmp_path / name for name in ("farm.toml", "farm.xlsx", "new.xlsx", "farm.html"))
    farm.write_text(
        '[farm]\ntitle = "Terrace"\n[[type]]\nname = "Ridge"\nkind = "carob"\nshare = 1\n'
        '[[group]]\nkind = "ewe"\nhead = 40\nbody_weight = 150\n',
        encoding="utf-8",
    )
    built = run("build", book, "--farm", farm)
    assert built.exit_code == 0
    assert "Ridge: taken as usual of carob" in built.stderr
    assert run("verify", book, "--report", page).exit_code == 0
    told = page.read_text(encoding="utf-8")
    assert "Carob, of which this farm has a type" in told
    assert "kids fed 52 % of carob" in told
    assert "Acorns poison" not in told
    carried = run("carry", book, new, "--json")
    assert carried.exit_code == 0
    assert run("verify", new).exit_code == 0
    assert contents_of(new, "types_kind") == ["carob", *[None] * 5]


def test_a_metric_book_shows_kilograms_as_the_source_prints_them(tmp_path: Path) -> None:
    book = tmp_path / "metric.xlsx"
    assert run("build", book, "--units", "metric").exit_code == 0
    assert run("verify", book).exit_code == 0
    for key, kilograms in (("carob_tree_yield", 80), ("mesquite_tree_yield", 30), ("chestnut_tree_yield", 175)):
        assert contents_of(book, key) == [kilograms]
