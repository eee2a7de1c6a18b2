"""The figures that laws bound: what a gram of each item counts towards them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import lru_cache

from nibsmith.science.legal.items import LIQUOR_KINDS, NOTHING, Item, Triple, is_cocoa
from nibsmith.science.legal.laws import words
from nibsmith.science.mixture import Grind, Kind, Stage

Counted = Callable[[Item], Triple | None]
"""What a gram counts at the lean end, usually and at the rich end [g/g]; ``None`` is unknown."""
Which = Callable[[Item], bool]


def _brought(key: str) -> Counted:
    return lambda item: item.brings[key]


def _weight(which: Which) -> Counted:
    def counted(item: Item) -> Triple:
        return (item.weight, item.weight, item.weight) if which(item) else NOTHING

    return counted


def _of_kind(kind: Kind) -> Counted:
    return _weight(lambda item: item.leaf.kind is kind)


def _tagged(name: str) -> Counted:
    return _weight(lambda item: words("tags")[name] in item.leaf.ingredient.tags)


def _cocoa_and_milk(item: Item) -> Triple | None:
    cocoa, milk = item.brings["dry_cocoa_solids"], item.brings["milk_solids"]
    if cocoa is None or milk is None:
        return None
    return cocoa[0] + milk[0], cocoa[1] + milk[1], cocoa[2] + milk[2]


def _liquor(item: Item) -> Triple | None:
    """US liquor: 2.2 times ground nibs and mass less their fat; not butter, powder or strewn nibs."""
    if item.leaf.kind not in LIQUOR_KINDS or not item.leaf.in_machine:
        return NOTHING
    fat = item.brings["cocoa_butter"]
    if fat is None:
        return None
    factor = liquor_factor()
    return factor * (item.weight - fat[0]), factor * (item.weight - fat[1]), factor * (item.weight - fat[2])


@lru_cache(maxsize=1)
def liquor_factor() -> float:
    """Return the factor of the US formula for chocolate liquor."""
    return float(words("liquor")["factor"])


def _water(item: Item) -> Triple | None:
    if item.dry is None:
        return None
    water = item.weight - item.dry
    return water, water, water


def _dry(item: Item) -> Triple | None:
    return None if item.dry is None else (item.dry, item.dry, item.dry)


def _weighed_cocoa(item: Item) -> Triple:
    return (1.0, 1.0, 1.0) if is_cocoa(item.leaf) else NOTHING


def _is_nonbutter(item: Item) -> bool:
    """Cocoa other than butter in the mass; nibs strewn on a bar are judged by a gate."""
    leaf = item.leaf
    return is_cocoa(leaf) and leaf.kind is not Kind.BUTTER and leaf.in_machine


def is_hazelnut(item: Item) -> bool:
    """Whether an item is hazelnuts, by its allergens."""
    named = words("hazelnuts")["allergens"]
    ingredient = item.leaf.ingredient
    return any(allergen in named for allergen in (*ingredient.allergens_eu, *ingredient.allergens_us))


def is_ground_hazelnut(item: Item) -> bool:
    """Whether an item is hazelnuts ground into the mass."""
    return item.leaf.grind is Grind.REFINED and is_hazelnut(item)


def is_nut(item: Item) -> bool:
    """Whether an item is nuts of any sort, ground or not."""
    return words("nuts")["tag"] in item.leaf.ingredient.tags or is_hazelnut(item)


def is_whey(item: Item) -> bool:
    """Whether an item is a whey product: its sheet names whey solids."""
    return item.leaf.ingredient.composition.get("whey_solids_nonfat_g", 0.0) > 0


def in_shell(item: Item) -> bool:
    """Whether an item is not in a filling."""
    return item.leaf.stage is not Stage.FILLING


def _everything(item: Item) -> Triple:
    return item.weight, item.weight, item.weight


FIGURES: Mapping[str, Counted] = {
    "tdcs": _brought("dry_cocoa_solids"),
    "cb": _brought("cocoa_butter"),
    "ffdcs": _brought("fat_free_dry_cocoa_solids"),
    "mf": _brought("milk_fat"),
    "ms": _brought("milk_solids"),
    "msnf": _brought("milk_solids_nonfat"),
    "law_fat": _brought("law_fat"),
    "any_fat": _brought("total_fat"),
    "other_oils": _brought("other_fat"),
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
    "chocolate": _weight(lambda item: not item.off),
    "shell": _weight(in_shell),
}
BASES: Mapping[str, Counted] = {"part": _everything, "dry": _dry, "shell": _everything, "whole": _everything}


def in_basis(item: Item, basis: str) -> bool:
    """Whether an item is inside a basis: what a figure is counted in and taken of."""
    if basis == "whole":
        return True
    return in_shell(item) if basis == "shell" else not item.off
