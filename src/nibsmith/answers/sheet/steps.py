"""The steps of a batch sheet, each with the weights it takes up."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from nibsmith.answers._out import Out
from nibsmith.answers._process import BUTTER, facts_of, in_order_of_use, slot_of, steps_for
from nibsmith.answers.context import Context
from nibsmith.answers.sheet.cards import Fact, Step
from nibsmith.answers.sheet.kit import ceiling_celsius, hours_words, size_words, warm_words
from nibsmith.answers.sheet.weights import grams_on
from nibsmith.answers.wording import degrees, degrees_span, grams, told_apart
from nibsmith.science.mixture import Part, Recipe, Span
from nibsmith.science.tables import Constant, load
from nibsmith.science.temper import Chocolate, FatPhase


@dataclass(frozen=True)
class Making:
    """What the steps are written from: the recipe as weighed, the batch, its fat, its rounded weights [g]."""

    recipe: Recipe
    out: Out
    chocolate: Chocolate | None
    fat: FatPhase | None
    masses_g: Mapping[str, Decimal]


def steps_of(making: Making, context: Context) -> Iterator[Step]:
    """Yield the steps of the work in their order.

    Parameters
    ----------
    making : Making
        The batch.
    context : Context
        Its kit chooses the process.

    Yields
    ------
    Step
        With the weights of the parts that go in at it; each part goes in once.
    """
    words = _words(making, context)
    waiting = list(in_order_of_use(making.recipe))
    for row in steps_for(context.kit, facts_of(making.recipe, context.kit)):
        taken = [part for part in waiting if slot_of(part) in row.get("slots", ())]
        waiting = [part for part in waiting if part not in taken]
        weights = tuple(_weight(part, making, context) for part in taken)
        yield Step(str(row["title"]), str(row["text"]).format_map(words).strip(), weights)


def dough_butter_g(making: Making, dough_percent: float) -> float:
    """Return the butter to hold back so that the rest is a dough of this fat [g].

    ``(F - h) / (M - h) = d``, so ``h = (F - d·M) / (1 - d)``, within the butter there is.
    """
    if making.fat is None:
        return 0.0
    mass_g = making.out.batch.charge_g
    fat_g, share = making.fat.total_percent.value * mass_g / 100, dough_percent / 100
    butter_g = sum(part.mass_g for part in making.recipe.parts if part.in_machine and slot_of(part) == BUTTER)
    return min(butter_g, max(0.0, (fat_g - share * mass_g) / (1 - share)))


def _weight(part: Part, making: Making, context: Context) -> Fact:
    return told_apart(part, making.recipe.parts), grams_on(making.masses_g[part.label], context)


def _words(making: Making, context: Context) -> dict[str, Any]:
    kit, table = context.kit, load("temper")
    return {
        "warm": warm_words(kit, making.chocolate),
        "ceiling": degrees(ceiling_celsius(kit, making.chocolate)),
        "size": "" if kit is None else size_words(kit.size_um),
        "hours": "" if kit is None else hours_words(kit.hours),
        "dough": _dough(making),
        "room": degrees(table["room"].value),
        "cooling": degrees_span(_span(table["cooling"])),
        "mass": f"about {grams(making.out.batch.poured_g)}",
    }


def _dough(making: Making) -> str:
    if making.fat is None:
        return ""
    dough, charge_g = load("temper")["dough_fat"], making.out.batch.charge_g
    held_g = dough_butter_g(making, dough.value)
    if held_g >= charge_g:
        return ""  # butter alone makes no dough
    fat_g = making.fat.total_percent.value * charge_g / 100
    left = f"a dough of about {100 * (fat_g - held_g) / (charge_g - held_g):.0f} % fat"
    usual = f"{dough.low:g} to {dough.high:g} % is usual"
    if held_g < 1:
        return f"It makes {left}; {usual}."
    return f"Hold back about {grams(held_g)} of the butter: that leaves {left}; {usual}."


def _span(row: Constant) -> Span:
    return Span(row.low or row.value, row.value, row.high or row.value)
