"""The usual cautions of the food and of the work, each brought up by what is in the recipe or by the kit."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache
from typing import Any

from nibsmith.science.mixture import Grind, Kind, Leaf, Recipe
from nibsmith.science.tables import Status, load_data


class Where(StrEnum):
    """Whom a caution is for."""

    PEOPLE = "people"
    PETS = "pets"
    WORK = "work"


@dataclass(frozen=True)
class Caution:
    """One caution: what it says, who decides, whom it is for, and what brings it up."""

    key: str
    text: str
    who: str
    where: frozenset[Where]
    source: str
    status: Status
    kinds: frozenset[Kind] = frozenset()
    tags: frozenset[str] = frozenset()
    ingredients: frozenset[str] = frozenset()
    grinds: frozenset[Grind] = frozenset()
    kits: frozenset[str] = frozenset()
    alcohol: bool = False

    @property
    def sentence(self) -> str:
        """The caution and who decides, as one text."""
        return f"{self.text} {self.who}".strip()

    @property
    def always(self) -> bool:
        """Whether it holds for every recipe and every kit."""
        return not (self.kinds or self.tags or self.ingredients or self.kits or self.alcohol)

    def brought_up_by(self, leaf: Leaf) -> bool:
        """Whether this ingredient brings it up."""
        if self.grinds and leaf.grind not in self.grinds:
            return False
        return (
            leaf.kind in self.kinds
            or bool(self.tags & leaf.ingredient.tags)
            or leaf.ingredient.key in self.ingredients
            or (self.alcohol and leaf.ingredient.composition.get("alcohol_g", 0.0) > 0)
        )


def cautions(recipe: Recipe, where: Where, kit: str = "") -> tuple[Caution, ...]:
    """Return the cautions that a recipe and a kit call for.

    Parameters
    ----------
    recipe : Recipe
        The recipe, nested recipes opened up.
    where : Where
        Whom they are for: people who eat it, pets, or the work at the bench.
    kit : str
        Key of the kit, if one is chosen.

    Returns
    -------
    tuple of Caution
        In the order of the table.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, Recipe, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 70.0), part("xylitol", 30.0)))
    >>> [caution.key for caution in cautions(bar, Where.PETS)]
    ['xylitol', 'theobromine']

    References
    ----------
    [codex-cxc75], [vet-methylxanthines]
    """
    leaves = [leaf for leaf in recipe.leaves() if leaf.mass_g > 0]
    return tuple(
        caution
        for caution in _cautions()
        if where in caution.where and (caution.always or kit in caution.kits or _any(caution, leaves))
    )


def _any(caution: Caution, leaves: list[Leaf]) -> bool:
    return any(caution.brought_up_by(leaf) for leaf in leaves)


@lru_cache(maxsize=1)
def _cautions() -> tuple[Caution, ...]:
    rows: Mapping[str, Any] = load_data("cautions")
    return tuple(_caution(key, row) for key, row in rows.items())


def _caution(key: str, row: Mapping[str, Any]) -> Caution:
    return Caution(
        key=key,
        text=str(row["text"]),
        who=str(row["who"]),
        where=frozenset(Where(word) for word in row["where"]),
        source=str(row["source"]),
        status=Status(row["status"]),
        kinds=frozenset(Kind(word) for word in row.get("kinds", ())),
        tags=frozenset(row.get("tags", ())),
        ingredients=frozenset(row.get("ingredients", ())),
        grinds=frozenset(Grind(word) for word in row.get("grinds", ())),
        kits=frozenset(row.get("kits", ())),
        alcohol=bool(row.get("alcohol", False)),
    )
