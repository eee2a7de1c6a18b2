"""The properties of a mixture, each a sum over its parts.

A property is grams (or mg, kcal) that 100 g of an ingredient bring, judged by the ingredient's **kind**:
the fat of a cocoa part is cocoa butter, the fat of a milk part is milk fat. ``None`` is unknown.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import lru_cache

from nibsmith.science.mixture.composition import at_fat
from nibsmith.science.mixture.figure import Span
from nibsmith.science.mixture.parts import COCOA_KINDS, Composition, Ingredient, Kind
from nibsmith.science.tables import load

Amount = float | None
Rule = Callable[[Composition, Kind], Amount]


@dataclass(frozen=True)
class Property:
    """A property: its key, the words for it, the unit of its amount per 100 g, and how a part brings it."""

    key: str
    words: str
    unit: str
    rule: Rule


def _column(name: str) -> Rule:
    return lambda composition, _: composition.get(name)


def _only(kinds: frozenset[Kind], rule: Rule, overrule: str = "") -> Rule:
    """Apply a rule to these kinds; other kinds bring none, unless their sheet names it (bought chocolate)."""

    def amount(composition: Composition, kind: Kind) -> Amount:
        if kind in kinds:
            return rule(composition, kind)
        return composition.get(overrule, 0.0)

    return amount


def _minus(*amounts: Amount) -> Amount:
    total = 100.0
    for amount in amounts:
        if amount is None:
            return None
        total -= amount
    return total


def _plus(*amounts: Amount) -> Amount:
    total = 0.0
    for amount in amounts:
        if amount is None:
            return None
        total += amount
    return total


_MILK = frozenset({Kind.MILK})
_FATS_COUNTED_APART = COCOA_KINDS | {Kind.MILK, Kind.EMULSIFIER}

_cocoa_butter = _only(COCOA_KINDS, _column("fat_g"), "cocoa_butter_g")
_milk_fat = _only(_MILK, lambda c, _: c.get("milk_fat_g", c.get("fat_g")), "milk_fat_g")


def _fat_free_cocoa(composition: Composition, kind: Kind) -> Amount:
    if kind in COCOA_KINDS:
        return _minus(composition.get("water_g"), composition.get("fat_g"))
    return composition.get("cocoa_fat_free_dry_g", 0.0)


def _milk_nonfat(composition: Composition, kind: Kind) -> Amount:
    if "milk_solids_nonfat_g" in composition or kind is not Kind.MILK:
        return composition.get("milk_solids_nonfat_g", 0.0)
    return _minus(
        composition.get("water_g"), composition.get("fat_g"), composition.get("added_sugars_g", 0.0)
    )


def _whole(kinds: frozenset[Kind]) -> Rule:
    return lambda _, kind: 100.0 if kind in kinds else 0.0


def _other_fat(composition: Composition, kind: Kind) -> Amount:
    if kind in _FATS_COUNTED_APART:
        return 0.0
    fat = composition.get("fat_g")
    return (
        None
        if fat is None
        else fat - composition.get("cocoa_butter_g", 0.0) - composition.get("milk_fat_g", 0.0)
    )


def _added_sugars(composition: Composition, kind: Kind) -> Amount:
    """Cocoa and milk bring none; a sugar is all added; of other foods only the sheet can tell."""
    if "added_sugars_g" in composition:
        return composition["added_sugars_g"]
    if kind is Kind.SUGAR:
        return composition.get("sugars_g")
    return 0.0 if kind in COCOA_KINDS | {Kind.MILK, Kind.EMULSIFIER, Kind.VEGETABLE_FAT} else None


def _energy_us(composition: Composition, _: Kind) -> Amount:
    factor = load("energy")
    polyols = composition.get("polyols_g", 0.0)
    own = composition.get("polyols_kcal_per_g", factor["us_polyols"].value)
    sweet = polyols * (own - factor["us_carbohydrate"].value)
    return _plus(
        _times(composition.get("protein_g"), factor["us_protein"].value),
        _times(composition.get("fat_g"), factor["us_fat"].value),
        _times(composition.get("carb_g"), factor["us_carbohydrate"].value),
        composition.get("alcohol_g", 0.0) * factor["us_alcohol"].value,
        sweet,
    )


def _energy_eu(unit: str, composition: Composition) -> Amount:
    factor = load("energy")
    polyols = composition.get("polyols_g", 0.0)
    free_polyols = polyols if composition.get("polyols_kcal_per_g") != 0 else 0.0
    fibre = composition.get("fibre_g")
    return _plus(
        _times(composition.get("protein_g"), factor[f"eu_protein{unit}"].value),
        _times(composition.get("fat_g"), factor[f"eu_fat{unit}"].value),
        _times(
            _plus(composition.get("carb_g"), _times(fibre, -1.0), -polyols),
            factor[f"eu_carbohydrate{unit}"].value,
        ),
        _times(fibre, factor[f"eu_fibre{unit}"].value),
        free_polyols * factor[f"eu_polyols{unit}"].value,
        composition.get("alcohol_g", 0.0) * factor[f"eu_alcohol{unit}"].value,
    )


def _times(amount: Amount, factor: float) -> Amount:
    return None if amount is None else amount * factor


def _sum_of(*rules: Rule) -> Rule:
    return lambda composition, kind: _plus(*(rule(composition, kind) for rule in rules))


_DEFINITIONS = (
    Property("dry_cocoa_solids", "dry cocoa solids", "g", _sum_of(_cocoa_butter, _fat_free_cocoa)),
    Property("cocoa_butter", "cocoa butter", "g", _cocoa_butter),
    Property("fat_free_dry_cocoa_solids", "fat-free dry cocoa solids", "g", _fat_free_cocoa),
    Property("cocoa_as_weighed", "cocoa as weighed (nibs, mass, butter, powder)", "g", _whole(COCOA_KINDS)),
    Property("milk_fat", "milk fat", "g", _milk_fat),
    Property("milk_solids", "dry milk solids", "g", _sum_of(_milk_fat, _milk_nonfat)),
    Property("milk_solids_nonfat", "fat-free dry milk solids", "g", _milk_nonfat),
    Property("whey_solids", "whey solids", "g", lambda c, _: c.get("whey_solids_nonfat_g", 0.0)),
    Property("total_fat", "total fat without emulsifier", "g", _sum_of(_cocoa_butter, _milk_fat, _other_fat)),
    Property("law_fat", "cocoa butter and milk fat", "g", _sum_of(_cocoa_butter, _milk_fat)),
    Property("other_fat", "other fats", "g", _other_fat),
    Property(
        "vegetable_fat", "added vegetable fat", "g", _only(frozenset({Kind.VEGETABLE_FAT}), _column("fat_g"))
    ),
    Property("emulsifier", "emulsifier", "g", _whole(frozenset({Kind.EMULSIFIER}))),
    Property("fat", "fat with emulsifier", "g", _column("fat_g")),
    Property("saturates", "saturates", "g", _column("sfa_g")),
    Property("carbohydrate", "carbohydrate", "g", _column("carb_g")),
    Property("sugars", "total sugars", "g", _column("sugars_g")),
    Property("added_sugars", "added sugars", "g", _added_sugars),
    Property(
        "polyols", "polyols", "g", _only(frozenset({Kind.SWEETENER}), _column("polyols_g"), "polyols_g")
    ),
    Property("starch", "starch", "g", _column("starch_g")),
    Property("flour", "flour and starch as weighed", "g", _whole(frozenset({Kind.FLOUR}))),
    Property("fibre", "fibre", "g", _column("fibre_g")),
    Property("protein", "protein", "g", _column("protein_g")),
    Property("ash", "ash", "g", _column("ash_g")),
    Property("water", "water", "g", _column("water_g")),
    Property(
        "alcohol", "alcohol", "g", _only(frozenset({Kind.FLAVOURING}), _column("alcohol_g"), "alcohol_g")
    ),
    Property("sodium", "sodium", "mg", _column("sodium_mg")),
    Property("calcium", "calcium", "mg", _column("calcium_mg")),
    Property("iron", "iron", "mg", _column("iron_mg")),
    Property("potassium", "potassium", "mg", _column("potassium_mg")),
    Property("magnesium", "magnesium", "mg", _column("magnesium_mg")),
    Property("cholesterol", "cholesterol", "mg", _column("cholesterol_mg")),
    Property("caffeine", "caffeine", "mg", _column("caffeine_mg")),
    Property("theobromine", "theobromine", "mg", _column("theobromine_mg")),
    Property("energy_us", "energy by the US general factors", "kcal", _energy_us),
    Property("energy_eu", "energy by the EU factors", "kcal", lambda c, _: _energy_eu("", c)),
    Property("energy_eu_kj", "energy by the EU factors", "kJ", lambda c, _: _energy_eu("_kj", c)),
)

PROPERTIES: Mapping[str, Property] = {definition.key: definition for definition in _DEFINITIONS}


def _ends(ingredient: Ingredient) -> tuple[Composition, Composition, Composition]:
    """The composition at the low end, the default and the high end of its fat."""
    low, high = ingredient.fat_low_g, ingredient.fat_high_g
    middle = ingredient.composition
    if low is None or high is None or "water_g" not in middle or "fat_g" not in middle:
        return middle, middle, middle
    return at_fat(ingredient, low).composition, middle, at_fat(ingredient, high).composition


@lru_cache(maxsize=1024)
def brought_by(ingredient: Ingredient, kind: Kind) -> Mapping[str, Span | None]:
    """Return what one gram of an ingredient brings of every property.

    Parameters
    ----------
    ingredient : Ingredient
        The ingredient; a range of its fat becomes a range here.
    kind : Kind
        What the law takes it for in this recipe.

    Returns
    -------
    Mapping[str, Span | None]
        Property key to amount per gram [g/g, mg/g or kcal/g]; ``None`` where it is not known.

    Examples
    --------
    >>> from nibsmith.science.mixture import ingredient
    >>> brought_by(ingredient("cocoa_butter"), Kind.BUTTER)["cocoa_butter"].value
    1.0
    """
    ends = _ends(ingredient)
    return {key: _span(definition.rule, ends, kind) for key, definition in PROPERTIES.items()}


def _span(rule: Rule, ends: tuple[Composition, Composition, Composition], kind: Kind) -> Span | None:
    values = [rule(composition, kind) for composition in ends]
    if any(value is None for value in values):
        return None
    low, middle, high = (float(value or 0.0) / 100 for value in values)
    return Span(min(low, middle, high), middle, max(low, middle, high))
