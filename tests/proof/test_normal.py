"""Two formulas count as the same only where they mean the same in every program."""

from __future__ import annotations

import pytest

from podbook.proof.agreement import differs
from podbook.proof.changes import normal

SAME = (
    ("=IF(B12>0,MIN(B12,hay_price),0)", "= if( b12 > 0 , min(B12,\nHay_Price) , 0 )"),
    ("=$B$12*B13", "=B12*$B13"),
    ("=Farm!$B$12+Farm!B13", "='Farm'!B12+'Farm'!$B$13"),
    ("='Crop sizes'!B2", "='CROP SIZES'!$B$2"),
    ("=IF(B2<=1,TRUE,FALSE)", "=IF(B2<=1.0,TRUE(),FALSE())"),
    ("=B2*100", "=B2*100.00"),
    ("=SUM(B2:B5)", "=SUM(B2 : B5)"),
    ('=IF(B2="ok","yes","")', '= IF(B2 = "ok" , "yes" , "")'),
)
DIFFERENT = (
    ('=IF(B2="ok",1,0)', '=IF(B2="OK",1,0)'),
    ('="a $5 b"', '="a 5 b"'),
    ('="a b"', '="ab"'),
    ('="1.0"', '="1"'),
    ('="say ""B 2"""', '="say ""B2"""'),
    ("""="it's B 2"&"'s\"""", """="it's B2"&"'s\""""),
    ("=B2*10", "=B2*1.0"),
    ("=B2*10", "=B2*1 0"),
    ("=B2*100", "=B2*100.5"),
    ("=B2*1.5", "=B2*1.0.5"),
    ("=B2*105", "=B2*1.05"),
    ("=SUM(B12)", "=SUM(B1 2)"),
    ("=SUM(B1B2)", "=SUM(B1 B2)"),
    ("=SUM(B1:B5)", "=SUM(B1:B5 B5)"),
    ("=(B1:B5)(B5)", "=(B1:B5) (B5)"),
    ("=B1<=B2", "=B1< =B2"),
    ("=B1<>B2", "=B1< >B2"),
    ("='Crop sizes'!B2", "='Cropsizes'!B2"),
    ("='Crop sizes'!B2", "=Cropsizes!B2"),
    ("='Crop$ize'!B2", "='Cropize'!B2"),
    ("='Crop 1.0'!B2", "='Crop 1'!B2"),
    ("='it''s'!B2", "='its'!B2"),
    ("=Farm!B2", "='Farm '!B2"),
    ("=hay_price", "=hay$price"),
    ("=hay_price", "=hay _price"),
    ("=price", "=pr\u0131ce"),
    ("=ewes", "=ewe\u017f"),
    ("=B2", "=$$B2"),
    ("=B2", "=B$$2"),
    ("=B2", "=\u00a0B2"),
    ("=LOG10(2)", "=$LOG$10(2)"),
    ("=B2", "B2"),
    ("=B2", "==B2"),
    ("=B2", "='B2'"),
    ("=Farm!B2", "='Farm'B2"),
)


@pytest.mark.parametrize(("one", "other"), SAME)
def test_what_a_program_may_change_in_passing(one: str, other: str) -> None:
    assert one != other
    assert normal(one) == normal(other)


@pytest.mark.parametrize(("one", "other"), DIFFERENT)
def test_what_means_something_else(one: str, other: str) -> None:
    assert normal(one) != normal(other)


@pytest.mark.parametrize(("found", "wanted"), [(None, 0.0), ("", 0.0), (0.0, None), (0.0, ""), (False, None)])
def test_nothing_is_not_nought(found: object, wanted: object) -> None:
    assert differs(found, wanted) is None  # type: ignore[arg-type]


@pytest.mark.parametrize(("found", "wanted"), [(None, ""), ("", None), (None, None), (1, 1.0), (True, 1.0)])
def test_alike(found: object, wanted: object) -> None:
    assert differs(found, wanted) == 0  # type: ignore[arg-type]
