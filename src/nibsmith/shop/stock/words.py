"""The words a person reads for what the tables call by key."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from types import MappingProxyType

from nibsmith.science.label import allergen_list
from nibsmith.science.label.allergens import MAY_HOLD
from nibsmith.science.mixture import Grind, Kind, Stage

KINDS: Mapping[str, str] = MappingProxyType(
    {
        Kind.BEAN: "cocoa beans",
        Kind.NIB: "cocoa nibs",
        Kind.MASS: "cocoa mass",
        Kind.BUTTER: "cocoa butter",
        Kind.POWDER: "cocoa powder",
        Kind.MILK: "milk",
        Kind.SUGAR: "sugar",
        Kind.SWEETENER: "sweetener",
        Kind.VEGETABLE_FAT: "vegetable fat",
        Kind.EMULSIFIER: "emulsifier",
        Kind.FLOUR: "flour or starch",
        Kind.OTHER_FOOD: "other food",
        Kind.FLAVOURING: "flavouring",
    }
)

GROUPS: Mapping[str, str] = MappingProxyType(
    {
        Kind.BEAN: "Cocoa",
        Kind.NIB: "Cocoa",
        Kind.MASS: "Cocoa",
        Kind.BUTTER: "Cocoa",
        Kind.POWDER: "Cocoa",
        Kind.SUGAR: "Sugars",
        Kind.SWEETENER: "Sweeteners",
        Kind.MILK: "Milk",
        Kind.VEGETABLE_FAT: "Other fats",
        Kind.EMULSIFIER: "Emulsifiers",
        Kind.FLOUR: "Flours and starches",
        Kind.OTHER_FOOD: "Nuts, fruit, spices and other foods",
        Kind.FLAVOURING: "Flavourings",
    }
)

STAGES: Mapping[str, str] = MappingProxyType(
    {
        Stage.START: "at the start",
        Stage.WITH_SUGAR: "with the sugar",
        Stage.LATE: "late",
        Stage.FOLDED_IN: "folded in after tempering",
        Stage.ON_BACK: "on the back of the bar",
        Stage.FILLING: "as a filling",
    }
)

GRINDS: Mapping[str, str] = MappingProxyType(
    {
        Grind.REFINED: "ground into the mass",
        Grind.PIECES: "in pieces",
        Grind.WHOLE: "whole",
        Grind.COARSE: "a powder left coarse",
    }
)

# Which columns a sheet is asked for, in the order sheets print them: (column, name, unit, inside).
COLUMNS: tuple[tuple[str, str, str], ...] = (
    ("water_g", "water", "g"),
    ("fat_g", "fat", "g"),
    ("sfa_g", "of which saturates", "g"),
    ("mufa_g", "of which monounsaturates", "g"),
    ("pufa_g", "of which polyunsaturates", "g"),
    ("trans_g", "of which trans fat", "g"),
    ("carb_g", "carbohydrate, fibre included", "g"),
    ("sugars_g", "of which sugars", "g"),
    ("added_sugars_g", "of which added sugars", "g"),
    ("starch_g", "of which starch", "g"),
    ("polyols_g", "of which polyols", "g"),
    ("fibre_g", "of which fibre", "g"),
    ("protein_g", "protein", "g"),
    ("ash_g", "ash", "g"),
    ("alcohol_g", "alcohol", "g"),
    ("sodium_mg", "sodium", "mg"),
    ("potassium_mg", "potassium", "mg"),
    ("calcium_mg", "calcium", "mg"),
    ("iron_mg", "iron", "mg"),
    ("magnesium_mg", "magnesium", "mg"),
    ("cholesterol_mg", "cholesterol", "mg"),
    ("vitamin_d_ug", "vitamin D", "µg"),
    ("caffeine_mg", "caffeine", "mg"),
    ("theobromine_mg", "theobromine", "mg"),
    ("cocoa_butter_g", "cocoa butter in it", "g"),
    ("cocoa_fat_free_dry_g", "fat-free dry cocoa solids in it", "g"),
    ("milk_fat_g", "milk fat in it", "g"),
    ("milk_solids_nonfat_g", "milk solids without fat in it", "g"),
    ("whey_solids_nonfat_g", "whey solids without fat in it", "g"),
    ("polyols_kcal_per_g", "energy of the polyols, in 1 g", "kcal"),
)
COLUMN_NAMES: Mapping[str, str] = MappingProxyType({column: name for column, name, _ in COLUMNS})
COLUMN_UNITS: Mapping[str, str] = MappingProxyType({column: unit for column, _, unit in COLUMNS})


@lru_cache(maxsize=2)
def allergen_words(law: str) -> Mapping[str, str]:
    """Return the words an ingredient may use for one list of law, ``eu`` or ``us``, for a person."""
    words: dict[str, str] = {}
    for group in allergen_list(law).groups.values():
        if not group.members:
            words[group.key] = group.name
            words[f"{group.key}{MAY_HOLD}"] = f"perhaps {group.name}, to be asked"
        for member, name in group.members.items():
            words[f"{group.key}:{member}"] = f"{name} ({group.name})"
    return MappingProxyType(words)


def allergen_choices(law: str) -> list[tuple[str, str]]:
    """Return the words of one list as a form offers them; only sulphites are offered as a perhaps."""
    return [
        (word, name)
        for word, name in allergen_words(law).items()
        if not word.endswith(MAY_HOLD) or word == f"sulphites{MAY_HOLD}"
    ]


TRAITS: Mapping[str, str] = MappingProxyType(
    {
        "bought": "bought as nibs, not made from your own beans",
        "raw_cocoa": "raw cocoa, not roasted",
        "alkalised": "alkalised cocoa",
        "liquid": "a liquid, syrup or extract",
        "fresh_fruit": "fresh or frozen fruit",
        "dried_fruit": "dried fruit",
        "freeze_dried": "freeze-dried",
        "fruit_in_syrup": "fruit in syrup",
        "soft_caramel": "soft caramel",
        "nut": "a nut",
        "seed": "a seed",
        "roasted": "roasted",
        "spice": "a spice",
        "coffee": "coffee",
        "salt": "salt",
        "plant_milk": "used in place of milk powder",
        "animal_fat": "animal fat other than milk fat",
        "polyol": "a polyol",
        "pets": "dangerous to dogs",
        "may_hold_starch": "may hold starch",
        "may_hold_sulphites": "may hold sulphites",
    }
)

WATER_RISKS: Mapping[str, str] = MappingProxyType(
    {
        "none": "brings hardly any water",
        "low": "brings a little water",
        "medium": "brings water; dry it before it goes into the mass",
        "high": "brings much water; it can thicken or seize the mass",
        "": "not known: the water is not given",
    }
)
