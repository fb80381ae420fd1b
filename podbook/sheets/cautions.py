"""Cautions in plain words: people and stock can be hurt."""

from __future__ import annotations

from podbook.book.model import Block, Prose, Sheet, Single
from podbook.book.node import Node, by, worked
from podbook.inputs.filled import GROUPS
from podbook.pod_trees import Caution, pod_trees
from podbook.reference import kinds
from podbook.sheets.pod_trees import caution_key, heading

BLOCKS = (
    ("This book", (
        "This is a planning aid. It does not replace a veterinarian, a nutritionist, your local codes or the weed law of your place.",
        "Have a nutritionist check the ration before you feed it. Have the hay and the pods analysed: printed feed tables miss by 10 to 15 % and more.",
        "TDN from an analysis carries an error of about 6 units (Weiss and others 1992), and it was not fitted to tree pods. A laboratory errs too: look at the closing check.",
        "Minerals, vitamins, copper for sheep, and water are outside this book.",
    )),
    ("Sugar and grain overload", (
        "Pods are rich in sugar. Step up over two to three weeks, and never turn hungry stock on a pile of pods. Keep long forage in front of them.",
        "Signs of grain overload (off feed, belly pain, staggering, grey sour scours, down): call a veterinarian at once. Do not wait for morning.",
        "Horses and ponies with a history of laminitis or insulin trouble: keep them off pods.",
    )),
    ("Pods are a supplement, never the whole ration", (
        "Sheep fed on ground honey locust pods alone ate half of what they ate of lucerne hay and wasted away in six weeks (Grootfontein, South Africa).",
        "Whole pods leave cattle short of protein: most seed passes unbroken. Balance with hay, a legume or a supplement.",
        "Molasses-like feeds loosen dung and are high in potassium.",
        "Late-pregnant ewes and does must not go short of energy: pregnancy toxaemia kills. Never starve them on to pods.",
    )),
    ("Which tree is it?", (
        "Honey locust pods are flat, 15 to 45 cm long and 2.5 to 4 cm wide. Know your tree before you feed anything from it.",
        "Kentucky coffeetree (short, thick, woody pods) is poisonous in leaf, seed and pulp: eleven sheep died within a day of eating cuttings.",
        "Black locust (short, thin, flat pods, paired thorns at the leaf base) is poisonous in bark, leaf, pod and seed, horses most of all.",
    )),
    ("Thorns, machines, seed", (
        "Thorns wound stock and people and puncture tyres, on dead wood too. Plant thornless lines; seedlings may revert.",
        "Grinders, dryers and collecting machines take hands and lungs: guards on, dust masks, no one alone. Pods stored damp can heat and mould.",
        "Seed passes in dung and grows. Keep stock penned a few days before they move to clean land.",
        "Honey locust is a restricted invasive plant in Queensland, a priority weed in New South Wales, and a listed or feared invader in parts of South Africa, Argentina, Uruguay and Europe. Ask before you plant.",
    )),
    ("Cold, wet, fescue", (
        "A wet coat in cold can't be met by feed alone. Give shelter and dry bedding, and spread extra feed over days.",
        "Winter stockpile of toxic fescue: watch for fescue foot; move stock and feed clean hay at the first limp.",
    )),
)  # fmt: skip
OF_STOCK = (
    ("cattle_protein", "Cattle: protein", "groups.is_cattle",
     "Whole pods leave cattle short of protein, for most seed passes unbroken: balance with hay, a legume or the supplement."),
    ("cattle_fescue", "Cattle: toxic fescue", "groups.is_cattle",
     "On winter stockpile of toxic fescue watch for fescue foot: move stock and feed clean hay at the first limp."),
    ("ewes_late", "Ewes: late in lamb", "groups.is_ewe",
     "Late-pregnant ewes must not go short of energy: pregnancy toxaemia kills. Never starve them on to pods."),
    ("ewes_alone", "Ewes: never pods alone", "groups.is_ewe",
     "Sheep on ground pods alone wasted away in six weeks (Grootfontein): hay stays before them."),
    ("does_late", "Does: late in kid", "groups.is_doe",
     "Late-pregnant does must not go short of energy: pregnancy toxaemia kills. Never starve them on to pods."),
)  # fmt: skip
"""Cautions that hold where a kind of stock is on the farm: name, what about, the flag of its groups, words."""


def sheet(notices: tuple[str, ...]) -> Sheet:
    """Return the sheet Cautions, with the notices of the region and the cautions of the kinds of tree on the farm."""
    blocks: list[Block] = [Prose(title, lines) for title, lines in BLOCKS]
    if notices:
        blocks.append(Prose("Notices for this region", notices))
    blocks.append(
        Single(
            "Of the kinds of tree on this farm",
            tuple(_line(number, caution) for number, caution in enumerate(pod_trees().cautions, 1)),
            note="A caution stands here once a type on the sheet Farm is of that kind; else a dash. The sheet Pod trees has them all.",
            span="cautions_told",
            wide=True,
        )
    )
    blocks.append(
        Single(
            "Of the kinds of stock on this farm",
            tuple(
                worked(f"told_{name}", about, "text", f'=IF(SUM({flag.replace(".", "_")})=0,"-",{name}_caution)',
                       by(kinds.caution_told, types_of_kinds=tuple(f"{flag}@{number}" for number in range(1, len(GROUPS) + 1)), words=f"{name}_caution"))
                for name, about, flag, _ in OF_STOCK
            ),
            note="A caution stands here once a group on the sheet Herd is of that kind; else a dash.",
            wide=True,
        )
    )  # fmt: skip
    words = tuple(Node(f"{name}_caution", about, "text", "fixed", contents=(words,)) for name, about, _, words in OF_STOCK)
    every = (*blocks, Single("All cautions of kinds of stock", words, wide=True))
    purpose = "Read this before the first pod is fed."
    return Sheet("Cautions", purpose, every, printed=len(blocks), width=15.5, label_width=24)


def _line(number: int, caution: Caution) -> Node:
    """Return a caution as a cell: its words where a type of its species is on the farm."""
    places = [place for place, kind in enumerate(pod_trees().kinds, 1) if kind.species == caution.species]
    grown = "+".join(f"INDEX(pod_trees_grown,{place})" for place in places)
    words = caution_key(number)
    return worked(f"told_{words}", heading(caution), "text", f'=IF({grown}=0,"-",{words})',
                  by(kinds.caution_told, types_of_kinds=tuple(f"pod_trees.grown@{place}" for place in places), words=words))
