"""Which type of tree? What one tree gives, to which stock, whole or ground."""

from __future__ import annotations

from collections.abc import Mapping

import pictures
from story import Story, Told, figures, of_items, table

ITEMS = (1, 2, 3)
WILD, _, GRAFTED = ITEMS
WAYS = {"farm": "cattle, pods whole", "sheep": "sheep, pods whole", "ground": "any stock, pods ground"}
PICTURE = "worth_of_a_tree.svg"


def _types(told: Told) -> list[str]:
    return [told.says("lab.label", item) for item in ITEMS]


def _dollars(number: float) -> str:
    return f"${number:,.2f}"


def marks(books: Mapping[str, Told]) -> dict[str, str]:
    farm, sheep, ground = books["farm"], books["sheep"], books["ground"]
    assert len(set(farm.numbers("access.ground"))) == 1, "ground pods are no longer one thing to all stock"
    each = [(words, books[name]) for name, words in WAYS.items()]
    access = [
        (stock, farm.says("access.whole", place), farm.says("access.ground", place))
        for place, stock in enumerate(("cattle", "sheep", "goats"), 1)
    ]
    grown = [
        ("Share of the trees that bear", farm, "mix.bearing_share"),
        ("First crop, years after planting", farm, "mix.first_crop_age"),
        ("Full crop, years after planting", farm, "mix.full_crop_age"),
        ("Price of a tree", farm, "order.price"),
    ]
    found = [
        ("Trees weighed", farm, "by_type.trees"),
        ("Lowest crop of a tree", farm, "by_type.lowest"),
        ("Mean crop of a tree", farm, "lab.crop"),
        ("Highest crop of a tree", farm, "by_type.highest"),
        ("Seed, share of the dry pod", farm, "lab.share"),
        ("Sugar, of dry matter", farm, "lab.sugar_whole"),
        ("Sugar of a tree", farm, "lab.sugar_tree"),
        *((f"Energy a tree gives: {words}", told, "lab.me_tree") for words, told in each),
        *((f"Protein a tree gives: {words}", told, "lab.cp_tree") for words, told in each),
        *((f"Worth of its crop in hay: {words}", told, "lab.worth") for words, told in each),
    ]
    return {
        "figures": of_items(_types(farm), found, ITEMS),
        "grown": of_items(_types(farm), grown, ITEMS),
        "access": table(("of the seed, reached by", "pods whole", "pods ground"), access, (1, 2)),
        "hay_price": farm.says("hay_price"),
        "hay_me": f"{farm.number('hay_cost_per_me') * 100:.1f} cents",
        "crop_times": f"{farm.number('lab.crop', GRAFTED) / farm.number('lab.crop', WILD):.1f}",
        "worth_times": f"{farm.number('lab.worth', GRAFTED) / farm.number('lab.worth', WILD):.1f}",
        "wild_gain": f"{ground.number('lab.worth', WILD) / farm.number('lab.worth', WILD) - 1:.0%}",
        "grafted_gain": f"{ground.number('lab.worth', GRAFTED) / farm.number('lab.worth', GRAFTED) - 1:.0%}",
        "sheep_gain": f"{ground.number('lab.worth', WILD) / sheep.number('lab.worth', WILD) - 1:.0%}",
        "wild_protein": farm.says("lab.cp_cattle_whole", WILD),
        "wild_protein_ground": farm.says("lab.cp_cattle_ground", WILD),
        "grafted_low": f"{farm.number('by_type.lowest', GRAFTED):,.0f}",
        "grafted_high": f"{farm.number('by_type.highest', GRAFTED):,.0f}",
        "grafted_trees": farm.bare("by_type.trees", GRAFTED),
        "grafted_rows": farm.bare("by_type.records", GRAFTED),
        "pods_sugar": farm.says("pods_sugar"),
        "sugar_limit": farm.says("diet_sugar_limit"),
        "full_share": farm.says("full_share"),
        "step_up": farm.bare("step_up_weeks"),
        "wild_worth": _dollars(farm.number("lab.worth", WILD)),
        "grafted_worth": _dollars(farm.number("lab.worth", GRAFTED)),
        "choice_of_stock": farm.node("rank_stock").label,
        "no_cost": ground.node("check_free").label,
        "choice_of_form": farm.node("pod_form").label,
    }


def drawn(books: Mapping[str, Told]) -> dict[str, str]:
    groups = {
        kind: [books[name].number("lab.worth", item) for name in WAYS]
        for kind, item in zip(_types(books["farm"]), ITEMS, strict=True)
    }
    title = "What one tree's crop is worth in hay"
    return {
        PICTURE: pictures.bars(title, groups, list(WAYS.values()), _dollars, "Dollars a tree and year, by type of tree")
    }


STORY = Story(
    "which_tree",
    {"sheep": figures(rank_stock="sheep"), "ground": figures(pod_form="ground")},
    marks,
    drawn,
    {"ground": "check_free"},
)
