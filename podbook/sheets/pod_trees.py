"""Pod trees: the usual figures of each kind, to look at and copy from, and the cautions that go with it."""

from __future__ import annotations

from podbook.book.model import Block, Prose, Sheet, Single, Table
from podbook.book.node import Node, by, fixed_field, worked
from podbook.pod_trees import FIGURES, SAID, Caution, Kind, Said, Wanted, pod_trees
from podbook.reference import gates


def sheet() -> Sheet:
    """Return the sheet Pod trees."""
    printed: tuple[Block, ...] = (_how(), _side_by_side(), *map(_cautions, pod_trees().species))
    return Sheet(
        "Pod trees",
        "Kinds of tree that drop pods, nuts or fruit: a handbook page. The book takes nothing from here but cautions and what keeps.",
        (*printed, *map(_figures, pod_trees().kinds)),
        printed=len(printed),
        width=13.2,
        label_width=40,
        wider={"D": 14.5},
        sentences=2 + len(pod_trees().kinds),
    )


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
            "Usual figures side by side. What no source gave is left blank: weigh your own trees and have their pods analysed.",
            "These pages are printed. Below them, for the screen, each figure stands with its mark, its source and the place in it; the sheet Works has the sources in full.",
            "Copy what you want into the boxed cells of Farm, Trees, Pods and Stand. Crops are as picked; dry crop is that times the share of dry matter.",
            "Stand asks once for the share of seedlings that bear, and Farm once for the months of drop: both stand for honey locust until you change them.",
        ),
    )


def _side_by_side() -> Table:
    kinds = pod_trees().kinds

    def words(name: str, label: str, contents: list[str]) -> Node:
        return fixed_field(f"pod_trees.{name}", label, "text", tuple(contents))

    def figures(name: str, wanted: Wanted) -> Node:
        known = [kind.figures.get(name) for kind in kinds]
        contents = tuple(None if figure is None else figure.value for figure in known)
        return fixed_field(f"pod_trees.{name}", wanted.label, wanted.unit, contents, look=wanted.look)

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
            words("origin", SAID["origin"], [kind.origin.word for kind in kinds]),
            *(figures(name, wanted) for name, wanted in FIGURES.items()),
        ),
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
