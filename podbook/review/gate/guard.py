"""The gate for a workbook from outside: nothing else looks at the file before `check` has passed it.

The package is looked at here, its XML parts by `parts`, the text of its formulas by `reach`. The file is opened for
reading only, and never unpacked to the disk.
"""

from __future__ import annotations

import re
import struct
import zipfile
import zlib
from collections.abc import Mapping
from pathlib import Path
from typing import IO

from podbook.errors import NotOurWorkbook, Refused
from podbook.review.gate.parts import XML, Scan, suffix
from podbook.review.gate.plain import Plain
from podbook.review.gate.reach import reaching

FILE = 16 << 20
"""Bytes: a book of 30,000 formulas takes 1 MB; photographs of paddocks may be in it."""
ENTRIES = 2_000
"""Parts in the package: a book of 12 sheets with charts and notes has about 70."""
DIRECTORY = 1 << 20
"""Bytes of the package's directory: 2,000 entries with long names."""
UNPACKED = 64 << 20
"""Bytes in all: twelve times a book of 30,000 formulas; a gigabyte cost readers a minute or 2 GB of memory."""
PART = 32 << 20
"""Bytes of one part, unpacked."""
RATIO = 200
"""Unpacked to packed: sheets written by programs reach 40; what is made to burst reaches 1,000."""
RATIO_FROM = 1 << 20
"""Bytes, unpacked, from which the ratio counts: below that, a part does no harm."""
LONGEST_SAID = 80
"""Characters of what a library says is wrong: it may quote the file."""

_MAIN_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"
_OLE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
_END = struct.Struct("<4sHHHHIIH")
_LONGEST_COMMENT = 0xFFFF
_MEDIA = {".bmp", ".emf", ".gif", ".jfif", ".jpeg", ".jpg", ".png", ".tif", ".tiff", ".wdp", ".wmf"}
_UNSAFE_NAME = re.compile(r"^/|^[A-Za-z]:|\\|\x00|(?:^|/)\.\.?(?:/|$)")


def check(path: Path) -> Mapping[str, Plain]:
    """Pass the workbook at `path`, or raise NotOurWorkbook (no workbook, damaged) or Refused (not safe to open).

    Returns the parts whose cells are written plainly, by their names.
    """
    try:
        if not path.exists():
            raise NotOurWorkbook(f"{path}: there is no such file")
        if not path.is_file():
            raise NotOurWorkbook(f"{path} is not a file; give the path of an .xlsx workbook")
        with path.open("rb") as file:
            return _check_file(path.name, file)
    except OSError as fault:
        raise NotOurWorkbook(f"{path} cannot be read: {fault.strerror or fault}") from fault


def _check_file(name: str, file: IO[bytes]) -> Mapping[str, Plain]:
    size = file.seek(0, 2)
    if size > FILE:
        raise Refused(f"{name} has {size:,} bytes; allowed: {FILE:,}; remove pictures, or take a fresh workbook")
    _check_frame(name, file, size)
    try:
        with zipfile.ZipFile(file) as package:
            parts = package.infolist()
            _check_directory(name, parts, size)
            return _check_parts(name, package, parts)
    except (zipfile.BadZipFile, NotImplementedError, zlib.error, EOFError, UnicodeDecodeError, struct.error) as fault:
        said = str(fault).encode("unicode_escape").decode()[:LONGEST_SAID]
        raise NotOurWorkbook(f"{name} is damaged: it does not unpack as its directory says ({said})") from fault


def _check_frame(name: str, file: IO[bytes], size: int) -> None:
    """The first and last bytes, before anything parses the directory."""
    file.seek(0)
    head = file.read(8)
    if head == _OLE:
        raise NotOurWorkbook(f"{name} is an old .xls or has a password; save it as .xlsx without a password")
    if head[:4] != b"PK\x03\x04":
        kind = "an empty file" if size == 0 else "another kind of file"
        raise NotOurWorkbook(f"{name} is not an .xlsx workbook but {kind}; name the workbook, saved as .xlsx")
    file.seek(max(0, size - _END.size - _LONGEST_COMMENT))
    tail = file.read()
    at = tail.rfind(b"PK\x05\x06")
    if at < 0 or len(tail) - at < _END.size:
        raise NotOurWorkbook(f"{name} is damaged: its end is missing; fetch or save it again")
    _, disk, first, here, entries, directory, offset, comment = _END.unpack_from(tail, at)
    if entries > ENTRIES or directory > DIRECTORY:
        raise Refused(f"{name} holds {entries:,} parts; allowed: {ENTRIES:,}; take a fresh workbook")
    end = size - len(tail) + at
    if disk or first or here != entries or offset + directory != end or at + _END.size + comment != len(tail):
        raise NotOurWorkbook(f"{name} is damaged: its end does not fit its length; fetch or save it again")


def _check_directory(name: str, parts: list[zipfile.ZipInfo], size: int) -> None:
    if len(parts) > ENTRIES:
        raise Refused(f"{name} holds {len(parts):,} parts; allowed: {ENTRIES:,}; take a fresh workbook")
    seen: set[str] = set()
    for part in parts:
        title = part.orig_filename
        shown = title[:60].encode("unicode_escape").decode()
        if _UNSAFE_NAME.search(title):
            raise Refused(f"{name} holds a part named '{shown}', which points outside; save it again as .xlsx")
        if title.lower() in seen:
            raise Refused(f"{name} holds the part '{shown}' twice; save it again as .xlsx")
        seen.add(title.lower())
        if part.flag_bits & 0x41:
            raise Refused(f"{name} has a password on '{shown}'; save it as .xlsx without a password")
        if part.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
            raise Refused(f"{name}: '{shown}' is packed in an unusual way; save it again as .xlsx")
        if part.file_size > PART:
            raise Refused(f"{name}: '{shown}' unpacks to {part.file_size:,} bytes; allowed: {PART:,}; make it smaller")
        if part.file_size > RATIO_FROM and part.file_size > RATIO * part.compress_size:
            raise Refused(f"{name}: '{shown}' unpacks to over {RATIO} times its size; allowed: {RATIO}; save it again")
        if what := reaching(title):
            raise Refused(f"{name} holds {what} ('{shown}'); remove it and save again as .xlsx")
        if not _known(part):
            raise Refused(f"{name} holds '{shown}', a kind of part not known here; save it again as plain .xlsx")
    unpacked = sum(part.file_size for part in parts)
    if unpacked > UNPACKED:
        raise Refused(f"{name} unpacks to {unpacked:,} bytes; allowed: {UNPACKED:,}; take a fresh workbook")
    if sum(part.compress_size for part in parts) > size or len({part.header_offset for part in parts}) < len(parts):
        raise Refused(f"{name}: its parts overlap; save it again as .xlsx")
    if not {"[content_types].xml", "xl/workbook.xml"} <= seen:
        raise NotOurWorkbook(f"{name} is not an .xlsx workbook but another kind of file; name one saved as .xlsx")


def _known(part: zipfile.ZipInfo) -> bool:
    kind = suffix(part.filename)
    folder = part.is_dir() and not part.file_size
    printer = kind == ".bin" and part.filename.lower().startswith("xl/printersettings/")
    return folder or printer or kind in XML or kind == ".vml" or kind in _MEDIA


def _check_parts(name: str, package: zipfile.ZipFile, parts: list[zipfile.ZipInfo]) -> Mapping[str, Plain]:
    scan = Scan(name)
    for part in parts:
        kind = suffix(part.filename)
        with package.open(part) as stream:
            if kind in XML:
                scan.xml(part.filename, stream)
            elif kind == ".vml":
                scan.vml(part.filename, stream.read())
            while stream.read(1 << 16):
                pass
    if scan.main_type != _MAIN_TYPE:
        raise NotOurWorkbook(f"{name} is not an .xlsx workbook, but {scan.main_type or 'of no known type'}")
    scan.finish()
    return scan.plain
