"""The figures that laws bound: what a gram of each item counts towards them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import lru_cache

from nibsmith.science.legal.amounts import NOTHING, ONE, Amount, Between, Counted, plus
from nibsmith.science.legal.items import LIQUOR_KINDS, Item, is_cocoa
from nibsmith.science.legal.laws import words
from nibsmith.science.mixture import Grind, Kind, Stage

Count = Callable[[Item], Counted]
"""What a gram of an item counts [g/g]."""
Which = Callable[[Item], bool]


def _brought(key: str) -> Count:
    return lambda item: item.brings[key]


def _weight(which: Which) -> Count:
    def counted(item: Item) -> Amount | Between:
        return item.weight if which(item) else NOTHING

    return counted


def _of_kind(kind: Kind) -> Count:
    return _weight(lambda item: item.leaf.kind is kind)


def _tagged(name: str) -> Count:
    return _weight(lambda item: words("tags")[name] in item.leaf.ingredient.tags)


def _cocoa_and_milk(item: Item) -> Counted:
    cocoa, milk = item.brings["dry_cocoa_solids"], item.brings["milk_solids"]
    return None if cocoa is None or milk is None else plus(cocoa, 1.0, milk)


def _liquor(item: Item) -> Counted:
    """US liquor: 2.2 times ground nibs and mass less their fat; not butter, powder or strewn nibs."""
    if item.leaf.kind not in LIQUOR_KINDS or not item.leaf.in_machine:
        return NOTHING
    fat = item.brings["cocoa_butter"]
    if fat is None:
        return None
    factor, weight = liquor_factor(), item.weight
    if isinstance(weight, Between):
        return Between(factor * max(0.0, weight.low - max(fat)), factor * (weight.high - min(fat)))
    lean = plus(weight, -1.0, fat)
    return plus(lean, factor - 1, lean)


@lru_cache(maxsize=1)
def liquor_factor() -> float:
    """Return the factor of the US formula for chocolate liquor.

    Returns
    -------
    float
        Grams of liquor that a gram of cocoa free of fat stands for [g/g], from the table of laws.

    Examples
    --------
    >>> liquor_factor()
    2.2

    References
    ----------
    [cfr21-163]
    """
    return float(words("liquor")["factor"])


def _water(item: Item) -> Counted:
    weight, dry = item.weight, item.dry
    if isinstance(dry, Between):
        return Between(0.0, 1 - dry.low)
    return None if isinstance(weight, Between) else plus(weight, -1.0, dry)


def _dry(item: Item) -> Counted:
    return item.dry


def _weighed_cocoa(item: Item) -> Amount:
    return ONE if is_cocoa(item.leaf) else NOTHING


def _is_nonbutter(item: Item) -> bool:
    """Cocoa other than butter in the mass; nibs strewn on a bar are judged by a gate."""
    leaf = item.leaf
    return is_cocoa(leaf) and leaf.kind is not Kind.BUTTER and leaf.in_machine


def is_hazelnut(item: Item) -> bool:
    """Return whether an item is hazelnuts, by its allergens.

    Parameters
    ----------
    item : Item
        A part as the law counts it.

    Returns
    -------
    bool
        True where an allergen of its sheet is one that the table of laws lists for hazelnuts.
    """
    named = words("hazelnuts")["allergens"]
    ingredient = item.leaf.ingredient
    return any(allergen in named for allergen in (*ingredient.allergens_eu, *ingredient.allergens_us))


def is_ground_hazelnut(item: Item) -> bool:
    """Return whether an item is hazelnuts ground into the mass.

    Parameters
    ----------
    item : Item
        A part as the law counts it.

    Returns
    -------
    bool
        False for whole nuts and pieces.
    """
    return item.leaf.grind is Grind.REFINED and is_hazelnut(item)


def is_nut(item: Item) -> bool:
    """Whether an item is nuts of any sort, ground or not; peanuts are none."""
    ingredient, no_nuts = item.leaf.ingredient, words("nuts")["not_allergens"]
    if any(allergen in no_nuts for allergen in (*ingredient.allergens_eu, *ingredient.allergens_us)):
        return is_hazelnut(item)
    return words("nuts")["tag"] in ingredient.tags or is_hazelnut(item)


def is_whey(item: Item) -> bool:
    """Whether an item is a whey product: its sheet names whey solids."""
    return item.leaf.ingredient.composition.get("whey_solids_nonfat_g", 0.0) > 0


def is_buttermilk(item: Item) -> bool:
    """Return whether an item is buttermilk: by its key or its tag.

    Parameters
    ----------
    item : Item
        A part as the law counts it.

    Returns
    -------
    bool
        False where neither says so: a sheet that keeps quiet is taken for other milk.
    """
    ingredient = item.leaf.ingredient
    return ingredient.key in words("buttermilk")["keys"] or words("tags")["buttermilk"] in ingredient.tags


def _listed_milk(item: Item) -> Counted:
    """Milk solids of the milks that a text lists, which leave buttermilk out."""
    return NOTHING if is_buttermilk(item) else item.brings["milk_solids"]


def in_shell(item: Item) -> bool:
    """Return whether an item is not in a filling.

    Parameters
    ----------
    item : Item
        A part as the law counts it.

    Returns
    -------
    bool
        True for the mass, what is folded into it and what is strewn on it.
    """
    return item.leaf.stage is not Stage.FILLING


def _added_oils(item: Item) -> Counted:
    """Fat added as an oil or a fat; the oil inside nuts is none."""
    added = item.leaf.kind is Kind.VEGETABLE_FAT or words("tags")["animal_fat"] in item.leaf.ingredient.tags
    return item.brings["other_fat"] if added else NOTHING


def _is_chocolate_part(item: Item) -> bool:
    return not item.off


def _everything(item: Item) -> Counted:
    return item.weight


FIGURES: Mapping[str, Count] = {
    "tdcs": _brought("dry_cocoa_solids"),
    "cb": _brought("cocoa_butter"),
    "ffdcs": _brought("fat_free_dry_cocoa_solids"),
    "mf": _brought("milk_fat"),
    "ms": _brought("milk_solids"),
    "ms_listed": _listed_milk,
    "msnf": _brought("milk_solids_nonfat"),
    "law_fat": _brought("law_fat"),
    "any_fat": _brought("total_fat"),
    "other_oils": _added_oils,
    "vf": _brought("vegetable_fat"),
    "cpm": _cocoa_and_milk,
    "liquor": _liquor,
    "water": _water,
    "cocoa_weighed": _weighed_cocoa,
    "sweet": _of_kind(Kind.SUGAR),
    "flour": _of_kind(Kind.FLOUR),
    "emulsifier": _of_kind(Kind.EMULSIFIER),
    "starch_sugar": _tagged("icing_sugar"),
    "animal_fat": _tagged("animal_fat"),
    "nonbutter_cocoa": _weight(_is_nonbutter),
    "whey": _weight(is_whey),
    "hazel": _weight(is_ground_hazelnut),
    "nuts": _weight(is_nut),
    "oef": _weight(lambda item: item.other),
    "oef_not_nuts": _weight(lambda item: item.other and not is_nut(item)),
    "chocolate": _weight(_is_chocolate_part),
    # What is around a filling counts like the chocolate of a praline: without the nuts in it.
    "shell": _weight(_is_chocolate_part),
}
# Figures that are a weight in the finished mass: the same grams stand in the basis.
WEIGHTS = frozenset(
    {"sweet", "flour", "emulsifier", "starch_sugar", "animal_fat", "nonbutter_cocoa", "whey", "hazel", "nuts"}
) | {"oef", "oef_not_nuts", "chocolate", "shell"}
BASES: Mapping[str, Count] = {
    "part": _everything,
    "dry": _dry,
    "foodless": _everything,
    "shell": _everything,
    "whole": _everything,
}


def in_basis(item: Item, basis: str) -> bool:
    """Whether an item is inside a basis: what a figure is counted in and taken of."""
    if basis == "whole":
        return True
    if basis == "foodless":
        return in_shell(item) and not item.other
    return in_shell(item) if basis == "shell" else not item.off
