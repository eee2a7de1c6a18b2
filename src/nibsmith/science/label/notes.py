"""What the allergen lists leave to be asked of a supplier, or told to whoever reads the label."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from nibsmith.science.mixture import Ingredient, Recipe
from nibsmith.science.tables import Status, load_data


@dataclass(frozen=True)
class AllergenNote:
    """One sentence about an ingredient and a list; ``may_hold`` is the group it may bring, if any."""

    key: str
    sentence: str
    lists: tuple[str, ...]
    ingredients: tuple[str, ...]
    tags: frozenset[str]
    may_hold: str
    source: str
    status: Status

    def about(self, ingredient: Ingredient) -> bool:
        """Whether the note is about this ingredient."""
        return ingredient.key in self.ingredients or bool(self.tags & ingredient.tags)


def allergen_notes(recipe: Recipe) -> tuple[AllergenNote, ...]:
    """Return the notes that a recipe calls for, in the order of the table.

    Parameters
    ----------
    recipe : Recipe
        The recipe, nested recipes opened up.

    Returns
    -------
    tuple of AllergenNote
        None where nothing has to be asked or told.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, Recipe, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 80.0), part("pine_nut", 20.0)))
    >>> [note.key for note in allergen_notes(bar)]
    ['pine_nut']

    References
    ----------
    [fda-allergens-2025], [eu-1169-2011]
    """
    ingredients = [leaf.ingredient for leaf in recipe.leaves() if leaf.mass_g > 0]
    return tuple(note for note in _notes() if any(note.about(ingredient) for ingredient in ingredients))


@lru_cache(maxsize=1)
def _notes() -> tuple[AllergenNote, ...]:
    rows: Mapping[str, Any] = load_data("allergen_notes")
    return tuple(_note(key, row) for key, row in rows.items())


def _note(key: str, row: Mapping[str, Any]) -> AllergenNote:
    return AllergenNote(
        key=key,
        sentence=str(row["sentence"]),
        lists=tuple(row["lists"]),
        ingredients=tuple(row.get("ingredients", ())),
        tags=frozenset(row.get("tags", ())),
        may_hold=str(row.get("may_hold", "")),
        source=str(row["source"]),
        status=Status(row["status"]),
    )
