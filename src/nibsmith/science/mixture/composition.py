"""What 100 g of an ingredient contain: the columns, their closing check, and a fat that varies."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from types import MappingProxyType

from nibsmith.science.errors import InputError
from nibsmith.science.mixture.parts import Composition, Ingredient

PROXIMATE = ("water_g", "protein_g", "fat_g", "carb_g", "ash_g")
FATTY = ("sfa_g", "trans_g", "mufa_g", "pufa_g")
WITHIN = {
    "fibre_g": "carb_g",
    "sugars_g": "carb_g",
    "starch_g": "carb_g",
    "polyols_g": "carb_g",
    "added_sugars_g": "sugars_g",
    "sfa_g": "fat_g",
    "trans_g": "fat_g",
    "mufa_g": "fat_g",
    "pufa_g": "fat_g",
}
MILLIGRAMS = (
    "cholesterol_mg",
    "sodium_mg",
    "calcium_mg",
    "iron_mg",
    "potassium_mg",
    "magnesium_mg",
    "caffeine_mg",
    "theobromine_mg",
)
OVERRULES = (
    "cocoa_butter_g",
    "cocoa_fat_free_dry_g",
    "milk_fat_g",
    "milk_solids_nonfat_g",
    "whey_solids_nonfat_g",
)
COLUMNS = (
    *PROXIMATE,
    *WITHIN,
    "alcohol_g",
    *MILLIGRAMS,
    "vitamin_d_ug",
    "polyols_kcal_per_g",
    *OVERRULES,
)
CLOSING_SLACK_G = 0.6  # how far a full analysis may be from 100 g: analyses are rounded and by difference
MILLIGRAMS_IN_ALL = 100 * 1000
ROUNDING_G = 0.051  # a part may exceed its whole by the rounding of two printed digits


def check_composition(name: str, composition: Composition, *, must_close: bool = True) -> None:
    """Refuse an analysis that cannot be true.

    Parameters
    ----------
    name : str
        The ingredient, for the message.
    composition : Mapping[str, float]
        Constituents per 100 g under their column names [g, mg or µg/100 g].
    must_close : bool
        Whether a full analysis must come to 100 ± 0.6 g; a listed exception passes ``False``.

    Raises
    ------
    InputError
        For an unknown column, a negative or absurd value, a part larger than its whole, a sum over 100 g, or
        a full analysis (water, protein, fat, carbohydrate, ash) that does not close.

    Notes
    -----
    What is not given is unknown, so an incomplete analysis is refused only when what is given passes 100 g.

    Examples
    --------
    >>> check_composition("mass", {"water_g": 1.5, "fat_g": 54.0})
    """
    for column, value in composition.items():
        _check_value(name, column, value)
    _check_parts(name, composition)
    given = [composition[column] for column in (*PROXIMATE, "alcohol_g") if column in composition]
    total = sum(given)
    if total > 100 + CLOSING_SLACK_G:
        raise InputError(
            f"The constituents of {name} come to more than 100 g",
            value=f"{total:.2f} g",
            limit=f"{100 + CLOSING_SLACK_G:g} g",
            advice="Check the sheet: figures per 100 g, fibre and sugars inside the carbohydrate.",
            field="sum",
        )
    if must_close and all(column in composition for column in PROXIMATE) and total < 100 - CLOSING_SLACK_G:
        raise InputError(
            f"The constituents of {name} do not come to 100 g",
            value=f"{total:.2f} g",
            limit="100 ± 0.6 g",
            advice="Check the sheet, or leave out what is not on it: a blank is unknown, not zero.",
            field="sum",
        )


def _check_value(name: str, column: str, value: float) -> None:
    if column not in COLUMNS:
        raise InputError(
            f"{name} has a constituent that is not known here",
            value=column,
            advice=f"The names are: {', '.join(COLUMNS)}.",
            field=column,
        )
    limit = 100 if column.endswith("_g") else MILLIGRAMS_IN_ALL
    if not 0 <= value <= limit:
        raise InputError(
            f"{column} of {name} cannot be true", value=value, limit=f"0 to {limit:g}", field=column
        )


def _check_parts(name: str, composition: Composition) -> None:
    for inner, outer in WITHIN.items():
        both = inner in composition and outer in composition
        if both and composition[inner] > composition[outer] + ROUNDING_G:
            raise InputError(
                f"{inner} of {name} is more than its {outer}",
                value=composition[inner],
                limit=composition[outer],
                advice="It is counted inside it.",
                field=inner,
            )


def least_solids(composition: Composition) -> float:
    """Return the least that an ingredient holds beside water, by what its sheet gives.

    Parameters
    ----------
    composition : Mapping[str, float]
        Constituents per 100 g, as far as they are given.

    Returns
    -------
    float
        Protein, fat, carbohydrate, ash and alcohol together, less what a full analysis may miss 100 g by
        [g/100 g].

    Examples
    --------
    >>> round(least_solids({"carb_g": 95.0, "sugars_g": 90.0}), 1)
    94.4
    """
    solids = (column for column in (*PROXIMATE, "alcohol_g") if column != "water_g")
    given = sum(composition.get(column, 0.0) for column in solids)
    return min(max(0.0, given - CLOSING_SLACK_G), 100.0)


def at_fat(ingredient: Ingredient, fat_g: float) -> Ingredient:
    """Return the ingredient with another fat content, water unchanged.

    The fatty acids follow the fat, everything else dry follows the fat-free dry matter:
    ``x' = x (100 - w - f') / (100 - w - f)``.

    Parameters
    ----------
    ingredient : Ingredient
        An ingredient whose water and fat are known.
    fat_g : float
        Its fat [g/100 g].

    Returns
    -------
    Ingredient
        The same ingredient at this fat, without a range.

    Raises
    ------
    InputError
        If water and fat would come to more than 100 g.

    Examples
    --------
    >>> from nibsmith.science.mixture import ingredient
    >>> round(at_fat(ingredient("cocoa_nibs_roasted"), 55.0).composition["fat_g"], 1)
    55.0
    """
    old = ingredient.composition
    dry_old = 100 - old["water_g"] - old["fat_g"]
    dry_new = 100 - old["water_g"] - fat_g
    if dry_new < 0 or dry_old <= 0 or fat_g < 0:
        raise InputError(f"{ingredient.name} cannot hold this fat", value=fat_g, limit=100 - old["water_g"])
    new = _scaled(old, fat_g, dry_new / dry_old)
    return replace(ingredient, composition=new, fat_low_g=None, fat_high_g=None)


def _scaled(old: Composition, fat_g: float, dry_factor: float) -> Mapping[str, float]:
    fat_factor = fat_g / old["fat_g"] if old["fat_g"] else 1.0
    new = {}
    for column, value in old.items():
        if column in ("water_g", "alcohol_g", "polyols_kcal_per_g"):
            new[column] = value
        elif column in FATTY or column == "vitamin_d_ug":
            new[column] = value * fat_factor
        else:
            new[column] = value * dry_factor
    return MappingProxyType({**new, "fat_g": fat_g})
