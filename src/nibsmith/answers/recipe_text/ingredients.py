"""The ingredient of a part: a key of the table, or an own analysis typed into the file."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from nibsmith.answers.recipe_text.fields import LONGEST_NOTE, Fields, placed
from nibsmith.answers.recipe_text.words import (
    ALLERGEN_KEYS,
    GRIND_WORDS,
    INGREDIENT_KEYS,
    KIND_WORDS,
    NET_CARB_KEY,
    RANGE_KEYS,
    SHEET_KEYS,
    STAGE_OF_KIND,
    STAGE_WORDS,
)
from nibsmith.science.errors import InputError
from nibsmith.science.mixture import (
    COLUMNS,
    Grind,
    Ingredient,
    Kind,
    Stage,
    at_fat,
    ingredient,
    own_ingredient,
)
from nibsmith.science.quantities.cleaning import shown


def read_ingredient(part: Fields) -> Ingredient:
    """Return the ingredient that a part names or describes."""
    value = part.raw("ingredient")
    if isinstance(value, dict):
        found = _own(Fields(value, part.at("ingredient"), INGREDIENT_KEYS), part)
    elif isinstance(value, str):
        found = placed(lambda: ingredient(_key(value)), part.at("ingredient"))
    else:
        advice = "Write a key of the ingredient list in quotes, or an analysis in braces."
        raise InputError("This names no ingredient", advice=advice, field=part.at("ingredient"))
    return _adjusted(found, part)


def _key(value: str) -> str:
    return value if value.isprintable() and len(value) < 100 else shown(value)


def _own(sheet: Fields, part: Fields) -> Ingredient:
    name = sheet.text("name")
    if name is None:
        raise InputError("An ingredient of your own needs a name", field=sheet.at("name"))
    kind = sheet.choice("kind", Kind, KIND_WORDS) or part.choice("kind", Kind, KIND_WORDS)
    if kind is None:
        advice = f"Write kind, one of: {', '.join(Kind)}."
        raise InputError(
            f"What {shown(name)} is for the law is not said", advice=advice, field=part.at("kind")
        )
    composition = _with_fibre(sheet, {column: _amount(sheet, column) for column in sheet.given(COLUMNS)})
    facts = _facts(sheet, kind)
    try:
        return own_ingredient(name, kind, composition, **facts)
    except InputError as error:
        error.field = sheet.at(error.field) if error.field in COLUMNS else sheet.path
        raise


def _with_fibre(sheet: Fields, composition: dict[str, float]) -> dict[str, float]:
    """Put the fibre into the carbohydrate where the sheet gives it without, as European ones do."""
    if NET_CARB_KEY not in sheet:
        return composition
    if "carb_g" in composition or "fibre_g" not in composition:
        advice = f"Write fibre_g beside {NET_CARB_KEY}, and no carb_g."
        raise InputError(
            "The carbohydrate cannot be put together", advice=advice, field=sheet.at(NET_CARB_KEY)
        )
    return {**composition, "carb_g": _amount(sheet, NET_CARB_KEY) + composition["fibre_g"]}


def _amount(sheet: Fields, column: str) -> float:
    number = sheet.number(column)
    return 0.0 if number is None else float(number)


def _facts(sheet: Fields, kind: Kind) -> dict[str, object]:
    stage = sheet.choice("stage", Stage, STAGE_WORDS) or STAGE_OF_KIND.get(kind, Stage.START)
    return {
        "key": sheet.text("key", ""),
        "stage": stage,
        "grind": sheet.choice("grind", Grind, GRIND_WORDS) or Grind.REFINED,
        **_range(sheet),
        **_allergens(sheet),
        **{key: _percent(sheet, key) for key in SHEET_KEYS},
        **{key: sheet.text(key, "", longest=LONGEST_NOTE) for key in ("source", "note", "water_risk")},
        "tags": frozenset(sheet.words("tags") or ()),
    }


def _range(sheet: Fields) -> dict[str, object]:
    """Return both ends of a fat that varies; one end alone says nothing."""
    given = sheet.given(RANGE_KEYS)
    if len(given) == 1:
        missing = next(key for key in RANGE_KEYS if key not in given)
        raise InputError("A range has two ends", advice=f"Write {missing} too.", field=sheet.at(given[0]))
    if not given:
        return {}
    low, fat, high = (_percent(sheet, key) for key in ("fat_low_g", "fat_g", "fat_high_g"))
    if fat is None or low is None or high is None or not low <= fat <= high:
        advice = "Write fat_low_g, fat_g and fat_high_g, each no less than the one before."
        raise InputError(
            "The range of fat does not hold its usual value", advice=advice, field=sheet.at("fat_g")
        )
    return {"fat_low_g": low, "fat_high_g": high}


def _allergens(sheet: Fields) -> dict[str, object]:
    """An empty list is a statement that there are none; no list is not known."""
    known = sheet.flag("allergens_known")
    return {
        **{key: sheet.words(key) or () for key in ALLERGEN_KEYS},
        "allergens_known": any(key in sheet for key in ALLERGEN_KEYS) if known is None else known,
    }


def _percent(fields: Fields, key: str) -> float | None:
    number = fields.number(key, high=Decimal(100))
    return None if number is None else float(number)


def _adjusted(found: Ingredient, part: Fields) -> Ingredient:
    """Put what the part itself says into the ingredient: its own fat, shell and germ."""
    fat = _percent(part, "fat_g")
    if fat is not None:
        if not {"water_g", "fat_g"} <= found.composition.keys():
            raise InputError(
                "Its water and fat are not known, so the fat cannot be moved", field=part.at("fat_g")
            )
        found = placed(lambda: at_fat(found, fat), part.at("fat_g"))
    facts = {key: _percent(part, key) for key in part.given(SHEET_KEYS)}
    return replace(found, **facts) if facts else found  # type: ignore[arg-type]
