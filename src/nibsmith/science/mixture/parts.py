"""What a recipe is made of: three facts about each part, and none of them stands for another."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal
from enum import StrEnum
from types import MappingProxyType

from nibsmith.science.errors import InputError
from nibsmith.science.tables import Status


class Kind(StrEnum):
    """What the law takes a part for."""

    BEAN = "cocoa_bean"
    NIB = "cocoa_nib"
    MASS = "cocoa_mass"
    BUTTER = "cocoa_butter"
    POWDER = "cocoa_powder"
    MILK = "milk"
    SUGAR = "sugar"
    SWEETENER = "sweetener"
    VEGETABLE_FAT = "vegetable_fat"
    EMULSIFIER = "emulsifier"
    FLOUR = "flour"
    OTHER_FOOD = "other_food"
    FLAVOURING = "flavouring"


COCOA_KINDS = frozenset({Kind.BEAN, Kind.NIB, Kind.MASS, Kind.BUTTER, Kind.POWDER})


class Stage(StrEnum):
    """When a part goes in."""

    START = "start"
    WITH_SUGAR = "with_sugar"
    LATE = "late"
    FOLDED_IN = "folded_in"
    ON_BACK = "on_back"
    FILLING = "filling"


MACHINE_STAGES = frozenset({Stage.START, Stage.WITH_SUGAR, Stage.LATE})


class Grind(StrEnum):
    """How fine a part ends up."""

    REFINED = "refined"
    PIECES = "pieces"
    WHOLE = "whole"
    COARSE = "coarse"


class Form(StrEnum):
    """What the product is sold as."""

    BAR = "bar"
    DROPS = "drops"
    FLAKES = "flakes"
    FILLED = "filled"
    PRALINE = "praline"
    DRINKING = "drinking_tablet"


Composition = Mapping[str, float]
"""Constituents in g (or mg, µg where the name says so) per 100 g; one that is not there is unknown."""


@dataclass(frozen=True, eq=False)
class Ingredient:
    """One ingredient and what 100 g of it contain.

    ``composition`` is keyed by the column names of ``ingredients.csv``; an absent key is unknown, never zero.
    ``fat_low_g`` and ``fat_high_g`` bound a fat that varies from lot to lot [g/100 g].
    """

    key: str
    name: str
    kind: Kind
    composition: Composition
    stage: Stage = Stage.START
    grind: Grind = Grind.REFINED
    fat_low_g: float | None = None
    fat_high_g: float | None = None
    allergens_us: tuple[str, ...] = ()
    allergens_eu: tuple[str, ...] = ()
    allergens_known: bool = True
    shell_percent: float | None = None
    germ_percent: float | None = None
    water_risk: str = ""
    source: str = ""
    status: Status = Status.OWN_SHEET
    note: str = ""
    tags: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Part:
    """An amount of an ingredient, or of another recipe, in a recipe.

    ``label`` is unique in its recipe; ``mass_g`` is the mass as weighed [g].
    """

    label: str
    of: Ingredient | Recipe
    mass_g: float
    kind: Kind
    stage: Stage = Stage.START
    grind: Grind = Grind.REFINED
    price_per_kg: Decimal | None = None

    @property
    def name(self) -> str:
        """The name a person reads."""
        return self.of.name

    @property
    def in_machine(self) -> bool:
        """Whether the part is ground into the mass (not folded in, on the back or a filling)."""
        return self.stage in MACHINE_STAGES

    def weighing(self, mass_g: float) -> Part:
        """Return the same part at another mass [g]."""
        return replace(self, mass_g=mass_g)


@dataclass(frozen=True)
class Recipe:
    """A list of parts with masses as weighed [g]; shares are masses over their sum."""

    name: str
    form: Form
    parts: tuple[Part, ...]
    notes: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))

    def __post_init__(self) -> None:
        if not self.parts:
            raise InputError("A recipe needs at least one part", advice="Add what goes in first.")
        labels = [part.label for part in self.parts]
        twice = sorted({label for label in labels if labels.count(label) > 1})
        if twice:
            raise InputError(
                "Two parts have the same label", value=", ".join(twice), advice="Give each its own label."
            )
        _check_masses(self.parts)

    @property
    def total_g(self) -> float:
        """Everything weighed [g]."""
        return sum(part.mass_g for part in self.parts)

    def part(self, label: str) -> Part:
        """Return the part with this label."""
        for part in self.parts:
            if part.label == label:
                return part
        raise InputError("No part has this label", value=label, advice="Use a label of the recipe.")

    def share(self, label: str) -> float:
        """Return the share of one part in everything weighed [0 to 1]."""
        return self.part(label).mass_g / self.total_g

    def weighing(self, masses_g: Mapping[str, float]) -> Recipe:
        """Return the same recipe with other masses [g]; labels not named keep theirs."""
        parts = tuple(part.weighing(masses_g.get(part.label, part.mass_g)) for part in self.parts)
        return replace(self, parts=parts)

    def scaled(self, total_g: float) -> Recipe:
        """Return the same shares at another total [g]."""
        factor = total_g / self.total_g
        return self.weighing({part.label: part.mass_g * factor for part in self.parts})

    def leaves(self) -> Iterator[Leaf]:
        """Yield every ingredient, with recipes used as parts opened up."""
        for part in self.parts:
            yield from _leaves(part, part, part.mass_g)


@dataclass(frozen=True, slots=True)
class Leaf:
    """One ingredient inside a recipe: the part it came in by, and its own facts."""

    part: Part
    ingredient: Ingredient
    kind: Kind
    stage: Stage
    grind: Grind
    mass_g: float

    @property
    def in_machine(self) -> bool:
        """Whether it is ground into the mass."""
        return self.stage in MACHINE_STAGES


def _check_masses(parts: tuple[Part, ...]) -> None:
    for part in parts:
        if not 0 <= part.mass_g < float("inf"):
            raise InputError(
                f"The amount of {part.name} is not a weight",
                value=part.mass_g,
                advice="Type a weight of zero or more.",
                field=part.label,
            )
    if not any(part.mass_g > 0 for part in parts):
        raise InputError("Every amount is zero", advice="Type at least one weight.")


def _leaves(top: Part, part: Part, mass_g: float) -> Iterator[Leaf]:
    """Open up a part; what comes in by another recipe goes in when that does, ground if that is ground."""
    if isinstance(part.of, Ingredient):
        ground = part is not top and top.in_machine
        grind = Grind.REFINED if ground else part.grind
        yield Leaf(top, part.of, part.kind, top.stage, grind, mass_g)
        return
    scale = mass_g / part.of.total_g
    for inner in part.of.parts:
        yield from _leaves(top, inner, inner.mass_g * scale)
