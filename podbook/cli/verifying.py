"""Check workbooks."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Annotated

import typer

from podbook.cli.talk import AGREES, DIFFERS, UNCHECKED, USAGE, print_csv, progress, talk

EXIT = {"agrees": AGREES, "differs": DIFFERS, "unchecked": UNCHECKED}


def verify(
    paths: Annotated[
        list[Path], typer.Argument(metavar="FILE...", help="Workbooks to check, or folders of them. None is changed.")
    ],
    engine: Annotated[str, typer.Option(help="formualizer, formulas or libreoffice.")] = "formualizer",
    all_engines: Annotated[bool, typer.Option("--all-engines", help="Every engine that is installed.")] = False,
    as_json: Annotated[bool, typer.Option("--json", help="One JSON object instead of words.")] = False,
    as_csv: Annotated[bool, typer.Option("--csv", help="A table as CSV, a row a file, instead of words.")] = False,
) -> None:
    """Recalculate workbooks and check every cell against its reference function.

    Exit code: 0 all agrees, 1 something differs, 2 wrong usage, 3 could not be checked; of many files, the worst.

    Example: podbook verify farm.xlsx --all-engines
    """
    from podbook import recalc
    from podbook.review import many

    if engine not in recalc.ENGINES:
        talk(f"--engine: found '{engine}'; allowed: {', '.join(recalc.ENGINES)}")
        raise typer.Exit(USAGE)
    if as_json and as_csv:
        talk("--json, --csv: found both; choose one")
        raise typer.Exit(USAGE)
    files = many.workbooks(paths)
    if not files:
        talk(f"{', '.join(map(str, paths))}: holds no .xlsx workbook; name files, or a folder that holds some")
        raise typer.Exit(USAGE)
    engines = recalc.installed() if all_engines else (engine,)
    alone = len(files) == 1 and not paths[0].is_dir()
    with progress(0 if alone else len(files), "verifying") as tell:
        number = 0

        def step() -> None:
            nonlocal number
            number += 1
            tell(number)

        found = many.outcomes(files, engines, step)
    if as_csv:
        print_csv([many.HEADINGS, *(each.row() for each in found)])
    elif as_json:
        print(json.dumps(found[0].plain() if alone else many.together(found), indent=1))
    elif not alone or found[0].verdict is None:
        if not alone:
            from podbook.review.words import print_outcomes

            print_outcomes(found)
    else:
        from podbook.review.words import printed

        printed(found[0].verdict)
    for each in found:
        if each.problem is not None:
            talk(str(each.problem))
    raise typer.Exit(max(EXIT[each.result] for each in found))
