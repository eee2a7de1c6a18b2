"""Which ingredients are liquids or wet foods, by tag or by their water."""

from __future__ import annotations

from nibsmith.science.mixture import Ingredient, Kind, Leaf
from nibsmith.science.tables import load

LIQUID_TAGS = frozenset({"liquid"})
WET_TAGS = frozenset({"fresh_fruit", "fruit_in_syrup", "soft_caramel"})
_DISSOLVED = frozenset({Kind.SUGAR, Kind.SWEETENER, Kind.MILK, Kind.FLAVOURING})


def is_liquid(leaf: Leaf) -> bool:
    """Return whether an ingredient is a liquid: a syrup, an extract, liquid milk, anything with alcohol.

    By its tag; by any alcohol; or by its water, from 10 % on for a sugar, sweetener, milk or flavouring.

    Parameters
    ----------
    leaf : Leaf
        The ingredient inside a recipe.

    Returns
    -------
    bool
        ``False`` too where its water is not known and no tag says so.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, Recipe, part
    >>> bar = Recipe("b", Form.BAR, (part("honey", 1.0), part("cinnamon", 1.0)))
    >>> [is_liquid(leaf) for leaf in bar.leaves()]
    [True, False]

    References
    ----------
    [common-practice]
    """
    ingredient = leaf.ingredient
    if ingredient.tags & LIQUID_TAGS or ingredient.composition.get("alcohol_g", 0.0) > 0:
        return True
    return leaf.kind in _DISSOLVED and _water(ingredient) >= load("keep")["syrup_water"].value


def is_wet_food(leaf: Leaf) -> bool:
    """Return whether an ingredient is a wet food: fresh or frozen fruit, fruit in syrup, soft caramel.

    By its tag, or by water from 40 % on.

    Parameters
    ----------
    leaf : Leaf
        The ingredient inside a recipe.

    Returns
    -------
    bool
        ``False`` too where its water is not known and no tag says so.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, Recipe, part
    >>> [is_wet_food(leaf) for leaf in Recipe("b", Form.BAR, (part("raspberry_raw", 1.0),)).leaves()]
    [True]

    References
    ----------
    [common-practice]
    """
    ingredient = leaf.ingredient
    return bool(ingredient.tags & WET_TAGS) or _water(ingredient) >= load("keep")["wet_food_water"].value


def _water(ingredient: Ingredient) -> float:
    return ingredient.composition.get("water_g", 0.0)
