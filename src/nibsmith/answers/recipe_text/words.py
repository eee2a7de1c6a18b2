"""The words of a recipe file: its keys, and the short words of the trade for kinds, stages and forms."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from nibsmith.science.mixture import COLUMNS, Form, Grind, Kind, Stage

TOP_KEYS = ("name", "form", "part", "recipes", "limits", "in_bowl", "workshop", "decimal_sign", "notes")
RECIPE_KEYS = ("name", "form", "part", "notes")
IN_BOWL_KEYS = ("label", "ingredient", "mass")
WORKSHOP_KEYS = (
    "kit",
    "residue",
    "loss_percent",
    "mould",
    "cavities",
    "bars",
    "scale",
    "markets",
    "currency",
    "bean_yield_percent",
    "uses_lecithin",
)
AMOUNT_KEYS = ("share_percent", "mass", "g_per_100g_chocolate", "g_per_bar")
REST_WORDS = ("the rest", "rest")
SHEET_KEYS = ("shell_percent", "germ_percent")
PART_KEYS = (
    "ingredient",
    "recipe",
    *AMOUNT_KEYS,
    "label",
    "kind",
    "stage",
    "grind",
    "price_per_kg",
    "fat_g",
    *SHEET_KEYS,
)
FACT_KEYS = ("key", "kind", "stage", "grind", "source", "note", "water_risk", "tags", "allergens_known")
RANGE_KEYS = ("fat_low_g", "fat_high_g")
ALLERGEN_KEYS = ("allergens_us", "allergens_eu")
NET_CARB_KEY = "carb_without_fibre_g"
INGREDIENT_KEYS = ("name", *COLUMNS, NET_CARB_KEY, *SHEET_KEYS, *RANGE_KEYS, *ALLERGEN_KEYS, *FACT_KEYS)

KIND_WORDS: Mapping[str, Kind] = MappingProxyType(
    {
        "bean": Kind.BEAN,
        "beans": Kind.BEAN,
        "nib": Kind.NIB,
        "nibs": Kind.NIB,
        "mass": Kind.MASS,
        "liquor": Kind.MASS,
        "butter": Kind.BUTTER,
        "powder": Kind.POWDER,
        "polyol": Kind.SWEETENER,
        "starch": Kind.FLOUR,
        "food": Kind.OTHER_FOOD,
        "other": Kind.OTHER_FOOD,
    }
)
STAGE_WORDS: Mapping[str, Stage] = MappingProxyType(
    {
        "with_the_sugar": Stage.WITH_SUGAR,
        "on_the_back": Stage.ON_BACK,
        "on_the_back_of_the_bar": Stage.ON_BACK,
        "folded_in_after_tempering": Stage.FOLDED_IN,
    }
)
GRIND_WORDS: Mapping[str, Grind] = MappingProxyType(
    {"refined_into_the_mass": Grind.REFINED, "powder_left_coarse": Grind.COARSE}
)
FORM_WORDS: Mapping[str, Form] = MappingProxyType(
    {"vermicelli": Form.FLAKES, "drinking": Form.DRINKING, "filled_bar": Form.FILLED}
)
# What a part of the maker's own does where the file does not say: as the packaged ingredients of its kind do.
STAGE_OF_KIND: Mapping[Kind, Stage] = MappingProxyType(
    {
        Kind.SUGAR: Stage.WITH_SUGAR,
        Kind.SWEETENER: Stage.WITH_SUGAR,
        Kind.MILK: Stage.WITH_SUGAR,
        Kind.FLOUR: Stage.WITH_SUGAR,
        Kind.OTHER_FOOD: Stage.WITH_SUGAR,
        Kind.EMULSIFIER: Stage.LATE,
        Kind.FLAVOURING: Stage.LATE,
    }
)
