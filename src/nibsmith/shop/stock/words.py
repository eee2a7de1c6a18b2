"""The words a person reads for what the tables call by key."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

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

_NUTS_EU = {
    "nuts:almond": "almonds",
    "nuts:hazelnut": "hazelnuts",
    "nuts:walnut": "walnuts",
    "nuts:cashew": "cashews",
    "nuts:pecan": "pecans",
    "nuts:brazil_nut": "Brazil nuts",
    "nuts:pistachio": "pistachios",
    "nuts:macadamia": "macadamias",
}
ALLERGENS_EU: Mapping[str, str] = MappingProxyType(
    {
        "milk": "milk",
        "soybeans": "soya",
        "peanuts": "peanuts",
        "sesame": "sesame",
        **_NUTS_EU,
        "gluten:wheat": "wheat",
        "gluten:rye": "rye",
        "gluten:barley": "barley",
        "gluten:oats": "oats",
        "egg": "egg",
        "fish": "fish",
        "crustaceans": "crustaceans",
        "molluscs": "molluscs",
        "celery": "celery",
        "mustard": "mustard",
        "lupin": "lupin",
        "sulphites": "sulphites above 10 mg/kg",
        "sulphites?": "perhaps sulphites",
    }
)
ALLERGENS_US: Mapping[str, str] = MappingProxyType(
    {
        "milk": "milk",
        "soybeans": "soybeans",
        "peanuts": "peanuts",
        "sesame": "sesame",
        "tree_nuts:almond": "almonds",
        "tree_nuts:hazelnut": "hazelnuts",
        "tree_nuts:walnut": "walnuts",
        "tree_nuts:black_walnut": "black walnuts",
        "tree_nuts:heartnut": "heartnuts",
        "tree_nuts:cashew": "cashews",
        "tree_nuts:pecan": "pecans",
        "tree_nuts:brazil_nut": "Brazil nuts",
        "tree_nuts:pistachio": "pistachios",
        "tree_nuts:macadamia": "macadamias",
        "tree_nuts:pine_nut": "pine nuts",
        "wheat": "wheat",
        "egg": "eggs",
        "fish": "fish",
        "shellfish": "crustacean shellfish",
    }
)

TRAITS: Mapping[str, str] = MappingProxyType(
    {
        "raw_cocoa": "raw cocoa, not roasted",
        "alkalised": "alkalised cocoa",
        "liquid": "a liquid, syrup or extract",
        "fresh_fruit": "fresh or frozen fruit",
        "dried_fruit": "dried fruit",
        "freeze_dried": "freeze-dried",
        "fruit_in_syrup": "fruit in syrup or candied",
        "nut": "a nut",
        "seed": "a seed",
        "roasted": "roasted",
        "spice": "a spice",
        "coffee": "coffee",
        "salt": "salt",
        "plant_milk": "used in place of milk powder",
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
