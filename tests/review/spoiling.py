"""Ways to spoil a workbook: its bytes and its elements; its cells and its names have ways of their own."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from random import Random

from hostile import zipped
from packages import BOOK, RELATIONS, TYPES, Parts, parts_of
from strict import Reading, Strict

ODD_TEXTS = (
    *("", " ", "0", "1", "-1", "1e999", "NaN", "1,5", "1 000", "0x10", "\u0661\u0662", "TRUE", "#REF!", "=1+1", "Farm"),
    *("99999999999", "A1", "XFD1048576", "$B$7", "ok", "mend", "_x0031_", "&#48;", "12<!-- -->3", "<![CDATA[7]]>"),
)
QUICK = 1
"""How hard parts are packed."""
NOT_MADE = (AssertionError, ValueError, IndexError)
"""A way to spoil may find nothing to spoil."""
ODD_TYPES = ("s", "str", "b", "e", "inlineStr", "n", "d", "", "x", "S")


@dataclass(frozen=True)
class Sound:
    """A workbook before it is spoiled."""

    content: bytes
    parts: Parts
    reading: Reading

    @classmethod
    def of(cls, path: Path) -> Sound:
        content = path.read_bytes()
        return cls(content, parts_of(path), Strict(content).reading())

    def sheets(self) -> list[str]:
        return [part for part in self.parts if part.startswith("xl/worksheets/sheet")]


Spoil = Callable[[Sound, Random], bytes]
KINDS: dict[str, Spoil] = {}


def by_bytes(spoil: Callable[[bytearray, Random], None]) -> Callable[[bytearray, Random], None]:
    """Enter a way to spoil bytes: those of the file, and those of a part that is packed in order again."""

    def whole(sound: Sound, random: Random) -> bytes:
        content = bytearray(sound.content)
        spoil(content, random)
        return bytes(content)

    def part(sound: Sound, random: Random) -> bytes:
        name = random.choice([*sound.sheets(), BOOK, BOOK, RELATIONS, TYPES])
        content = bytearray(sound.parts[name])
        spoil(content, random)
        return zipped({**sound.parts, name: bytes(content)}, QUICK)

    KINDS[f"bytes of the file: {spoil.__name__[1:]}"] = whole
    KINDS[f"bytes of a part: {spoil.__name__[1:]}"] = part
    return spoil


def in_part(name: str, where: str = "sheet") -> Callable[[Callable[[str, Random], str]], Callable[[str, Random], str]]:
    """Enter a way to spoil the text of one part: a sheet, the book, or its relations."""

    def enter(spoil: Callable[[str, Random], str]) -> Callable[[str, Random], str]:
        def whole(sound: Sound, random: Random) -> bytes:
            part = random.choice(sound.sheets()) if where == "sheet" else where
            changed = spoil(sound.parts[part].decode(), random)
            return zipped({**sound.parts, part: changed.encode()}, QUICK)

        KINDS[name] = whole
        return spoil

    return enter


def by_parts(name: str) -> Callable[[Callable[[Sound, Parts, Random], None]], None]:
    """Enter a way to spoil the package as a whole."""

    def enter(spoil: Callable[[Sound, Parts, Random], None]) -> None:
        def whole(sound: Sound, random: Random) -> bytes:
            parts = dict(sound.parts)
            spoil(sound, parts, random)
            return zipped(parts, QUICK)

        KINDS[name] = whole

    return enter


@by_bytes
def _flip(content: bytearray, random: Random) -> None:
    for _ in range(random.choice((1, 1, 2, 8))):
        content[random.randrange(len(content))] ^= 1 << random.randrange(8)


@by_bytes
def _cut(content: bytearray, random: Random) -> None:
    at = random.randrange(len(content))
    del content[at : at + random.choice((1, 4, 100, len(content)))]


@by_bytes
def _insert(content: bytearray, random: Random) -> None:
    at = random.randrange(len(content))
    content[at:at] = random.randbytes(random.choice((1, 4, 100)))


@by_bytes
def _swap(content: bytearray, random: Random) -> None:
    size = random.choice((1, 16, 200))
    one, other = sorted(random.sample(range(0, len(content) - size, size), 2))
    content[one : one + size], content[other : other + size] = (
        content[other : other + size],
        content[one : one + size],
    )


@by_bytes
def _zero(content: bytearray, random: Random) -> None:
    at, size = random.randrange(len(content)), random.choice((1, 16, 400))
    content[at : at + size] = bytes(len(content[at : at + size]))


# Elements and attributes

ELEMENT = re.compile(r"<([A-Za-z][\w:]*)(?:\s[^<>]*?)?(/?)>")
ATTRIBUTE = re.compile(r'([\w:]+)="([^"]*)"')
CELL = re.compile(r'<c r="([A-Z]+\d+)"[^>]*?(?:/>|>.*?</c>)')


def chosen(pattern: re.Pattern[str], text: str, random: Random) -> re.Match[str]:
    """Return a match from some place in a text on; the first if there is none behind it."""
    found = pattern.search(text, random.randrange(len(text))) or pattern.search(text)
    assert found is not None, pattern
    return found


def put(text: str, match: re.Match[str], new: str, group: int = 0) -> str:
    return text[: match.start(group)] + new + text[match.end(group) :]


def element(text: str, random: Random) -> tuple[int, int]:
    """Return where some element begins and ends."""
    match = chosen(ELEMENT, text, random)
    if match[2]:
        return match.span()
    depth, name = 0, match[1]
    for tag in re.finditer(rf"<(/?){name}(?=[\s/>])[^<>]*?(/?)>", text[match.start() :]):
        depth += -1 if tag[1] else 0 if tag[2] else 1
        if depth == 0:
            return match.start(), match.start() + tag.end()
    return match.span()


def _deleted(text: str, random: Random) -> str:
    first, last = element(text, random)
    return text[:first] + text[last:]


def _doubled(text: str, random: Random) -> str:
    first, last = element(text, random)
    return text[:last] + text[first:]


def _moved(text: str, random: Random) -> str:
    first, last = element(text, random)
    rest = text[:first] + text[last:]
    at = chosen(ELEMENT, rest, random).start()
    return rest[:at] + text[first:last] + rest[at:]


def _renamed(text: str, random: Random) -> str:
    match = chosen(ELEMENT, text, random)
    new = random.choice((match[1].upper(), f"{match[1]}x", f"x:{match[1]}", "row", "c", "f", "v"))
    return put(text, match, new, 1)


def _attribute(text: str, random: Random) -> str:
    match = chosen(ATTRIBUTE, text, random)
    others = re.findall(rf'\b{match[1]}="([^"]*)"', text)
    return put(text, match, random.choice((*random.choices(others, k=3), *random.sample(ODD_TEXTS[:21], 3))), 2)


def _attribute_lost(text: str, random: Random) -> str:
    return put(text, chosen(ATTRIBUTE, text, random), "")


def _attribute_renamed(text: str, random: Random) -> str:
    match = chosen(ATTRIBUTE, text, random)
    return put(text, match, random.choice((match[1].upper(), match[1] + "x", "r", "t", "name", "si")), 1)


for _spoil in (_deleted, _doubled, _moved, _renamed, _attribute, _attribute_lost, _attribute_renamed):
    what = _spoil.__name__[1:].replace("_", " ")
    for part, word in (("sheet", "a sheet"), (BOOK, "the book"), (RELATIONS, "relations"), (TYPES, "types")):
        in_part(f"elements of {word}: {what}", part)(_spoil)


def spoiled(sound: Sound, kind: str, seed: int) -> bytes:
    """Return a workbook spoiled in one way; the same for the same seed."""
    return KINDS[kind](sound, Random(f"{kind} {seed}"))
