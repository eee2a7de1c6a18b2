"""What comes out of a kit from what a recipe weighs, with the range of what stays behind."""

from __future__ import annotations

from dataclasses import dataclass, replace
from types import MappingProxyType

from nibsmith.answers.context import Context
from nibsmith.science.formulate import Batch, MachineLoss, batch_of
from nibsmith.science.mixture import Ingredient, Part, Recipe, Span

_WATER = "water_g"


@dataclass(frozen=True)
class Out:
    """The batch as usual, and what it yields at least and at most [g].

    ``water_unknown`` names parts whose water is not given: they are taken as dry, so that a pinch of vanilla
    does not hide what the rest loses; a little more may leave than is said.
    """

    batch: Batch
    product_g: Span
    water_unknown: tuple[str, ...]


def out_of(recipe: Recipe, context: Context) -> Out:
    """Return what comes out of the kit.

    Parameters
    ----------
    recipe : Recipe
        What is weighed.
    context : Context
        Its kit keeps some back and drives water out; its mould gives the mass of a bar. Without a kit nothing
        is lost.

    Returns
    -------
    Out
        The usual batch; the low end keeps the most back [g].
    """
    kit = context.kit
    kept = Span.exactly(0.0) if kit is None else kit.residue_g
    percent = 0.0 if kit is None else kit.loss_percent
    cavity_g = 0.0 if context.mould is None else context.mould.cavity_g
    dry = taken_as_dry(recipe)
    most, usual, least = (
        batch_of(dry, cavity_g, MachineLoss(kept_g, percent, context.end_water_percent))
        for kept_g in (kept.high, kept.value, kept.low)
    )
    unknown = () if context.end_water_percent is None else without_water(recipe)
    return Out(usual, Span(most.product_g, usual.product_g, least.product_g), unknown)


def without_water(recipe: Recipe) -> tuple[str, ...]:
    """Return the names of ingredients in the machine whose water is not given."""
    leaves = (leaf for leaf in recipe.leaves() if leaf.in_machine and leaf.mass_g > 0)
    return tuple(
        dict.fromkeys(leaf.ingredient.name for leaf in leaves if _WATER not in leaf.ingredient.composition)
    )


def taken_as_dry(recipe: Recipe) -> Recipe:
    """Return the recipe with no water in what nobody has given any for."""
    if not without_water(recipe):
        return recipe
    return replace(recipe, parts=tuple(_dry(part) for part in recipe.parts))


def _dry(part: Part) -> Part:
    if isinstance(part.of, Recipe):
        return replace(part, of=replace(part.of, parts=tuple(_dry(inner) for inner in part.of.parts)))
    if _WATER in part.of.composition:
        return part
    composition = MappingProxyType({**part.of.composition, _WATER: 0.0})
    dry: Ingredient = replace(part.of, composition=composition)
    return replace(part, of=dry)
