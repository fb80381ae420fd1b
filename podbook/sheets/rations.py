"""What each group eats, month by month: with pods, and the same winter without them."""

from __future__ import annotations

from collections.abc import Callable

from podbook.book.model import Sheet, Table
from podbook.book.node import Node, Ref, by, worked
from podbook.inputs.filled import GROUPS
from podbook.reference import book, picks, savings, winter
from podbook.sheets.months import ITEMS
from podbook.sheets.season import COUNT

DRY, ME = "lb_dry", "Mcal"


def sheet() -> Sheet:
    """Return the sheet Rations."""
    return Sheet(
        "Rations",
        "Pods up to their cap, then the stockpile, then hay; a protein supplement where protein is short. By group and month.",
        (_reached(), *(_ration(number) for number in range(1, len(GROUPS) + 1))),
        label_width=36,
    )


def _reached() -> Table:
    def row(name: str, label: str, unit: str, formula: str, ref: Ref, look: str) -> Node:
        return worked(f"served.{name}", label, unit, formula, ref, size=len(GROUPS), look=look)

    return Table(
        "served",
        "What each group reaches of the pods",
        GROUPS,
        (
            row("label", "Kind", "text", '=IF({groups.in_order}=1,{groups.kind},"-")',
                by(book.same, when="groups.in_order", otherwise="-", value="groups.kind"), "0"),
            row("pod_me", "Energy in pods", "Mcal/lb_dry", "=IF({groups.in_order}=0,0,INDEX(reach_me,{groups.species})*kg_per_weight)",
                by(picks.scaled_item, when="groups.in_order", values="reach.me*", position="groups.species", factor="kg_per_weight"), "0.000"),
            row("pod_cp", "Protein in pods", "percent", "=IF({groups.in_order}=0,0,INDEX(reach_cp,{groups.species}))",
                by(picks.item, when="groups.in_order", values="reach.cp*", position="groups.species"), "0.0"),
        ),
    )  # fmt: skip


def _ration(number: int) -> Table:
    need, pod_me, pod_cp = f"need_{number}", f"served.pod_me@{number}", f"served.pod_cp@{number}"

    def row(name: str, label: str, unit: str, formula: str, ref: Ref, look: str = "#,##0", headline: bool = False,
            scale: str = "") -> Node:  # fmt: skip
        text = formula.replace("NEED", need).replace("@K}", f"@{number}}}")
        return worked(f"ration_{number}.{name}", label, unit, text, ref, size=COUNT, look=look, headline=headline, scale=scale)

    rows = [
        row("label", "Month", "text", "={months.label}", by(book.same, value="months.label"), "0"),
        row("me_need", "Energy needed", ME, "={NEED.head_days}*{NEED.need_me}", by(book.product, a=f"{need}.head_days", b=f"{need}.need_me")),
        row("cp_need", "Protein needed", DRY, "={NEED.head_days}*{NEED.need_cp}/kg_per_weight",
            by(savings.pounds, head_days=f"{need}.head_days", daily=f"{need}.need_cp")),
        row("room", "Most they can eat", DRY, "={NEED.head_days}*{NEED.eats}/kg_per_weight",
            by(savings.pounds, head_days=f"{need}.head_days", daily=f"{need}.eats")),
        row("wish", "Pods they may eat", DRY,
            "=MIN({room}*{months.pod_share},{months.pod_share}*{me_need}/({winter.best_me}*(1-{months.pod_share})+{months.pod_share}*{served.pod_me@K}))",
            by(winter.pods_wish, cap="months.pod_share", need="me_need", pod_me=pod_me, best_me="winter.best_me")),
        row("pods", "Pods they eat", DRY, "={wish}*{winter.pods_share}", by(book.product, a="wish", b="winter.pods_share"), headline=True),
        row("pods_me", "Energy from pods", ME, "={pods}*{served.pod_me@K}", by(savings.energy_from, dry="pods", me=pod_me)),
        row("pods_cp", "Protein from pods", DRY, "={pods}*{served.pod_cp@K}/100", by(savings.protein_from, dry="pods", cp=pod_cp)),
        *_side(row, "with", "With pods", "pods_me", "pods_cp", "pods"),
        *_side(row, "without", "Without", "", "", ""),
    ]  # fmt: skip
    return Table(f"ration_{number}", f"Group {number}", ITEMS, tuple(rows))


def _side(row: Callable[..., Node], which: str, words: str, pods_me: str, pods_cp: str, pods: str) -> list[Node]:
    """Return one winter's rows: what is missing, and what fills it."""
    gap, ask, grass, hay, short, extra, uneaten = (
        f"{field}_{which}" for field in ("gap", "ask", "grass", "hay", "short", "extra", "uneaten")
    )

    def add(name: str, label: str, unit: str, formula: str, ref: Ref, look: str = "#,##0", scale: str = "") -> Node:
        return row(name, f"{words}: {label}", unit, formula, ref, look, scale=scale)

    minus_me, minus_dry = (f"-{{{each}}}" if each else "" for each in (pods_me, pods))
    plus_cp, plus_dry = (f"{{{each}}}+" if each else "" for each in (pods_cp, pods))
    eaten = tuple(each for each in (pods, grass, hay, extra) if each)
    return [
        add(gap, "energy still missing", ME, f"=MAX(0,{{me_need}}{minus_me})", by(savings.gap, need="me_need", supplied=pods_me or 0)),
        add(ask, "stockpile they would graze", DRY,
            f"=IF({{winter.grass_me}}=0,0,MIN({{{gap}}}/{{winter.grass_me}},MAX(0,{{room}}{minus_dry})))",
            by(winter.grass_wish, gap=gap, grass_me="winter.grass_me", eaten=pods or 0)),
        add(grass, "stockpile they graze", DRY, f"={{{ask}}}*{{winter.grass_share_{which}}}",
            by(book.product, a=ask, b=f"winter.grass_share_{which}")),
        add(hay, "hay they eat", DRY, f"=MAX(0,{{{gap}}}-{{{grass}}}*{{winter.grass_me}})/(hay_me*kg_per_weight)",
            by(winter.hay_for, gap=gap, grass=grass, grass_me="winter.grass_me"), scale="room"),
        add(short, "protein short", DRY,
            f"=MAX(0,{{cp_need}}-({plus_cp}{{{grass}}}*{{months.grass_cp_used}}/100+{{{hay}}}*hay_cp/100))",
            by(winter.protein_missing, need="cp_need", pods_cp=pods_cp or 0, grass=grass, grass_cp="months.grass_cp_used", hay=hay), scale="cp_need"),
        add(extra, "supplement they eat", DRY, f"={{{short}}}/(supplement_cp/100)",
            by(savings.supplement_fed, protein_gap=short, supplement_cp="supplement_cp"), scale="room"),
        add(uneaten, "more than they can eat", "flag", f"=IF({plus_dry}{{{grass}}}+{{{hay}}}+{{{extra}}}>{{room}}*(1+rounding),1,0)",
            by(winter.cannot_eat, feeds=eaten), "0"),
        add(f"leans_{which}", "leans on the supplement", "flag", f"=IF({{{extra}}}>most_supplement*{{room}},1,0)",
            by(winter.leans_on_supplement, extra=extra), "0"),
    ]  # fmt: skip
