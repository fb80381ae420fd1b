"""How the workbook looks: one palette, one type, and three kinds of cell that differ without colour.

To fill in: a boxed cell. Computed: plain upright figures. From a source: slanted figures, no box.
"""

from __future__ import annotations

from typing import Literal

from openpyxl.styles import Alignment, Border, Font, PatternFill, Protection, Side

INK = "1F2A24"
QUIET = "5B665F"
BARK = "6B4A2B"
POD = "EFE6D6"
LEAF = "2F5D46"
ALARM = "9B1C1C"
ALARM_GROUND = "FBE3E0"
DOUBT_GROUND = "F6ECC9"
PAPER = "FFFFFF"
RULE = "B9B2A3"
FACE = "Calibri"

_line = Side(style="thin", color=RULE)
_box = Side(style="medium", color=BARK)

TITLE = Font(name=FACE, size=18, bold=True, color=LEAF)
PURPOSE = Font(name=FACE, size=11, italic=True, color=QUIET)
BLOCK = Font(name=FACE, size=12, bold=True, color=LEAF)
HEADING = Font(name=FACE, size=10, bold=True, color=INK)
PLAIN = Font(name=FACE, size=10, color=INK)
SLANTED = Font(name=FACE, size=10, italic=True, color=QUIET)
STRONG = Font(name=FACE, size=12, bold=True, color=INK)
STRONG_SMALL = Font(name=FACE, size=10, bold=True, color=INK)
ALARMED = Font(name=FACE, bold=True, color=ALARM)
DOUBTED = Font(name=FACE, bold=True, color=BARK)

UNDER_BLOCK = Border(bottom=Side(style="medium", color=LEAF))
UNDER_ROW = Border(bottom=Side(style="hair", color=RULE))
BOX = Border(left=_box, right=_box, top=_box, bottom=_box)
STRONG_BOX = Border(top=_line, bottom=_line)

FILL_IN = PatternFill("solid", fgColor=POD)
DOUBT_FILL = PatternFill("solid", bgColor=DOUBT_GROUND)
ALARM_FILL = PatternFill("solid", bgColor=ALARM_GROUND)

OPEN = Protection(locked=False)
LEFT = Alignment(horizontal="left", vertical="center")
INDENTED = Alignment(horizontal="left", vertical="center", indent=1, shrink_to_fit=True)
SHRUNK = Alignment(horizontal="left", vertical="center", shrink_to_fit=True)
WRAPPED = Alignment(horizontal="left", vertical="center", wrap_text=True)
NOTE = Alignment(horizontal="left", vertical="center", wrap_text=True, indent=1)
UNIT = Alignment(horizontal="center", vertical="center", shrink_to_fit=True)
CENTRED = Alignment(horizontal="center", vertical="center", wrap_text=True)
RIGHT = Alignment(horizontal="right", vertical="center")
RIGHT_SHRUNK = Alignment(horizontal="right", vertical="center", shrink_to_fit=True)
RIGHT_WRAPPED = Alignment(horizontal="right", vertical="center", wrap_text=True)

SHADES = ("4A2F1A", "7FA98B", "E8D9A8", "2F5D46", RULE)
"""Grounds of a chart's series, dark to light in turn."""
FILLS: tuple[tuple[str, Literal["", "wdUpDiag"]], ...] = ((SHADES[0], ""), (SHADES[1], "wdUpDiag"), (SHADES[2], ""))
"""Ground and hatching of a chart's bars in turn: dark, hatched, light."""
STROKES: tuple[tuple[str, Literal["solid", "dash", "sysDot", "dashDot"]], ...] = (
    ("4A2F1A", "solid"),
    ("2F5D46", "dash"),
    ("6B4A2B", "sysDot"),
    ("5B665F", "dashDot"),
)
"""Colour and dash of a chart's lines in turn, all dark, so that they differ in grey by their dashes."""
GRID = "D9D4C8"

TITLE_HEIGHT, PURPOSE_HEIGHT, HEADING_HEIGHT = 27.0, 15.0, 63.0
"""Heights of a sheet's title, of the line below it, and of headings of five lines, in points."""
ROW_HEIGHT, HEADLINE_HEIGHT, BLOCK_HEIGHT, GAP_HEIGHT = 12.75, 15.0, 15.75, 4.5
"""Heights of a row, of one of larger letters, of one that bears the title of a block, and of an empty one between two
blocks, in points."""
