"""Ways to spoil the cells of a workbook: what stands in them, of which kind, and where."""

from __future__ import annotations

import re
from random import Random

from spoiling import CELL, ODD_TEXTS, ODD_TYPES, chosen, in_part, put


@in_part("cells: text of a value")
def _(text: str, random: Random) -> str:
    return put(text, chosen(re.compile(r"<v>([^<]*)</v>"), text, random), random.choice(ODD_TEXTS), 1)


@in_part("cells: another figure")
def _(text: str, random: Random) -> str:
    match = chosen(re.compile(r"<v>([^<]*\d[^<]*)</v>"), text, random)
    at = random.choice([place for place, letter in enumerate(match[1]) if letter.isdigit()])
    return put(text, match, match[1][:at] + str((int(match[1][at]) + 1) % 10) + match[1][at + 1 :], 1)


@in_part("cells: text of a formula")
def _(text: str, random: Random) -> str:
    match = chosen(re.compile(r"<f>([^<]+)</f>"), text, random)
    at = random.randrange(len(match[1]))
    new = random.choice(("", "1", " ", "$", "A", "(", ")", ",", '"', "'", "!", ":", "{1,2}", "[1]", "#", "@", "\u00a0"))
    return put(text, match, match[1][:at] + new + match[1][at + random.randrange(2) :], 1)


@in_part("cells: swapped texts")
def _(text: str, random: Random) -> str:
    pattern = re.compile(rf"<{random.choice('vft')}>([^<]+)</")
    one, other = sorted((chosen(pattern, text, random) for _ in range(2)), key=lambda match: match.start())
    return put(put(text, other, one[1], 1), one, other[1], 1) if one.end() <= other.start() else text


@in_part("cells: swapped places")
def _(text: str, random: Random) -> str:
    one, other = sorted((chosen(CELL, text, random) for _ in range(2)), key=lambda match: match.start())
    return put(put(text, other, one[1], 1), one, other[1], 1) if one.end() <= other.start() else text


@in_part("cells: swapped contents")
def _(text: str, random: Random) -> str:
    pattern = re.compile(r'<c r="[A-Z]+\d+"( s="\d+")?([^>]*>.*?)</c>')
    one, other = sorted((chosen(pattern, text, random) for _ in range(2)), key=lambda match: match.start())
    return put(put(text, other, one[2], 2), one, other[2], 2) if one.end() <= other.start() else text


@in_part("cells: kind of a cell")
def _(text: str, random: Random) -> str:
    match = chosen(re.compile(r"<c [^>]*>"), text, random)
    bare = re.sub(r' t="\w*"', "", match[0])
    return put(text, match, bare.replace("<c ", f'<c t="{random.choice(ODD_TYPES)}" ', 1))


@in_part("cells: attributes of a formula")
def _(text: str, random: Random) -> str:
    odd = (
        *(
            't="shared" si="0"',
            't="shared" si="0" ref="A1:B9"',
            't="array" ref="B2"',
            't="dataTable" r1="B2"',
            'ca="1"',
        ),
        *('ca="1"', 't="normal"', 'bx="1"', 't="x"', 'xml:space="preserve"', 'si="1"'),
    )
    return put(text, chosen(re.compile(r"<f(?=>)"), text, random), f"<f {random.choice(odd)}")


@in_part("cells: shared formulas")
def _(text: str, random: Random) -> str:
    """One formula as the master of another, or of several on."""
    first = chosen(re.compile(r"<f>[^<]+</f>"), text, random)
    changed = put(text, first, first[0].replace("<f>", '<f t="shared" ref="A1:Z99" si="7">'))
    for _ in range(random.randrange(1, 4)):
        after = re.compile(r"<f>[^<]+</f>").search(changed, first.end() + 30)
        if after is not None:
            changed = put(changed, after, '<f t="shared" si="7"/>')
    return changed


@in_part("cells: texts in pieces")
def _(text: str, random: Random) -> str:
    odd = (
        *("<r><t>{}</t></r>", "<t>{}</t><t>x</t>", "<t>{}</t><rPh><t>y</t></rPh>", "<r><t>a</t></r><t>{}</t>", "{}"),
        *('<t xml:space="preserve"> {} </t>', "<t><t>{}</t></t>", "<t>{}</t><r><t>z</t></r>"),
    )
    match = chosen(re.compile(r"<is><t>([^<]*)</t></is>"), text, random) if "<is><t>" in text else None
    return put(text, match, f"<is>{random.choice(odd).format(match[1])}</is>") if match else text + " "
