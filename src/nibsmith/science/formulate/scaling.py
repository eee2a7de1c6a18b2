"""A recipe at another size: to a total, or to what is on hand of one part."""

from __future__ import annotations

import math

from nibsmith.science.errors import InputError
from nibsmith.science.mixture import Recipe


def positive(value: float, field: str) -> float:
    """Return an amount above zero, or refuse it.

    Parameters
    ----------
    value : float
        The amount [any unit].
    field : str
        What it was asked as; the refusal carries it.

    Returns
    -------
    float
        The amount as it was given [any unit].

    Raises
    ------
    InputError
        If it is zero, below zero, without end, or no number.

    Examples
    --------
    >>> positive(2.5, "total_g")
    2.5
    >>> positive(0.0, "total_g")
    Traceback (most recent call last):
        ...
    nibsmith.science.errors.InputError: This is not an amount (got 0.0, limit more than 0).
    """
    if not 0 < value < math.inf:
        raise InputError("This is not an amount", value=value, limit="more than 0", field=field)
    return value


def scale_to_total(recipe: Recipe, total_g: float) -> Recipe:
    """Return the recipe with everything weighed coming to a total.

    ``m_i = s_i M``.

    Parameters
    ----------
    recipe : Recipe
        The recipe.
    total_g : float
        Everything weighed [g].

    Returns
    -------
    Recipe
        The same shares at this total [g].

    Raises
    ------
    InputError
        If the total is not a weight above zero.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 70.0), part("sugar_granulated", 30.0)))
    >>> scale_to_total(bar, 500.0).part("cocoa_mass").mass_g
    350.0
    """
    return recipe.scaled(positive(total_g, "total_g"))


def scale_to_on_hand(recipe: Recipe, label: str, on_hand_g: float) -> Recipe:
    """Return the recipe that uses up what is on hand of one part.

    ``M = m / s``.

    Parameters
    ----------
    recipe : Recipe
        The recipe.
    label : str
        The part on hand.
    on_hand_g : float
        How much of it there is [g].

    Returns
    -------
    Recipe
        The same shares, with exactly this much of the part [g].

    Raises
    ------
    InputError
        If the part is not in the recipe, has no share in it, or the amount is not a weight above zero.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 70.0), part("sugar_granulated", 30.0)))
    >>> scale_to_on_hand(bar, "cocoa_mass", 1050.0).total_g
    1500.0
    """
    share = recipe.share(label)
    if not share:
        raise InputError(
            f"{recipe.part(label).name} has no share in this recipe",
            value="0 %",
            advice="Give it a share first, or scale from another part.",
            field=label,
        )
    masses = {part.label: on_hand_g / share * recipe.share(part.label) for part in recipe.parts}
    return recipe.weighing({**masses, label: positive(on_hand_g, label)})
