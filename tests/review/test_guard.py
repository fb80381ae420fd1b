"""The gate: every hostile file is refused with one line, and every ordinary file passes."""

from __future__ import annotations

import os
import re
import shutil
import struct
import subprocess
import warnings
import zipfile
import zlib
from collections.abc import Callable
from pathlib import Path

import pytest
from openpyxl import Workbook, load_workbook
from openpyxl.chart import LineChart, Reference
from openpyxl.comments import Comment
from openpyxl.formatting.rule import FormulaRule
from openpyxl.styles import PatternFill
from openpyxl.workbook.defined_name import DefinedName
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.formula import ArrayFormula

from podbook.errors import NotOurWorkbook, PodbookError, Refused
from podbook.recalc import fill
from podbook.review.gate import guard
from podbook.review.gate.guard import check
from podbook.review.gate.reach import outside

SHEET = "xl/worksheets/sheet1.xml"
BOOK = "xl/workbook.xml"
TYPES = "[Content_Types].xml"
RELATIONS = "xl/_rels/workbook.xml.rels"
Parts = dict[str, bytes]


def ordinary(rows: int = 10) -> Workbook:
    workbook = Workbook()
    sheet = workbook.worksheets[0]
    sheet.title = "Hay and Pods"
    for row in range(1, rows + 1):
        sheet.cell(row, 1, f"item {row}")
        sheet.cell(row, 2, row * 1.5)
        sheet.cell(row, 3, f'=IF(B{row}>3,"dear [kg] | a://b",price*B{row})')
    workbook.defined_names["price"] = DefinedName("price", attr_text="'Hay and Pods'!$B$1")
    fill_colour = PatternFill("solid", fgColor="FFCC00")
    condition = FormulaRule(formula=["B1>2"], fill=fill_colour)  # type: ignore[no-untyped-call]
    sheet.conditional_formatting.add("B1:B9", condition)
    rule = DataValidation(type="list", formula1='"ewe,doe"')
    rule.add("D1:D9")
    sheet.add_data_validation(rule)
    chart = LineChart()
    chart.add_data(Reference(sheet, min_col=2, min_row=1, max_row=5))
    sheet.add_chart(chart, "H2")
    sheet["A1"].hyperlink = "https://example.org/hay"
    sheet["A2"].hyperlink = "#'Hay and Pods'!A1"
    sheet["A3"].comment = Comment("weighed wet", "me")
    sheet.merge_cells("E1:F2")
    return workbook


@pytest.fixture
def book(tmp_path: Path) -> Path:
    path = tmp_path / "book.xlsx"
    ordinary().save(path)
    return path


def parts_of(path: Path) -> Parts:
    with zipfile.ZipFile(path) as package:
        return {part: package.read(part) for part in package.namelist()}


def packed(path: Path, parts: Parts) -> Path:
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as package:
        for name, content in parts.items():
            package.writestr(name, content)
    return path


def changed(path: Path, part: str, old: str | bytes, new: str | bytes) -> Path:
    parts = parts_of(path)
    before = old.encode() if isinstance(old, str) else old
    assert before in parts[part], f"{old!r} is not in {part}"
    parts[part] = parts[part].replace(before, new.encode() if isinstance(new, str) else new, 1)
    return packed(path, parts)


def added(path: Path, part: str, content: bytes = b"<a/>") -> Path:
    return packed(path, {**parts_of(path), part: content})


def with_formula(path: Path, formula: str) -> Path:
    workbook = load_workbook(path)
    workbook["Hay and Pods"]["G1"] = formula
    workbook.save(path)
    return path


def refusal(path: Path, kind: type[PodbookError] = Refused) -> str:
    with pytest.raises(kind) as caught:
        check(path)
    line = str(caught.value)
    assert "\n" not in line
    assert path.name in line
    return line


class TestOrdinaryFilesPass:
    def test_as_openpyxl_writes_them(self, book: Path) -> None:
        before = book.read_bytes()
        check(book)
        assert book.read_bytes() == before

    def test_with_the_values_filled_in(self, book: Path) -> None:
        fill(book)
        check(book)

    def test_as_libreoffice_saves_them(self, book: Path, tmp_path: Path) -> None:
        if shutil.which("soffice") is None:
            if os.environ.get("PODBOOK_ALL_WITNESSES") != "1":
                pytest.skip("soffice is not installed")
            pytest.fail("soffice is not installed")
        out = tmp_path / "out"
        profile = f"-env:UserInstallation={(tmp_path / 'profile').as_uri()}"
        subprocess.run(
            ["soffice", profile, "--headless", "--convert-to", "xlsx", "--outdir", str(out), str(book)],
            check=True,
            capture_output=True,
            timeout=120,
        )
        check(out / book.name)

    def test_with_what_other_programs_put_in(self, book: Path) -> None:
        """Settings for a printer, a picture, versions of an element, the chain of calculation, a drawing's anchor."""
        parts = parts_of(book)
        parts["xl/printerSettings/printerSettings1.bin"] = b"\x00\x01"
        parts["xl/media/image1.png"] = b"\x89PNG"
        parts["xl/calcChain.xml"] = b'<calcChain xmlns="x"><c r="C1" i="1"/><c r="C1" i="2"/></calcChain>'
        parts["customXml/item1.xml"] = b"<!-- note --><a><![CDATA[ < ]]></a>"
        parts[BOOK] = parts[BOOK].replace(
            b"<workbookPr/>",
            b'<mc:AlternateContent xmlns:mc="m"><mc:Choice Requires="x15"/></mc:AlternateContent><workbookPr/>',
        )
        parts["xl/drawings/drawing1.xml"] = parts["xl/drawings/drawing1.xml"].replace(
            b"</wsDr>",
            b'<twoCellAnchor><from><row>3</row></from><mc:AlternateContent xmlns:mc="m"/></twoCellAnchor></wsDr>',
        )
        check(packed(book, parts))

    @pytest.mark.parametrize(
        "formula",
        [
            "=SUM(Costs[Amount])",
            "=Costs[[#This Row],[Amount]]*2",
            "='North | South'!A1",
            "='a:b'!A1",
            "=SUM('first one:last one'!A1)",
            '="see [1]Other!A1, cmd|x, WEBSERVICE(1)"',
            "=RECALL(1)+COPY(2)+MYCALL(3)+IMAGES",
            "=image_price*py",
            "='it''s'!A1",
        ],
    )
    def test_with_formulas_that_only_look_dangerous(self, formula: str) -> None:
        assert outside(formula) is None


class TestWhatIsNoWorkbook:
    def test_missing(self, tmp_path: Path) -> None:
        assert "no such file" in refusal(tmp_path / "gone.xlsx", NotOurWorkbook)

    def test_directory(self, tmp_path: Path) -> None:
        assert "not a file" in refusal(tmp_path, NotOurWorkbook)

    @pytest.mark.parametrize("content", [b"", b"acres,tons\n1,2\n", b"PK\x03\x04", b"PK\x05\x06" + bytes(18)])
    def test_text_and_stubs(self, tmp_path: Path, content: bytes) -> None:
        path = tmp_path / "table.xlsx"
        path.write_bytes(content)
        refusal(path, NotOurWorkbook)

    def test_old_or_encrypted(self, tmp_path: Path) -> None:
        path = tmp_path / "old.xlsx"
        path.write_bytes(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(2_000))
        assert "password" in refusal(path, NotOurWorkbook)

    @pytest.mark.parametrize("share", [0.1, 0.5, 0.9, 0.999])
    def test_truncated(self, book: Path, share: float) -> None:
        content = book.read_bytes()
        book.write_bytes(content[: int(len(content) * share)])
        assert "damaged" in refusal(book, NotOurWorkbook)

    def test_a_name_longer_than_the_directory_says_is_not_quoted_whole(self, book: Path) -> None:
        """The library that unpacks quotes what stands there, which may be half the file."""
        content = bytearray(book.read_bytes())
        content[26:28] = (20_000).to_bytes(2, "little")
        book.write_bytes(content)
        assert len(refusal(book, NotOurWorkbook)) < 300

    @pytest.mark.parametrize("spoil", [lambda data: data + b"more", lambda data: b"PK\x03\x04more" + data])
    def test_something_before_or_behind(self, book: Path, spoil: Callable[[bytes], bytes]) -> None:
        book.write_bytes(spoil(book.read_bytes()))
        assert "damaged" in refusal(book, NotOurWorkbook)

    def test_a_zip_of_something_else(self, tmp_path: Path) -> None:
        refusal(packed(tmp_path / "a.xlsx", {"word/document.xml": b"<a/>", TYPES: b"<Types/>"}), NotOurWorkbook)

    def test_a_template_or_unknown_type(self, book: Path) -> None:
        refusal(changed(book, TYPES, "spreadsheetml.sheet.main", "spreadsheetml.template.main"), NotOurWorkbook)

    def test_packed_by_a_later_standard(self, book: Path) -> None:
        content = bytearray(book.read_bytes())
        struct.pack_into("<H", content, content.rfind(b"PK\x01\x02") + 6, 99)
        book.write_bytes(bytes(content))
        refusal(book, NotOurWorkbook)

    def test_xml_that_is_none(self, book: Path) -> None:
        assert "well-formed" in refusal(changed(book, SHEET, "</sheetData>", "</oops>"), NotOurWorkbook)

    def test_a_flipped_byte(self, book: Path) -> None:
        content = bytearray(book.read_bytes())
        content[len(content) // 2] ^= 0xFF
        book.write_bytes(bytes(content))
        refusal(book, NotOurWorkbook)

    @pytest.mark.parametrize("cell", ['<c r="a1"/>', '<c r="ZZZZ9"/>', '<c r="A2"/>', "<c/>", '<c r="B1"/><c r="B1"/>'])
    def test_cells_out_of_place(self, book: Path, cell: str) -> None:
        refusal(changed(book, SHEET, '<c r="A1"', f'{cell}<c r="A1"'), NotOurWorkbook)


class TestBombs:
    def test_ratio(self, book: Path) -> None:
        assert "200 times" in refusal(added(book, "xl/media/a.png", bytes(4 << 20)))

    def test_number_of_parts(self, book: Path) -> None:
        parts = parts_of(book) | {f"xl/media/{number}.png": b"" for number in range(guard.ENTRIES)}
        assert "2,000" in refusal(packed(book, parts))

    def test_size_in_all(self, book: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        monkeypatch.setattr(guard, "UNPACKED", 300_000)
        parts = parts_of(book) | {f"xl/media/{number}.png": os.urandom(100_000) for number in range(4)}
        assert "300,000" in refusal(packed(book, parts))

    def test_size_of_one_part(self, book: Path) -> None:
        assert "33,554,432" in refusal(added(book, "xl/media/a.png", bytes((32 << 20) + 1)))

    def test_size_of_the_file(self, book: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        monkeypatch.setattr(guard, "FILE", 1_000)
        assert "1,000" in refusal(book)

    def test_a_part_larger_than_it_says(self, book: Path) -> None:
        """Both directories say 100 bytes; the stream holds four million."""
        with zipfile.ZipFile(added(book, "xl/media/a.png", bytes(4_000_000))) as package:
            at = package.getinfo("xl/media/a.png").header_offset
        content = bytearray(book.read_bytes())
        central = content.rfind(b"PK\x01\x02")
        struct.pack_into("<I", content, at + 22, 100)
        struct.pack_into("<I", content, central + 24, 100)
        book.write_bytes(bytes(content))
        assert "does not unpack" in refusal(book, NotOurWorkbook)

    def test_a_part_that_says_four_gigabytes(self, book: Path) -> None:
        content = bytearray(book.read_bytes())
        struct.pack_into("<I", content, content.rfind(b"PK\x01\x02") + 24, 0xFFFFFFF0)
        book.write_bytes(bytes(content))
        assert "4,294,967,280" in refusal(book)

    def test_parts_that_share_their_bytes(self, book: Path) -> None:
        content = bytearray(added(book, "xl/media/a.png", b"x").read_bytes())
        struct.pack_into("<I", content, content.rfind(b"PK\x01\x02") + 42, 0)
        book.write_bytes(bytes(content))
        assert "overlap" in refusal(book)

    def test_depth(self, book: Path) -> None:
        assert "inside one another" in refusal(added(book, "xl/deep.xml", b"<a>" * 5_000 + b"</a>" * 5_000))

    def test_number_of_elements(self, book: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        monkeypatch.setattr("podbook.review.gate.parts.ELEMENTS", 5_000)
        assert "5,000 elements" in refusal(added(book, "xl/wide.xml", b"<b>" + b"<a/>" * 5_000 + b"</b>"))

    @pytest.mark.parametrize(
        "declaration",
        [
            '<!DOCTYPE a [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;">]>',
            '<!DOCTYPE a SYSTEM "http://127.0.0.1/a.dtd">',
            '<!DOCTYPE a [<!ENTITY x SYSTEM "file:///etc/passwd">]>',
        ],
    )
    @pytest.mark.parametrize("part", [SHEET, BOOK, TYPES, "docProps/core.xml", "xl/styles.xml"])
    def test_document_types(self, book: Path, part: str, declaration: str) -> None:
        parts = parts_of(book)
        body = re.sub(rb"^<\?xml[^>]*\?>", b"", parts[part])
        assert "DTD" in refusal(packed(book, {**parts, part: declaration.encode() + body}))

    def test_document_type_in_another_encoding(self, book: Path) -> None:
        text = '<?xml version="1.0" encoding="UTF-16"?><!DOCTYPE a [<!ENTITY a "ha">]><a/>'
        assert "DTD" in refusal(added(book, "xl/a.xml", text.encode("utf-16")))

    def test_document_type_in_an_old_drawing(self, book: Path) -> None:
        refusal(added(book, "xl/drawings/a.vml", b"<!doctype a><a/>"))

    def test_far_off_cells(self, book: Path) -> None:
        assert "A1048576" in refusal(
            changed(book, SHEET, "</sheetData>", '<row r="1048576"><c r="A1048576"/></row></sheetData>')
        )
        ordinary().save(book)
        refusal(changed(book, SHEET, "</sheetData>", '<row r="90"><c r="XFD90"/></row></sheetData>'))
        ordinary().save(book)
        assert "places" in refusal(
            changed(book, SHEET, "</sheetData>", '<row r="40000"><c r="ZZ40000"/></row></sheetData>')
        )

    def test_merged_cells(self, book: Path) -> None:
        assert "merged" in refusal(changed(book, SHEET, 'ref="E1:F2"', 'ref="E1:F1048576"'))

    def test_long_lists_of_ranges(self, book: Path) -> None:
        assert "characters" in refusal(changed(book, SHEET, 'sqref="D1:D9"', f'sqref="{"D1 " * 30_000}"'))

    def test_many_lists_of_ranges(self, book: Path) -> None:
        lists = 'sqref="D1:D9"><formula1>1</formula1></dataValidation><dataValidation type="list" '
        many = lists.replace("D1:D9", "D1 " * 5_000) * 5 + 'sqref="D1:D9"'
        assert "ranges" in refusal(changed(book, SHEET, 'sqref="D1:D9"', many))

    def test_lists_of_ranges_in_an_extension(self, book: Path) -> None:
        extension = '<extLst><ext xmlns:m="http://x/main"><m:sqref>' + "D1 " * 20_001 + "</m:sqref></ext></extLst>"
        assert "ranges" in refusal(changed(book, SHEET, "</worksheet>", f"{extension}</worksheet>"))

    def test_shared_formulas(self, book: Path) -> None:
        refusal(changed(book, SHEET, "<f>", '<f t="shared" si="0" ref="A1:XFD1048576">'))

    def test_long_and_nested_formulas(self, book: Path) -> None:
        assert "8192" in refusal(changed(book, SHEET, "<f>", "<f>" + "1+" * 5_000))
        ordinary().save(book)
        assert "brackets" in refusal(changed(book, SHEET, "<f>", "<f>" + "(" * 300 + "1" + ")" * 300 + "+"))

    def test_text_of_all_formulas(self, book: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        monkeypatch.setattr("podbook.review.gate.parts.FORMULA_TEXT", 100)
        assert "more than 100 characters of formulas" in refusal(book)


class TestPackages:
    @pytest.mark.parametrize(
        "name", ["../../evil.xml", "/etc/evil.xml", "xl/../../evil.xml", "C:/evil.xml", "xl\\a.xml"]
    )
    def test_names_that_point_outside(self, book: Path, name: str) -> None:
        assert "points outside" in refusal(added(book, name))

    @pytest.mark.parametrize("name", [SHEET, SHEET.upper()])
    def test_double_parts(self, book: Path, name: str) -> None:
        with warnings.catch_warnings(action="ignore"), zipfile.ZipFile(book, "a") as package:
            package.writestr(name, b"<worksheet/>")
        assert "twice" in refusal(book)

    def test_encrypted_parts(self, book: Path) -> None:
        content = bytearray(book.read_bytes())
        struct.pack_into("<H", content, content.rfind(b"PK\x01\x02") + 8, 1)
        book.write_bytes(bytes(content))
        assert "password" in refusal(book)

    def test_unusual_packing(self, book: Path) -> None:
        with zipfile.ZipFile(book, "a") as package:
            package.writestr("xl/a.xml", b"<a/>", zipfile.ZIP_BZIP2)
        assert "unusual" in refusal(book)

    @pytest.mark.parametrize(
        "part",
        [
            "xl/vbaProject.bin",
            "xl/macrosheets/sheet1.xml",
            "xl/externalLinks/externalLink1.xml",
            "xl/embeddings/oleObject1.bin",
            "xl/activeX/activeX1.xml",
            "xl/connections.xml",
            "xl/queryTables/queryTable1.xml",
            "xl/webextensions/webextension1.xml",
            "customUI/customUI14.xml",
            "xl/a.exe",
            "xl/worksheets/sheet9.bin",
        ],
    )
    def test_parts_that_reach_outside(self, book: Path, part: str) -> None:
        assert "holds" in refusal(added(book, part))

    def test_macros_under_another_name(self, book: Path) -> None:
        override = b'<Override PartName="/xl/a.xml" ContentType="application/vnd.ms-office.vbaProject"/></Types>'
        assert "macros" in refusal(changed(added(book, "xl/a.xml"), TYPES, b"</Types>", override))

    def test_macro_workbook_types(self, book: Path) -> None:
        old, new = "vnd.openxmlformats-officedocument.spreadsheetml.sheet.main", "vnd.ms-excel.sheet.macroEnabled.main"
        assert "macros" in refusal(changed(book, TYPES, old, new))

    def test_xml_under_another_name(self, book: Path) -> None:
        override = b'<Override PartName="/xl/media/a.png" ContentType="application/x.worksheet+xml"/></Types>'
        assert "another name" in refusal(changed(added(book, "xl/media/a.png"), TYPES, b"</Types>", override))

    @pytest.mark.parametrize(
        "relation",
        [
            b'Type="http://x/externalLink" Target="externalLinks/externalLink1.xml"',
            b'Type="http://x/image" Target="http://127.0.0.1/a.png" TargetMode="External"',
            b'Type="http://x/externalLinkPath" Target="file:///etc/passwd" TargetMode="External"',
            b'Type="http://x/attachedTemplate" Target="//host/share/a.xltx" TargetMode="External"',
            b'Type="http://x/vbaProject" Target="media/a.png"',
        ],
    )
    def test_relations_that_reach_outside(self, book: Path, relation: bytes) -> None:
        new = b'<Relationship Id="x1" ' + relation + b"/></Relationships>"
        refusal(changed(book, RELATIONS, b"</Relationships>", new))

    def test_macros_on_a_drawing(self, book: Path) -> None:
        refusal(added(book, "xl/drawings/a.xml", b'<wsDr><sp macro="[0]!Run"/></wsDr>'))
        ordinary().save(book)
        refusal(added(book, "xl/drawings/a.vml", b"<x:FmlaMacro>Run</x:FmlaMacro>"))

    def test_pictures_fetched_by_an_old_drawing(self, book: Path) -> None:
        refusal(added(book, "xl/drawings/a.vml", b'<v:imagedata src="http://127.0.0.1/a.png"/>'))


class TestFormulas:
    REACHING = (
        "=cmd|'/c calc'!A1",
        '=WEBSERVICE("http://127.0.0.1")',
        "=_xlfn.WEBSERVICE(A1)",
        "=_xlfn._xlws.PY(1,2)",
        "=1+webservice (A1)",
        '=HYPERLINK("http://127.0.0.1","hay")',
        '=RTD("a",,"b")',
        '=CALL("kernel32","WinExec","JCJ","calc",0)',
        '=REGISTER.ID("kernel32","WinExec")',
        '=DDE("soffice","a","b")',
        '=_xlfn.IMAGE("http://127.0.0.1/a.png")',
        '=INDIRECT("A1")',
        "=[1]Data!A1",
        "=SUM(B1,[1]Data!A1)",
        "=[other.xlsx]Data!A1",
        "='[other.xlsx]My Data'!A1",
        "='/etc/[passwd]Data'!A1",
        "='file:///elsewhere/other.ods'#$Data.A1",
        "=[1]!price",
        '="a"&[1]Data!A1&"b"',
    )

    @pytest.mark.parametrize("formula", REACHING)
    def test_in_a_cell(self, book: Path, formula: str) -> None:
        line = refusal(with_formula(book, formula))
        assert "a formula with" in line
        assert "cell G1" in line

    @pytest.mark.parametrize("formula", REACHING)
    def test_in_a_name(self, book: Path, formula: str) -> None:
        workbook = load_workbook(book)
        workbook.defined_names["bad"] = DefinedName("bad", attr_text=formula[1:])
        workbook.save(book)
        refusal(book)

    def test_in_a_validation(self, book: Path) -> None:
        refusal(changed(book, SHEET, '"ewe,doe"', "[1]Data!A1:A2"))

    def test_in_a_conditional_format(self, book: Path) -> None:
        refusal(changed(book, SHEET, "B1&gt;2", "[1]Data!A1&gt;2"))

    def test_in_a_chart(self, book: Path) -> None:
        refusal(changed(book, "xl/charts/chart1.xml", "'Hay and Pods'!$B$1", "'[1]Data'!$B$1"))

    @pytest.mark.parametrize("text", ["<![CDATA[[1]Data!A1]]>", "&#91;1&#x5D;Data!A1", "[1<!-- -->]Data!A1"])
    def test_in_another_spelling(self, book: Path, text: str) -> None:
        refusal(changed(book, SHEET, "<f>", f"<f>{text}+"))

    def test_under_another_prefix(self, book: Path) -> None:
        parts = parts_of(book)
        parts[SHEET] = re.sub(rb"<(/?)(?=[a-zA-Z])", rb"<\1q:", parts[SHEET]).replace(b"xmlns=", b"xmlns:q=", 1)
        check(packed(book, parts))
        refusal(changed(book, SHEET, "<q:f>", "<q:f>[1]Data!A1+"))

    def test_array_formulas(self, book: Path) -> None:
        workbook = load_workbook(book)
        workbook["Hay and Pods"]["G1"] = ArrayFormula("G1:G1048576", "=B1:B3*2")
        workbook.save(book)
        assert "array formula" in refusal(book)

    @pytest.mark.parametrize(
        ("old", "new", "what"),
        [
            ("<calcPr ", '<calcPr fullPrecision="0" ', "precision"),
            ("<workbookPr", '<workbookPr date1904="1"', "1904"),
        ],
    )
    def test_settings_that_change_results(self, book: Path, old: str, new: str, what: str) -> None:
        assert what in refusal(changed(book, BOOK, old, new))

    @pytest.mark.parametrize("element", ["ddeLink", "oleLink", "oleObject", "externalReference", "x:macrosheet"])
    def test_elements_that_reach_outside(self, book: Path, element: str) -> None:
        refusal(added(book, "xl/a.xml", f'<a xmlns:x="x"><{element}/></a>'.encode()))

    def test_two_versions_of_a_cell(self, book: Path) -> None:
        new = '<mc:AlternateContent xmlns:mc="m"><mc:Choice><c r="B1"/></mc:Choice></mc:AlternateContent><c r="A1"'
        assert "two versions" in refusal(changed(book, SHEET, '<c r="A1"', new))


class TestOrder:
    """What the standard does not allow, each program reads in its own way."""

    @pytest.mark.parametrize(
        ("part", "old", "new"),
        [
            (SHEET, "<sheetData>", "<sheetData/><sheetData>"),
            (SHEET, "<sheetData>", '<sheetData><c r="A1"/>'),
            (SHEET, "</sheetData>", '</sheetData><extLst><ext><row r="99"><c r="A99"/></row></ext></extLst>'),
            (SHEET, '<c r="A1"', '<x:c xmlns:x="http://example.org" r="A1"/><c r="A1"'),
            (SHEET, "<v>1.5</v>", '<x:v xmlns:x="http://example.org">2</x:v><v>1.5</v>'),
            (SHEET, "<v>1.5</v>", "<v>1<x/>.5</v>"),
            (SHEET, "<v>1.5</v>", "<v>1.5</v><v>1.5</v>"),
            (SHEET, "<v>1.5</v>", "<v>1.5</v><is><t>a</t></is><is><t>b</t></is>"),
            (SHEET, "<v>1.5</v>", "<is><t>1.5</t></is>"),
            (SHEET, "<f>", "<f>1</f><f>"),
            (SHEET, '<row r="2"', '<row r="1"/><row r="2"'),
            (SHEET, '<row r="2"', '<row r="3"/><row r="2"'),
            (SHEET, '<c r="B1"', '<c r="C1"/><c r="B1"'),
            (SHEET, '<c r="B1"', '<mergeCell ref="A1:B1"/><c r="B1"'),
            (SHEET, "<v>1.5</v>", "<ext><v>1.5</v></ext>"),
            (SHEET, "<v>1.5</v>", "<ext><f>2</f></ext>"),
            (SHEET, "spreadsheetml/2006/main", "spreadsheetml/2007/main"),
            (SHEET, "worksheet", "chartsheet"),
            (BOOK, "<sheets>", "<sheets/><sheets>"),
            (BOOK, "sheets>", "leaves>"),
            (BOOK, "<definedNames>", '<definedName name="x">1</definedName><definedNames>'),
            (BOOK, "officeDocument/2006/relationships", "officeDocument/2007/relationships"),
            (BOOK, "spreadsheetml/2006/main", "spreadsheetml/2007/main"),
            (RELATIONS, "package/2006/relationships", "package/2007/relationships"),
        ],
    )
    def test_out_of_order(self, book: Path, part: str, old: str, new: str) -> None:
        parts = parts_of(book)
        parts[part] = parts[part].replace(old.encode(), new.encode())
        assert "damaged" in refusal(packed(book, parts), NotOurWorkbook)

    @pytest.mark.parametrize("kind", ["", "x", "S", "N"])
    def test_cells_of_no_known_kind(self, book: Path, kind: str) -> None:
        assert "no known kind" in refusal(changed(book, SHEET, ' t="n"', f' t="{kind}"'), NotOurWorkbook)

    @pytest.mark.parametrize("name", ["price", "Price", " price", "pri ce", "", "pri\u200bce"])
    def test_names_twice_or_none(self, book: Path, name: str) -> None:
        new = f'<definedNames><definedName name="{name}">1</definedName>'
        assert "damaged" in refusal(changed(book, BOOK, "<definedNames>", new), NotOurWorkbook)

    def test_a_name_may_hold_on_one_sheet_too(self, book: Path) -> None:
        new = '<definedNames><definedName name="price" localSheetId="0">1</definedName>'
        check(changed(book, BOOK, "<definedNames>", new))

    @pytest.mark.parametrize("encoding", ["utf-7", "latin-1", "cp037", "utf-32", "shift_jis", "none"])
    def test_other_encodings_than_the_standards(self, book: Path, encoding: str) -> None:
        parts = parts_of(book)
        text = re.sub(r"^<\?xml[^>]*\?>", "", parts[SHEET].decode())
        declared = f'<?xml version="1.0" encoding="{encoding}"?>{text}'
        parts[SHEET] = declared.encode("utf-8" if encoding == "none" else encoding)
        assert "damaged" in refusal(packed(book, parts), NotOurWorkbook)

    @pytest.mark.parametrize("encoding", ["utf-8", "UTF-8", "utf-8-sig", "utf-16"])
    def test_encodings_of_the_standard(self, book: Path, encoding: str) -> None:
        parts = parts_of(book)
        text = re.sub(r"^<\?xml[^>]*\?>", "", parts[SHEET].decode())
        declared = f'<?xml version="1.0" encoding="{encoding.removesuffix("-sig")}"?>{text}'
        parts[SHEET] = declared.encode(encoding)
        check(packed(book, parts))

    def test_formulas_of_no_known_kind(self, book: Path) -> None:
        assert "no known kind" in refusal(changed(book, SHEET, "<f>", '<f t="x">'), NotOurWorkbook)

    def test_a_relation_twice(self, book: Path) -> None:
        parts = parts_of(book)
        found = re.search(rb"<Relationship [^>]*>", parts[RELATIONS])
        assert found is not None
        parts[RELATIONS] = parts[RELATIONS].replace(found[0], found[0] * 2)
        assert "two relations" in refusal(packed(book, parts), NotOurWorkbook)

    def test_other_standards_may_be_mixed_in(self, book: Path) -> None:
        new = (
            '</sheetData><extLst><ext><x:v xmlns:x="http://example.org">1</x:v><x:f xmlns:x="http://example.org">B1'
            '</x:f><x:row xmlns:x="http://example.org">1</x:row></ext></extLst>'
        )
        check(changed(book, SHEET, "</sheetData>", new))


def test_the_message_of_a_strange_name_stays_on_one_line(book: Path) -> None:
    assert "\\n" in refusal(added(book, "xl/a\nb.exe"))


def test_a_flipped_checksum_is_damage(book: Path) -> None:
    content = bytearray(book.read_bytes())
    at = content.rfind(b"PK\x01\x02") + 16
    struct.pack_into("<I", content, at, zlib.crc32(b"other"))
    book.write_bytes(bytes(content))
    assert "damaged" in refusal(book, NotOurWorkbook)


def test_a_file_that_may_not_be_looked_for_is_no_traceback(book: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def shut(path: Path) -> bool:
        raise PermissionError(13, "Permission denied", str(path))

    monkeypatch.setattr(Path, "exists", shut)
    assert "cannot be read: Permission denied" in refusal(book, NotOurWorkbook)
