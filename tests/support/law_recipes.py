"""Ingredients with round analyses, for names that one can check by hand."""

from __future__ import annotations

from nibsmith.science.legal import Allowed, NameVerdict, judge
from nibsmith.science.mixture import Form, Ingredient, Kind, Recipe, own_ingredient, part

# Per 100 g: mass 54.0 cocoa butter, 1.5 water, 44.5 fat-free dry; milk powder 26 fat, 3 water, 71 solids.
MASS = own_ingredient("Test mass", Kind.MASS, {"fat_g": 54.0, "water_g": 1.5})
MILK_POWDER = own_ingredient("Test milk powder", Kind.MILK, {"fat_g": 26.0, "water_g": 3.0})
SUGAR = own_ingredient("Test sugar", Kind.SUGAR, {"fat_g": 0.0, "water_g": 0.0})
THINGS: dict[str, Ingredient | str] = {
    "mass": MASS,
    "butter": "cocoa_butter",
    "sugar": SUGAR,
    "milk": MILK_POWDER,
    "lecithin": "lecithin_soy",
}


def weighed(form: Form = Form.BAR, **masses_g: float) -> Recipe:
    """Weigh a recipe from the round ingredients, or from keys of the table [g]."""
    parts = tuple(part(THINGS.get(key, key), mass_g, label=key) for key, mass_g in masses_g.items())
    return Recipe("test", form, parts)


DARK = weighed(mass=66.0, butter=4.5, sugar=29.5)
MILK = weighed(mass=12.0, butter=20.0, milk=22.0, sugar=45.5, lecithin=0.5)
WHITE = weighed(butter=28.0, milk=22.0, sugar=49.5, lecithin=0.5)


def verdict(recipe: Recipe, jurisdiction: str, key: str, **options: bool | float | None) -> NameVerdict:
    """Return the verdict on one name."""
    verdicts = judge(recipe, jurisdiction, **options)  # type: ignore[arg-type]
    return next(each for each in verdicts if each.key == key)


def allowed(recipe: Recipe, jurisdiction: str, *, memory_rules: bool = True) -> set[str]:
    """Return the keys of the names that are allowed."""
    verdicts = judge(recipe, jurisdiction, memory_rules=memory_rules)
    return {each.key for each in verdicts if each.allowed is Allowed.YES}


def best(recipe: Recipe, jurisdiction: str, *, memory_rules: bool = True) -> str:
    """Return the key of the best name, empty where there is none."""
    verdicts = judge(recipe, jurisdiction, memory_rules=memory_rules)
    return next((each.key for each in verdicts if each.best), "")
