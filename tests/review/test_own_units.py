"""Units in formulas that the user wrote: what is mixed up is told as advice, what can't be known is left in peace."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

from podbook.review.find import opened
from podbook.review.findings import Finding
from podbook.review.own_units import MOST_TOLD
from podbook.review.verify import Verdict, verify

ENGINES = ("formualizer",)


def returned(whole: Path, folder: Path, own: list[str], ours: dict[str, str] | None = None) -> Verdict:
    """Return the verdict on a workbook with formulas of the user's own on a sheet, and formulas of ours changed."""
    workbook = load_workbook(whole)
    sheet = workbook.create_sheet("My sums", 2)
    for row, formula in enumerate(own, 1):
        sheet.cell(row, 1).value = formula
    places = opened(whole).places
    for key, formula in (ours or {}).items():
        workbook[places[key].sheet][places[key].cells[0]].value = formula
    path = folder / "returned.xlsx"
    workbook.save(path)
    return verify(path, ENGINES)


def remarks(verdict: Verdict) -> list[Finding]:
    return [each for each in verdict.findings if each.what.startswith("this cell ")]


def address(whole: Path, key: str, item: int = 0) -> str:
    place = opened(whole).places[key]
    return f"'{place.sheet}'!{place.cells[item]}"


MIXED = (
    ("=pod_crop+hay_saved", "adds ton as fed to lb DM"),
    ("=IF(pod_crop>hay_saved,1,2)", "compares lb DM with ton as fed"),
    ("=saving-hay_price", "takes $/ton as fed from $"),
    ("=MAX(hay_tdn,share_cap)", "takes the greater of % and a bare number"),
    ("=SUM(saving,area)", "adds up $ and acre"),
    ("=SUM(winter_hay_tons_with)+pod_crop/hay_dry_matter", "adds lb as fed to ton as fed"),
    ("=2*(pod_crop+stockpile_yield)", "adds lb DM/acre to lb DM"),
    ("=temperature_before+critical_low", ""),
    ("={pod_crop}+{hay_saved}", "adds ton as fed to lb DM"),
    ("=SUM({months.days}:{months.temperature})", "adds up day and °F"),
)


def test_what_is_mixed_up_is_told_as_advice(whole: Path, tmp_path: Path) -> None:
    addresses = {f"{{{key}}}": address(whole, key) for key in ("pod_crop", "hay_saved", "months.days")}
    addresses["{months.temperature}"] = address(whole, "months.temperature").partition("!")[2]
    formulas = []
    for formula, _ in MIXED:
        for key, stands in addresses.items():
            formula = formula.replace(key, stands)
        formulas.append(formula)
    verdict = returned(whole, tmp_path, formulas)
    heard = {each.cell: each for each in remarks(verdict)}
    assert len(heard) == len(remarks(verdict))
    for row, (_, words) in enumerate(MIXED, 1):
        assert (f"this cell {words}" if words else None) == (heard[f"A{row}"].what if f"A{row}" in heard else None)
    for cell, each in heard.items():
        assert (each.kind, each.counts, each.sheet) == ("own", False, "My sums")
        assert each.stands == formulas[int(cell[1:]) - 1]
        assert each.advice.startswith("Turn one into the unit of the other")
    assert verdict.agrees


def test_what_is_not_known_is_left_in_peace(whole: Path, tmp_path: Path) -> None:
    own = [
        "=pod_crop/2000+hay_saved",
        "=B9+hay_price",
        "=hay_price+5",
        "=stand_age+1",
        "=hay_price*2",
        "=(temperature_before-32)*5/9",
        "=temperature_before*9/5",
        '=IF(saving>0,saving,"")',
        '=IF(saving>100,saving,"none")',
        "=(saving>0)*area",
        "=SUM(saving,B4)",
        "=area^0.5",
        "=VLOOKUP(saving,B1:C9,2)",
        '=COUNTIF(winter_saved,">100")',
        "=saving/area+saving_area",
        "=hay_saved*hay_price+saving",
        "=SUM(winter_saved)-saving",
        '=INDEX(types_name,1)&" trees"',
        "=AVERAGE(months_temperature)",
        "=TODAY()-saving",
        "=pod_crop^9^9^9",
        "=1E999*pod_crop+hay_saved",
        "={1,2}",
        "=SUM(",
    ]
    assert remarks(returned(whole, tmp_path, own[:-1])) == []


def test_many_are_told_of_and_the_rest_counted(whole: Path, tmp_path: Path) -> None:
    found = remarks(returned(whole, tmp_path, ["=pod_crop+hay_saved"] * (MOST_TOLD + 5)))
    assert len(found) == MOST_TOLD
    assert found[-1].advice.endswith("So do 5 more formulas of your own.")


def test_a_copy_of_a_sheet_is_not_judged(whole: Path, tmp_path: Path) -> None:
    workbook = load_workbook(whole)
    workbook.copy_worksheet(workbook["Returns"]).title = "My returns"
    path = tmp_path / "copied.xlsx"
    workbook.save(path)
    verdict = verify(path, ENGINES)
    assert remarks(verdict) == []
    assert any("a copy of the sheet Returns" in each.what for each in verdict.findings)


@pytest.mark.parametrize(
    ("ours", "words"),
    [
        ({"hay_price_dry": "=hay_landed_price/hay_dry_matter"}, "a factor of 2,000 is lost, or one too many"),
        ({"hay_price_dry": "=hay_landed_price+pod_crop"}, "In units, it adds lb DM to $/ton as fed"),
        ({"hay_price_dry": "=hay_landed_price/(hay_dry_matter*weight_per_ton)*2"}, ""),
        ({"hay_price_dry": "=hay_landed_price/(hay_dry_matter*2000)"}, ""),
    ],
)
def test_a_formula_of_ours_that_was_changed(whole: Path, tmp_path: Path, ours: dict[str, str], words: str) -> None:
    verdict = returned(whole, tmp_path, [], ours)
    (finding,) = [each for each in verdict.findings if each.key == "hay_price_dry" and each.kind == "formula"]
    assert "changed" in finding.what
    assert words in finding.effect if words else "In units" not in finding.effect
    assert not verdict.agrees


def test_an_untouched_workbook_has_no_remarks(right: Verdict) -> None:
    assert [each for each in right.findings if each.kind == "own"] == []


def test_plain_data_holds_them(whole: Path, tmp_path: Path) -> None:
    plain: dict[str, Any] = returned(whole, tmp_path, ["=pod_crop+hay_saved"]).plain()
    assert any(each["what"] == "this cell adds ton as fed to lb DM" for each in plain["findings"])
    assert plain["agrees"] is True
