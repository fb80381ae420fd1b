"""What a kind of tree is: its usual figures with unit, source and mark, and what may be known of it at all."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from podbook.units import shown

ORIGINS = ("seedling", "grafted")
YES_NO = ("no", "yes")


@dataclass(frozen=True)
class Wanted:
    """How a figure is called in a book, its unit there, and the bounds of what can be true."""

    label: str
    unit: str
    low: float
    high: float
    look: str = "0.0#"


FIGURES = {
    "dry_matter": Wanted("Dry matter, as picked", "percent", 5, 100),
    "first_crop_age": Wanted("First crop, years after planting", "year", 1, 30, "0"),
    "full_crop_age": Wanted("Full crop, years after planting", "year", 1, 60, "0"),
    "tree_yield": Wanted("Crop of a tree in full bearing, as picked", "lb_fed/tree", 0, 3000, "0.0"),
    "bearing_share": Wanted("Share of ungrafted trees that bear", "fraction", 0, 1, "0%"),
    "seed_share": Wanted("Seed, share of the pod", "fraction", 0, 0.6, "0.0%"),
    "cp": Wanted("Crude protein (CP), of dry matter", "percent", 1, 60),
    "ndf": Wanted("Fibre (NDF), of dry matter", "percent", 5, 90),
    "fat": Wanted("Fat (ether extract), of dry matter", "percent", 0, 30),
    "ash": Wanted("Ash, of dry matter", "percent", 0.5, 25),
    "sugar": Wanted("Sugar, of dry matter", "percent", 0, 70),
    "starch": Wanted("Starch, of dry matter", "percent", 0, 90),
    "starch_sugar": Wanted("Starch and sugar, not told apart", "percent", 0, 95),
    "tdn": Wanted("Energy: TDN, of dry matter", "percent", 30, 100),
}
SAID = {"origin": "Usually planted as", "drop": "Months of drop", "keeps": "Can be stockpiled or stored?"}
ANALYSIS = ("dry_matter", "seed_share", "cp", "ndf", "fat", "ash", "sugar")
"""What a laboratory's sheet must state."""


@dataclass(frozen=True)
class Sourced:
    """Where a figure or a word comes from."""

    source: str
    """Key of the bibliography."""
    place: str
    mark: str
    note: str

    @property
    def where(self) -> str:
        """The place in the source, with the note."""
        return f"{self.place}. {self.note}" if self.note else self.place


@dataclass(frozen=True)
class Said(Sourced):
    """A word, such as the months of drop."""

    word: str


@dataclass(frozen=True)
class Figure(Sourced):
    """A figure in the unit of a book, and as its source gives it."""

    name: str
    value: float
    printed: float
    printed_unit: str
    low: float | None
    """Ends of the range in the source's unit, None where it gives one figure."""
    high: float | None

    @property
    def unit(self) -> str:
        return FIGURES[self.name].unit

    @property
    def label(self) -> str:
        return FIGURES[self.name].label

    @property
    def as_printed(self) -> str:
        """The figure of the source in its own unit, where that says more than the value; else nothing."""
        scale = 100 if self.printed_unit == "fraction" else 1
        unit = {"fraction": "%", "year": "years"}.get(self.printed_unit, shown(self.printed_unit))
        if self.low is None or self.high is None:
            return "" if self.printed_unit == self.unit else f"{self.printed:g} {unit}"
        between = f"{self.low * scale:g} to {self.high * scale:g} {unit}"
        ends = {self.low: "low end of ", self.high: "high end of ", (self.low + self.high) / 2: "middle of "}
        return ends.get(self.printed, "of ") + between

    @property
    def where(self) -> str:
        """The place in the source, what it prints, and the note."""
        return "; ".join(part for part in (self.as_printed, super().where) if part)


@dataclass(frozen=True)
class Kind:
    """One kind of tree."""

    key: str
    name: str
    species: str
    botanical: str
    origin: Said
    drop: Said
    keeps: Said
    """Whether what it drops can be stockpiled on the ground or stored for winter: ``yes`` or ``no``."""
    figures: Mapping[str, Figure]

    @property
    def lacks(self) -> tuple[str, ...]:
        """What a laboratory's sheet states and no source gave for it."""
        return tuple(name for name in ANALYSIS if name not in self.figures)

    @property
    def own_yield(self) -> float | None:
        """Dry pods of a tree in full crop; None where crop, dry matter or the age of full crop is unknown."""
        if any(name not in self.figures for name in ("tree_yield", "dry_matter", "full_crop_age")):
            return None
        return self.figures["tree_yield"].value * self.figures["dry_matter"].value / 100


@dataclass(frozen=True)
class Caution:
    """What may hurt people or stock where a species is fed."""

    species: str
    about: str
    text: str
    source: str
    mark: str


@dataclass(frozen=True)
class PodTrees:
    """Every kind of tree, and every caution, in their order."""

    kinds: tuple[Kind, ...]
    cautions: tuple[Caution, ...]

    @property
    def names(self) -> tuple[str, ...]:
        return tuple(kind.name for kind in self.kinds)

    @property
    def species(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(kind.species for kind in self.kinds))

    def find(self, word: str) -> Kind | None:
        """Return the kind of a name or key, upper and lower case alike; None if there is none."""
        low = word.strip().casefold()
        return next((kind for kind in self.kinds if low in (kind.name, kind.key)), None)

    def cautions_of(self, kind: Kind) -> tuple[Caution, ...]:
        return tuple(caution for caution in self.cautions if caution.species == kind.species)
