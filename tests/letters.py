"""How wide words are in Calibri: advance widths in 2,048ths of its size, read from Carlito, which has the same ones."""

from __future__ import annotations

_CODES = tuple(map(chr, range(32, 127)))
_REGULAR = (
    463, 667, 821, 1020, 1038, 1464, 1397, 452, 621, 621, 1020, 1020, 511, 627, 517, 791, 1038, 1038, 1038, 1038, 1038,
    1038, 1038, 1038, 1038, 1038, 548, 548, 1020, 1020, 1020, 949, 1831, 1185, 1114, 1092, 1260, 1000, 941, 1292, 1276,
    516, 653, 1064, 861, 1751, 1322, 1356, 1058, 1378, 1112, 941, 998, 1314, 1162, 1822, 1063, 998, 959, 628, 791, 628,
    1020, 1020, 596, 981, 1076, 866, 1076, 1019, 625, 964, 1076, 470, 490, 931, 470, 1636, 1076, 1080, 1076, 1076, 714,
    801, 686, 1076, 925, 1464, 887, 927, 809, 644, 943, 644, 1020,
)  # fmt: skip
_BOLD = (
    463, 667, 898, 1020, 1038, 1493, 1443, 478, 638, 638, 1020, 1020, 528, 627, 547, 880, 1038, 1038, 1038, 1038, 1038,
    1038, 1038, 1038, 1038, 1038, 565, 565, 1020, 1020, 1020, 949, 1840, 1241, 1148, 1084, 1291, 999, 940, 1305, 1292,
    546, 678, 1120, 866, 1790, 1349, 1385, 1090, 1405, 1153, 968, 1014, 1337, 1211, 1856, 1128, 1064, 979, 665, 880,
    665, 1020, 1020, 615, 1011, 1099, 857, 1099, 1031, 648, 971, 1099, 503, 523, 983, 503, 1666, 1099, 1101, 1099, 1099,
    728, 817, 710, 1099, 969, 1526, 941, 970, 814, 704, 973, 704, 1020,
)  # fmt: skip
_MORE = {"°": 701, "²": 688, "³": 688, "é": 1031, "ô": 1101, "€": 1038}
REGULAR, BOLD = (dict(zip(_CODES, widths, strict=True)) | _MORE for widths in (_REGULAR, _BOLD))
"""Slanted letters are as wide or a little narrower."""
PIXELS_A_POINT = 96 / 72


def width(words: str, size: float, *, bold: bool = False) -> float:
    """Return how wide words are on one line, in pixels of a screen."""
    widths = BOLD if bold else REGULAR
    return sum(widths[letter] for letter in words) / 2048 * size * PIXELS_A_POINT


def lines(words: str, room: float, size: float, *, bold: bool = False) -> int:
    """Return how many lines words take that are broken between words."""
    taken, count = 0.0, 1
    space = width(" ", size, bold=bold)
    for each in (width(word, size, bold=bold) for word in words.split(" ")):
        if taken and taken + space + each > room:
            taken, count = each, count + 1
        else:
            taken += (space if taken else 0) + each
    return count
