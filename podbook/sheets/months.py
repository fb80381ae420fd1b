"""The winter's months, as the farm fills them in: days of feeding, temperature, pods that drop, the stockpile's quality."""

from __future__ import annotations

from podbook.book.model import Table
from podbook.book.node import Node, Ref, by, entry_field, worked
from podbook.reference import book, cattle, cold, gates, stages
from podbook.regions import Region
from podbook.sheets.ranges import in_range, within
from podbook.sheets.season import COUNT, months

ITEMS = tuple(f"Month {number}" for number in range(1, COUNT + 1))
NUMBERS = ("days", "temperature", "drop", "ground_loss", "grass_tdn", "grass_cp")
FALL_TDN, FALL_CP = 3.0, 0.5
"""How much the stockpile's TDN and protein fall in a month: a smooth line through trial means, judgement."""


def table(region: Region) -> Table:
    """Return the table of the months."""
    defaults = months(region)
    middle = next((place for place, month in enumerate(defaults) if month.days), 0) + 1
    tdn = tuple(min(70.0, max(48.0, region["stockpile_tdn"] + FALL_TDN * (middle - place))) for place in range(COUNT))
    cp = tuple(max(5.0, region["stockpile_cp"] + FALL_CP * (middle - place)) for place in range(COUNT))
    entries = (
        entry_field("months.name", "Month", "text", tuple(month.name for month in defaults)),
        entry_field("months.days", "Days on which stock are fed", "day", tuple(month.days for month in defaults), 0, 31, look="0",
                    note="Zero before feeding begins and after it ends. After a break pods are stepped up again."),
        entry_field("months.temperature", "Mean temperature", "degF", tuple(month.temperature for month in defaults), -40, 90, look="0.0",
                    note="Mean of day and night, from the nearest weather station."),
        entry_field("months.drop", "Pods that drop, share of the year's", "fraction", tuple(month.drop for month in defaults), 0, 1, look="0%",
                    note="No measured split is known: watch your trees. The shares must add up to 100 %."),
        entry_field("months.ground_loss", "Pods on the ground that spoil in the month", "fraction", (0.1,) * COUNT, 0, 0.9, look="0%",
                    note="More where it is wet. Judgement: 10 to 30 % in all."),
        entry_field("months.grass_tdn", "Stockpile: TDN, of dry matter", "percent", tdn, 38, 80, look="0.0",
                    note="It falls over the winter. The default is a smooth line through trial means: judgement."),
        entry_field("months.grass_cp", "Stockpile: crude protein, of dry matter", "percent", cp, 2, 30, look="0.0"),
    )  # fmt: skip
    return Table(
        "months", "The months, from the first pods on", ITEMS, (*entries, *_used()),
        note="A month with a figure that can't be used counts as one without feeding and without pods.",
    )  # fmt: skip


def _row(
    name: str, label: str, unit: str, formula: str, ref: Ref, look: str = "0.0", first: tuple[str, Ref] | None = None
) -> Node:
    return worked(f"months.{name}", label, unit, formula, ref, size=COUNT, look=look, first=first)


def _used() -> list[Node]:
    def used(name: str, label: str, unit: str, look: str) -> Node:
        return _row(f"{name}_used", f"{label}, as used", unit, f"=IF({{in_order}}=0,0,{{{name}}})",
                    by(book.same, when="in_order", value=name), look)  # fmt: skip

    return [
        _row("label", "Month, as shown", "text", '=IF(ISNUMBER({name}),"-",IF({name}="","-",{name}))', by(gates.word_or_dash, entry="name")),
        _row("in_order", "Usable", "flag",
             f"=IF(COUNT({{days}}:{{grass_cp}})<ROWS({{days}}:{{grass_cp}}),0,IF(AND({within(NUMBERS)}),1,0))", in_range(NUMBERS), "0"),
        _row("state", "In order?", "text", '=IF({in_order}=0,"mend",IF({label}="-","mend","ok"))', by(gates.month_state)),
        used("days", "Days of feeding", "day", "0"),
        used("drop", "Pods that drop", "fraction", "0%"),
        used("ground_loss", "Pods that spoil", "fraction", "0%"),
        used("grass_tdn", "Stockpile: TDN", "percent", "0.0"),
        used("grass_cp", "Stockpile: crude protein", "percent", "0.0"),
        _row("felt", "Temperature that stock feel", "degF", "=IF({in_order}=0,neutral_air,{temperature}-degrees_per_wind*wind)",
             by(cold.effective_temperature, when="in_order", otherwise_from="neutral_air")),
        _row("celsius", "Mean temperature", "degC",
             "=(IF({in_order}=0,neutral_air,{temperature})-freezing_point)*celsius_per_degree",
             by(stages.month_celsius)),
        _row("acclimatisation", "More maintenance for the cold of the month before", "Mcal/kg**0.75/day",
             "=IF(acclimatised=0,0,MAX(0,acclimatisation_slope*(neutral_temperature-{celsius@prev})))",
             by(cattle.acclimatisation, when="acclimatised", previous_temperature="celsius@prev"), "0.0000",
             first=("=IF(acclimatised=0,0,MAX(0,acclimatisation_slope*(neutral_temperature-celsius_before)))",
                    by(cattle.acclimatisation, when="acclimatised", previous_temperature="celsius_before"))),
        _row("start", "Days since feeding began", "day",
             "={start@prev}+IF({start@prev}=0,{days_used@prev},IF({days_used@prev}<shortest_month,days_per_month,{days_used@prev}))",
             by(stages.days_since, start="start@prev", days="days_used@prev"), "0", first=("=0", by(stages.none_before))),
        _row("mid", "Days since feeding began, in its middle", "day", "={start}+{days_used}/2", by(stages.middle, days="days_used")),
        _row("on_end", "Days of feeding on end before it", "day",
             "=IF({days_used@prev}=0,0,IF({on_end@prev}=0,{days_used@prev},IF({days_used@prev}<shortest_month,0,{on_end@prev}+{days_used@prev})))",
             by(stages.days_on_end, on_end="on_end@prev", days="days_used@prev"), "0", first=("=0", by(stages.none_before))),
        _row("share_fed", "Share of it on which stock are fed", "fraction", "=MIN(1,{days_used}/days_per_month)",
             by(stages.share_fed, days="days_used"), "0%"),
        _row("stepping", "Days of it on which pods are stepped up", "day",
             "=MAX(0,MIN({days_used},step_up_weeks*days_per_week-{on_end}))", by(stages.days_stepping, days="days_used"), "0"),
        _row("pod_share", "Most pods in the ration", "fraction",
             "=IF({days_used}=0,0,full_share*(1-(1-step_up_share)*{stepping}/{days_used}))", by(stages.share_in_month, days="days_used"), "0%"),
    ]  # fmt: skip
