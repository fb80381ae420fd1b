"""Forty years of a planting on the sheets Planting and Returns, by the reference functions and in the workbook."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from herds import Farm, Farms, at_most, near
from live import Draw, Live
from openpyxl import load_workbook
from scipy.optimize import brentq

from podbook.proof.agreement import differs
from podbook.recalc import DEFAULT, Fault
from podbook.review.verify import verify
from podbook.sheets.returns import CASES, FLOWS, USUAL, YIELDS

ENGINES = pytest.mark.parametrize("engine", ["reference", "workbook"])
YEARS = range(1, FLOWS)
PLACES = range(len(CASES))
USUAL_PLACE = USUAL - 1
PAYS = {"hay_price_entry": (400.0,), "own_rate_entry": (0.04,)}
"""Hay dear enough for all three cases of the demo farm to pay."""
BUSY = {
    "alternate_entry": ("yes",), "replant_after_entry": (4.0,), "establishment_loss_entry": (0.3,),
    "replanted_share_entry": (0.7,), "yearly_loss_entry": (0.02,), "fence_length_entry": (2640.0,),
    "fence_life_entry": (15.0,), "ungrazed_years_entry": (3.0,), "cost_share_entry": (2000.0,),
    "share_year_entry": (2.0,), "light_gain_entry": (0.1,), "mix.full_crop_age": (9.0, 30.0, 16.0, None, None, None),
}  # fmt: skip
"""Every line of the flow in use."""
VARIANTS = {"demo": {}, "pays": PAYS, "busy": BUSY, "busy and dear": {**BUSY, "hay_price_entry": (550.0,)}}
OF_VARIANTS = pytest.mark.parametrize("variant", VARIANTS)


@pytest.fixture(scope="module")
def farms(demo: Path) -> Farms:
    return Farms(Live(demo))


def plan(farm: Farm, case: int, field: str) -> list[float]:
    return list(farm[f"plan_{case + 1}.{field}"])


def worth(flows: list[float], rate: float) -> float:
    """Present value by a plain loop over the years from 0."""
    return sum(flow / (1 + rate) ** year for year, flow in enumerate(flows))


def spent(farm: Farm, case: int = USUAL_PLACE) -> float:
    """The size of a plan's money, on which what is left of it is exact."""
    return sum(abs(flow) for flow in plan(farm, case, "flow"))


@ENGINES
@OF_VARIANTS
def test_the_usual_case_is_the_plan_of_the_sheet_stand(farms: Farms, engine: str, variant: str) -> None:
    farm = farms.demo(engine).but(VARIANTS[variant])
    area = farm.one("area")
    assert sum(plan(farm, USUAL_PLACE, "crop")) > 0
    for year in YEARS:
        assert near(plan(farm, USUAL_PLACE, "crop")[year], area * farm["years.dry"][year - 1])
        assert near(plan(farm, USUAL_PLACE, "trees")[year], farm["years.trees"][year - 1])
        assert near(plan(farm, USUAL_PLACE, "cover")[year], farm["years.cover"][year - 1])
    assert farm["cases.differs"][USUAL_PLACE] == 0


@ENGINES
def test_on_year_and_off_year_keep_the_mean_of_the_pods(farms: Farms, engine: str) -> None:
    """Without yearly losses the full-grown stand bears the same in every year, and as much in any two in a row."""
    even = farms.demo(engine).but({"yearly_loss_entry": (0.0,)})
    turns = even.but({"alternate_entry": ("yes",)})
    plain, crops = (plan(each, USUAL_PLACE, "crop")[25:] for each in (even, turns))
    assert max(plain) - min(plain) <= 1e-9 * max(plain)
    for one, other in pairwise(crops):
        assert near((one + other) / 2, plain[0])
        assert near(min(one, other) / max(one, other), even.one("stand_off_to_on"))
    assert even.one("stand_off_to_on") < 1


@ENGINES
@OF_VARIANTS
def test_the_rate_of_return_is_where_the_worth_is_0(farms: Farms, engine: str, variant: str) -> None:
    """Found by another root finder in the flows; and typed in as the own rate it leaves a worth of nothing."""
    farm = farms.demo(engine).but(VARIANTS[variant])
    for case in PLACES:
        flows, rate = plan(farm, case, "flow"), farm["returns.irr"][case]
        spends_again = any(flow < 0 for year, flow in enumerate(flows) if any(each > 0 for each in flows[:year]))
        assert farm["returns.irr_stands"][case] == (not spends_again and sum(flows) > 0)
        if not farm["returns.irr_stands"][case]:
            assert rate == 0
            continue
        assert rate == pytest.approx(brentq(lambda r, flows=flows: worth(flows, r), 1e-9, 1, xtol=1e-15), rel=1e-9)
        if rate <= 0.2:
            at_it = farm.but({"own_rate_entry": (rate,)})
            assert near(at_it["returns.worth_own"][case], 0, spent(farm, case))


def test_rates_of_return_are_shown_and_held_back(farms: Farms) -> None:
    """So that the test above tests both."""
    shown = [
        flag for variant in VARIANTS.values() for flag in farms.demo("reference").but(variant)["returns.irr_stands"]
    ]
    assert {0, 1} == set(shown)


@ENGINES
@pytest.mark.parametrize("price", [30.0, 125.0, 180.0, 250.0, 450.0, 690.0])
def test_what_pays_pays_by_every_measure(farms: Farms, engine: str, price: float) -> None:
    farm = farms.demo(engine).but({"hay_price_entry": (price,)})
    for case in PLACES:
        pays = farm["returns.worth_own"][case] > 0
        assert farm["returns.pays"][case] == ("it pays" if pays else "it does not pay")
        assert (farm["returns.benefit_cost"][case] > 1) == pays
        assert (farm["returns.yearly"][case] > 0) == pays
        assert (farm["returns.break_even_hay"][case] < farm["cases.price"][case]) == pays
        if farm["returns.irr_stands"][case]:
            assert (farm["returns.irr"][case] > farm.one("own_rate")) == pays
        later, at_once = (farm[f"returns.{each}_word"][case] == "yes" for each in ("payback_later", "payback"))
        assert at_once or not later
        if later:
            assert farm["returns.payback_later"][case] >= farm["returns.payback"][case] > 0
        if farm["returns.irr_stands"][case]:
            rates = [farm[f"returns.worth_{each}"][case] for each in ("low", "middle", "high")]
            assert rates == sorted(rates, reverse=True)


def test_some_pay_and_some_do_not(farms: Farms) -> None:
    """So that the test above tests both."""
    found = {
        price: farms.demo("reference").but({"hay_price_entry": (price,)})["returns.pays"] for price in (30.0, 690.0)
    }
    assert set(found[30.0]) == {"it does not pay"}
    assert set(found[690.0]) == {"it pays"}


COSTS = ("site_cost_entry", "guard_cost_entry", "planting_minutes_entry", "fence_price_entry", "care_cost_entry",
         "upkeep_cost_entry", "order.price")  # fmt: skip
"""Every cost of the sheet Planting. Work is minutes times the wage, and the wage is the sheet Collect's too."""


def times(column: tuple[Any, ...], factor: float) -> tuple[Any, ...]:
    return tuple(None if each is None else each * factor for each in column)


def farm_of_case(farm: Farm, case: int) -> Farm:
    """Return the farm whose own entries are those of a case: its usual case is then that case."""
    entered = farm.entries
    factor = {name: entered[f"cases.{name}"][case] for name in ("yields", "hay", "losses", "later", "costs")}
    bears = farm["by_type.plan"]
    return farm.but({
        "hay_price_entry": times(entered["hay_price_entry"], factor["hay"]),
        "establishment_loss_entry": times(entered["establishment_loss_entry"], factor["losses"]),
        "yearly_loss_entry": times(entered["yearly_loss_entry"], factor["losses"]),
        **{
            key: tuple(None if each is None else each + factor["later"] for each in entered[key])
            for key in ("mix.first_crop_age", "mix.full_crop_age")
        },
        "by_type.own": tuple(
            None if name is None else each * factor["yields"]
            for name, each in zip(entered["types.name"], bears, strict=True)
        ),
        **{key: times(entered[key], factor["costs"]) for key in COSTS},
    })  # fmt: skip


@ENGINES
@OF_VARIANTS
@pytest.mark.parametrize("case", [0, 2])
def test_a_case_is_a_book_of_its_own(farms: Farms, engine: str, variant: str, case: int) -> None:
    """Poor and good are what the usual case is where all of it is typed into the other sheets.

    Losses and ages change no pod's quality, and all types bear more or less in step, so the winters of the sheet Crop
    sizes stay what they are.
    """
    changes = {"hay_price_entry": (420.0,)} if variant == "busy and dear" else {}
    farm = farms.demo(engine).but({**VARIANTS[variant], **changes})
    alone = farm_of_case(farm, case)
    size = spent(farm, case)
    for field in ("crop", "trees", "hay", "feed", "grass", "cost", "paid_out", "flow", "running", "running_worth"):
        for there, here in zip(plan(farm, case, field), plan(alone, USUAL_PLACE, field), strict=True):
            assert near(there, here, size), field
    for key, column in farm.values.items():
        if key.startswith("returns."):
            there, here = column[case], alone[key][USUAL_PLACE]
            same = there == here if isinstance(there, str) else near(there, here, size if "worth" in key else 1.0)
            assert same, (key, there, here)


@ENGINES
@pytest.mark.parametrize("variant", ["demo", "busy"])
def test_money_of_year_0_is_not_discounted(farms: Farms, engine: str, variant: str) -> None:
    """A spreadsheet's NPV over all of it, year 0 too, is the worth a year before: too little by that year's rate."""
    farm = farms.demo(engine).but(VARIANTS[variant])
    for case in PLACES:
        flows = plan(farm, case, "flow")
        for field, rate in (("worth_low", 0.03), ("worth_middle", 0.05), ("worth_high", 0.07)):
            a_year_early = sum(flow / (1 + rate) ** (year + 1) for year, flow in enumerate(flows))
            assert near(farm[f"returns.{field}"][case], (1 + rate) * a_year_early, spent(farm, case))


@ENGINES
def test_at_rate_0_the_worth_is_the_plain_sum(farms: Farms, engine: str) -> None:
    farm = farms.demo(engine).but({"own_rate_entry": (0.0,)})
    for case in PLACES:
        total = sum(plan(farm, case, "flow"))
        assert near(farm["returns.worth_own"][case], total, spent(farm, case))
        assert near(farm["returns.yearly"][case], total / 40, spent(farm, case) / 40)
        assert farm["returns.payback_later"][case] == farm["returns.payback"][case]
    assert farm.one("recovery_factor") == 1 / 40


@ENGINES
@pytest.mark.parametrize("variant", ["demo", "busy"])
def test_at_the_break_even_price_of_hay_it_is_worth_nothing(farms: Farms, engine: str, variant: str) -> None:
    farm = farms.demo(engine).but(VARIANTS[variant])
    price = farm["returns.break_even_hay"][USUAL_PLACE]
    assert 20 < price < 700
    assert price != farm.one("hay_price")
    assert near(farm.but({"hay_price_entry": (price,)})["returns.worth_own"][USUAL_PLACE], 0, spent(farm))


@ENGINES
def test_next_to_no_hay_saved_makes_no_price(farms: Farms, engine: str) -> None:
    """Trees that nearly all die before they bear would need hay at more than all the money in the world."""
    dying = {"yearly_loss_entry": (0.2,), "cases.losses": (10.0, 1.0, 0.6)}
    farm = farms.demo(engine).but({**dying, "mix.first_crop_age": (20.0, 20.0, 20.0, None, None, None)})
    assert 0 < farm["returns.hay_worth"][0] <= 1e-9 * (1 + farm.one("hay_bought_without"))
    assert farm["returns.worth_own"][0] < 0
    assert farm["returns.break_even_hay"][0] == 0


def bearing(farm: Farm, share: float) -> Farm:
    """Return the farm whose trees all bear a share of what it plans with."""
    names = farm.entries["types.name"]
    own = (None if name is None else each * share for name, each in zip(names, farm["by_type.plan"], strict=True))
    return farm.but({"by_type.own": tuple(own)})


@ENGINES
def test_a_yield_that_is_tried_is_a_book_of_its_own(farms: Farms, engine: str) -> None:
    farm = farms.demo(engine).but(VARIANTS["busy"])
    for place, share in enumerate(YIELDS):
        if share > 0:
            alone = bearing(farm, share)
            assert near(farm["yields.worth"][place], alone["returns.worth_own"][USUAL_PLACE], spent(farm)), share
    assert farm["yields.worth"][YIELDS.index(1.0)] == farm["returns.worth_own"][USUAL_PLACE]


def test_at_the_break_even_yield_it_is_worth_next_to_nothing(farms: Farms) -> None:
    """Next to nothing, as it is read along a straight line between the yields tried: the worth in truth bends.

    It must not be further off than an eighth of what the two yields around it differ by: it bends most where the herd
    has enough in the years that frost spares.
    """
    for price in (230.0, 280.0, 350.0):
        farm = farms.demo("reference").but({"hay_price_entry": (price,)})
        found, worths = farm.one("break_even_yield"), farm["yields.worth"]
        assert farm.one("break_even_yield_word") == "yes, read between those tried"
        above = next(place for place, each in enumerate(worths) if each >= 0)
        assert YIELDS[above - 1] < found <= YIELDS[above]
        left = bearing(farm, found)["returns.worth_own"][USUAL_PLACE]
        apart = worths[above] - worths[above - 1]
        print(f"\nhay at {price:.0f} $: pods of {found:.0%}, worth {left:.0f} $ of {apart:.0f}")
        assert abs(left) <= apart / 8


@ENGINES
def test_a_planting_that_never_pays_says_so_without_an_error(farms: Farms, engine: str) -> None:
    farm = farms.demo(engine).but({"hay_price_entry": (20.0,), "fence_length_entry": (5000.0,)})
    for case in PLACES:
        assert sum(plan(farm, case, "flow")) < 0
        assert farm["returns.irr"][case] == farm["returns.payback"][case] == farm["returns.payback_later"][case] == 0
        assert farm["returns.irr_word"][case] == "never earned back"
        assert farm["returns.payback_word"][case] == farm["returns.payback_later_word"][case] == "not in 40 years"
    assert farm.one("break_even_yield") == 0
    assert farm.one("break_even_yield_word") == "not up to 300 %"
    assert not [key for key, column in farm.values.items() if any(isinstance(each, Fault) for each in column)]


class Typed:
    """The workbook with cash flows typed over those of the usual case."""

    def __init__(self, live: Live) -> None:
        self.live = live

    def results(self, flows: list[float], rate: float = 0.05) -> dict[str, Any]:
        """Return what the sheet says of the usual case; years that are not given hold 0."""
        live = self.live
        spots = [live.address((f"plan_{USUAL}.flow", item)) for item in range(FLOWS)]
        own = live.address(("own_rate_entry", 0))
        for address, flow in zip(spots, [*flows, *[0.0] * (FLOWS - len(flows))], strict=True):
            live.put(address, float(flow))
        live.put(own, rate)
        values = live.read()
        for address in (*spots, own):
            live.restore(address)
        named = (node for node in live.book.worked if node.table == "returns")
        return {node.key.partition(".")[2]: values[live.address((node.key, USUAL_PLACE))] for node in named}


@pytest.fixture(scope="module")
def typed(demo: Path) -> Typed:
    return Typed(Live(demo))


SLOW = [-1500, -100, -50, -50, -50, 0, 0, 0, *range(40, 281, 40), *[300] * 16]


# By a plain loop over its 31 years 990.286837 $ at 4 %, and by halving a rate of 6.58341144 %; the years after hold 0.
def test_a_slow_planting_in_the_workbook(typed: Typed) -> None:
    found = typed.results(SLOW, rate=0.04)
    assert found["worth_own"] == pytest.approx(990.286837, abs=5e-7)
    assert found["irr"] == pytest.approx(0.0658341144, abs=5e-11)
    assert found["irr_word"] == "one rate"
    assert found["total"] == sum(SLOW)


# The pump has rates of 25 % and 400 %: neither is the rate. Sold for 8,000 $ at the end it earns in all, and has two
# rates again: at 0 it is worth 400, at 20 % 1,178, at 1,000 % -757 $.
@pytest.mark.parametrize(
    ("flows", "word"),
    [
        ([-1600, 10000, -10000], "never earned back"),
        ([-1600, 10000, -8000], "spends again later"),
        ([-100] * FLOWS, "never earned back"),
        ([0] * FLOWS, "never earned back"),
        ([100] * FLOWS, "see the flows"),
        ([0, 0, 50, -10, 0, 5], "spends again later"),
        ([-10, 100], "see the flows"),
        ([100, -20], "spends again later"),
    ],
)
def test_flows_without_just_one_rate_show_none(typed: Typed, flows: list[float], word: str) -> None:
    """A rate of 900 % is one too, but beyond what is looked for."""
    found = typed.results(flows)
    assert found["irr"] == found["irr_stands"] == found["too_good"] == 0
    assert found["irr_word"] == word
    assert found["worth_own"] == pytest.approx(worth(flows, 0.05), abs=1e-9)
    assert not [name for name, each in found.items() if isinstance(each, Fault)]


# By hand: after four years 210 of 250 are back, the fifth and sixth bring 30 each: 5 + 10/30. At no interest the same.
def test_payback_by_hand_in_the_workbook(typed: Typed) -> None:
    found = typed.results([-250, 60, 50, 50, 50, 30, 30, 30, 30], rate=0.0)
    assert found["payback"] == pytest.approx(5 + 1 / 3)
    assert found["payback_later"] == pytest.approx(5 + 1 / 3)


def test_a_rate_above_all_that_was_published_is_marked(typed: Typed) -> None:
    found = typed.results([-100, 0, 200])
    assert found["irr"] == pytest.approx(2**0.5 - 1)
    assert (found["irr_word"], found["too_good"]) == ("LOOK: above 25 %", 1)


@pytest.mark.parametrize("year", [0, 5, 40])
def test_a_year_left_blank_is_noticed(demo: Path, tmp_path: Path, year: int) -> None:
    """NPV and IRR pass over a blank, and all that follows would come a year too early."""
    found = Live(demo)
    sheet, cell = found.address((f"plan_{USUAL}.flow", year))
    workbook = load_workbook(demo)
    workbook[sheet][cell].value = None
    workbook.save(tmp_path / "blank.xlsx")
    verdict = verify(tmp_path / "blank.xlsx", (DEFAULT,))
    assert not verdict.agrees
    first = verdict.comparisons[0].disagreements[0]
    assert (first.sheet, first.cell, first.what) == (sheet, cell, "a formula was cleared")


def orders(farm: Farm) -> None:
    setting = farm.one("guard_cost") + farm.one("planting_minutes") / 60 * farm.one("wage")
    trees = again = 0.0
    for kind in range(6):
        planted, more, male = (farm[f"order.{each}"][kind] for each in ("planted", "again", "pollinators"))
        share = farm.one("trees_planted") * farm["mix.share_used"][kind]
        lost = planted * farm.one("establishment_loss") * farm.one("replanted_share")
        for whole, part in ((planted, share), (more, lost)):
            assert whole == round(whole)
            assert at_most(part, whole)
            assert whole - part < 1
        assert male == round(male)
        assert male <= planted
        if farm["types.grafted"][kind]:
            assert at_most(planted * farm.one("pollinator_share"), male)
        else:
            assert male == 0
        trees += planted * (farm["order.price_used"][kind] + setting)
        again += more * (farm["order.price_used"][kind] + setting)
    ground = farm.one("area") * farm.one("site_cost")
    fence = farm.one("fence_length") * farm.one("fence_price")
    assert near(farm.one("establishment_cost"), trees + ground + fence)
    assert near(farm.one("replanting_cost"), again)
    assert near(plan(farm, USUAL_PLACE, "cost")[0], farm.one("establishment_cost"))
    assert near(farm["cases.replanting"][USUAL_PLACE], again)


@ENGINES
@OF_VARIANTS
def test_trees_to_order_and_the_first_year_add_up(farms: Farms, engine: str, variant: str) -> None:
    farm = farms.demo(engine).but(VARIANTS[variant])
    assert sum(farm["order.pollinators"]) > 0
    orders(farm)


@pytest.mark.parametrize("seed", range(400, 412))
def test_trees_to_order_of_a_random_farm_add_up(farms: Farms, seed: int) -> None:
    """With the usual case as it should be."""
    drawn = {key: column for key, column in Draw(farms.live, seed).entries().items() if not key.startswith("cases.")}
    orders(farms.demo("reference").but(drawn))


def test_both_engines_were_asked_the_same(farms: Farms) -> None:
    """A farm by the reference functions and the same in the workbook: what the tests above rely on."""
    by, within = (farms.demo(engine).but(VARIANTS["busy"]) for engine in ("reference", "workbook"))
    for key in ("returns.worth_own", "returns.irr", "returns.payback", f"plan_{USUAL}.flow"):
        assert all(differs(a, b, spent(by)) is not None for a, b in zip(within[key], by[key], strict=True))
