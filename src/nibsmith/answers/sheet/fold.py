"""The fold-in card and the mould card of a batch sheet."""

from __future__ import annotations

import math
from collections.abc import Iterator

from nibsmith.answers._out import Out
from nibsmith.answers.context import Context
from nibsmith.answers.sheet.cards import Fact, FoldInCard, FoldInRow, MouldCard
from nibsmith.answers.sheet.weights import grams_on
from nibsmith.answers.wording import degrees, degrees_span, exactly, grams, joined, thing, whose
from nibsmith.science.errors import UnknownFigure
from nibsmith.science.formulate import fold_in_for
from nibsmith.science.mixture import Ingredient, Part, Recipe, Span, Stage
from nibsmith.science.quantities import round_half_up
from nibsmith.science.quantities.formats import TENTH
from nibsmith.science.tables import load
from nibsmith.science.temper import FoldIn, Program, heat_capacity, mixed_celsius

GRAMS_PER_KG = 1000
# A count of bars this close to a whole number is that number: far under one milligram of mass.
_COUNT_EPSILON = 1e-9
_STAGES = {Stage.FOLDED_IN: "folded in", Stage.ON_BACK: "on the back", Stage.FILLING: "filling"}
_PLACES = (("From a room at", "room"), ("From a fridge at", "fridge"), ("From a freezer at", "freezer"))


def fold_in_card(
    recipe: Recipe, weighed: Recipe, out: Out, context: Context, program: Program | None
) -> FoldInCard | None:
    """Return what is folded in, weighed for the mass that is there.

    Parameters
    ----------
    recipe : Recipe
        The recipe, whose shares decide.
    weighed : Recipe
        The same recipe as it is weighed for this batch.
    out : Out
        The batch.
    context : Context
        Its scale gives the step.
    program : Program or None
        Its working temperature is the fold-ins' too.

    Returns
    -------
    FoldInCard or None
        ``None`` where nothing is folded in, put on the back or filled.
    """
    parts = [part for part in weighed.parts if not part.in_machine and part.mass_g > 0]
    if not parts or not out.batch.charge_g:
        return None
    per_kg, planned_g = (_for_mass(recipe, mass_g, out) for mass_g in (GRAMS_PER_KG, out.batch.poured_g))
    rows = tuple(
        FoldInRow(
            label=part.label,
            name=part.name,
            stage=", ".join(word for word in (_STAGES[part.stage], whose(part)) if word),
            in_recipe=grams_on(part.mass_g, context),
            planned_g=round_half_up(planned_g[part.label], context.scale_g),
            planned=grams_on(planned_g[part.label], context),
            per_kg=grams(per_kg[part.label], TENTH),
        )
        for part in parts
    )
    inside = [part for part in parts if part.stage is Stage.FOLDED_IN]
    return FoldInCard(
        planned_mass=grams(out.batch.poured_g),
        rows=rows,
        sentence=_warm(program) if inside else "",
        cold=tuple(_cold(inside, planned_g, out.batch.poured_g, program)),
        note=_not_computed(inside),
    )


def mould_card(recipe: Recipe, out: Out, context: Context) -> MouldCard | None:
    """Return how many bars and moulds the mass that comes out fills, with what is folded in for it.

    Parameters
    ----------
    recipe : Recipe
        The recipe, whose shares decide.
    out : Out
        The batch; its range is that of what stays on the machine.
    context : Context
        Its mould.

    Returns
    -------
    MouldCard or None
        ``None`` without a mould.
    """
    mould = context.mould
    if mould is None:
        return None
    poured = out.product_g + Span.exactly(-out.batch.added_g)
    filled = [_with_fold_ins(recipe, mass_g, out) for mass_g in (poured.low, poured.value, poured.high)]
    low, usual, high = (math.floor(mass_g / mould.cavity_g * (1 + _COUNT_EPSILON)) for mass_g in filled)
    count = f"{usual}" if low == high else f"{usual} ({low} to {high}, by what stays on the machine)"
    times = math.ceil(usual / mould.cavities)
    facts = (
        ("Bars", f"{count} of {exactly(mould.cavity_g)}"),
        *((("Moulds", f"{times} of {mould.cavities} cavities"),) if mould.cavities > 1 else ()),
        ("Left over", f"about {grams(max(0.0, filled[1] - usual * mould.cavity_g))}"),
    )
    return MouldCard(mould.name, facts)


def _with_fold_ins(recipe: Recipe, mass_g: float, out: Out) -> float:
    return max(0.0, mass_g) + sum(_for_mass(recipe, mass_g, out).values())


def _for_mass(recipe: Recipe, mass_g: float, out: Out) -> dict[str, float]:
    if mass_g <= 0:
        return {part.label: 0.0 for part in recipe.parts}
    return dict(fold_in_for(recipe, mass_g, out.end_water_percent))


def _warm(program: Program | None) -> str:
    within = load("temper")["fold_in_within"].value
    if program is None:
        return f"Bring them to within {within:g} K of the mass."
    work = program.work_celsius
    return (
        f"Bring them to {degrees_span(Span(work.low - within, work.value, work.high + within))} first, dry."
    )


def _cold(
    parts: list[Part], planned_g: dict[str, float], mass_g: float, program: Program | None
) -> Iterator[Fact]:
    """What the whole would fall to if the fold-ins came from somewhere colder."""
    if program is None or not parts or mass_g <= 0 or _unknown(parts):
        return
    work = program.work_celsius.value
    for words, key in _PLACES:
        celsius = load("temper")[key].value
        cold = [FoldIn(planned_g[part.label], celsius, _heat_capacity(part, celsius)) for part in parts]
        fallen = float(mixed_celsius(mass_g, work, cold))
        yield f"{words} {degrees(celsius)}", f"{degrees(work)} falls to {degrees(fallen)}"


def _heat_capacity(part: Part, celsius: float) -> float:
    """Heat capacity of a part [J/(kg K)]; a recipe folded in counts as chocolate."""
    if isinstance(part.of, Ingredient):
        return float(heat_capacity(part.of, celsius))
    return load("heat_capacity")["chocolate"].value


def _unknown(parts: list[Part]) -> list[str]:
    names = []
    for part in parts:
        try:
            _heat_capacity(part, load("temper")["room"].value)
        except UnknownFigure:
            names.append(thing(part))
    return names


def _not_computed(parts: list[Part]) -> str:
    names = _unknown(parts)
    if names:
        return f"What cold ones do is not worked out: no full analysis of {joined(names)}."
    return "Worked out without losses and without freezing heat." if parts else ""
