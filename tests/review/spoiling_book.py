"""Ways to spoil a workbook as a whole: its names, its sheets, its relations and its parts."""

from __future__ import annotations

import re
from collections.abc import Callable
from random import Random

from packages import BOOK, RELATIONS, STRINGS, TYPES, Parts
from spoiling import Sound, by_parts, chosen, in_part, put


@in_part("names: swapped", BOOK)
def _(text: str, random: Random) -> str:
    pattern = re.compile(r"<definedName [^>]*>([^<]+)</definedName>")
    one, other = sorted((chosen(pattern, text, random) for _ in range(2)), key=lambda match: match.start())
    return put(put(text, other, one[1], 1), one, other[1], 1) if one.end() <= other.start() else text


@in_part("names: swapped with a neighbour", BOOK)
def _(text: str, random: Random) -> str:
    pattern = re.compile(r"<definedName [^>]*>([^<]+)</definedName><definedName [^>]*>([^<]+)</definedName>")
    match = chosen(pattern, text, random)
    return put(put(text, match, match[1], 2), match, match[2], 1)


@in_part("names: shuffled", BOOK)
def _(text: str, random: Random) -> str:
    names = re.findall(r"<definedName .*?</definedName>", text)
    first, last = text.index("<definedName "), text.rindex("</definedName>") + len("</definedName>")
    return text[:first] + "".join(random.sample(names, len(names))) + text[last:]


@in_part("names: what one stands for", BOOK)
def _(text: str, random: Random) -> str:
    match = chosen(re.compile(r'<definedName [^>]*\bname="[a-z][^>]*>([^<]+)</definedName>'), text, random)
    span, number = match[1], re.search(r"\d+$", match[1])
    assert number is not None
    other = f"{span[: number.start()]}{int(number[0]) + random.choice((-1, 1))}"
    odd = (
        *(other, other, span.replace("$", ""), f" {span}", f"={span}", f"{span},{span}", f"{span}+0", "#REF!", "", "1"),
        *(f"({span})", span.replace("!", " !"), span.lower(), f"{span}:{span.rpartition('!')[2]}", f"[1]{span}", '"x"'),
    )
    return put(text, match, random.choice(odd), 1)


@in_part("names: attributes", BOOK)
def _(text: str, random: Random) -> str:
    match = chosen(re.compile(r'<definedName [^>]*\bname="([a-z][^"]*)"'), text, random)
    odd = (
        f'localSheetId="{random.randrange(25)}"',
        'localSheetId="x"',
        'hidden="1"',
        'function="1"',
        'xlm="1"',
        'name="x"',
    )
    return put(text, match, f"{match[0]} {random.choice(odd)}")


@in_part("names: one more", BOOK)
def _(text: str, random: Random) -> str:
    match = chosen(re.compile(r'<definedName [^>]*\bname="([a-z][^"]*)"[^>]*>([^<]+)</definedName>'), text, random)
    name = random.choice((match[1], match[1].upper(), match[1], f" {match[1]}", f"_xlnm.{match[1]}"))
    local = random.choice(("", f' localSheetId="{random.randrange(20)}"'))
    span = random.choice((match[2], "Farm!$B$7", "1", "Feeds!$D$7*2"))
    where = random.choice((match.start(), match.end()))
    return f'{text[:where]}<definedName name="{name}"{local}>{span}</definedName>{text[where:]}'


def _sheets_swapped(attribute: str) -> Callable[[str, Random], str]:
    def spoil(text: str, random: Random) -> str:
        found = list(re.finditer(rf'<sheet [^>]*?\b{attribute}="([^"]*)"', text))
        one, other = sorted(random.sample(found, 2), key=lambda match: match.start())
        return put(put(text, other, one[1], 1), one, other[1], 1)

    return spoil


for attribute in ("name", "sheetId", "r:id", "state"):
    in_part(f"sheets: {attribute} swapped", BOOK)(_sheets_swapped(attribute))


@in_part("sheets: order", BOOK)
def _(text: str, random: Random) -> str:
    found = re.findall(r"<sheet .*?/>", text)
    first, last = text.index("<sheet "), text.rindex("</sheets>")
    return text[:first] + "".join(random.sample(found, len(found))) + text[last:]


@in_part("sheets: one more, or one twice", BOOK)
def _(text: str, random: Random) -> str:
    match = chosen(re.compile(r'<sheet [^>]*name="([^"]*)"[^>]*/>'), text, random)
    new = random.choice((match[1], match[1].upper(), f"{match[1]} ", "Mine", "", "a/b", "x" * 40))
    return (
        text[: match.end()]
        + put(match[0], re.search(r'name="([^"]*)"', match[0]) or match, new, 1)
        + text[match.end() :]
    )


@in_part("settings of the book", BOOK)
def _(text: str, random: Random) -> str:
    odd = (
        *(
            '<calcPr iterate="1"/>',
            '<calcPr fullPrecision="0"/>',
            '<calcPr calcMode="manual"/>',
            "<extLst><ext/></extLst>",
        ),
        *('<calcPr refMode="R1C1"/>', '<workbookPr date1904="1"/>', '<fileVersion lowestEdited="9"/>'),
        *("<externalReferences/>", "<extLst><ext/></extLst>"),
    )
    at = chosen(re.compile(r"(?<=</sheets>)|(?<=</definedNames>)"), text, random).start()
    return text[:at] + random.choice(odd) + text[at:]


@in_part("relations: targets", RELATIONS)
def _(text: str, random: Random) -> str:
    match = chosen(re.compile(r'Target="([^"]*)"'), text, random)
    others = re.findall(r'Target="([^"]*)"', text)
    odd = (
        *(
            *random.choices(others, k=2),
            match[1].upper(),
            f"../{match[1]}",
            f"/{match[1]}",
            "",
            "worksheets/sheet99.xml",
        ),
        *(
            f"{match[1]}#x",
            match[1].replace("/", "//"),
            f"./{match[1]}",
            f"%77{match[1][1:]}",
            "worksheets/sheet99.xml",
        ),
    )
    return put(text, match, random.choice(odd), 1)


@by_parts("parts: removed")
def _(sound: Sound, parts: Parts, random: Random) -> None:
    for _ in range(random.choice((1, 1, 1, 3))):
        del parts[random.choice(list(parts))]


@by_parts("parts: emptied or cut")
def _(sound: Sound, parts: Parts, random: Random) -> None:
    part = random.choice(list(parts))
    parts[part] = parts[part][: random.choice((0, 1, 40, len(parts[part]) // 2))]


@by_parts("parts: swapped")
def _(sound: Sound, parts: Parts, random: Random) -> None:
    one, other = random.sample(random.choice((list(parts), sound.sheets())), 2)
    parts[one], parts[other] = parts[other], parts[one]


@by_parts("parts: renamed")
def _(sound: Sound, parts: Parts, random: Random) -> None:
    part = random.choice([*sound.sheets(), *parts])
    parts[random.choice((part.upper(), part + "x", part.replace("sheet", "Sheet"), "xl/" + part))] = parts.pop(part)


@by_parts("parts: in another encoding")
def _(sound: Sound, parts: Parts, random: Random) -> None:
    part = random.choice([*sound.sheets(), BOOK, RELATIONS])
    text, encoding = (
        parts[part].decode(),
        random.choice(("utf-16", "latin-1", "utf-8-sig", "utf-16-le", "utf-7", "cp037")),
    )
    text = re.sub(r"^<\?xml[^>]*\?>", "", text)
    declared = random.choice((f'<?xml version="1.0" encoding="{encoding}"?>', "", '<?xml version="1.1"?>'))
    parts[part] = (declared + text).encode(encoding, "xmlcharrefreplace")


@by_parts("parts: under another namespace")
def _(sound: Sound, parts: Parts, random: Random) -> None:
    part = random.choice([*sound.sheets(), BOOK, RELATIONS, TYPES])
    old = random.choice(re.findall(rb'xmlns(?::\w+)?="([^"]*)"', parts[part]))
    parts[part] = parts[part].replace(old, random.choice((b"http://example.org/x", old + b"/", b"", old.upper())))


@by_parts("strings: shared")
def _(sound: Sound, parts: Parts, random: Random) -> None:
    """Of a book with a part of shared strings; of another the numbers of styles."""
    part = STRINGS
    if part not in parts or random.random() < 0.4:
        part = random.choice(sound.sheets())
        pattern = re.compile(r't="s"><v>(\d+)</v>' if STRINGS in parts else r' s="(\d+)"')
        text = parts[part].decode()
        new = random.choice((0, 1, 7, 10**6, 10**20, -1))
        parts[part] = put(text, chosen(pattern, text, random), str(new), 1).encode()
        return
    text = parts[part].decode()
    match = chosen(re.compile(r"<si>.*?</si>", re.DOTALL), text, random)
    odd = ("", "<si/>", match[0] * 2, "<si><t>x</t></si>", "<si><r><t>=1</t></r></si>", "<x>" + match[0] + "</x>")
    parts[part] = put(text, match, random.choice(odd)).encode()


@by_parts("package: its frame")
def _(sound: Sound, parts: Parts, random: Random) -> None:
    part = random.choice(list(parts))
    odd = (part + "/", "/" + part, part.replace("/", "\\"), "\u0661.xml", "xl/a.xml", "a" * 300 + ".xml")
    parts[random.choice(odd)] = random.choice((b"", b"<a/>", parts[part]))
