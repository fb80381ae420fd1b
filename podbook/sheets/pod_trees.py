"""Pod trees: the usual figures of each kind, to look at and copy from, and the cautions that go with it."""

from __future__ import annotations

from podbook.book.model import Block, Prose, Sheet, Single, Table
from podbook.book.node import Node, by, fixed_field, worked
from podbook.pod_trees import FIGURES, SAID, Caution, Kind, Said, pod_trees
from podbook.reference import gates

TURNS = ("honey locust, grafted", "carob", "chestnut")
"""Kinds with which a printed page begins."""


def sheet() -> Sheet:
    """Return the sheet Pod trees."""
    blocks: list[Block] = [_how(), _overview()]
    turns = []
    kinds = pod_trees().kinds
    for kind, following in zip(kinds, (*kinds[1:], None), strict=True):
        if kind.name in TURNS:
            turns.append(len(blocks))
        blocks.append(_figures(kind))
        if following is None or following.species != kind.species:
            blocks.append(_cautions(kind.species))
    purpose = "Kinds of tree that drop pods, nuts or fruit: a handbook page. The book takes nothing from here but cautions and what keeps."
    return Sheet("Pod trees", purpose, tuple(blocks), turns=tuple(turns), width=14.5)


def heading(caution: Caution) -> str:
    """Return what a caution is about, with its kind."""
    return f"{caution.species.capitalize()}: {caution.about}"


def caution_key(number: int) -> str:
    """Return the key of a caution's words, counted from 1 through all cautions."""
    caution = pod_trees().cautions[number - 1]
    place = sum(each.species == caution.species for each in pod_trees().cautions[:number])
    return f"{caution.species.replace(' ', '_')}_caution_{place}"


def _how() -> Prose:
    return Prose(
        "How to read this",
        (
            "Usual figures, each with its mark and source; the sheet Works has the sources in full. What no source gave is left out: weigh your own trees and have their pods analysed.",
            "Copy what you want into the boxed cells of Farm, Trees, Pods and Stand. Crops are as picked; dry crop is that times the share of dry matter.",
            "Stand asks once for the share of seedlings that bear, and Farm once for the months of drop: both stand for honey locust until you change them.",
        ),
    )


def _overview() -> Table:
    kinds = pod_trees().kinds

    def words(name: str, label: str, contents: list[str]) -> Node:
        return fixed_field(f"pod_trees.{name}", label, "text", tuple(contents))

    return Table(
        "pod_trees",
        "The kinds",
        tuple(kind.name.capitalize() for kind in kinds),
        (
            words("botanical", "Botanical name", [kind.botanical for kind in kinds]),
            words("months", "Months of drop", [kind.drop.word for kind in kinds]),
            fixed_field("pod_trees.keeps", "Can be stockpiled or stored", "flag", tuple(float(kind.keeps.word == "yes") for kind in kinds), look="0"),
            worked("pod_trees.grown", "Types of it on this farm", "record", "=COUNTIF(types_kind_used,INDEX(lists_kind,{#}))",
                   by(gates.named_so, entry="lists.kind@{#}", names="types.kind_used*"), size=len(kinds), look="0"),
        ),
        across=False,
        note="The kind of a type is chosen on the sheet Farm.",
    )  # fmt: skip


def _figures(kind: Kind) -> Single:
    said = tuple(_said(kind, name) for name in SAID)
    figures = tuple(
        Node(f"{kind.key}_{figure.name}", figure.label, figure.unit, "fixed", contents=(figure.value,), source=figure.source,
             place=figure.where, mark=figure.mark, look=FIGURES[figure.name].look)
        for figure in kind.figures.values()
    )  # fmt: skip
    return Single(f"{kind.name.capitalize()} ({kind.botanical})", (*said, *figures))


def _said(kind: Kind, name: str) -> Node:
    said: Said = getattr(kind, name)
    return Node(f"{kind.key}_{name}", SAID[name], "text", "fixed", contents=(said.word,), source=said.source, place=said.where, mark=said.mark)


def _cautions(species: str) -> Single:
    rows = tuple(
        Node(caution_key(number), f"{caution.about.capitalize()} ({caution.mark}: {caution.source})", "text", "fixed",
             contents=(caution.text,), source=caution.source, mark=caution.mark)
        for number, caution in enumerate(pod_trees().cautions, 1)
        if caution.species == species
    )  # fmt: skip
    return Single(f"{species.capitalize()}: cautions", rows, wide=True)
