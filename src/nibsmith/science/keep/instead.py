"""What goes in the place of a wet or raw ingredient."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from nibsmith.science.mixture import Ingredient, ingredient
from nibsmith.science.tables import load_data


@dataclass(frozen=True)
class Replacement:
    """Another ingredient, and how much of it holds the dry matter of one gram of the old [g/g]."""

    key: str
    grams_per_gram: float


def replacement_for(old: Ingredient) -> Replacement | None:
    """Return what takes the place of an ingredient at the same dry matter.

    ``m' = m · (100 - w) / (100 - w')``.

    Parameters
    ----------
    old : Ingredient
        The wet or raw ingredient.

    Returns
    -------
    Replacement or None
        ``None`` where the table has nothing to put in its place.

    Examples
    --------
    >>> from nibsmith.science.mixture import ingredient
    >>> new = replacement_for(ingredient("raspberry_raw"))
    >>> new.key, round(new.grams_per_gram, 3)
    ('raspberry_freeze_dried', 0.147)

    References
    ----------
    [common-practice]
    """
    rows: Mapping[str, Any] = load_data("keep_instead")
    if old.key not in rows or "water_g" not in old.composition:
        return None
    new = ingredient(str(rows[old.key]["instead"]))
    return Replacement(new.key, _dry(old) / _dry(new))


def _dry(thing: Ingredient) -> float:
    return 100 - thing.composition["water_g"]
