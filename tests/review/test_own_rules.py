"""The rules for formulas, as advice on formulas of the user's own: one remark a rule, and nothing counts against it."""

from __future__ import annotations

from pathlib import Path

from openpyxl import load_workbook

from podbook.proof.rules import LONGEST
from podbook.review.find import opened
from podbook.review.findings import Finding
from podbook.review.verify import Verdict, verify


def returned(whole: Path, folder: Path, own: list[str], title: str = "My sums") -> Verdict:
    workbook = load_workbook(whole)
    sheet = workbook.create_sheet(title, 2)
    for row, formula in enumerate(own, 1):
        sheet.cell(row, 1).value = formula
    path = folder / "returned.xlsx"
    workbook.save(path)
    return verify(path, ("formualizer",))


def remarks(verdict: Verdict) -> list[Finding]:
    return [each for each in verdict.findings if each.what.startswith("this formula ")]


BREAKING = (
    ("=VLOOKUP(1,B1:C9,2)", "uses VLOOKUP", "keep to plain functions"),
    ("=IFERROR(saving/area,0)", "uses IFERROR", "ask with IF"),
    ("=saving*0.45", "holds the number 0.45", "give it a cell of its own"),
    ("=saving*100%", "holds %", "divide by 100"),
    ("=--saving", "holds --", "use brackets"),
    ("=IF(area>0,IF(area>1,IF(area>2,IF(area>100,IF(saving>1,1)))))", "has 5 conditions", "cell of their own"),
    ("=saving" + "+saving" * (LONGEST // 7), f"has {7 + 7 * (LONGEST // 7)} characters", "split it"),
)


def test_a_rule_that_is_broken_is_told_as_advice(whole: Path, tmp_path: Path) -> None:
    verdict = returned(whole, tmp_path, [formula for formula, _, _ in BREAKING])
    heard = {each.cell: each for each in remarks(verdict)}
    assert len(heard) == len(remarks(verdict)) == len(BREAKING)
    for row, (formula, told, advice) in enumerate(BREAKING, 1):
        found = heard[f"A{row}"]
        assert (found.kind, found.counts, found.sheet) == ("own", False, "My sums")
        assert told in found.what
        assert found.stands in formula or found.stands.removesuffix("…") in formula
        assert advice in found.advice
        assert "It is welcome as it is" in found.advice
    assert verdict.agrees


def test_an_address_of_ours_is_told_with_the_name_to_write_instead(whole: Path, tmp_path: Path) -> None:
    place = opened(whole).places["saving"]
    (heard,) = remarks(returned(whole, tmp_path, [f"=A2+'{place.sheet}'!${place.cells[0]}/area"]))
    assert heard.what.endswith(f"'{place.sheet}'!${place.cells[0]} is saving")
    assert "write the figure's name" in heard.advice


def test_many_are_told_once_and_counted(whole: Path, tmp_path: Path) -> None:
    heard = remarks(returned(whole, tmp_path, ["=saving*7", "=saving*8", "=VLOOKUP(1,B1:C9,2)", "=saving*9"]))
    assert [each.cell for each in heard] == ["A1", "A3"]
    assert heard[0].what == "this formula holds the number 7; 2 more of your own formulas do so, too"


def test_what_keeps_the_rules_is_left_in_peace(whole: Path, tmp_path: Path) -> None:
    own = [
        "=saving/area",
        "=A1*2",
        '=IF(saving>0,"over 50 %","IFERROR 3")',
        "=SUM('Plan 2024 -- 5%'!A1:A9)",
        "=INDEX(winter_saved,3)",
        "=SUM(7:9)",
    ]
    assert remarks(returned(whole, tmp_path, own, "Plan 2024 -- 5%")) == []
