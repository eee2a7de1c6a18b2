"""From amounts as typed to exact shares of everything weighed, inclusions counted in any of three ways."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from nibsmith.science.errors import InputError
from nibsmith.science.formulate import (
    REST,
    InclusionEntry,
    InclusionUnit,
    Rest,
    TypedShares,
    from_shares,
    inclusion_shares,
)
from nibsmith.science.mixture import MACHINE_STAGES, Stage
from nibsmith.shop.recipes.models import Mode

STORED = Decimal("0.000001")  # a share that follows from weights is kept to a millionth of a percent
_EXACT = Decimal("1e-12")  # where an inclusion counted otherwise joins the percentages; far below STORED
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


def shares(parts: Sequence[TypedPart], bar_g: Decimal | None = None) -> TypedShares:
    """Return the share of each part in everything weighed, exactly."""
    if not parts:
        raise InputError("A recipe needs at least one part", advice="Add what goes in first.", field="add")
    otherwise = [part for part in parts if part.mode in (Mode.PER_100, Mode.PER_BAR)]
    if not otherwise:
        return from_shares({part.label: _percent(part) for part in parts})
    counted = _inclusions(parts, bar_g)
    return from_shares({part.label: counted.get(part.label, _percent(part)) for part in parts})


def _percent(part: TypedPart) -> Decimal | Rest:
    return REST if part.typed is None else part.typed


def _inclusions(parts: Sequence[TypedPart], bar_g: Decimal | None) -> dict[str, Decimal | Rest]:
    """Return what is counted by the chocolate or the bar as percent of everything."""
    entries = {
        part.label: InclusionEntry(part.typed, UNITS[part.mode])
        for part in parts
        if part.is_inclusion and part.typed is not None
    }
    if any(part.is_inclusion and part.typed is None for part in parts):
        return dict(_beside_a_rest(parts, entries, bar_g))
    found = inclusion_shares(entries, bar_g)
    return {
        part.label: _as_decimal(found[part.label].percent_of_everything)
        for part in parts
        if part.label in found and part.mode != Mode.PERCENT
    }


def _beside_a_rest(
    parts: Sequence[TypedPart], entries: Mapping[str, InclusionEntry], bar_g: Decimal | None
) -> Mapping[str, Decimal]:
    """Where an inclusion is the rest, the chocolate is what the parts of the mass come to."""
    chocolate = sum((Fraction(part.typed or 0) for part in parts if not part.is_inclusion), Fraction(0))
    of_bar = {label: entry for label, entry in entries.items() if entry.unit is InclusionUnit.PER_BAR}
    per_bar = inclusion_shares(of_bar, bar_g) if of_bar else {}
    shares_of_bar = {label: _as_decimal(share.percent_of_everything) for label, share in per_bar.items()}
    per_100 = {
        label: _as_decimal(Fraction(entry.value) * chocolate / 100)
        for label, entry in entries.items()
        if entry.unit is InclusionUnit.PER_100_G
    }
    return {**shares_of_bar, **per_100}


def _as_decimal(number: Fraction) -> Decimal:
    return (Decimal(number.numerator) / Decimal(number.denominator)).quantize(_EXACT)
