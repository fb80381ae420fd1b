"""The farm: its winter, its land, its types of tree, and how the pods are fed."""

from __future__ import annotations

from podbook.book.model import Entries, Entry, Sheet, Table
from podbook.book.node import by, entry_field, fixed_field, worked
from podbook.inputs.filled import TYPES, Filled, padded
from podbook.pod_trees import pod_trees
from podbook.reference import book, gates, kinds, picks
from podbook.regions import Region
from podbook.sheets import months
from podbook.sheets.season import before

YES_NO = ("no", "yes")
COLD_RULES = ("acclimatised", "critical temperature")
INTAKE_RULES = ("NRC equation", "share of body weight")
FORMS = ("whole", "ground")
STOCK = ("cattle", "sheep", "goats")
ORIGINS = ("seedling", "grafted")
BASES = ("as fed", "dry")
PARTS = ("whole", "husk and seed")
KINDS_OF_YEAR = ("as planned", "on-year", "off-year")

LISTS = (
    ("yes", "Yes or no", YES_NO),
    ("cold", "Rule for cold", COLD_RULES),
    ("intake", "Rule for intake", INTAKE_RULES),
    ("form", "Form fed", FORMS),
    ("stock", "Kind of stock", STOCK),
    ("origin", "Origin of trees", ORIGINS),
    ("basis", "Basis of a lab sheet", BASES),
    ("parts", "Parts of a lab sheet", PARTS),
    ("bearing", "Kind of year", KINDS_OF_YEAR),
    ("kind", "Kind of tree", pod_trees().names),
)


def sheet(region: Region, filled: Filled) -> Sheet:
    """Return the sheet Farm."""
    winter = Entries(
        "winter",
        "The winter",
        (
            Entry("temperature_before", "Mean temperature of the month before these", "degF", before(region), -40, 90, look="0.0",
                  source=region.monthly["temperature"].source, place=region.monthly["temperature"].place, mark=region.monthly["temperature"].mark,
                  help="Cattle get used to the cold of the month before."),
            Entry("wind", "Mean wind where stock stand", "mph", 0, 0, 40, help="Zero where they have shelter.", look="0"),
            Entry("coat_wet", "Coats wet for days on end?", "text", "no", choices="lists.yes",
                  help="Rain or wet snow without shelter: feed alone can't make up for it. Wet cattle go by their critical temperature."),
            Entry("cold_rule", "Rule for cold (cattle)", "text", COLD_RULES[0], choices="lists.cold", source="nasem-beef-2016",
                  place="or critical temperature: NDSU, Oklahoma State", mark="common practice",
                  help="Sheep and goats, and all wet coats, go by their critical temperature. Acclimatisation takes no wind."),
            Entry("intake_rule", "Rule for what cows can eat", "text", INTAKE_RULES[0], choices="lists.intake",
                  source="nrc-beef-1996", place="ch. 7, or Hibberd and Thrift 1992", mark="common practice"),
        ),
    )  # fmt: skip
    trees = Entries(
        "land",
        "The trees",
        (
            Entry("area", "Land under trees", "acre", 10, 0.1, 5000, own=True, help="Acres of pasture planted with pod trees.", look="0.0"),
            Entry("row_spacing", "Between rows", "foot", 36, 5, 200, source="judgement", place="33 trees an acre", look="0.0"),
            Entry("tree_spacing", "Between trees in the row", "foot", 36, 5, 200, look="0.0"),
            Entry("stand_age", "Years since the trees were planted", "year", 12, 1, 40, own=True, look="0",
                  help="Whole years. The season on the sheet Savings is the winter of this year."),
        ),
    )  # fmt: skip
    pods = Entries(
        "ration",
        "Pods in the ration",
        (
            Entry("pod_form", "Form in which pods are fed", "text", FORMS[0], choices="lists.form",
                  help="Whole: stock pick them up. Ground: collected, dried, ground."),
            Entry("rank_stock", "Kind of stock for comparing trees", "text", STOCK[0], choices="lists.stock"),
            Entry("share_cap", "Most pods in the ration, of dry matter", "fraction", 0.2, 0, 0.5, look="0%",
                  source="feedipedia-molasses", place="judged from molasses and carob: 20 to 30 % once used to them", mark="derived",
                  help="A supplement, never the whole ration."),
            Entry("diet_sugar_limit", "Most sugar in the whole diet", "percent", 8, 3, 20, look="0.0", source="broderick-radloff-2004",
                  place="dairy trials: best near 5 to 6 % of dry matter; up to 8 in a firm's summary", mark="read-secondary",
                  help="A limit for good rumen health, not a poisoning limit."),
            Entry("step_up_weeks", "Weeks of stepping up", "week", 3, 0, 8, look="0", source="merck-overload",
                  place="2 to 3 weeks; lambs took 4 to learn (Pent and Fike)", mark="common practice"),
            Entry("step_up_share", "Share of the cap while stepping up", "fraction", 0.5, 0, 1, look="0%"),
            Entry("stored_loss", "Collected: pods that spoil in store, each month", "fraction", 0.01, 0, 0.5, look="0%",
                  help="Dry barn. Moore (1948) kept dry pods up to three years; weevils attack the seed."),
            Entry("pod_cost", "Cost of collecting, drying and grinding a ton that is eaten", "USD/short_ton_fed", 0, 0, 2000,
                  help="Zero where stock pick pods up themselves."),
        ),
    )  # fmt: skip
    types = Table(
        "types",
        "Types of tree",
        TYPES,
        (
            entry_field("types.name", "Name of the type", "text", filled.names, required=False,
                        note="Leave blank where there are fewer than six. Letters and figures; none of * ? ~ < > =."),
            entry_field("types.origin", "Seedling or grafted", "text", filled.origins, choices="lists.origin"),
            entry_field("types.kind", "Kind of tree", "text", filled.kinds, choices="lists.kind", required=False,
                        note="The sheet Pod trees tells of each. Blank: honey locust, or a tree that is not on the list."),
            worked("types.name_fits", "A plain name", "flag",
                   '=IF(ISNUMBER({name}),0,IF(OR({name}="TRUE",{name}="FALSE",ISNUMBER(FIND("*",{name})),ISNUMBER(FIND("?",{name})),'
                   'ISNUMBER(FIND("~",{name})),ISNUMBER(FIND("<",{name})),ISNUMBER(FIND(">",{name})),ISNUMBER(FIND("=",{name}))),0,1))',
                   by(gates.plain_name, entry="name"), size=6, look="0"),
            worked("types.in_use", "In use", "flag", '=IF({name_fits}=0,0,IF({name}="",0,1))',
                   by(gates.filled, when="name_fits", entry="name"), size=6, look="0"),
            worked("types.use", "Name, if in use", "text", '=IF({in_use}=0,"(none)",{name})',
                   by(book.same, when="in_use", otherwise="(none)", value="name"), size=6),
            worked("types.name_check", "Name in order?", "text", '=IF({name_fits}=0,"mend",IF({name}="","-","ok"))',
                   by(gates.name_state, when="name_fits", otherwise="mend", entry="name"), size=6),
            worked("types.grafted", "Grafted", "flag", "=IF({in_use}=0,0,IF({origin}=INDEX(lists_origin,2),1,0))",
                   by(gates.is_word, when="in_use", entry="origin", word="lists.origin@2"), size=6, look="0"),
            worked("types.origin_check", "Origin in order?", "text",
                   '=IF({in_use}=0,"-",IF(ISNUMBER(MATCH({origin},lists_origin,0)),"ok","mend"))',
                   by(gates.choice_state, when="in_use", otherwise="-", entry="origin", choices="lists.origin*"), size=6),
            worked("types.kind_check", "Kind in order?", "text",
                   '=IF({in_use}=0,"-",IF({kind}="","-",IF(ISNUMBER(MATCH({kind},lists_kind,0)),"ok","mend")))',
                   by(kinds.kind_state, when="in_use", otherwise="-", entry="kind", kinds="lists.kind*"), size=6),
            worked("types.kind_row", "Kind: its place in the list, 0 for none", "ordinal", '=IF({kind_check}="ok",MATCH({kind},lists_kind,0),0)',
                   by(picks.position_or_none, when="in_use", word="kind", words="lists.kind*"), size=6, look="0"),
            worked("types.kind_used", "Kind, as used", "text", '=IF({kind_row}=0,"-",INDEX(lists_kind,{kind_row}))',
                   by(kinds.known_kind, when="in_use", otherwise="-", entry="kind", kinds="lists.kind*"), size=6),
            worked("types.spoils", "Can't be stockpiled or stored", "flag", "=IF({kind_row}=0,0,1-INDEX(pod_trees_keeps,{kind_row}))",
                   by(kinds.spoils, when="kind_row", keeps="pod_trees.keeps*"), size=6, look="0"),
            worked("types.beware", "Beware", "text",
                   '=IF({in_use}=0,"-",IF({spoils}=1,"LOOK: does not keep",IF({lab.in_order}=0,"no lab sheet yet","-")))',
                   by(kinds.beware, when="in_use", otherwise="-", sheet_in_order="lab.in_order"), size=6),
        ),
        note="Up to six, side by side: the same six on every sheet that follows.",
    )  # fmt: skip
    return Sheet("Farm", f"{filled.title}. Fill in the boxed cells; the rest of the book follows.", (winter, months.table(region), trees, types, pods), width=12.5, label_width=46.6)


def lists() -> Table:
    """Return the words to choose from, as they stand on the sheet Sources."""
    longest = max(len(words) for _, _, words in LISTS)
    return Table(
        "lists",
        "Words to choose from",
        tuple(f"Word {number}" for number in range(1, longest + 1)),
        tuple(fixed_field(f"lists.{name}", label, "text", padded(words, longest)) for name, label, words in LISTS),
        across=False,
    )
