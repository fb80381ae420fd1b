"""What could go differently: the draws say what the workbook would say, and a snapshot says when it is stale."""

from __future__ import annotations

import csv
import hashlib
import io
import json
import os
import shutil
import subprocess
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import formualizer
import numpy as np
import pytest
from click.testing import CliRunner
from openpyxl import load_workbook
from openpyxl.utils.cell import coordinate_to_tuple

from podbook import recalc, regions
from podbook.book.writer import write
from podbook.cli import app
from podbook.errors import EngineFailed, PodbookError
from podbook.inputs.farm import filled
from podbook.proof.evaluate import end_to_end
from podbook.proof.many import affected, evaluate
from podbook.proof.wiring import Where, Wiring
from podbook.recalc import DEFAULT
from podbook.review import bounded
from podbook.review.ahead import snapshot
from podbook.review.ahead.outlook import NPV, PAYBACK, RESULTS, SAVED, Outlook, outlook
from podbook.review.find import entered, opened, wanted
from podbook.review.verify import verify
from podbook.sheets import book_of

REGION = "us_midatl_appal"
CASES = ("yields", "hay", "losses", "later", "costs")


class Typing:
    """A workbook held by the everyday engine: figures are typed into it, its own formulas say what comes of them."""

    def __init__(self, path: Path) -> None:
        self.path, self.found = path, opened(path)
        self.engine = formualizer.load_workbook(str(path))

    def says(self, entries: Mapping[Where, Any]) -> dict[str, float]:
        """Return the results with some figures typed in, and put back what stood there."""
        try:
            for where, content in entries.items():
                self.engine.set_value(*self.spot(where), content)
            self.engine.evaluate_all()
            return {name: float(self.engine.get_value(*self.spot(where))) for name, where in RESULTS.items()}
        finally:
            for where in entries:
                place = self.found.places[where[0]]
                self.engine.set_value(*self.spot(where), self.found.cells[place.sheet, place.cells[where[1]]])

    def spot(self, where: Where) -> tuple[str, int, int]:
        place = self.found.places[where[0]]
        return (place.sheet, *coordinate_to_tuple(place.cells[where[1]]))


@pytest.fixture(scope="module")
def farm(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("outlook") / "farm.xlsx"
    write(book_of(regions.load(REGION), filled()), path)
    return path


@pytest.fixture(scope="module")
def book(farm: Path) -> Typing:
    return Typing(farm)


@pytest.fixture(scope="module")
def looked(farm: Path) -> Outlook:
    return outlook(farm, count=40, vary=["own_rate=0.03,0.07"])


def typed(farm: Path, path: Path, entries: Mapping[Where, Any]) -> Path:
    """Type other figures into a copy of a workbook."""
    found = opened(farm)
    workbook = load_workbook(farm)
    for (key, item), content in entries.items():
        place = found.places[key]
        workbook[place.sheet][place.cells[item]].value = content
    workbook.save(path)
    return path


def approx(results: Mapping[str, float]) -> Any:
    return pytest.approx(results, rel=1e-9)


def test_ranges_without_width_give_the_workbooks_own_numbers(book: Typing, tmp_path: Path) -> None:
    plan = {"yields": 1, "hay": 1, "losses": 1, "later": 0, "costs": 1}
    flat = {(f"cases.{name}", case): each for name, each in plan.items() for case in range(3)}
    found, own = outlook(typed(book.path, tmp_path / "flat.xlsx", flat), count=50), book.says({})
    assert found.likely == approx(own)
    for name in RESULTS:
        np.testing.assert_allclose(found.draws[name], own[name], rtol=1e-9)
    assert found.band(NPV) == pytest.approx([own[NPV]] * 3, rel=1e-9)
    assert found.paying == float(own[NPV] > 0)


def test_the_same_seed_gives_the_same_answer_and_another_seed_another(farm: Path) -> None:
    first, again, other = (outlook(farm, count=200, seed=seed, alike=["Good=0.5"]) for seed in (7, 7, 8))
    assert first.plain() == again.plain()
    assert all((first.draws[name] == again.draws[name]).all() for name in first.draws)
    assert first.band(NPV) != other.band(NPV)


def test_the_number_of_draws_at_once_changes_nothing(farm: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    whole = outlook(farm, count=60)
    monkeypatch.setattr("podbook.review.ahead.outlook.AT_ONCE", 25)
    np.testing.assert_array_equal(outlook(farm, count=60).draws[NPV], whole.draws[NPV])


def test_one_at_a_time_is_what_the_workbook_says_with_that_figure_typed_in(book: Typing, looked: Outlook) -> None:
    for swing in looked.swings:
        assert swing.low == approx(book.says({swing.quantity.where: swing.quantity.low})), swing.quantity.name
        assert swing.high == approx(book.says({swing.quantity.where: swing.quantity.high})), swing.quantity.name


def test_a_draw_is_what_the_workbook_says_with_its_figures_typed_in(book: Typing, looked: Outlook) -> None:
    quantities = [swing.quantity for swing in looked.swings]
    for draw in range(0, 40, 3):
        own = book.says({each.where: float(looked.draws[each.name][draw]) for each in quantities})
        assert {name: float(looked.draws[name][draw]) for name in RESULTS} == approx(own)


def test_draws_stay_in_their_ranges_and_lean_to_the_likely(farm: Path) -> None:
    found = outlook(farm, count=4000)
    for each in (swing.quantity for swing in found.swings):
        drawn = found.draws[each.name]
        assert each.low <= drawn.min() < drawn.max() <= each.high
        # The mean of a triangle is a third of its three corners.
        assert drawn.mean() == pytest.approx(
            (each.low + each.likely + each.high) / 3, abs=0.02 * (each.high - each.low)
        )
    assert found.paying == np.mean(found.draws[NPV] > 0)
    low, middle, high = found.band(SAVED)
    assert low < middle < high
    assert np.mean(found.draws[SAVED] < low) == pytest.approx(0.1, abs=0.002)
    assert found.paid_back == np.mean(found.draws[PAYBACK] > 0)


def test_the_widest_swing_stands_first(farm: Path) -> None:
    widths = [each.width for each in outlook(farm, count=1).swings]
    assert widths == sorted(widths, reverse=True)
    assert widths[-1] > 0


# The mean of n values that vary by s, any two alike by r, varies by s sqrt(r + (1 - r)/n).
def test_trees_of_a_clone_vary_together(farm: Path) -> None:
    found = opened(farm)
    values = recalc.values(farm, DEFAULT, wanted(found))
    spread, mean, trees = (
        entered(found, values, key)[2] for key in ("by_type.spread", "by_type.mean", "order.planted")
    )
    own, half, clone = (outlook(farm, count=5_000, alike=[f"Selected grafted={share}"]) for share in (0, 0.5, 1))
    assert own.kin[0].spread == pytest.approx(spread / mean / trees**0.5)
    assert half.kin[0].spread == pytest.approx(spread / mean * (0.5 + 0.5 / trees) ** 0.5)
    assert clone.kin[0].spread == pytest.approx(spread / mean)
    for each in (own, half, clone):
        factor = each.draws["pods of Selected grafted"]
        assert factor.min() > 0
        assert factor.mean() == pytest.approx(1, abs=0.03)
        assert factor.std() == pytest.approx(each.kin[0].spread, rel=0.1)
    assert np.std(clone.draws[SAVED]) > np.std(half.draws[SAVED]) > np.std(own.draws[SAVED])


ANY_FIGURES = (
    *("hay_tdn", "frost_chance", "wildlife_loss", "row_spacing", "share_cap", "replant_after", "stand_age"),
    *("step_up_weeks", "hay_cp", "wind"),
)


@pytest.mark.parametrize("name", ANY_FIGURES)
def test_many_draws_at_once_are_the_draws_one_by_one(name: str) -> None:
    """Every cell on the way, whether its function takes arrays or not, against the book worked out for each draw."""
    book, key = book_of(regions.load(REGION), filled()), f"{name}_entry"
    wiring, node = Wiring(book), book.nodes[key]
    entries = {each.key: each.contents for each in book.nodes.values() if each.role == "entry"}
    base = {
        (name, item): each
        for name, column in end_to_end(book, entries, wiring).items()
        for item, each in enumerate(column)
    }
    assert node.low is not None
    assert node.high is not None
    drawn = np.random.default_rng(5).uniform(node.low, node.high, 5)
    changed = {(key, 0): drawn}
    targets = (*RESULTS.values(), ("saving", 0), ("sizes.money", 12))
    cells = affected(wiring, changed, targets)
    found = evaluate(wiring, base, changed, cells, len(drawn))
    for draw, value in enumerate(drawn):
        alone = end_to_end(book, {**entries, key: (float(value),)}, wiring)
        for where in cells:
            wanted_there = alone[where[0]][where[1]]
            stands = found[where][draw] if isinstance(found[where], np.ndarray) else found[where]
            if isinstance(wanted_there, str):
                assert stands == wanted_there, where
            else:
                assert stands == pytest.approx(wanted_there, rel=1e-9, abs=1e-9), where


WRONG = {
    "no such figure": ({"vary": ["hay_prise=1,2"]}, "hay_price"),
    "one end only": ({"vary": ["own_rate=0.03"]}, "LOWEST,HIGHEST"),
    "the likely outside": ({"vary": ["own_rate=0.06,0.07"]}, "the workbook says 0.05"),
    "outside the book's range": ({"vary": ["own_rate=0.01,3"]}, "0 to 0.2"),
    "no such type": ({"alike": ["Pear=1"]}, "Selected grafted"),
    "a share above 1": ({"alike": ["Wild=2"]}, "0 (each tree its own)"),
    "a share that is a word": ({"alike": ["Wild=much"]}, "much"),
    "a figure twice": ({"vary": ["own_rate=0.03,0.07", "own_rate=0.04,0.06"]}, "'own_rate' twice"),
    "a type twice": ({"alike": ["Wild=0.5", "wild=0.7"]}, "'Wild' twice"),
    "no draws": ({"count": 0}, "1 to 1,000,000"),
    "no seed": ({"seed": -1}, "--seed"),
}


@pytest.mark.parametrize(("words", "told"), WRONG.values(), ids=WRONG)
def test_words_that_say_nothing_are_refused_with_what_is_allowed(farm: Path, words: dict[str, Any], told: str) -> None:
    with pytest.raises(PodbookError) as caught:
        outlook(farm, **words)
    assert told in str(caught.value)
    assert "\n" not in str(caught.value)


def test_a_case_that_cannot_be_used_is_named(farm: Path, tmp_path: Path) -> None:
    path = typed(farm, tmp_path / "bad.xlsx", {("cases.hay", 0): "dear"})
    with pytest.raises(PodbookError, match="mend"):
        outlook(path, count=1)


def run(*words: object) -> Any:
    return CliRunner().invoke(app, [str(each) for each in words])


def test_the_command_prints_json_csv_and_words(farm: Path, book: Typing) -> None:
    before = hashlib.sha256(farm.read_bytes()).digest()
    plain = json.loads(run("outlook", farm, "--draws", 30, "--json").stdout)
    assert plain["draws"] == 30
    assert plain["likely"][NPV] == pytest.approx(book.says({})[NPV])
    rows = list(csv.DictReader(io.StringIO(run("outlook", farm, "--draws", 30, "--csv").stdout)))
    assert {row["quantity"] for row in rows} == {"", *CASES}
    assert (
        float(next(row["value"] for row in rows if row["setting"] == "median of the draws"))
        == plain["bands"][NPV]["median"]
    )
    words = run("outlook", farm, "--draws", 30)
    assert words.exit_code == 0
    assert "pays in" in words.stdout
    assert hashlib.sha256(farm.read_bytes()).digest() == before


def test_every_draw_can_be_kept(farm: Path, tmp_path: Path) -> None:
    assert run("outlook", farm, "--draws", 30, "--every-draw", tmp_path / "draws.csv").exit_code == 0
    rows = list(csv.DictReader((tmp_path / "draws.csv").open(encoding="utf-8")))
    assert len(rows) == 30
    assert set(rows[0]) == {"draw", *CASES, *RESULTS}
    assert run("outlook", farm, "--draws", 30, "--every-draw", tmp_path / "draws.csv").exit_code == 2
    assert run("outlook", farm, "--draws", 30, "--every-draw", tmp_path / "draws.txt").exit_code == 2


def test_what_cannot_be_written_or_looked_at_is_said_in_one_line(farm: Path, tmp_path: Path) -> None:
    for option, name in (("--into", "folder.xlsx"), ("--every-draw", "folder.csv")):
        (tmp_path / name).mkdir()
        done = run("outlook", farm, "--draws", 5, option, tmp_path / name, "--replace")
        assert (done.exit_code, done.stdout) == (2, "")
        assert done.stderr == f"{tmp_path / name}: can't be written (Is a directory); name another file\n"
    done = run("outlook", tmp_path / "none.xlsx", "--json")
    assert done.exit_code == 3
    assert "no such file" in json.loads(done.stdout)["could_not_look"]


@pytest.fixture
def snap(farm: Path, tmp_path: Path) -> Path:
    path = tmp_path / "snap.xlsx"
    assert run("outlook", farm, "--draws", 200, "--alike", "Good=0.5", "--into", path).exit_code == 0
    return path


def change(path: Path, where: tuple[str, str], content: object, into: Path | None = None) -> Path:
    workbook = load_workbook(path)
    workbook[where[0]][where[1]].value = content
    workbook.save(into or path)
    return into or path


def test_a_fresh_snapshot_holds_and_the_book_agrees(farm: Path, book: Typing, snap: Path) -> None:
    assert verify(snap, (DEFAULT,)).agrees
    page = load_workbook(snap)["Outlook"]
    assert len(page._charts) == 2
    before, after = (sum(len(sheet._charts) for sheet in load_workbook(path)) for path in (farm, snap))
    assert after == before + 2
    shown = [row[1].value for row in page.iter_rows() if row[0].value == "Net present value"]
    assert shown == [pytest.approx(book.says({})[NPV])]


@pytest.mark.skipif(not hasattr(os, "fork"), reason="there a child knows nothing of what was changed here")
def test_a_copy_is_read_in_a_bounded_child(farm: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    result, told = outlook(farm, count=20), tmp_path / "process"

    def refused(path: Path) -> Any:
        told.write_text(str(os.getpid()), encoding="ascii")
        raise EngineFailed(f"{path}: not read here")

    monkeypatch.setattr(snapshot, "loaded", refused)
    with pytest.raises(EngineFailed, match="not read here"):
        snapshot.write(result, tmp_path / "copy.xlsx")
    assert int(told.read_text(encoding="ascii")) != os.getpid()
    assert [each.name for each in tmp_path.iterdir()] == ["process"]


def test_what_is_never_paid_back_is_told_so(farm: Path, tmp_path: Path) -> None:
    place = opened(farm).places["hay_price_entry"]
    cheap = change(farm, (place.sheet, place.cells[0]), 20, tmp_path / "cheap.xlsx")
    looked = tmp_path / "looked.xlsx"
    assert run("outlook", cheap, "--draws", 20, "--into", looked).exit_code == 0
    (shown,) = [
        row[1].value for row in load_workbook(looked)["Outlook"].iter_rows() if row[0].value == "Paid back after"
    ]
    assert shown == "never"


def test_a_snapshot_is_stale_once_something_else_is_filled_in(snap: Path) -> None:
    place = opened(snap).places["hay_price_entry"]
    change(snap, (place.sheet, place.cells[0]), 171)
    verdict = verify(snap, (DEFAULT,))
    assert "stale" in verdict.snapshot
    assert not verdict.agrees
    assert "stale" in run("verify", snap).stdout
    assert run("verify", snap).exit_code == 1
    findings = json.loads(run("verify", snap, "--json").stdout)["findings"]
    assert ["stale" in each["what"] for each in findings if each["kind"] == "outlook"] == [True]


def test_a_snapshot_that_was_changed_by_hand_is_told(snap: Path) -> None:
    change(snap, ("Outlook", "B8"), 1_000_000)
    assert "by hand" in verify(snap, (DEFAULT,)).snapshot


def test_a_snapshot_is_made_anew(snap: Path) -> None:
    place = opened(snap).places["hay_price_entry"]
    change(snap, (place.sheet, place.cells[0]), 171)
    assert run("outlook", snap, "--draws", 20, "--into", snap).exit_code == 2
    assert run("outlook", snap, "--draws", 20, "--into", snap, "--replace").exit_code == 0
    assert verify(snap, (DEFAULT,)).agrees
    assert load_workbook(snap).sheetnames.count("Outlook") == 1


def test_a_sheet_of_the_users_own_of_that_name_is_left_alone(farm: Path, tmp_path: Path) -> None:
    path = tmp_path / "own.xlsx"
    workbook = load_workbook(farm)
    workbook.create_sheet("Outlook")["A1"] = "mine"
    workbook.save(path)
    done = run("outlook", path, "--draws", 20, "--into", tmp_path / "out.xlsx")
    assert done.exit_code == 2
    assert not (tmp_path / "out.xlsx").exists()


def test_a_snapshot_holds_when_libreoffice_saved_the_book(snap: Path, tmp_path: Path) -> None:
    if shutil.which("soffice") is None:
        pytest.skip("soffice is not installed")
    profile = (tmp_path / "profile").as_uri()
    command = [
        "soffice",
        f"-env:UserInstallation={profile}",
        "--headless",
        "--norestore",
        "--convert-to",
        "xlsx",
        "--outdir",
    ]
    subprocess.run([*command, str(tmp_path / "saved"), str(snap)], check=True, capture_output=True, timeout=120)
    assert verify(tmp_path / "saved" / "snap.xlsx", (DEFAULT,)).snapshot == ""


def test_a_planting_that_is_never_paid_back_is_told_so_in_the_books_own_money() -> None:
    """Nothing is planted in a template: it costs, and bears nothing."""
    done = run("outlook", Path(__file__).parents[2] / "templates" / "nz.xlsx", "--draws", 50)
    assert done.exit_code == 0
    paid_back = next(line for line in done.stdout.splitlines() if "paid back after" in line)
    assert paid_back.count("never") == 4
    head = next(line for line in done.stdout.splitlines() if "one at a time" in line)
    assert head.count("feed saved") == 1
    assert "NZ$" in done.stdout
    assert "$" not in done.stdout.replace("NZ$", "")


def test_a_book_that_can_not_be_calculated_is_told_of_by_the_name_asked_for(
    looked: Outlook, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = bounded.one

    def failing(path: Path, job: Any) -> Any:
        if path == Path(looked.path):
            return real(path, job)
        raise EngineFailed(f"{path.name}: why")

    monkeypatch.setattr(snapshot.bounded, "one", failing)
    into = tmp_path / "new.xlsx"
    with pytest.raises(EngineFailed, match=f"^{into}: why$"):
        snapshot.write(looked, into)
    assert list(tmp_path.iterdir()) == []
