"""What podbook says when it is called alone: what it can do, and the next step."""

from __future__ import annotations

JOBS = (
    ("hand a grazier a workbook", "podbook build farm.xlsx --farm farm.toml --trees tally.csv --lab lab.csv"),
    ("check one that came back", "podbook verify farm.xlsx"),
    ("hand on what was found, to read and to print", "podbook verify farm.xlsx --report farm.html"),
    ("see how one cell comes about", "podbook explain hay_saved farm.xlsx"),
    ("tell the winter month by month", "podbook season farm.xlsx"),
    ("print two pages for the barn wall", "podbook handout farm.xlsx -o plan.pdf"),
    ("take what is filled in to a new workbook", "podbook carry farm.xlsx farm-new.xlsx"),
    ("ask what could go differently with a planting", "podbook outlook farm.xlsx"),
    ("look up a region, or a kind of tree", "podbook regions, podbook trees"),
)
NEXT = "podbook build demo.xlsx"


def greet() -> None:
    """Print what podbook can do, and the next step."""
    print("podbook: a workbook of what pod trees are worth as winter feed, and a check of every cell in it.\n")
    for job, command in JOBS:
        print(f"  {job}\n      {command}")
    print("\nAll commands: podbook --help; one of them: podbook build --help")
    print(f"Next: {NEXT} makes the workbook of an invented farm; open it, and read its sheet Start.")
