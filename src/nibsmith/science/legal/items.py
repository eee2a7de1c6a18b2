"""The leaves of a recipe as a law sees them: what each brings, weighs at the end and counts as."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache

from nibsmith.science.legal.amounts import NOTHING, ONE, Amount, Between, steady
from nibsmith.science.legal.drying import Drying
from nibsmith.science.legal.laws import Law, law, words
from nibsmith.science.mixture import (
    COCOA_KINDS,
    PROPERTIES,
    Grind,
    Ingredient,
    Kind,
    Leaf,
    Stage,
    at_fat,
    least_solids,
)

FOLDED_STAGES = frozenset({Stage.FOLDED_IN, Stage.ON_BACK})
PIECES = frozenset({Grind.PIECES, Grind.WHOLE})
LIQUOR_KINDS = frozenset({Kind.BEAN, Kind.NIB, Kind.MASS})
COUNTED = (
    "dry_cocoa_solids",
    "cocoa_butter",
    "fat_free_dry_cocoa_solids",
    "milk_fat",
    "milk_solids",
    "milk_solids_nonfat",
    "law_fat",
    "total_fat",
    "other_fat",
    "vegetable_fat",
    "water",
)


@lru_cache(maxsize=4096)
def brought(ingredient: Ingredient, kind: Kind) -> Mapping[str, Amount | None]:
    """Return what a gram brings of every property the law counts, at both ends of its fat [g/g]."""
    ends = [of.composition for of in (_at_end(ingredient, "low"), ingredient, _at_end(ingredient, "high"))]
    found: dict[str, Amount | None] = {}
    for key in COUNTED:
        amounts = [PROPERTIES[key].rule(composition, kind) for composition in ends]
        known = [amount / 100 for amount in amounts if amount is not None]
        found[key] = _amount(known) if len(known) == len(ends) else None
    return found


def _amount(ends: list[float]) -> Amount:
    lean, usual, rich = ends
    return (lean, usual, rich, usual, usual) if any(ends) else NOTHING


def fat_range(ingredient: Ingredient) -> tuple[float, float] | None:
    """Return the lean and the rich end of a fat that varies [g/100 g]."""
    low, high = ingredient.fat_low_g, ingredient.fat_high_g
    known = "water_g" in ingredient.composition and "fat_g" in ingredient.composition
    return (low, high) if known and low is not None and high is not None and low < high else None


def _at_end(ingredient: Ingredient, end: str) -> Ingredient:
    ends = fat_range(ingredient)
    if ends is None:
        return ingredient
    return at_fat(ingredient, ends[0] if end == "low" else ends[1])


@dataclass(frozen=True, slots=True)
class Item:
    """A leaf before a law: what it brings, and what a gram weighs and is dry when the mass is done [g/g].

    ``other`` says that it is an other food of that law, ``off`` that it is out of the chocolate part.
    """

    leaf: Leaf
    mass_g: float
    brings: Mapping[str, Amount | None]
    weight: Amount | Between
    dry: Amount | Between
    other: bool
    off: bool


def items_of(leaves: Iterable[Leaf], of: Law, dries: Drying | None) -> tuple[Item, ...]:
    """Return the leaves with weight as items.

    Where grinding dries the charge, what is ground weighs its dry matter over one less the end water. A part
    of unknown water is dry by anything from what its sheet gives to all of it.
    """
    return tuple(_item(leaf, of, dries) for leaf in leaves if leaf.mass_g > 0)


def _item(leaf: Leaf, of: Law, dries: Drying | None) -> Item:
    brings = brought(leaf.ingredient, leaf.kind)
    dry = dry_matter(leaf.ingredient)
    weight = ONE if dries is None or not leaf.in_machine else _dried(dry, dries)
    other = is_other_food(leaf, of)
    off = other or leaf.stage is Stage.FILLING or leaf.kind in of.off
    return Item(leaf, leaf.mass_g, brings, weight, dry, other, off)


@lru_cache(maxsize=4096)
def dry_matter(ingredient: Ingredient) -> Amount | Between:
    """Return what a gram holds beside water [g/g]; where water is not given, from what is to all of it."""
    of = ingredient.composition
    return steady(1 - of["water_g"] / 100) if "water_g" in of else Between(least_solids(of) / 100, 1.0)


def _dried(dry: Amount | Between, dries: Drying) -> Amount | Between:
    """Return what a gram weighs in the finished mass; where nothing leaves it keeps its weight."""
    driest, usual, wettest = dries.factors()
    if isinstance(dry, Between):
        return Between(dry.low * driest, max(factor or 1.0 for factor in (driest, usual, wettest)))
    matter = dry[0]
    first = matter * driest
    middle = 1.0 if usual is None else matter * usual
    return middle, middle, middle, first, 1.0 if wettest is None else matter * wettest


def other_edible(leaf: Leaf, jurisdiction: str) -> bool:
    """Say whether a leaf is an other food that is taken off before the figures of a name are worked out.

    Parameters
    ----------
    leaf : Leaf
        One ingredient in a recipe.
    jurisdiction : str
        A key of ``jurisdictions()``.

    Returns
    -------
    bool
        Codex, the EU and most others take off every other food, ground in or not; the US and Canada only
        coarse pieces; Japan, South Korea and Taiwan what is in pieces or folded in; Brazil, Australia and New
        Zealand nothing. Cocoa is never an other food, nibs on the back of a bar included.

    Raises
    ------
    InputError
        If there is no such jurisdiction.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, Recipe, part
    >>> coffee = next(Recipe("coffee", Form.BAR, (part("coffee_instant", 5.0),)).leaves())
    >>> other_edible(coffee, "eu"), other_edible(coffee, "us")
    (True, False)

    References
    ----------
    [codex87] [eu-2000-36] [cfr21-163] [ch-vlph]
    """
    return is_other_food(leaf, law(jurisdiction))


def is_other_food(leaf: Leaf, of: Law) -> bool:
    """Say the same for a law at hand."""
    if leaf.kind is not Kind.OTHER_FOOD or is_chocolate(leaf.ingredient):
        return False
    if of.other == "pieces":
        return leaf.grind in PIECES and not leaf.ingredient.tags & always_in()
    if of.other == "folded":
        return leaf.grind in PIECES or leaf.stage in FOLDED_STAGES
    return of.other == "all"


@lru_cache(maxsize=1)
def always_in() -> frozenset[str]:
    """Return the tags of foods that count as ground in however coarse they are."""
    return frozenset(words("tags")["always_in"])


def is_chocolate(ingredient: Ingredient) -> bool:
    """Whether an ingredient is bought chocolate: its sheet names its cocoa."""
    return "cocoa_butter_g" in ingredient.composition or "cocoa_fat_free_dry_g" in ingredient.composition


def is_cocoa(leaf: Leaf) -> bool:
    """Whether a leaf is cocoa of some kind."""
    return leaf.kind in COCOA_KINDS
