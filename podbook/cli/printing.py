"""Print a workbook's handout."""

from __future__ import annotations

from pathlib import Path

import click

from podbook.cli.options import PATH, own_region
from podbook.cli.talk import DIFFERS, UNCHECKED, USAGE, know, talk, working
from podbook.errors import EngineFailed, NotOurWorkbook, PodbookError, Refused
from podbook.next_step import command


@click.command(short_help="Print two pages for the barn wall: winter plan and cautions.")
@click.argument("file", type=PATH, help="The workbook to print from. It is never changed.")
@click.option("-o", "--out", required=True, type=PATH, metavar="FILE.pdf", help="The PDF to make.")
@own_region
@click.option("--replace", is_flag=True, help="Overwrite the PDF if it is there.")
def handout(file: Path, out: Path, region: Path | None, replace: bool) -> None:
    """Print two pages for the barn wall: the winter month by month, and the cautions that hold on this farm.

    It takes LibreOffice, and is made only if nothing is wrong with the workbook.

    Exit code: 0 printed, 1 something is wrong, 2 wrong usage, 3 could not be checked or printed.

    Example: podbook handout farm.xlsx -o plan.pdf
    """
    from podbook.review.handout import handout as printed

    know(region)
    try:
        with working(f"checking {file}, then printing with LibreOffice"):
            wrong = printed(file, out, replace=replace)
    except (NotOurWorkbook, Refused, EngineFailed) as problem:
        talk(str(problem))
        raise SystemExit(UNCHECKED) from None
    except PodbookError as problem:
        talk(str(problem))
        raise SystemExit(USAGE) from None
    if wrong:
        talk(f"{file}: not printed, for something is wrong in it, and stock could be hurt by it: {wrong}")
        talk(f"Next: mend it. All that is wrong: {command('verify', file, region=region)}")
        raise SystemExit(DIFFERS)
    talk(f"{out}: written. Next: print it on both sides of a sheet, or on two, for the barn wall")
