"""The weigh card of a batch sheet: the parts in order of use as the scale shows them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from decimal import Decimal

from nibsmith.answers._process import in_order_of_use
from nibsmith.answers.context import Context
from nibsmith.answers.sheet.cards import WeighCard, WeighRow
from nibsmith.answers.sizing import share_words
from nibsmith.answers.wording import capital, grams, joined, thing, whose
from nibsmith.science.formulate import Premix, SmallDose, round_to_scale, small_doses
from nibsmith.science.mixture import Part, Recipe, Stage
from nibsmith.science.quantities import format_mass, format_percent

OUNCE_STEP = Decimal("0.01")
_STAGES = {Stage.LATE: "late", Stage.WITH_SUGAR: "", Stage.START: ""}


def weigh_card(recipe: Recipe, weighed: Recipe, context: Context) -> WeighCard:
    """Return the parts of the mass in order of use, rounded together with the rest of the recipe.

    Parameters
    ----------
    recipe : Recipe
        The recipe, whose shares are shown.
    weighed : Recipe
        The same recipe as it is weighed for this batch.
    context : Context
        Its scale gives the step.

    Returns
    -------
    WeighCard
        Every weight a multiple of the scale's step [g].
    """
    masses = rounded_masses(weighed, context)
    parts = in_order_of_use(weighed)
    total_g = sum((masses[part.label] for part in parts), Decimal(0))
    return WeighCard(
        rows=tuple(_row(recipe, part, masses[part.label], context) for part in parts),
        total_g=total_g,
        metric=grams_on(total_g, context),
        imperial=format_mass(total_g, "lb oz", OUNCE_STEP),
        small_doses=tuple(_doses(weighed, context)),
        remarks=tuple(_remarks(recipe, weighed, masses, context)),
    )


def rounded_masses(recipe: Recipe, context: Context) -> Mapping[str, Decimal]:
    """Return every weight of a recipe as the scale shows it, by label [g]."""
    exact = {part.label: part.mass_g for part in recipe.parts}
    return round_to_scale(exact, context.scale_g).masses_g


def grams_on(mass_g: Decimal | float, context: Context) -> str:
    """Return a weight as the scale shows it."""
    return format_mass(mass_g, resolution=context.scale_g)


def _remarks(
    recipe: Recipe, weighed: Recipe, masses_g: Mapping[str, Decimal], context: Context
) -> Iterator[str]:
    words = share_words(recipe, weighed)
    if words:
        yield words
    for part in in_order_of_use(weighed):
        if isinstance(part.of, Recipe):
            made = rounded_masses(part.of.scaled(float(masses_g[part.label])), context)
            inside = [
                f"{grams_on(mass_g, context)} of {thing(part.of.part(label))}"
                for label, mass_g in made.items()
            ]
            yield f"In the {grams_on(masses_g[part.label], context)} of {part.name}: {joined(inside)}."


def _row(recipe: Recipe, part: Part, mass_g: Decimal, context: Context) -> WeighRow:
    return WeighRow(
        label=part.label,
        name=part.name,
        note=_note(part),
        mass_g=mass_g,
        metric=grams_on(mass_g, context),
        imperial=format_mass(mass_g, "lb oz", OUNCE_STEP),
        share=format_percent(100 * recipe.share(part.label)),
    )


def _note(part: Part) -> str:
    return ", ".join(word for word in (_STAGES.get(part.stage, ""), whose(part)) if word)


def _doses(recipe: Recipe, context: Context) -> Iterator[str]:
    for dose in small_doses(recipe, context.scale_g):
        part = recipe.part(dose.label)
        if part.in_machine:
            yield _dose(part, dose, recipe)


def _dose(part: Part, dose: SmallDose, recipe: Recipe) -> str:
    step, finer = (format_mass(step_g, resolution=step_g) for step_g in (dose.step_g, dose.finer_g))
    words = (
        f"{capital(part.name)}, {grams(dose.mass_g, dose.finer_g)}: a scale of {step} is out by up to "
        f"{dose.error_percent:.0f} % of it. Weigh it on one of {finer}"
    )
    return f"{words}{_premix(dose.premix, dose.step_g, recipe)}." if dose.premix else f"{words}."


def _premix(premix: Premix, step_g: Decimal, recipe: Recipe) -> str:
    carrier = thing(recipe.part(premix.carrier))
    weighed = (premix.dose_g, premix.carrier_g, premix.take_g, premix.carried_g)
    dose, into, take, less = (grams(mass_g, step_g) for mass_g in weighed)
    return f", or mix {dose} of it with {into} of {carrier}, take {take} of that, and {less} less {carrier}"
