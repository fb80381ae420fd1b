"""Pods in the laboratory: each type's sheet, its energy, what stock reach of it, and what a tree is worth."""

from __future__ import annotations

from podbook.book.model import Picture, Sheet, Single, Table
from podbook.book.node import Content, Node, Ref, by, entry_field, worked
from podbook.inputs.filled import TYPES, Filled, padded
from podbook.inputs.lab import LabSheet
from podbook.reference import book, energy, gates, picks, pods
from podbook.sheets.farm import FORMS, STOCK
from podbook.sheets.ranges import in_range, within

COUNT = len(TYPES)
RANGES = {"cp": (1, 60), "ndf": (5, 90), "fat": (0, 30), "ash": (0.5, 25), "sugar": (0, 70), "ndicp": (0, 20), "adicp": (0, 15), "lignin": (0, 30)}
LABELS = {
    "cp": "Crude protein (CP)",
    "ndf": "Fibre (NDF)",
    "fat": "Fat (ether extract)",
    "ash": "Ash",
    "sugar": "Sugar",
    "ndicp": "Fibre-bound protein (NDICP)",
    "adicp": "Acid-fibre-bound protein (ADICP)",
    "lignin": "Lignin",
}
NEEDED = ("cp", "ndf", "fat", "ash")
OPTIONAL = ("ndicp", "adicp", "lignin")


def sheet(filled: Filled) -> Sheet:
    """Return the sheet Pods."""
    return Sheet(
        "Pods",
        "Six lab sheets side by side, as printed; then what they mean for stock.",
        (*_pictures(), _access(), _chosen(), _lab(filled)),
        label_width=43,
    )


def _pictures() -> tuple[Picture, ...]:
    """Return what one tree of each type gives, a chart a measure, side by side."""
    compared = (
        ("crop", "Pods of a tree", "Pods, lb dry", (1, 1)),
        ("sugar_tree", "Sugar of a tree", "Sugar, lb", (2, 4)),
        ("me_tree", "Energy reached, of a tree", "Energy (ME), Mcal", (5, 7)),
        ("cp_tree", "Protein reached, of a tree", "Crude protein, lb", (8, 10)),
    )
    return tuple(
        Picture(title, "lying", "lab.label", ((f"lab.{name}", title),), "Type of tree", unit, columns=columns, beside=columns[0] > 1)
        for name, title, unit, columns in compared
    )


def _access() -> Table:
    return Table(
        "access",
        "How much of the seed's energy and protein stock reach",
        STOCK,
        (
            entry_field("access.whole", "Pods picked up whole", "fraction", (0.1, 0.7, 0.8), 0, 1, look="0%",
                        note="Cattle about a tenth, sheep more: common practice, no source. Most seed passes cattle unbroken."),
            entry_field("access.ground", "Pods ground", "fraction", (0.95, 0.95, 0.95), 0, 1, look="0%",
                        note="Grinding breaks the seed coat."),
            worked("access.whole_used", "Picked up whole, as used", "fraction",
                   "=IF(ISNUMBER({whole}),IF({whole}<{whole:low},0,IF({whole}>{whole:high},0,{whole})),0)",
                   by(book.accepted, entry="whole", low="whole_low", high="whole_high", default=0), size=3, look="0%"),
            worked("access.ground_used", "Ground, as used", "fraction",
                   "=IF(ISNUMBER({ground}),IF({ground}<{ground:low},0,IF({ground}>{ground:high},0,{ground})),0)",
                   by(book.accepted, entry="ground", low="ground_low", high="ground_high", default=0), size=3, look="0%"),
            worked("access.whole_check", "Picked up whole: in order?", "text",
                   '=IF(ISNUMBER({whole}),IF({whole}<{whole:low},"mend",IF({whole}>{whole:high},"mend","ok")),"mend")',
                   by(book.entry_check, entry="whole", low="whole_low", high="whole_high"), size=3),
            worked("access.ground_check", "Ground: in order?", "text",
                   '=IF(ISNUMBER({ground}),IF({ground}<{ground:low},"mend",IF({ground}>{ground:high},"mend","ok")),"mend")',
                   by(book.entry_check, entry="ground", low="ground_low", high="ground_high"), size=3),
        ),
        note="Common practice without a published figure for honey locust: change them to what you know.",
    )  # fmt: skip


def _chosen() -> Single:
    return Single(
        "Compared for",
        (
            worked("form_row", "Form fed: row of the list", "ordinal", "=MATCH(pod_form,lists_form,0)",
                   by(picks.position, word="pod_form", words="lists.form*"), look="0"),
            worked("stock_row", "Kind of stock: row of the list", "ordinal", "=MATCH(rank_stock,lists_stock,0)",
                   by(picks.position, word="rank_stock", words="lists.stock*"), look="0"),
            worked("reach_row", "Row of the table below", "ordinal", "=2*(stock_row-1)+form_row",
                   by(picks.pair_position, first="stock_row", second="form_row", seconds=2), look="0"),
        ),
        note="Choose stock and form on the sheet Farm. Compare types by lab sheets of one kind: seed that was not analysed counts high (Sources).",
    )  # fmt: skip


def _entries(filled: Filled) -> tuple[Node, ...]:
    sheets: dict[str, LabSheet] = {each.kind: each for each in filled.sheets}
    ordered = [sheets.get(str(name)) for name in filled.names]

    def entered(name: str, label: str, unit: str, low: float | None, high: float | None, required: bool = False, choices: str = "",
                note: str = "") -> Node:  # fmt: skip
        contents = padded([None if each is None else _printed(each, name) for each in ordered], COUNT)
        return entry_field(f"lab.{name}", label, unit, contents, low, high, choices=choices, required=required, note=note,
                           look="0%" if unit == "fraction" else "0.0#")  # fmt: skip

    def analysis(name: str, prefix: str, part: str) -> Node:
        return entered(f"{prefix}{name}", f"{part}: {LABELS[name]}", "percent", *RANGES[name], not prefix and name not in OPTIONAL,
                       note="Percent, as the sheet prints it.")

    return (
        entered("basis", "Printed as fed or dry?", "text", None, None, True, choices="lists.basis"),
        entered("parts", "Whole pods, or husk and seed apart?", "text", None, None, True, choices="lists.parts"),
        entered("moisture", "Moisture of the pods", "percent", 0, 60, True, note="Percent, as the sheet prints it."),
        entered("seed_share", "Seed, share of the dry pod", "fraction", 0, 0.6, True,
                note="Open a pound of pods and weigh the seed. 20 to 35 % is usual (from memory, seed handbooks)."),
        *(analysis(name, "", "Whole pod or husk") for name in (*NEEDED, "sugar", *OPTIONAL)),
        *(analysis(name, "seed_", "Seed") for name in (*NEEDED, "sugar", *OPTIONAL)),
    )  # fmt: skip


def _printed(sheet: LabSheet, name: str) -> Content:
    """Return what a lab sheet prints for a field of the table; None where it prints nothing."""
    if name in ("basis", "parts", "moisture", "seed_share"):
        return getattr(sheet, name)  # type: ignore[no-any-return]  # the four fields are words and numbers
    part = sheet.seed if name.startswith("seed_") else sheet.first
    return None if part is None else getattr(part, name.removeprefix("seed_"))


def _row(name: str, label: str, unit: str, formula: str, ref: Ref, look: str = "0.00", headline: bool = False) -> Node:
    return worked(f"lab.{name}", label, unit, formula, ref, size=COUNT, look=look, headline=headline)


def _amiss(name: str, label: str, names: tuple[str, ...], asked: str = "") -> Node:
    """Return the count of entries that are neither blank nor a number in range, where they are not asked for anyway."""
    count = "+".join(
        f'IF(AND(ISNUMBER({{{each}}}),{{{each}}}>={{{each}:low}},{{{each}}}<={{{each}:high}}),0,IF({{{each}}}="",0,1))' for each in names
    )
    return _row(name, label, "record", f"=(1-{{{asked}}})*({count})" if asked else f"={count}",
                by(gates.optional_states, entries=names, lows=tuple(f"{each}_low" for each in names),
                   highs=tuple(f"{each}_high" for each in names), asked=asked or 0), "0")  # fmt: skip


def _lab(filled: Filled) -> Table:
    first = ("moisture", "seed_share", *NEEDED, "sugar")
    seed = tuple(f"seed_{name}" for name in NEEDED)
    amiss = ("optional_amiss", "seed_optional_amiss", "seed_optional_amiss_too", "seed_unasked_amiss", "seed_unasked_amiss_too")
    seed_optional = tuple(f"seed_{name}" for name in ("sugar", *OPTIONAL))
    gates_rows = [
        _row("filled", "Filled in", "flag",
            "=IF({types.in_use}=0,0,IF(COUNT({moisture}:{sugar})<ROWS({moisture}:{sugar}),0,IF(ISNUMBER(MATCH({basis},lists_basis,0)),"
            "IF(ISNUMBER(MATCH({parts},lists_parts,0)),1,0),0)))",
            by(gates.lab_filled, when="types.in_use", entries=first, basis="basis", parts="parts", bases="lists.basis*",
               all_parts="lists.parts*"), "0"),
        _row("apart", "Husk and seed apart", "flag", "=IF({filled}=0,0,IF({parts}=INDEX(lists_parts,2),1,0))",
            by(gates.is_word, when="filled", entry="parts", word="lists.parts@2"), "0"),
        _row("first_in_range", "Pod or husk in range", "flag", f"=IF({{filled}}=0,0,IF(AND({within(first)}),1,0))",
            in_range(first, "filled"), "0"),
        _row("seed_in_range", "Seed in range", "flag",
            f"=IF({{apart}}=0,1,IF(COUNT({{seed_cp}}:{{seed_ash}})<ROWS({{seed_cp}}:{{seed_ash}}),0,IF(AND({within(seed)}),1,0)))",
            in_range(seed, "apart", 1), "0"),
        _row("in_order", "Usable", "flag", "={filled}*{first_in_range}*{seed_in_range}",
            by(book.product_of, values=("filled", "first_in_range", "seed_in_range")), "0"),
        _row("state", "In order?", "text", '=IF({in_order}=1,"ok",IF(AND({types.in_use}=1,{basis}="",{parts}="",COUNT({moisture}:{seed_lignin})=0),"-",IF({types.in_use}=1,"mend","-")))',
            by(gates.lab_state, when="types.in_use", otherwise="-", words=("basis", "parts"),
               numbers=("moisture", "seed_share", *(f"{p}{n}" for p in ("", "seed_") for n in (*NEEDED, "sugar", *OPTIONAL)))), "0"),
        _amiss("optional_amiss", "Figures that may be blank, amiss: pod or husk", OPTIONAL),
        _amiss("seed_optional_amiss", "Figures that may be blank, amiss: seed", seed_optional[:2]),
        _amiss("seed_optional_amiss_too", "Figures that may be blank, amiss: seed, the rest", seed_optional[2:]),
        _amiss("seed_unasked_amiss", "Seed figures amiss though none are asked for", seed[:2], asked="apart"),
        _amiss("seed_unasked_amiss_too", "Seed figures amiss though none are asked for, the rest", seed[2:], asked="apart"),
        _row("optional_state", "Figures that may be blank: in order?", "text", f'=IF({"+".join(f"{{{n}}}" for n in amiss)}>0,"mend","ok")',
             by(gates.none_amiss, counts=amiss)),
        _row("as_fed", "Printed as fed", "flag", "=IF({filled}=0,0,IF({basis}=INDEX(lists_basis,1),1,0))",
            by(gates.is_word, when="filled", entry="basis", word="lists.basis@1"), "0"),
        _row("dry_matter", "Dry matter of the pods", "lb_dry/lb_fed", "=IF({in_order}=0,0,1-{moisture}/100)",
            by(pods.dry_matter_share, when="in_order"), "0.0%"),
        _row("share", "Seed, share of the dry pod, as used", "fraction", "=IF({in_order}=0,0,{seed_share})",
            by(book.same, when="in_order", value="seed_share"), "0.0%"),
    ]  # fmt: skip
    dry = []
    for name in (*NEEDED, "sugar", *OPTIONAL):
        for prefix, part, gate in (("", "Pod or husk", "in_order"), ("seed_", "Seed", "seed_known")):
            dry.append(_dried(name, prefix, part, gate))
    known = _row("seed_known", "Seed analysed and usable", "flag", "={in_order}*{apart}", by(book.product, a="in_order", b="apart"), "0")
    return Table("lab", "Lab sheets, as printed, and what they mean", TYPES,
                 (_row("label", "Type", "text", '=IF({types.in_use}=1,{types.name},"-")',
                      by(book.same, when="types.in_use", otherwise="-", value="types.name")),
                  *_entries(filled), *gates_rows, known, *dry, *_digested(), *_reached(), *_per_tree()))  # fmt: skip


def _dried(name: str, prefix: str, part: str, gate: str) -> Node:
    """Return an analysis on the dry basis; what may be blank falls back on its usual value."""
    field, label = f"{prefix}{name}", f"{part}, dry: {LABELS[name]}"
    printed = f"IF({{as_fed}}=1,{{{field}}}/(1-{{moisture}}/100),{{{field}}})"
    if name in OPTIONAL:
        formula = f"=IF({{{gate}}}=0,0,IF(ISNUMBER({{{field}}}),MAX(0,{printed}),usual_{name}))"
        ref = by(pods.dry_basis_or_usual, when=gate, value=field, usual=f"usual_{name}")
    elif field == "seed_sugar":
        formula = f"=IF({{{gate}}}=0,0,IF(ISNUMBER({{{field}}}),MAX(0,{printed}),0))"
        ref = by(pods.dry_basis_or_usual, when=gate, value=field, usual=0)
    else:
        formula = f"=IF({{{gate}}}=0,0,{printed})"
        ref = by(pods.dry_basis, when=gate, value=field)
    return _row(f"{field}_dry", label, "percent", formula, ref)


def _digested() -> list[Node]:
    """Return the summative equation, for the pod or husk and for the seed, and the energy that follows."""
    rows = []
    for prefix, part, gate in (("", "Pod or husk", "in_order"), ("seed_", "Seed", "seed_known")):
        cp, ndf, ndicp, adicp, fat, ash, lignin = (
            f"{prefix}{each}_dry" for each in ("cp", "ndf", "ndicp", "adicp", "fat", "ash", "lignin")
        )
        nfc, acids, dnfc, dcp, dndf = (f"{prefix}{each}" for each in ("nfc", "acids", "dnfc", "dcp", "dndf"))
        rows += [
            _row(f"{prefix}closure", f"{part}: parts add up to", "percent", f"={{{cp}}}+{{{ndf}}}+{{{fat}}}+{{{ash}}}",
                by(pods.closure, cp=cp, ndf=ndf, fat=fat, ash=ash), "0.0"),
            _row(nfc, f"{part}: non-fibre carbohydrate (NFC)", "percent",
                f"=IF({{{gate}}}=0,0,MAX(0,100-{{{cp}}}-({{{ndf}}}-{{{ndicp}}})-{{{fat}}}-{{{ash}}}))",
                by(pods.non_fibre_carbohydrate, when=gate, cp=cp, ndf=ndf, ndicp=ndicp, fat=fat, ash=ash)),
            _row(acids, f"{part}: fatty acids", "percent", f"=MAX(0,{{{fat}}}-fat_not_acid)", by(pods.fatty_acids, fat=fat)),
            _row(dnfc, f"{part}: digestible NFC", "percent", f"=nfc_digestibility*{{{nfc}}}*paf", by(pods.digestible_non_fibre, nfc=nfc)),
            _row(dcp, f"{part}: digestible protein", "percent",
                f"=IF({{{cp}}}=0,0,{{{cp}}}*EXP(-adicp_slope*{{{adicp}}}/{{{cp}}}))", by(pods.digestible_protein, cp=cp, adicp=adicp)),
            _row(dndf, f"{part}: digestible fibre", "percent",
                f"=IF({{{ndf}}}-{{{ndicp}}}<={{{lignin}}},0,ndf_digestibility*({{{ndf}}}-{{{ndicp}}}-{{{lignin}}})"
                f"*(1-({{{lignin}}}/({{{ndf}}}-{{{ndicp}}}))^lignin_power))",
                by(pods.digestible_fibre, ndf=ndf, ndicp=ndicp, lignin=lignin)),
        ]  # fmt: skip
    tdn = {"digestible_nfc": "dnfc", "digestible_cp": "dcp", "fatty_acids": "acids", "digestible_ndf": "dndf"}
    seed_tdn = {name: f"seed_{field}" for name, field in tdn.items()}
    whole = "whole_sheet"
    rows += [
        _row("first_tdn", "Pod or husk: TDN", "percent", "=IF({in_order}=0,0,MAX(0,{dnfc}+{dcp}+fat_energy*{acids}+{dndf}-metabolic_loss))",
            by(pods.total_digestible_nutrients, when="in_order", **tdn), "0.0"),
        _row("seed_tdn", "Seed, broken: TDN", "percent",
            "=IF({seed_known}=0,usual_seed_tdn,MAX(0,{seed_dnfc}+{seed_dcp}+fat_energy*{seed_acids}+{seed_dndf}-metabolic_loss))",
            by(pods.total_digestible_nutrients, when="seed_known", otherwise_from="usual_seed_tdn", **seed_tdn), "0.0"),
        _row("seed_cp_used", "Seed: crude protein, as used", "percent", "=IF({seed_known}=0,usual_seed_cp,{seed_cp_dry})",
            by(book.same, when="seed_known", otherwise_from="usual_seed_cp", value="seed_cp_dry"), "0.0"),
        _row(whole, "Sheet is of whole pods", "flag", "={in_order}*(1-{apart})", by(gates.whole_sheet), "0"),
        _row("husk_tdn", "Husk: TDN", "percent",
            "=IF({whole_sheet}=1,MAX(0,({first_tdn}-{share}*{seed_tdn})/(1-{share})),{first_tdn})",
            by(pods.husk_by_difference, when=whole, otherwise_from="first_tdn", whole="first_tdn", seed="seed_tdn", seed_share="share"), "0.0"),
        _row("husk_cp", "Husk: crude protein", "percent",
            "=IF({whole_sheet}=1,MAX(0,({cp_dry}-{share}*{seed_cp_used})/(1-{share})),{cp_dry})",
            by(pods.husk_by_difference, when=whole, otherwise_from="cp_dry", whole="cp_dry", seed="seed_cp_used", seed_share="share"), "0.0"),
        _row("sugar_whole", "Whole pod: sugar, of dry matter", "percent",
            "=IF({seed_known}=1,(1-{share})*{sugar_dry}+{share}*{seed_sugar_dry},{sugar_dry})",
            by(pods.whole_pod, when="seed_known", otherwise_from="sugar_dry", husk="sugar_dry", seed="seed_sugar_dry", seed_share="share"), "0.0", True),
    ]  # fmt: skip
    rows += [
        _row(f"{prefix}sugar_over", f"{part}: more sugar than NFC", "flag",
             f"=IF({{{gate}}}=0,0,IF({{{prefix}sugar_dry}}>{{{prefix}nfc}}+rounding,1,0))",
             by(picks.over, when=gate, value=f"{prefix}sugar_dry", limit=f"{prefix}nfc", tolerance="rounding"), "0")
        for prefix, part, gate in (("", "Pod or husk", "in_order"), ("seed_", "Seed", "seed_known"))
    ]  # fmt: skip
    for name, label in (("tdn", "TDN"), ("cp", "crude protein")):
        seed = "seed_tdn" if name == "tdn" else "seed_cp_used"
        rows.append(
            _row(f"{name}_whole", f"Whole pod, all seed broken: {label}", "percent",
                f"=IF({{in_order}}=0,0,(1-{{share}})*{{husk_{name}}}+{{share}}*{{{seed}}})",
                by(pods.whole_pod, when="in_order", husk=f"husk_{name}", seed=seed, seed_share="share"), "0.0", True)
        )  # fmt: skip
    for part in ("husk", "seed"):
        rows += [
            _row(f"{part}_de", f"{part.capitalize()}: digestible energy (DE)", "Mcal/kg_dry", f"=de_per_tdn*{{{part}_tdn}}",
                by(energy.digestible_energy, tdn=f"{part}_tdn"), "0.000"),
            _row(f"{part}_me", f"{part.capitalize()}: metabolizable energy (ME)", "Mcal/kg_dry", f"=me_per_de*{{{part}_de}}",
                by(energy.metabolizable_energy, de=f"{part}_de"), "0.000"),
        ]  # fmt: skip
    rows += [
        _row("whole_de", "Whole pod, all seed broken: DE", "Mcal/kg_dry", "=de_per_tdn*{tdn_whole}", by(energy.digestible_energy, tdn="tdn_whole"), "0.000"),
        _row("whole_me", "Whole pod, all seed broken: ME", "Mcal/kg_dry", "=me_per_de*{whole_de}", by(energy.metabolizable_energy, de="whole_de"), "0.000"),
        _row("whole_nem", "Whole pod, all seed broken: NEm", "Mcal/kg_dry",
            "=IF({in_order}=0,0,MAX(0,nem_first*{whole_me}-nem_second*{whole_me}^2+nem_third*{whole_me}*{whole_me}^2-nem_constant))",
            by(energy.net_energy_maintenance, when="in_order", me="whole_me"), "0.000"),
        _row("whole_neg", "Whole pod, all seed broken: NEg", "Mcal/kg_dry",
            "=IF({in_order}=0,0,MAX(0,neg_first*{whole_me}-neg_second*{whole_me}^2+neg_third*{whole_me}*{whole_me}^2-neg_constant))",
            by(energy.net_energy_gain, when="in_order", me="whole_me"), "0.000"),
    ]  # fmt: skip
    return rows


def _reached() -> list[Node]:
    """Return what each kind of stock reaches of the energy and the protein, pods whole and ground."""
    rows = []
    for content, label, unit, seed in (
        ("me", "energy (ME)", "Mcal/kg_dry", "seed_me"),
        ("cp", "crude protein", "percent", "seed_cp_used"),
    ):
        for position, stock in enumerate(STOCK, 1):
            for form in FORMS:
                rows.append(
                    _row(f"{content}_{stock}_{form}", f"Reached by {stock}, pods {form}: {label}", unit,
                        f"=IF({{in_order}}=0,0,(1-{{share}})*{{husk_{content}}}+{{share}}*{{{seed}}}*INDEX(access_{form}_used,{position}))",
                        by(pods.reachable, when="in_order", husk=f"husk_{content}", seed=seed, seed_share="share",
                           seed_access=f"access.{form}_used@{position}"), "0.000" if content == "me" else "0.0")
                )  # fmt: skip
    return rows


def _per_tree() -> list[Node]:
    """Return what one tree gives, for the chosen kind of stock and form, and its rank."""
    reached = {
        content: tuple(f"{content}_{stock}_{form}" for stock in STOCK for form in FORMS) for content in ("me", "cp")
    }
    rows = [
        _row(f"chosen_{content}", f"Reached by the stock and form chosen: {label}", unit,
            f"=INDEX({{{reached[content][0]}}}:{{{reached[content][-1]}}},reach_row)",
            by(picks.item, values=reached[content], position="reach_row"), look)
        for content, label, unit, look in (("me", "energy (ME)", "Mcal/kg_dry", "0.000"), ("cp", "crude protein", "percent", "0.0"))
    ]  # fmt: skip
    rows += [
        _row("crop", "Crop of a tree", "lb_dry/tree", "={in_order}*{by_type.plan}", by(book.product, a="in_order", b="by_type.plan"), "0.0", True),
        _row("sugar_tree", "Sugar of a tree", "lb_dry/tree", "={crop}*{sugar_whole}/100", by(pods.share_of_crop, percent="sugar_whole"), "0.0"),
        _row("me_tree", "Reachable energy of a tree", "Mcal/tree", "={crop}*kg_per_weight*{chosen_me}", by(pods.energy_of_crop, me="chosen_me"), "0", True),
        _row("cp_tree", "Reachable protein of a tree", "lb_dry/tree", "={crop}*{chosen_cp}/100", by(pods.share_of_crop, percent="chosen_cp"), "0.0", True),
        _row("worth", "Worth of a tree's crop in hay", "USD/tree", "={me_tree}*hay_cost_per_me",
            by(pods.worth_in_hay, reachable_me_per_tree="me_tree", hay_cost_per_me="hay_cost_per_me"), "0.00", True),
    ]  # fmt: skip
    for name, label in (("crop", "pods"), ("sugar_tree", "sugar"), ("me_tree", "energy reached"), ("cp_tree", "protein reached")):
        terms = "+".join(f"IF({{{name}@{item}}}>{{{name}}},1,0)" for item in range(1, COUNT + 1))
        rows.append(
            _row(f"{name}_rank", f"Rank by {label} of a tree", "ordinal", f"=IF({{in_order}}=0,0,1+{terms})",
                by(pods.rank, when="in_order", value=name, values=f"lab.{name}*"), "0;;-")
        )  # fmt: skip
    return rows
