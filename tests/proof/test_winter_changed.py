"""The same winter with something changed: what more pods, dearer hay, no pods or other months do to random farms.

Each property is tested in the strongest form that is true; where that is weaker than one would wish, the reason stands
with it.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from herds import GROUPS, MONTHS, Farm, Farms, at_most, drawn, near, poor_pods
from live import Live

from podbook.reference import pods

FARMS = 24
FIRST = 200
"""Seed of the first: other farms than those whose balances are tested."""


@pytest.fixture(scope="module")
def farms(demo: Path) -> Farms:
    return Farms(Live(demo))


@pytest.fixture(scope="module", params=drawn(FARMS, FIRST), ids=lambda which: f"{which[0]}-{which[1]}")
def farm(farms: Farms, request: pytest.FixtureRequest) -> Farm:
    return farms.farm(*request.param)


@pytest.mark.parametrize("engine", ["reference", "workbook"])
def test_no_pods_while_stepping_up_are_next_to_none(farms: Farms, engine: str) -> None:
    """With parts of days too: 8.1 and 8.5 days add up to a rounding more than 8.5 days after 8.1."""
    demo = farms.demo(engine)
    days = list(demo.entries["months.days"])
    first = next(month for month, fed in enumerate(days) if fed)
    days[first : first + 2] = [8.1, 8.5]
    parts = demo.but({"months.days": tuple(days)})
    none, few = (parts.but({"step_up_share_entry": (share,)}) for share in (0.0, 1e-9))
    assert none["months.pod_share"][first : first + 2] == (0.0, 0.0)
    for key in ("hay_bought_with", "saving", "largest_crop"):
        assert none.one(key) == pytest.approx(few.one(key), rel=1e-6), key


@pytest.mark.parametrize("key", ["area_entry", "by_type.own"])
def test_more_pods(farm: Farm, key: str) -> None:
    """More of the same pods never lower what any group gets of them, and leave no less grass standing.

    They raise the hay of a month only for a group that can't eat what it needs though grass is left, and whose pods
    hold less energy than the grass: it then eats a pound of pods in place of a pound of grass, and hay makes up for
    the energy lost. Only more of *all* types is more of the same: more of a sweet type alone can lower the cap by
    sugar, and with it the pods that are eaten.
    """
    more = farm.times(key, 1.3)
    for month in MONTHS:
        for field in ("winter.pods_eaten", "winter.standing_with", *(f"ration_{group}.pods_me" for group in GROUPS)):
            assert at_most(farm[field][month], more[field][month], farm[field.replace("pods_me", "me_need")][month])
        if not poor_pods(more, month):
            assert at_most(
                more["winter.hay_with"][month], farm["winter.hay_with"][month], farm["winter.room_all"][month]
            )
    assert at_most(farm.one("pod_head_days"), more.one("pod_head_days"))
    if not any(poor_pods(more, month) for month in MONTHS):
        assert at_most(more.one("hay_bought_with"), farm.one("hay_bought_with"), farm.one("hay_bought_without"))


@pytest.mark.parametrize("engine", ["reference", "workbook"])
def test_pods_poorer_than_grass_cost_hay_where_stock_are_full(farms: Farms, engine: str) -> None:
    """The exception that the properties above leave open: heavy milkers on more grass than they need."""
    entries = {
        "area_entry": (1.0,),
        "stockpile_area_entry": (300.0,),
        "months.grass_tdn": (66.0,) * 8,
        "groups.peak_milk": (0.0, 30.0, 0.0, 0.0, 0.0),
        "groups.gain": (0.0, 0.0, 1.5, 0.0, 0.0),
    }
    farm = farms.demo(engine).but(entries)
    more = farm.times("area_entry", 1.3)
    assert max(farm["served.pod_me"][:3]) < min(farm["winter.grass_me"])
    assert 0 > farm.one("hay_saved") > more.one("hay_saved")
    assert any(poor_pods(farm, month) for month in MONTHS)
    dearer = farm.but({"hay_price_entry": (250.0,)})
    assert dearer.one("saving") < farm.one("saving") < 0


@pytest.mark.parametrize("factor", [0.8, 1.25])
def test_saving_is_a_straight_line_in_the_price_of_hay(farm: Farm, factor: float) -> None:
    """Its slope is the hay saved, so dearer hay never lowers it but where pods save no hay (see above)."""
    price = farm.one("hay_price")
    other = min(700.0, max(20.0, price * factor))
    changed = farm.but({"hay_price_entry": (other,)})
    assert changed.one("hay_saved") == farm.one("hay_saved")
    assert changed.one("pods_money") == farm.one("pods_money")
    expected = farm.one("saving") + (other - price) * farm.one("hay_saved")
    assert near(changed.one("saving"), expected, max(farm.one("cost_without"), changed.one("cost_without")))
    if not any(poor_pods(farm, month) for month in MONTHS):
        assert at_most(0, farm.one("hay_saved"), farm.one("hay_bought_without"))


def _no_pods() -> dict[str, dict[str, tuple[float | None, ...]]]:
    return {
        "no types": {"types.name": (None,) * 6},
        "no yield": {"by_type.own": (0.0,) * 6},
        "no drop": {"months.drop": (0.0,) * 8},
        "none allowed": {"share_cap_entry": (0.0,)},
    }


def _pairs(farm: Farm) -> Iterator[tuple[str, str]]:
    for key in farm.values:
        if f"{key}out" in farm.values:
            yield key, f"{key}out"
    yield "winter.uneaten", "winter.uneaten_without"
    yield "season.hay_with_pods", "season.hay_alone"
    yield "check_eat", "check_eat_without"


@pytest.mark.parametrize("how", _no_pods())
def test_a_winter_without_pods_is_the_winter_without_trees(farm: Farm, how: str) -> None:
    bare = farm.but(_no_pods()[how])
    pairs = list(_pairs(bare))
    assert len(pairs) >= 60
    assert set(bare["winter.pods_eaten"]) == {0.0}
    for with_pods, without in pairs:
        assert bare[with_pods] == bare[without], with_pods
    assert bare.one("saving") == bare.one("hay_saved") == bare.one("pod_head_days") == 0


def test_seed_out_of_reach(farm: Farm) -> None:
    """Where no stock reaches the seed, only the husk feeds them: every group has less of every month's pods."""
    none = farm.but({"access.whole": (0.0,) * 3, "access.ground": (0.0,) * 3})
    for stock, name in enumerate(("cattle", "sheep", "goats")):
        for form in ("whole", "ground"):
            for kind in range(6):
                husk = {each: (1 - none["lab.share"][kind]) * none[f"lab.husk_{each}"][kind] for each in ("cp", "me")}
                assert all(near(none[f"lab.{each}_{name}_{form}"][kind], husk[each]) for each in ("cp", "me"))
        assert all(none[f"reach.{each}"][stock] <= farm[f"reach.{each}"][stock] for each in ("me", "cp"))
    for month in MONTHS:
        assert at_most(farm["winter.wish"][month], none["winter.wish"][month])
        for group in GROUPS:
            less, more = none[f"ration_{group}.pods_me"][month], farm[f"ration_{group}.pods_me"][month]
            assert at_most(less, more, farm[f"ration_{group}.me_need"][month])
    assert at_most(none.one("pods_energy"), farm.one("pods_energy"))


def test_a_pod_of_nothing_but_seed_feeds_nobody_who_can_not_reach_it() -> None:
    assert pods.reachable.function(husk=70.0, seed=22.0, seed_share=1.0, seed_access=0.0) == 0


def test_a_southern_winter_is_the_same_winter(farm: Farm) -> None:
    """The months of the book are counted from its first one; their names change no number."""
    names = ("Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov")
    north = farm.but({"months.name": ("Oct", "Nov", "Dec", "Jan", "Feb", "Mar", "Apr", "May")})
    south = farm.but({"months.name": names})
    named = ("months.name", "out_month", "first_out", "barn_out", "log_last")
    words = {key for key in farm.values if key.endswith(".label") or key in named}
    assert {key for key in north.values if north[key] != south[key]} <= words
    assert south["winter.label"] == names


def test_a_book_that_begins_a_month_early_is_the_same_winter(farm: Farm) -> None:
    """A month without feeding and pods in front of all others carries nothing on but the temperature before."""
    months = {key: column for key, column in farm.entries.items() if key.startswith("months.")}
    ends = farm.but({key: (*months[key][:-1], 0.0) for key in ("months.days", "months.drop")})
    late = {key: (column[-1], *column[:-1]) for key, column in months.items()}
    late["months.days"], late["months.drop"] = ((0.0, *months[key][:-1]) for key in ("months.days", "months.drop"))
    late["months.temperature"] = (farm.one("temperature_before"), *months["months.temperature"][:-1])
    begins = ends.but(late)
    sums = "pods_eaten_dry hay_bought_with hay_bought_without supplement_bought_with grass_grazed_with need_herd"
    for key in (*sums.split(), "herd_head_days", "pod_head_days", "cost_with", "cost_without"):
        assert near(begins.one(key), ends.one(key)), key
    assert near(begins.one("saving"), ends.one("saving"), ends.one("cost_without"))
    assert begins["winter.hay_with"][1:] == ends["winter.hay_with"][:-1]


def _plenty() -> dict[str, tuple[float, ...]]:
    """Return entries that leave neither pods nor grass short."""
    return {
        "area_entry": (5000.0,), "by_type.own": (1500.0,) * 6, "wildlife_loss_entry": (0.0,),
        "share_collected_entry": (1.0,), "stored_loss_entry": (0.0,),
        "months.drop": (1.0, *(0.0,) * 7), "months.ground_loss": (0.1,) * 8,
        "stockpile_area_entry": (20000.0,), "stockpile_yield_entry": (6000.0,), "standing_loss_entry": (0.05,),
        "use_share_entry": (0.9,),
    }  # fmt: skip


@pytest.mark.parametrize("shared", ["plenty", "nothing"])
def test_a_herd_eats_what_its_groups_eat_alone(farm: Farm, shared: str) -> None:
    """Groups meet only over pods and grass that run short."""
    herd = farm.but(_plenty() if shared == "plenty" else {"months.drop": (0.0,) * 8, "stockpile_area_entry": (0.0,)})
    if shared == "plenty":
        assert set(herd["winter.runs_out"]) == {0.0}
        assert set(herd["winter.grass_share_without"]) <= {0.0, 1.0}
    kinds = herd.entries["groups.kind"]
    alone = [
        herd.but({"groups.kind": tuple(kind if place == group else None for place in range(len(kinds)))})
        for group, kind in enumerate(kinds)
        if kind is not None
    ]
    for key in (
        "winter.hay_with",
        "winter.hay_without",
        "winter.pods_eaten",
        "winter.grass_eaten_with",
        "winter.extra_with",
    ):
        for month in MONTHS:
            assert near(sum(each[key][month] for each in alone), herd[key][month], herd["winter.room_all"][month])


@pytest.mark.parametrize("engine", ["reference", "workbook"])
def test_a_break_in_feeding_stops_no_pregnancy_and_begins_stepping_up_again(farms: Farms, engine: str) -> None:
    days = (31.0, 0.0, 0.0, 0.0, 28.0, 31.0, 4.0, 0.0)
    changes = {"months.days": days, "groups.days_pregnant": (130.0, 0.0, 0.0, 0.0, 0.0)}
    farm = farms.demo(engine).but(changes)
    assert farm.entries["groups.kind"][0] == "dry pregnant cow"
    month = 365.25 / 12
    assert farm["need_1.days"][4] == pytest.approx(130 + 31 + 3 * month + 14)
    whole = farm.but({"months.days": (31.0, 30.0, 31.0, 31.0, 28.0, 31.0, 4.0, 0.0)})
    assert farm["need_1.need_me"][4] == pytest.approx(whole["need_1.need_me"][4], rel=0.01)
    assert farm["months.stepping"][4] == 21 > whole["months.stepping"][4] == 0
    assert farm["months.pod_share"][4] < whole["months.pod_share"][4]
