"""Which part of a recipe a word means."""

from __future__ import annotations

import difflib

from nibsmith.science.errors import InputError
from nibsmith.science.mixture import Ingredient, Part, Recipe
from nibsmith.science.quantities.cleaning import shown


def label_of(recipe: Recipe, word: str) -> str:
    """Return the label of the one part that a word means.

    Parameters
    ----------
    recipe : Recipe
        The recipe.
    word : str
        A label, an ingredient's key, or a part's name in any case.

    Returns
    -------
    str
        The label.

    Raises
    ------
    InputError
        If no part is meant, or more than one.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> label_of(Recipe("bar", Form.BAR, (part("cocoa_butter", 1.0, label="butter"),)), "cocoa_butter")
    'butter'
    """
    if any(part.label == word for part in recipe.parts):
        return word
    meant = [part for part in recipe.parts if word.casefold() in _words(part)]
    if len(meant) == 1:
        return meant[0].label
    labels = [part.label for part in recipe.parts]
    if meant:
        which = ", ".join(part.label for part in meant)
        raise InputError("Several parts are meant", value=shown(word), advice=f"Write the label: {which}.")
    near = difflib.get_close_matches(word, labels, n=3)
    raise InputError(
        "The recipe has no such part",
        value=shown(word),
        advice=f"The parts are: {', '.join(near or labels[:8])}.",
    )


def stock_label(recipe: Recipe, word: str) -> str:
    """Return the stock that a word means: a part, or an ingredient where several parts are of it.

    Parameters
    ----------
    recipe : Recipe
        The recipe.
    word : str
        A label, an ingredient's key, or a part's name in any case.

    Returns
    -------
    str
        The label of a part, or the key of the ingredient of several.

    Raises
    ------
    InputError
        If no part is meant, or several of different ingredients.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> twice = (part("cocoa_butter", 1.0, label="early"), part("cocoa_butter", 1.0, label="late"))
    >>> stock_label(Recipe("bar", Form.BAR, twice), "cocoa butter")
    'cocoa_butter'
    """
    meant = [part for part in recipe.parts if word.casefold() in _words(part)]
    keys = {part.of.key for part in meant if isinstance(part.of, Ingredient)}
    labels = {part.label for part in recipe.parts}
    if word not in labels and len(meant) > 1 and len(keys) == 1 and all(keys):
        return keys.pop()
    return label_of(recipe, word)


def means_a_part(recipe: Recipe, word: str) -> bool:
    """Return whether a word is the label, key or name of at least one part."""
    return any(word.casefold() in _words(part) for part in recipe.parts)


def _words(part: Part) -> set[str]:
    key = part.of.key if isinstance(part.of, Ingredient) else ""
    return {word.casefold() for word in (part.label, key, part.name) if word}
