"""Leave the pods, or collect and grind them? What the herd eats, what it costs, where it breaks even."""

from __future__ import annotations

from collections.abc import Mapping

import pictures
from story import Story, Told, figures, of_books, of_items, trust

WAYS = (1, 2, 3, 4)
LEFT, _, GROUND, HAND = WAYS
PICTURE = "four_ways.svg"
DEAR_HAY = 220
"""Price of hay in the second workbook, invented: of drought and long hauls."""
UNSURE = (
    "share_collected", "missed_found", "never_picked", "labour_hours", "machine_hours", "machine_rate", "wage",
    "grinder_rate", "grinder_output", "grinder_travel", "stored_loss", "hay_price",
)  # fmt: skip


def _dollars(number: float) -> str:
    return f"-${-number:,.0f}" if number < 0 else f"${number:,.0f}"


def _names(told: Told) -> tuple[str, ...]:
    return told.book.tables["ways"].items


def marks(books: Mapping[str, Told]) -> dict[str, str]:
    farm, dear = books["farm"], books["dear"]
    fields = ("gathered", "eaten", "energy", "protein", "worth", "cost", "cost_drop", "net")
    worth, net = (farm.node(f"ways.{key}").label for key in ("worth", "net"))
    answers = [
        (farm.node("collect_verdict").label, "collect_verdict", 1),
        (farm.node("hay_price").label, "hay_price", 1),
        (f"{worth}: left to stock", "ways.worth", LEFT),
        (f"{net}: collected and ground", "ways.net", GROUND),
        *((farm.node(key).label, key, 1) for key in ("collect_break_even", "collect_cost_now", "collect_gain")),
    ]
    return {
        "ways": of_items(_names(farm), [(farm.node(f"ways.{key}").label, farm, f"ways.{key}") for key in fields], WAYS),
        "answers": of_books(("hay as filled in", "dear hay"), answers, (farm, dear)),
        "trust": trust(farm, *UNSURE),
        "acres": f"{farm.number('area'):,.0f} acres",
        "dropped": farm.says("drop_tons"),
        "hay_price": farm.says("hay_price"),
        "dear_price": dear.says("hay_price"),
        "never": farm.says("never_picked"),
        "machine_takes": farm.says("share_collected"),
        "left_worth": _dollars(farm.number("ways.worth", LEFT)),
        "ground_net": _dollars(farm.number("ways.net", GROUND)),
        "ground_worth": _dollars(farm.number("ways.worth", GROUND)),
        "ground_cost": _dollars(farm.number("ways.cost_drop", GROUND)),
        "break_even": _dollars(farm.number("collect_break_even")),
        "cost_now": _dollars(farm.number("collect_cost_now")),
        "cost_eaten": _dollars(farm.number("collect_cost_eaten")),
        "left_eaten": farm.says("ways.eaten", LEFT),
        "ground_eaten": farm.says("ways.eaten", GROUND),
        "ground_spoils": farm.says("months.ground_loss", 1),
        "lost": _dollars(-farm.number("collect_gain")),
        "dear_break_even": _dollars(dear.number("collect_break_even")),
        "dear_gain": _dollars(dear.number("collect_gain")),
        "hand_cost": _dollars(farm.number("ways.cost", HAND)),
        "hand_word": farm.says("hand_trap"),
        "hand_energy": f"{farm.number('ways.per_me', HAND) / farm.number('hay_cost_per_me'):.1f}",
        "whole_me": farm.says("reached_me_whole"),
        "ground_me": farm.says("reached_me_ground"),
        "whole_cp": farm.says("reached_cp_whole"),
        "ground_cp": farm.says("reached_cp_ground"),
        "herd_uses": farm.says("largest_crop"),
        "crop": farm.says("pod_crop"),
        "missed": farm.says("missed_found"),
        "step_up": farm.bare("step_up_weeks"),
    }  # fmt: skip


def drawn(books: Mapping[str, Told]) -> dict[str, str]:
    farm = books["farm"]
    groups = {
        way: [farm.number("ways.worth", item), farm.number("ways.cost_drop", item)]
        for way, item in zip(_names(farm), WAYS, strict=True)
    }
    series = ["worth in hay of the energy that reaches the stock", "cost of collecting, drying, storing, grinding"]
    return {
        PICTURE: pictures.bars(
            "A ton of pods that drops, four ways", groups, series, _dollars, "Dollars a ton that drops"
        )
    }


STORY = Story("leave_or_collect", {"dear": figures(hay_price=DEAR_HAY)}, marks, drawn)
