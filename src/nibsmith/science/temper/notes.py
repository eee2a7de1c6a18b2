"""What has to be told of fats that do not follow plain dilution."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from nibsmith.science.mixture import Recipe
from nibsmith.science.tables import Status, load_data


@dataclass(frozen=True)
class FatNote:
    """One sentence about the fat of some ingredients, and why an estimate of how it sets is refused."""

    key: str
    sentence: str
    unknown: str
    ingredients: frozenset[str]
    source: str
    status: Status


def fat_notes(recipe: Recipe) -> tuple[FatNote, ...]:
    """Return the notes on fats that are ground into a mass.

    Parameters
    ----------
    recipe : Recipe
        The recipe, nested recipes opened up; fold-ins do not count.

    Returns
    -------
    tuple of FatNote
        None for most recipes.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, Recipe, part
    >>> bar = Recipe("b", Form.BAR, (part("cocoa_mass", 9.0), part("coconut_oil", 1.0)))
    >>> [note.key for note in fat_notes(bar)]
    ['lauric']

    References
    ----------
    [common-practice]
    """
    keys = {leaf.ingredient.key for leaf in recipe.leaves() if leaf.in_machine and leaf.mass_g > 0}
    return tuple(note for note in _notes() if note.ingredients & keys)


@lru_cache(maxsize=1)
def _notes() -> tuple[FatNote, ...]:
    rows: Mapping[str, Any] = load_data("fat_notes")
    return tuple(
        FatNote(
            key,
            row["sentence"],
            row["unknown"],
            frozenset(row["ingredients"]),
            row["source"],
            Status(row["status"]),
        )
        for key, row in rows.items()
    )
