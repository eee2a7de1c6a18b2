"""Putting a remedy into a recipe."""

from __future__ import annotations

from dataclasses import replace

from nibsmith.answers.answer import Change, Remedy
from nibsmith.science.mixture import Recipe, part


def apply_remedy(recipe: Recipe, remedy: Remedy, fraction: float = 1.0) -> Recipe:
    """Return the recipe with the changes of a remedy made.

    Parameters
    ----------
    recipe : Recipe
        The recipe the remedy was worked out for.
    remedy : Remedy
        The remedy.
    fraction : float
        How much of each change to make [1]; a test asks with half.

    Returns
    -------
    Recipe
        Masses changed [g]; a new part stands at the end.

    Raises
    ------
    UnknownIngredient
        If a new part names an ingredient that is in no table.
    """
    for change in remedy.changes:
        recipe = _apply(recipe, change, fraction)
    return recipe


def _apply(recipe: Recipe, change: Change, fraction: float) -> Recipe:
    add_g = change.add_g * fraction
    for old in recipe.parts:
        if old.label == change.part:
            return recipe.weighing({old.label: max(0.0, old.mass_g + add_g)})
    new = part(change.ingredient or change.part, add_g, label=change.part)
    return replace(recipe, parts=(*recipe.parts, new))
