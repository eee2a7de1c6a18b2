"""A stock inside a sentence: the part or the ingredient that it is of."""

from __future__ import annotations

from nibsmith.answers.wording import thing
from nibsmith.science.mixture import Recipe


def stock_words(key: str, *recipes: Recipe) -> str:
    """Return what a stock is of, as it stands inside a sentence; its key where no recipe has it.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> sugars = (part("sugar_granulated", 20.0, label="first"), part("sugar_granulated", 10.0, label="last"))
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 70.0), *sugars))
    >>> stock_words("cocoa_mass", bar), stock_words("sugar_granulated", bar), stock_words("salt", bar)
    ('cocoa mass', 'granulated sugar', 'salt')
    """
    for recipe in recipes:
        for part in recipe.parts:
            if part.label == key:
                return thing(part)
        for leaf in recipe.leaves():
            if leaf.ingredient.key == key:
                return thing(leaf.ingredient)
    return key
