"""From amounts as typed to exact shares of everything weighed, inclusions counted in any of three ways."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from nibsmith.science.errors import InputError
from nibsmith.science.formulate import (
    REST,
    InclusionEntry,
    InclusionShare,
    InclusionUnit,
    Rest,
    TypedShares,
    from_shares,
    inclusion_beside,
    inclusion_shares,
)
from nibsmith.science.mixture import MACHINE_STAGES, Stage
from nibsmith.shop.recipes.models import Mode

STORED = Decimal("0.000001")  # a share that follows from weights is kept to a millionth of a percent
_EXACT = Decimal("1e-12")  # where an inclusion counted otherwise joins the percentages; far below STORED
MOST_ROUNDS = 50
SETTLED = Fraction(1, 10**14)  # of the ground part: under a nanogram in a kilogram, and under _EXACT
UNITS: Mapping[Mode, InclusionUnit] = {
    Mode.PERCENT: InclusionUnit.PERCENT,
    Mode.PER_100: InclusionUnit.PER_100_G,
    Mode.PER_BAR: InclusionUnit.PER_BAR,
}


@dataclass(frozen=True, slots=True)
class TypedPart:
    """One part as typed: the number, with its digits, in the unit of its mode; none for the rest."""

    label: str
    stage: Stage
    mode: Mode
    typed: Decimal | None

    @property
    def is_inclusion(self) -> bool:
        return self.stage not in MACHINE_STAGES


Ground = Mapping[str, Fraction]
Leaving = Callable[[Ground], Fraction]


def _nothing(_ground: Ground) -> Fraction:
    return Fraction(0)


def shares(
    parts: Sequence[TypedPart], bar_g: Decimal | None = None, leaving: Leaving = _nothing
) -> TypedShares:
    """Return the share of each part in everything weighed, exactly.

    ``leaving`` says what share of the ground parts leaves as water, by how much there is of each.
    """
    if not parts:
        raise InputError("A recipe needs at least one part", advice="Add what goes in first.", field="add")
    otherwise = [part for part in parts if part.mode in (Mode.PER_100, Mode.PER_BAR)]
    if not otherwise:
        return from_shares({part.label: _percent(part) for part in parts})
    counted = _inclusions(parts, bar_g, leaving)
    return from_shares({part.label: counted.get(part.label, _percent(part)) for part in parts})


def _percent(part: TypedPart) -> Decimal | Rest:
    return REST if part.typed is None else part.typed


def _inclusions(
    parts: Sequence[TypedPart], bar_g: Decimal | None, leaving: Leaving
) -> Mapping[str, Decimal | Rest]:
    """Return what is counted by the chocolate or the bar as percent of everything."""
    entries = {
        part.label: InclusionEntry(part.typed, UNITS[part.mode])
        for part in parts
        if part.is_inclusion and part.typed is not None
    }
    if any(part.is_inclusion and part.typed is None for part in parts):
        return _beside_a_rest(parts, entries, bar_g, leaving)
    found = _settled(parts, entries, bar_g, leaving) if entries else {}
    return {
        part.label: _as_decimal(found[part.label].percent_of_everything)
        for part in parts
        if part.label in found and part.mode != Mode.PERCENT
    }


def _settled(
    parts: Sequence[TypedPart], entries: Mapping[str, InclusionEntry], bar_g: Decimal | None, leaving: Leaving
) -> Mapping[str, InclusionShare]:
    """Where the rest is ground, how much of it there is and how much water leaves hang on each other.

    The water of the rest moves the inclusions by a few percent of themselves at most, so that a few rounds
    bring both to where they stay.
    """
    found = inclusion_shares(entries, bar_g)
    for _ in range(MOST_ROUNDS):
        before = next(iter(found.values()))
        now = leaving(_ground(parts, before.ground))
        if abs(now - before.leaving) < SETTLED:
            return found
        found = inclusion_shares(entries, bar_g, now)
    advice = "Type the share of each part that is ground, and let an inclusion be the rest."
    raise InputError("How much water leaves cannot be told", advice=advice, field="sum")


def _ground(parts: Sequence[TypedPart], ground: Fraction) -> Ground:
    """Return the shares of what is ground; the rest is what the others leave of it."""
    inside = [part for part in parts if not part.is_inclusion]
    typed = {part.label: Fraction(part.typed) / 100 for part in inside if part.typed is not None}
    left = max(Fraction(0), ground - sum(typed.values(), Fraction(0)))
    return typed | {part.label: left for part in inside if part.typed is None}


def _beside_a_rest(
    parts: Sequence[TypedPart], entries: Mapping[str, InclusionEntry], bar_g: Decimal | None, leaving: Leaving
) -> Mapping[str, Decimal | Rest]:
    """Where an inclusion is the rest, the ground part is what is typed of it."""
    typed = _ground(parts, Fraction(0))
    ground, dried = sum(typed.values(), Fraction(0)), leaving(typed)
    return {
        label: _as_decimal(inclusion_beside(ground, entry, bar_g, dried).percent_of_everything)
        for label, entry in entries.items()
        if entry.unit is not InclusionUnit.PERCENT
    }


def _as_decimal(number: Fraction) -> Decimal:
    return (Decimal(number.numerator) / Decimal(number.denominator)).quantize(_EXACT)
