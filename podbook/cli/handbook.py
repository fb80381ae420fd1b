"""Tell of the kinds of pod tree: usual figures with source and mark, and cautions."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import click

from podbook.cli.options import as_json
from podbook.cli.talk import USAGE, talk
from podbook.errors import listed

if TYPE_CHECKING:
    from podbook.pod_trees import Kind


@click.command(short_help="List the kinds of pod tree, or tell one.")
@click.argument("name", default="", help="One kind, by its name or key; all are listed without.")
@as_json
def trees(name: str, as_json: bool) -> None:
    """List the kinds of pod tree, or tell one: usual figures, where they come from, and cautions.

    Example: podbook trees carob
    """
    from podbook.pod_trees import pod_trees

    kinds = pod_trees().kinds
    kind = pod_trees().find(name) if name else None
    if name and kind is None:
        talk(f"'{name}' is no kind of pod tree; name one of {listed(each.key for each in kinds)}")
        raise SystemExit(USAGE)
    if as_json:
        print(json.dumps(_plain(kind) if kind else {"trees": [_plain(each) for each in kinds]}, indent=1))
    elif kind:
        _tell(kind)
    else:
        for each in kinds:
            keeps = "keeps" if each.keeps.word == "yes" else "does not keep"
            print(f"{each.key}: {each.name} ({each.botanical}), drops {each.drop.word}, {keeps}")
        talk("Next: podbook trees NAME tells the figures and cautions of one.")


def _tell(kind: Kind) -> None:
    from podbook.pod_trees import SAID, pod_trees
    from podbook.units import shown

    print(f'{kind.name} ({kind.botanical}); kind = "{kind.key}" in farm.toml')
    for word, label in SAID.items():
        said = getattr(kind, word)
        print(f"  {label}: {said.word}  [{said.mark}: {said.source}] {said.where}")
    for figure in kind.figures.values():
        share = figure.unit == "fraction"
        value = f"{figure.value * 100:.3g} %" if share else f"{figure.value:.4g} {shown(figure.unit)}"
        print(f"  {figure.label}: {value}  [{figure.mark}: {figure.source}] {figure.where}")
    lacks = ", ".join(kind.lacks)
    analysis = f"no usual {lacks}; a laboratory sheet is needed" if lacks else "all that a laboratory sheet states"
    print(f"  Analysis: {analysis}")
    print("Cautions")
    for caution in pod_trees().cautions_of(kind):
        print(f"  {caution.about}: {caution.text}  [{caution.mark}: {caution.source}]")


def _plain(kind: Kind) -> dict[str, Any]:
    """Return a kind as plain data."""
    from podbook.pod_trees import SAID, pod_trees

    def origin(each: Any) -> dict[str, str]:
        return {"source": each.source, "place": each.place, "mark": each.mark, "note": each.note}

    figures = {
        each.name: {
            "value": each.value, "unit": each.unit, **origin(each),
            "printed": {"value": each.printed, "unit": each.printed_unit, "low": each.low, "high": each.high},
        }
        for each in kind.figures.values()
    }  # fmt: skip
    return {
        "key": kind.key, "name": kind.name, "species": kind.species, "botanical": kind.botanical,
        **{word: {"word": getattr(kind, word).word, **origin(getattr(kind, word))} for word in SAID},
        "figures": figures,
        "lacks_for_a_lab_sheet": list(kind.lacks),
        "cautions": [
            {"about": each.about, "text": each.text, "source": each.source, "mark": each.mark}
            for each in pod_trees().cautions_of(kind)
        ],
    }  # fmt: skip
