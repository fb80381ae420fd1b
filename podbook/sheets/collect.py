"""Leave pods to the stock, or collect and grind them? Four ways side by side, through this winter and this herd."""

from __future__ import annotations

from podbook.book.model import Entries, Entry, Prose, Sheet, Single, Table
from podbook.book.node import Node, Ref, by, fixed_field, worked
from podbook.reference import book, collecting, feeds
from podbook.regions import Region
from podbook.sheets.farm import STOCK
from podbook.sheets.regional import regional
from podbook.sheets.ways import WAYS, in_all, months_of, workings

PER_TON = "USD/short_ton_fed"
LEFT, GROUND, HAND = 1, 3, 4
"""Places of the ways."""


def sheet(region: Region) -> Sheet:
    """Return the sheet Collect."""
    return Sheet(
        "Collect",
        "Leave pods to the stock, or collect and grind them?",
        (_results(), _cautions(), _entries(region), _ways(), _reached(), *workings()),
        printed=5,
    )


def _results() -> Single:
    return Single(
        "Leave or collect",
        (
            worked("collect_verdict", "Worth most after its cost", "text",
                   '=CHOOSE(MATCH(MAX(ways_net),ways_net,0),"leave them to the stock","collect, feed whole","collect and grind","pick by hand and grind")',
                   by(collecting.verdict, net="ways.net*"), headline=True),
            worked("collect_break_even", "Break-even cost, collected and ground", PER_TON,
                   f"=IF(INDEX(ways_gathered,{GROUND})=0,0,(INDEX(ways_worth,{GROUND})-INDEX(ways_worth,{LEFT}))/INDEX(ways_gathered,{GROUND}))",
                   by(collecting.break_even_cost, worth_collected=f"ways.worth@{GROUND}", worth_left=f"ways.worth@{LEFT}",
                      gathered=f"ways.gathered@{GROUND}"), headline=True,
                   note="A ton collected. Below 0: not worth it even for nothing."),
            worked("collect_cost_now", "It costs, as filled in below", PER_TON, f"=INDEX(ways_cost,{GROUND})",
                   by(book.same, value=f"ways.cost@{GROUND}"), note="A ton collected and ground."),
            worked("collect_cost_eaten", "Cost of a ton that is eaten, for the sheet Farm", PER_TON, f"=INDEX(ways_cost_eaten,{GROUND})",
                   by(book.same, value=f"ways.cost_eaten@{GROUND}"), headline=True,
                   note="If you collect and grind: it bears what spoils and what is left over, too."),
            worked("collect_gain", "Gained by collecting and grinding, whole stand", "USD", f"=INDEX(ways_gain,{GROUND})*drop_tons",
                   by(book.product, a=f"ways.gain@{GROUND}", b="drop_tons"), look="#,##0", note="Below 0: lost, against leaving them to the stock."),
            worked("hand_trap", "Picking up by hand", "text",
                   f'=IF(INDEX(ways_per_me,{HAND})=0,"-",IF(INDEX(ways_per_me,{HAND})>hay_cost_per_me,"LOOK: dearer than hay","no dearer than hay"))',
                   by(collecting.word_on_picking, per_me=f"ways.per_me@{HAND}")),
        ),
    )  # fmt: skip


def _cautions() -> Prose:
    return Prose(
        "Before you collect",
        (
            "Machines take hands and lungs: guards on, dust masks, no one alone at the grinder. Pod dust burns; keep sparks away.",
            "Pods stored damp heat and mould: dry them until they snap, store them under a roof, and throw out what is mouldy.",
            "Ground pods are eaten faster than pods picked up one by one: step up over two to three weeks, hay first, never free choice.",
            "Worth counts the energy that your herd eats this winter: within its caps, less what spoils meanwhile, at the price of energy in hay. Protein has no price.",
        ),
    )  # fmt: skip


def _entries(region: Region) -> Entries:
    hours, rate = "hour/short_ton_fed", "USD/hour"
    return Entries(
        "collecting",
        "Collecting, storing, grinding",
        (
            regional(region, "wage", "Wage", rate, 0, 200, help="What an hour of work costs you, or is worth to you."),
            Entry("share_collected", "Share that a machine collects", "fraction", 0.6, 0, 1, look="0%",
                  place="of the pods that wildlife leaves; no figure read; rough grass leaves more behind",
                  help="Not the fee: contract pecan harvesters keep 50 to 70 % of the crop as their pay (Harper)."),
            Entry("share_picked", "Share that is picked up by hand", "fraction", 0.9, 0, 1, look="0%", place="of the pods that wildlife leaves"),
            Entry("missed_found", "Missed pods: found as well as pods left alone", "fraction", 0.5, 0, 1, look="0%",
                  place="1 as well as pods left alone; 0 not at all",
                  help="Pods that collecting leaves behind. It weighs heavily on the answer."),
            Entry("labour_hours", "Work to collect a ton by machine", hours, 2, 0, 100, look="0.0"),
            Entry("machine_hours", "Machine hours to collect a ton", hours, 1.5, 0, 100, look="0.0"),
            Entry("machine_rate", "Tractor and collecting machine", rate, 40, 0, 1000),
            Entry("drying_cost", "Drying a ton collected", PER_TON, 5, 0, 300, help="Turning and spreading under a roof; more with fuel."),
            Entry("shed_cost", "Storing a ton collected", PER_TON, 8, 0, 300, place="5 to 10 $ a ton and year of shed room", mark="from memory"),
            Entry("grinder_rate", "Hired grinder", rate, 450, 0, 2000, source="tub-grinding-quote", place="a quote for hay", mark="published"),
            Entry("grinder_output", "What it grinds", "short_ton_fed/hour", 33, 0.5, 200, look="0.0", source="tub-grinding-quote",
                  place="55 bales of 1,200 lb; pods: none read", mark="derived"),
            Entry("grinder_travel", "Its travel, all visits together", "USD", 250, 0, 10000, look="#,##0", source="tub-grinding-quote",
                  place="250 $ for an hour on the road", mark="published", help="Zero for a mill of your own; put its hours in the rate."),
            Entry("day_weight", "Picked up by hand in a day", "lb_fed/day", 500, 50, 5000, look="#,##0", source="harper-walnut",
                  place="walnuts, at most; pods: none read", mark="published"),
            Entry("day_hours", "Hours of that day", "hour/day", 8, 1, 16, look="0.0", source="harper-walnut", place="8-hour day", mark="published"),
        ),
    )  # fmt: skip


def _row(name: str, label: str, unit: str, formula: str, ref: Ref, look: str = "0.00", headline: bool = False) -> Node:
    return worked(f"ways.{name}", label, unit, formula, ref, size=len(WAYS), look=look, headline=headline)


def _ways() -> Table:
    costs = ("labour", "machinery", "picking", "drying", "storing", "grinding")
    rows = (
        fixed_field("ways.machine", "Collected by machine", "flag", (0.0, 1.0, 1.0, 0.0), look="0"),
        fixed_field("ways.hand", "Picked up by hand", "flag", (0.0, 0.0, 0.0, 1.0), look="0"),
        fixed_field("ways.ground", "Ground", "flag", (0.0, 0.0, 1.0, 1.0), look="0"),
        _row("collected", "Collected, of the pods that wildlife leaves", "fraction", "={machine}*share_collected+{hand}*share_picked",
             by(collecting.share_gathered), "0%"),
        _row("gathered", "Collected, of all that drop", "fraction", "=(1-wildlife_loss)*{collected}", by(collecting.share_of_drop), "0%"),
        _row("found", "Found by the stock, of the pods that wildlife leaves", "fraction", "=(1-{collected})*(1-never_picked)*IF({collected}=0,1,missed_found)",
             by(collecting.share_found), "0%"),
        _row("eaten", "Eaten by this herd this winter, of all that drop", "fraction", f"=IF(pod_crop=0,0,({in_all('taken')}+{in_all('drawn')})/pod_crop)",
             by(book.sum_over, values=(*months_of("taken"), *months_of("drawn")), whole="pod_crop"), "0%", True),
        _row("tons", "Collected from the whole stand", "short_ton_fed", "={gathered}*drop_tons", by(book.product, a="gathered", b="drop_tons"), "0.0"),
        _row("tons_eaten", "Of these eaten", "short_ton_fed", f"=IF(ton_dry=0,0,{in_all('drawn')}/ton_dry)",
             by(book.sum_over, values=months_of("drawn"), whole="ton_dry"), "0.0"),
        _row("labour", "Work, a ton collected", PER_TON, "=IF({machine}=0,0,labour_hours*wage)",
             by(collecting.hours_cost, when="machine", hours="labour_hours", rate="wage")),
        _row("machinery", "Machine, a ton collected", PER_TON, "=IF({machine}=0,0,machine_hours*machine_rate)",
             by(collecting.hours_cost, when="machine", hours="machine_hours", rate="machine_rate")),
        _row("picking", "Picking by hand, a ton collected", PER_TON, "=IF({hand}=0,0,wage*day_hours/day_weight*weight_per_ton)",
             by(feeds.hand_picking_cost, when="hand")),
        _row("drying", "Drying, a ton collected", PER_TON, "=IF({collected}=0,0,drying_cost)", by(book.same, when="collected", value="drying_cost")),
        _row("storing", "Storing, a ton collected", PER_TON, "=IF({collected}=0,0,shed_cost)", by(book.same, when="collected", value="shed_cost")),
        _row("grinding", "Grinding, a ton collected", PER_TON,
             "=IF({ground}=0,0,grinder_rate/grinder_output+IF({tons}=0,0,grinder_travel/{tons}))", by(collecting.grinding_cost, when="ground")),
        _row("cost", "Cost of a ton collected", PER_TON, f"={'+'.join(f'{{{each}}}' for each in costs)}", by(book.total, values=costs), headline=True),
        _row("store_me", "Energy reached, of a ton collected", "Mcal/short_ton_fed",
             "=IF({collected}=0,0,ton_dry*kg_per_weight*IF({ground}=1,reached_me_ground,reached_me_whole))",
             by(collecting.energy_of_ton, when="collected"), "#,##0"),
        _row("store_cp", "Protein reached, of a ton collected", "lb_dry/short_ton_fed",
             "=IF({collected}=0,0,ton_dry*IF({ground}=1,reached_cp_ground,reached_cp_whole)/100)",
             by(collecting.protein_of_ton, when="collected"), "#,##0"),
        _row("per_me", "Cost of a megacalorie collected and reached", "USD/Mcal", "=IF({store_me}=0,0,{cost}/{store_me})",
             by(collecting.cost_per_reached, reached="store_me"), "0.0000"),
        _row("per_cp", "Cost of a pound of protein collected and reached", "USD/lb_dry", "=IF({store_cp}=0,0,{cost}/{store_cp})",
             by(collecting.cost_per_reached, reached="store_cp"), "0.000"),
        _row("cost_eaten", "Cost of a ton eaten out of the store", PER_TON, "=IF({tons_eaten}=0,0,{cost}*{tons}/{tons_eaten})",
             by(collecting.cost_of_ton_eaten, eaten="tons_eaten")),
        _row("energy", "Energy the herd reaches, of a ton that drops", "Mcal/short_ton_fed", f"=IF(drop_tons=0,0,{in_all('energy')}/drop_tons)",
             by(book.sum_over, values=months_of("energy"), whole="drop_tons"), "#,##0", True),
        _row("protein", "Protein the herd reaches, of a ton that drops", "lb_dry/short_ton_fed", f"=IF(drop_tons=0,0,{in_all('protein')}/drop_tons)",
             by(book.sum_over, values=months_of("protein"), whole="drop_tons"), "#,##0", True),
        _row("cost_drop", "Cost, a ton that drops", PER_TON, "={cost}*{gathered}", by(collecting.cost_of_drop)),
        _row("worth", "Worth in hay of the energy, a ton that drops", PER_TON, "={energy}*hay_cost_per_me", by(collecting.worth_in_hay)),
        _row("net", "Worth after its cost, a ton that drops", PER_TON, "={worth}-{cost_drop}", by(book.difference, a="worth", b="cost_drop"), headline=True),
        _row("gain", "Gained over leaving, a ton that drops", PER_TON, f"={{net}}-{{net@{LEFT}}}", by(book.difference, a="net", b=f"net@{LEFT}")),
    )  # fmt: skip
    return Table("ways", "A ton of pods, four ways", WAYS, rows)


def _reached() -> Single:
    def reached(content: str, form: str, label: str, unit: str, look: str) -> Node:
        each = {stock: f"lab.{content}_{stock}_{form}" for stock in STOCK}
        sums = ",".join(f"SUMPRODUCT(offer_share,{key.replace('.', '_')})" for key in each.values())
        return worked(f"reached_{content}_{form}", label, unit, f"=CHOOSE(stock_row,{sums})",
                      by(collecting.reached_of_mix, shares="offer.share*", **{stock: f"{key}*" for stock, key in each.items()}), look=look)  # fmt: skip

    me, cp = ("Mcal/kg_dry", "0.000"), ("percent", "0.0")
    return Single(
        "This winter's pods, and what the kind of stock chosen on the sheet Farm reaches of them",
        (
            worked("ton_dry", "Dry matter of a ton as picked", "lb_dry/short_ton_fed", "=pods_dry_matter*weight_per_ton",
                   by(collecting.dry_of_ton, dry_matter="pods_dry_matter"), look="#,##0"),
            worked("drop_tons", "Pods that drop on the whole stand, as picked", "short_ton_fed", "=IF(ton_dry=0,0,area*SUM(offer_dry)/ton_dry)",
                   by(collecting.tons_dropped, dry="offer.dry*"), look="0.0"),
            reached("me", "whole", "Energy (ME) reached, pods whole", *me),
            reached("me", "ground", "Energy (ME) reached, pods ground", *me),
            reached("cp", "whole", "Crude protein reached, pods whole", *cp),
            reached("cp", "ground", "Crude protein reached, pods ground", *cp),
        ),
    )  # fmt: skip
