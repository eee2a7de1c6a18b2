"""What makes a mass pour, in the order a maker tries it; each is asked again before it is offered."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import cache

from nibsmith.answers._pour_estimate import Case
from nibsmith.answers._pour_words import chance_words
from nibsmith.answers._setting import setting_of
from nibsmith.answers.answer import Change, Remedy, Verdict
from nibsmith.answers.apply import apply_remedy
from nibsmith.answers.context import Context
from nibsmith.answers.process import from_nibs, kit_of, process_of
from nibsmith.answers.wording import NO_BREAK, degrees_span, grams
from nibsmith.science.flow.matter import is_lecithin
from nibsmith.science.flow.parameters import span_of as flow_span
from nibsmith.science.mixture import COCOA_KINDS, Ingredient, Kind, Recipe, Span
from nibsmith.science.numerics import bracketed_root
from nibsmith.science.tables import load

Ask = Callable[[Recipe, Context], Verdict]
# Better is nearer to pouring; not to know is no step from not flowing.
RANK = {Verdict.UNKNOWN: 0, Verdict.STOP: 0, Verdict.WATCH: 1, Verdict.GOOD: 2}
BUTTER, LECITHIN = "cocoa_butter", "lecithin_sunflower"
# An amount is searched to this share of the largest one; rounding it up adds more.
AMOUNT_TOLERANCE = 1e-3
# An amount is rounded up to steps of at most this share of it, so that a tenth less is not enough.
ROUNDING_MARGIN = 0.05
# How far below the working temperature a mass counts as too cool.
COOL_MARGIN = 0.25
# A size or an amount is searched to this share of the largest one.
SIZE_TOLERANCE = 0.04


@dataclass(frozen=True)
class _Asked:
    """The recipe as it stands, and how it is asked."""

    recipe: Recipe
    context: Context
    case: Case
    verdict: Verdict
    ask: Ask

    def better(self, recipe: Recipe, context: Context) -> bool:
        """Whether the same question comes out better."""
        return RANK[self.ask(recipe, context)] > RANK[self.verdict]


def remedies(recipe: Recipe, context: Context, case: Case, verdict: Verdict, ask: Ask) -> Iterator[Remedy]:
    """Yield what makes the mass pour.

    Parameters
    ----------
    recipe : Recipe
        The recipe as it stands.
    context : Context
        Kit, process, scale, and whether the maker uses lecithin.
    case : Case
        Its estimate.
    verdict : Verdict
        The answer as it stands.
    ask : callable
        Takes a recipe and a context and gives the verdict.

    Yields
    ------
    Remedy
        Steps of work first, then butter in two amounts, then lecithin.
    """
    if verdict is Verdict.GOOD:
        return
    asked = _Asked(recipe, context, case, verdict, ask)
    for step in (_warm, _grind_on, _dry, _butter, _lecithin):
        yield from step(asked)


def dry_remedies(recipe: Recipe, context: Context, case: Case, ask: Ask) -> Iterator[Remedy]:
    """Yield drying, for a mass too wet or too cool for the estimate to say more."""
    asked = _Asked(recipe, context, case, Verdict.UNKNOWN, ask)
    for step in (_warm, _dry):
        yield from step(asked)


def _with_process(context: Context, **changes: object) -> Context:
    return replace(context, process=replace(process_of(context), **changes))  # type: ignore[arg-type]


def _warm(asked: _Asked) -> Iterator[Remedy]:
    """Warm enough: only where a temperature is given, for else the working temperature is taken."""
    work = asked.case.program.work_celsius
    if asked.case.temperature.value >= work.low - COOL_MARGIN:
        return
    if asked.better(asked.recipe, _with_process(asked.context, temperature_celsius=work)):
        yield Remedy(f"Warm it to {degrees_span(work)} before anything else.", checked=True)


def _grind_on(asked: _Asked) -> Iterator[Remedy]:
    """Ground enough: coarse cocoa holds its butter back; no finer than the kit reaches or than fine is."""
    case, finest = asked.case, max(kit_of(asked.context).size_um[0], flow_span("size_range").value)
    now = float(case.at.cocoa_um)
    if not from_nibs(asked.recipe) or now <= finest:
        return
    good = load("flow_uses")["chance_good"].value

    @cache  # the root asks for both ends again
    def too_thick(size: float) -> float:
        sugar = {"sugar_um": size} if case.sizes.same else {}
        return case.at_conditions(cocoa_um=size, **sugar).butter_missing(good)

    case.drawn_conditions  # noqa: B018  worked out once, shared by all trials
    if too_thick(finest) > 0 or too_thick(now) <= 0:
        return
    size = math.floor(bracketed_root(too_thick, now, finest, SIZE_TOLERANCE))
    exactly = Span.exactly(float(max(size, finest)))
    sugar = exactly if case.sizes.same else case.sizes.sugar
    ground = _with_process(asked.context, cocoa_d90_um=exactly, sugar_d90_um=sugar)
    if asked.better(asked.recipe, ground):
        words = f"Grind on until the largest cocoa grains are about {exactly.value:.0f}{NO_BREAK}µm"
        yield Remedy(f"{words}: then they hold less of their butter back.", checked=True)


def _dry(asked: _Asked) -> Iterator[Remedy]:
    """Dry enough."""
    enough = load("flow")["dry_enough"].value
    if float(asked.case.central.water) <= enough:
        return
    dry = Span.exactly(100 * enough)
    if not asked.better(asked.recipe, _with_process(asked.context, end_water_percent=dry)):
        return
    how = "leave the lid off and keep it warm"
    if asked.context.kit is None or asked.context.kit.end_water_percent is None:
        how = "dry nibs, sugar and milk powder warm before they go in"
    yield Remedy(f"Bring its water down to about {dry.value:.0f}{NO_BREAK}%: {how}.", checked=True)


def _butter(asked: _Asked) -> Iterator[Remedy]:
    """Cocoa butter in two amounts, likely enough and sure, as far as the estimate reaches."""
    offered, (least_g, most_g) = 0.0, _butter_in_range(asked.case)
    for key, words in (("chance_good", "likely enough"), ("chance_sure", "to be sure")):
        chance = load("flow_uses")[key].value
        needed_g = max(asked.case.butter_needed(chance), least_g)
        add_g = rounded_up(needed_g, asked.context.scale_g)
        if not offered < add_g <= most_g or not asked.better(_buttered(asked, add_g), asked.context):
            continue
        if not offered:
            add_g = _less_as_another_kind(asked, add_g)
        offered = add_g
        remedy = _added(asked.recipe, _label(asked.recipe, Kind.BUTTER, BUTTER), add_g, BUTTER)
        amount = grams(_ceiling(add_g, asked.context.scale_g), asked.context.scale_g)
        text = f"Add {amount} of cocoa butter, {words} ({chance_words(chance)})."
        yield replace(remedy, sentence=text + _name_words(asked.recipe, remedy), checked=True)


def _buttered(asked: _Asked, add_g: float) -> Recipe:
    label = _label(asked.recipe, Kind.BUTTER, BUTTER)
    return apply_remedy(asked.recipe, Remedy("", (Change(label, add_g, BUTTER),)))


def _less_as_another_kind(asked: _Asked, add_g: float) -> float:
    """The least that is good where butter makes a milk mass count as dark, which is poured warmer."""

    @cache
    def short(amount_g: float) -> float:
        good = asked.ask(_buttered(asked, amount_g), asked.context) is Verdict.GOOD
        return -1.0 if good else 1.0

    if setting_of(_buttered(asked, add_g)).chocolate is asked.case.program.chocolate:
        return add_g
    if short(add_g) > 0 or short(0.5 * add_g) < 0:
        return add_g
    least_g = bracketed_root(short, 0.5 * add_g, add_g, SIZE_TOLERANCE)
    return min(add_g, rounded_up(least_g, asked.context.scale_g))


def _butter_in_range(case: Case) -> tuple[float, float]:
    """Butter with which the free fat comes to either end of the estimate's range [g]."""
    span, law = flow_span("fat_range"), case.central
    finished_g = (case.matter.charge - case.matter.water.value) / (1 - float(law.water))
    least, most = (finished_g * (end - float(law.liquid_fat)) / (1 - end) for end in (span.low, span.high))
    return least, most


def _lecithin(asked: _Asked) -> Iterator[Remedy]:
    """Lecithin, up to half a percent, where the recipe holds it or the maker uses it."""
    case = asked.case
    if not (case.matter.lecithin or asked.context.uses_lecithin):
        return
    most = load("flow")["lecithin_most"].value
    most_g = (most * case.matter.charge - case.matter.lecithin) / (1 - most)
    good = load("flow_uses")["chance_good"].value

    def too_thick(add_g: float) -> float:
        return _over(case.of(case.matter.with_lecithin(add_g)), good)

    if most_g <= 0 or too_thick(most_g) > 0 or too_thick(0.0) <= 0:
        return
    add_g = bracketed_root(too_thick, 0.0, most_g, AMOUNT_TOLERANCE)
    add_g = min(rounded_up(add_g, Decimal(1) / 10), most_g)
    label = _label(asked.recipe, Kind.EMULSIFIER, LECITHIN, is_lecithin)
    remedy = _added(asked.recipe, label, add_g, LECITHIN)
    if asked.better(apply_remedy(asked.recipe, remedy), asked.context):
        amount = grams(_ceiling(add_g, Decimal(1) / 10), Decimal(1) / 10)
        share = (case.matter.lecithin + add_g) / (case.matter.charge + add_g)
        text = f"Or stir in {amount} of lecithin in the last hour, {100 * share:.2f}{NO_BREAK}% of the mass."
        yield replace(remedy, sentence=text, checked=True)


def _over(case: Case, chance: float) -> float:
    """How far the mass is above its limit, as a logarithm; infinite where it does not flow."""
    thickness = case.thickness_likely(chance)
    return math.inf if thickness == math.inf else math.log(thickness)


def _added(recipe: Recipe, label: str, add_g: float, key: str) -> Remedy:
    remedy = Remedy("", (Change(label, add_g, key),))
    return replace(remedy, new_total_g=apply_remedy(recipe, remedy).total_g)


def _label(recipe: Recipe, kind: Kind, key: str, fits: Callable[[Ingredient], bool] = lambda _: True) -> str:
    """The part of this kind that is ground in and fits, or a label that no part has."""
    for part in recipe.parts:
        if part.kind is kind and part.in_machine and isinstance(part.of, Ingredient) and fits(part.of):
            return part.label
    labels = {part.label for part in recipe.parts}
    return key if key not in labels else f"{key}_added"


def _name_words(recipe: Recipe, remedy: Remedy) -> str:
    """What butter does to the cocoa share, where it shows."""
    shares = []
    for one in (recipe, apply_remedy(recipe, remedy)):
        leaves = [leaf for leaf in one.leaves() if leaf.in_machine]
        cocoa_g = sum(leaf.mass_g for leaf in leaves if leaf.kind in COCOA_KINDS)
        shares.append(f"{100 * cocoa_g / sum(leaf.mass_g for leaf in leaves):.1f}")
    if shares[0] == shares[1]:
        return ""
    return f" Cocoa goes from {shares[0]} to {shares[1]}{NO_BREAK}%: look at the name again."


def rounded_up(amount_g: float, step_g: Decimal) -> float:
    """Return an amount rounded up to a step of the scale, or to a finer one where that would add too much.

    Nothing stays nothing.

    Examples
    --------
    >>> rounded_up(63.2, Decimal(1)), rounded_up(3.21, Decimal(1))
    (64.0, 3.3)
    """
    if amount_g <= 0:
        return 0.0
    step = Decimal(step_g)
    while step > Decimal(str(ROUNDING_MARGIN)) * Decimal(amount_g):
        step /= 10
    return float(_ceiling(amount_g, step))


def _ceiling(amount_g: float, step_g: Decimal) -> Decimal:
    return (Decimal(amount_g) / step_g).to_integral_value(rounding="ROUND_CEILING") * step_g
