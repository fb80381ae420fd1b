"""Leave or collect: the winter's pods followed month by month, four ways. Workings of the sheet Collect."""

from __future__ import annotations

from podbook.book.model import Table
from podbook.book.node import Node, Ref, by, worked
from podbook.inputs.filled import GROUPS
from podbook.reference import book, collecting, picks, winter
from podbook.reference.contract import Reference
from podbook.sheets.farm import STOCK
from podbook.sheets.months import ITEMS
from podbook.sheets.season import COUNT

WAYS = ("Left to stock", "Collected whole", "Collected and ground", "Picked by hand and ground")
DRY, ME = "lb_dry", "Mcal"
MONTHS = range(1, COUNT + 1)
HERD = range(1, len(GROUPS) + 1)
FORMS = ("whole", "ground")


def in_all(field: str) -> str:
    """Return the sum of a field over the months of a way, as typed."""
    return "(" + "+".join(f"{{way_{number}.{field}}}" for number in MONTHS) + ")"


def months_of(field: str) -> tuple[str, ...]:
    """Return a field of all the months."""
    return tuple(f"way_{number}.{field}" for number in MONTHS)


def workings() -> tuple[Table, ...]:
    """Return what each group reaches and may eat, whole and ground, and the months of the four ways."""
    return (_reached(), _wishes(), *(_month(number) for number in MONTHS))


def _reached() -> Table:
    def row(form: str, content: str, label: str, unit: str, function: Reference, per: str, look: str) -> Node:
        each = {stock: f"lab.{content}_{stock}_{form}" for stock in STOCK}
        sums = ",".join(f"SUMPRODUCT(offer_share,{key.replace('.', '_')})" for key in each.values())
        return worked(f"ways_reach.{content}_{form}", label, unit, f"=IF({{groups.in_order}}=0,0,CHOOSE({{groups.species}},{sums}){per})",
                      by(function, when="groups.in_order", stock_row="groups.species", shares="offer.share*",
                         **{stock: f"{key}*" for stock, key in each.items()}), size=len(GROUPS), look=look)  # fmt: skip

    return Table(
        "ways_reach",
        "What each group reaches of this winter's pods",
        GROUPS,
        tuple(
            row(form, content, f"{label}, pods {form}", unit, function, per, look)
            for form in FORMS
            for content, label, unit, function, per, look in (
                ("me", "Energy", "Mcal/lb_dry", collecting.energy_of_mix, "*kg_per_weight", "0.000"),
                ("cp", "Protein", "percent", collecting.reached_of_mix, "", "0.0"),
            )
        ),
    )


def _wishes() -> Table:
    def row(name: str, label: str, unit: str, formula: str, ref: Ref) -> Node:
        return worked(f"ways_wish.{name}", label, unit, formula, ref, size=COUNT, look="#,##0")

    def of_form(form: str) -> list[Node]:
        wishes = tuple(f"{form}_{group}" for group in HERD)
        added = "+".join(f"{{{each}}}*{{ways_reach.me_{form}@{group}}}" for group, each in zip(HERD, wishes, strict=True))
        protein = "+".join(f"{{{each}}}*{{ways_reach.cp_{form}@{group}}}" for group, each in zip(HERD, wishes, strict=True))

        def wish(group: int) -> Node:
            cap, need, pod = "{months.pod_share}", f"{{ration_{group}.me_need}}", f"{{ways_reach.me_{form}@{group}}}"
            return row(
                f"{form}_{group}", f"Pods {form}: that group {group} may eat", DRY,
                f"=MIN({{ration_{group}.room}}*{cap},{cap}*{need}/({{winter.best_me}}*(1-{cap})+{cap}*{pod}))",
                by(winter.pods_wish, room=f"ration_{group}.room", cap="months.pod_share", need=f"ration_{group}.me_need",
                   pod_me=f"ways_reach.me_{form}@{group}", best_me="winter.best_me"),
            )  # fmt: skip

        return [
            *(wish(group) for group in HERD),
            row(form, f"Pods {form}: that the herd may eat", DRY, f"=SUM({{{wishes[0]}}}:{{{wishes[-1]}}})", by(book.total, values=wishes)),
            row(f"me_{form}", "Energy in them", ME, f"={added}",
                by(book.sum_of_products, values=wishes, weights=f"ways_reach.me_{form}*")),
            row(f"cp_{form}", "Protein in them", DRY, f"=({protein})/100",
                by(collecting.protein_of_wish, wishes=wishes, percents=f"ways_reach.cp_{form}*")),
        ]  # fmt: skip

    label = worked("ways_wish.label", "Month", "text", "={months.label}", by(book.same, value="months.label"), size=COUNT, look="0")
    return Table("ways_wish", "What the herd may eat of them, by form", ITEMS, (label, *(node for form in FORMS for node in of_form(form))))


def _month(number: int) -> Table:
    """Return one month of the winter, the four ways side by side."""
    last = f"way_{number - 1}"

    def row(name: str, label: str, unit: str, formula: str, ref: Ref, look: str = "#,##0", scale: str = "") -> Node:
        return worked(f"way_{number}.{name}", label, unit, formula.replace("@M", f"@{number}"), ref, size=len(WAYS), look=look, scale=scale)

    def offer(name: str, label: str, left: str, share: str, loss: str, loss_key: str) -> Node:
        before = f"{{{last}.{left}}}" if number > 1 else "0"
        return row(name, label, DRY, f"=({before}+pod_crop*{{months.drop_used@M}}*(1-wildlife_loss)*{{{share}}})*(1-{loss})",
                   by(collecting.lying, left=f"{last}.{left}" if number > 1 else 0, crop="pod_crop", drop=f"months.drop_used@{number}",
                      share=share, loss=loss_key), scale="pod_crop")  # fmt: skip

    def eaten(name: str, label: str, unit: str, content: str) -> Node:
        whole, milled = (f"ways_wish.{content}_{form}@{number}" for form in FORMS)
        return row(name, label, unit, f"={{share}}*{{{whole}}}+{{store_share}}*IF({{ways.ground}}=1,{{{milled}}},{{{whole}}})",
                   by(collecting.content_eaten, ground="ways.ground", whole=whole, milled=milled))  # fmt: skip

    whole, milled = f"ways_wish.whole@{number}", f"ways_wish.ground@{number}"
    rows = (
        offer("offer", "Pods on the ground, on offer", "left", "ways.found", "{months.ground_loss_used@M}", f"months.ground_loss_used@{number}"),
        row("taken", "Eaten off the ground", DRY, f"=MIN({{offer}},{{{whole}}})", by(winter.taken, offered="offer", wanted=whole)),
        row("share", "Share of all that they may eat whole", "fraction", f"=IF({{{whole}}}=0,0,{{taken}}/{{{whole}}})",
            by(book.quotient, a="taken", b=whole), "0%"),
        row("left", "Left on the ground", DRY, "={offer}-{taken}", by(book.difference, a="offer", b="taken"), scale="pod_crop"),
        offer("stored", "Pods in store, on offer", "store_left", "ways.collected", "stored_loss", "stored_loss"),
        row("wish", "Pods that they may eat, in the form stored", DRY, f"=IF({{ways.ground}}=1,{{{milled}}},{{{whole}}})",
            by(picks.one_of_two, flag="ways.ground", yes=milled, no=whole)),
        row("drawn", "Eaten out of the store", DRY, "=MIN({stored},(1-{share})*{wish})", by(collecting.drawn), scale="wish"),
        row("store_share", "Share of all that they may eat in that form", "fraction", "=IF({wish}=0,0,{drawn}/{wish})",
            by(book.quotient, a="drawn", b="wish"), "0%"),
        row("store_left", "Left in store", DRY, "={stored}-{drawn}", by(book.difference, a="stored", b="drawn"), scale="pod_crop"),
        eaten("energy", "Energy reached", ME, "me"),
        eaten("protein", "Protein reached", DRY, "cp"),
    )  # fmt: skip
    return Table(f"way_{number}", f"Month {number}, four ways", WAYS, rows)
