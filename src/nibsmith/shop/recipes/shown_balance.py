"""A balance as the page shows it: what changes, what holds, or what stands in the way."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from nibsmith.answers.answer import Verdict
from nibsmith.answers.balance import Balanced, Held
from nibsmith.answers.wording import told_apart
from nibsmith.shop.common.said import said_in, unbroken
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.recipes.balancing import (
    USUAL,
    Asked,
    Bound,
    figure_bounds,
    share_bounds,
    unit_of,
    words_of,
)
from nibsmith.shop.recipes.opening import Opened
from nibsmith.shop.recipes.written import HUNDREDTH, Weight, share_text, weight

MINUS = "\u2212"
SAYS = {"min": "at least", "max": "at most"}


@dataclass(frozen=True, slots=True)
class LimitRow:
    """One figure or share that can be limited, with its two fields: name, what it says, text, error."""

    key: str
    words: str
    unit: str
    fields: tuple[tuple[str, str, str, str], ...]
    is_added: bool = False
    stays: bool = False


@dataclass(frozen=True, slots=True)
class DiffRow:
    """One part before and after."""

    name: str
    before: Weight
    after: Weight
    before_share: str
    after_share: str
    change: str
    is_new: bool


@dataclass(frozen=True, slots=True)
class ShownBalance:
    """A balance; without one, what would have to give."""

    heading: str
    sentence: str
    rows: tuple[DiffRow, ...]
    totals: tuple[Weight, Weight] | None
    held: tuple[Held, ...]
    cost: tuple[str, str] | None
    cost_of: str
    remarks: tuple[str, ...]
    advice: str
    gives: tuple[str, ...]


def limit_rows(asked: Asked) -> tuple[LimitRow, ...]:
    """Return the figures that can be limited."""
    return tuple(
        LimitRow(key, words_of(key), unit_of(key), _fields(asked, figure_bounds(key)), key not in USUAL)
        for key in asked.figures
    )


def share_rows(asked: Asked, opened: Opened) -> tuple[LimitRow, ...]:
    """Return the parts whose shares can be limited, and whether a share stays as it is."""
    return tuple(
        LimitRow(
            part.label,
            told_apart(part, opened.recipe.parts),
            "%",
            _fields(asked, share_bounds([part.label])),
            stays=part.label in asked.locked,
        )
        for part in opened.recipe.parts
    )


def _fields(asked: Asked, bounds: Sequence[Bound]) -> tuple[tuple[str, str, str, str], ...]:
    return tuple(
        (bound.name, SAYS[bound.end], asked.texts[bound.name], unbroken(asked.errors.get(bound.name, "")))
        for bound in bounds
    )


def show_balance(found: Balanced, opened: Opened, settings: WorkshopSettings) -> ShownBalance:
    """Show a balance."""
    shown = ShownBalance(
        heading=_heading(found),
        sentence=found.sentence,
        rows=tuple(_rows(found, opened, settings)),
        totals=_totals(found, opened, settings),
        held=found.held,
        cost=_cost(found, settings),
        cost_of=found.cost_of,
        remarks=(*found.remarks, *(f"Not on this scale: {words}." for words in found.missed_on_scale)),
        advice=found.advice,
        gives=found.gives,
    )
    return said_in(shown, settings)


def _heading(found: Balanced) -> str:
    """Call a proposal so only where it is all that was asked."""
    if found.recipe is None:
        return "Cannot tell" if found.unknown else "It cannot be"
    return "Proposal" if found.verdict is Verdict.GOOD else found.word.rstrip(".")


def _rows(found: Balanced, opened: Opened, settings: WorkshopSettings) -> list[DiffRow]:
    if found.recipe is None or not found.changes:
        return []
    before = {part.label: part.mass_g for part in opened.recipe.parts}
    after = found.weigh_g
    total, new_total = sum(before.values()), sum(after.values())
    return [
        DiffRow(
            name=told_apart(part, found.recipe.parts),
            before=weight(before.get(part.label, 0.0), settings),
            after=weight(after[part.label], settings),
            before_share=_share(before.get(part.label, 0.0), total, settings),
            after_share=_share(after[part.label], new_total, settings),
            change=_change(after[part.label] - before.get(part.label, 0.0), settings),
            is_new=part.label not in before,
        )
        for part in found.recipe.parts
    ]


def _totals(found: Balanced, opened: Opened, settings: WorkshopSettings) -> tuple[Weight, Weight] | None:
    if found.recipe is None:
        return None
    after = sum(found.weigh_g.values())
    return weight(opened.recipe.total_g, settings), weight(after, settings)


def _share(grams: float, total: float, settings: WorkshopSettings) -> str:
    return share_text(Fraction(grams) * 100 / Fraction(total), settings, HUNDREDTH)


def _change(grams: float, settings: WorkshopSettings) -> str:
    shown = weight(abs(grams), settings)
    if not any(sign in "123456789" for sign in shown.number):
        return ""
    return f"{'+' if grams > 0 else MINUS}{shown.number}\u00a0{shown.unit}"


def _cost(found: Balanced, settings: WorkshopSettings) -> tuple[str, str] | None:
    if found.cost_before is None or found.cost_after is None:
        return None
    return str(found.cost_before), str(found.cost_after)
