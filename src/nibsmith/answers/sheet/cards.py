"""The cards of a batch sheet: plain values, already written as a maker reads them."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from nibsmith.answers.answer import Verdict

Fact = tuple[str, str]
"""A heading and what stands beside it."""


@dataclass(frozen=True)
class WeighRow:
    """One part to weigh, in the order of use; ``mass_g`` is what the scale shows [g]."""

    label: str
    name: str
    note: str
    mass_g: Decimal
    metric: str
    imperial: str
    share: str


@dataclass(frozen=True)
class WeighCard:
    """What goes into the machine; ``total_g`` is the sum of the rows [g].

    ``remarks`` say what is in an own recipe among the rows, and what the shares are shares of.
    """

    rows: tuple[WeighRow, ...]
    total_g: Decimal
    metric: str
    imperial: str
    small_doses: tuple[str, ...]
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True)
class KitCard:
    """The charge against what the kit holds, and how it is warmed."""

    name: str
    verdict: Verdict
    sentence: str
    facts: tuple[Fact, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True)
class Step:
    """One step of the work with the weights it takes up."""

    title: str
    text: str
    weights: tuple[Fact, ...]


@dataclass(frozen=True)
class TemperCard:
    """The temper program, or why there is none."""

    title: str
    rows: tuple[Fact, ...]
    sentence: str
    notes: tuple[str, ...]


@dataclass(frozen=True)
class FoldInRow:
    """One thing outside the mass: by the recipe, for the planned mass, for 1,000 g of mass."""

    label: str
    name: str
    stage: str
    in_recipe: str
    planned_g: Decimal
    planned: str
    per_kg: str


@dataclass(frozen=True)
class FoldInCard:
    """Fold-ins with their own weights and temperature."""

    planned_mass: str
    rows: tuple[FoldInRow, ...]
    sentence: str
    cold: tuple[Fact, ...]
    note: str


@dataclass(frozen=True)
class MouldCard:
    """How many bars and moulds the planned mass fills."""

    name: str
    facts: tuple[Fact, ...]


@dataclass(frozen=True)
class Sheet:
    """Everything a maker needs on paper for one batch."""

    recipe: str
    version: str
    facts: tuple[Fact, ...]
    notes: tuple[str, ...]
    weigh: WeighCard
    kit: KitCard
    steps: tuple[Step, ...]
    temper: TemperCard
    fold_in: FoldInCard | None
    moulds: MouldCard | None
    readings: tuple[str, ...]
    blanks: tuple[str, ...]
    tasting: tuple[str, ...]
    cautions: tuple[str, ...]
