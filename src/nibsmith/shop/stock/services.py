"""Write the maker's ingredients: each call is one transaction and one entry of the change log."""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from django.db import transaction
from django.utils import timezone

from nibsmith.science.errors import InputError
from nibsmith.science.mixture import Ingredient, at_fat, ingredient
from nibsmith.shop.common import amounts, texts
from nibsmith.shop.common.history.meanwhile import NONE, check_seen
from nibsmith.shop.common.history.services import save_changes, save_new
from nibsmith.shop.common.once_named import looked_up_again
from nibsmith.shop.stock.models import IngredientFacts, OwnIngredient
from nibsmith.shop.stock.sheets import Sheet, science_of
from nibsmith.shop.stock.words import TRAITS, allergen_words

HIGHEST_PRICE = 1_000_000


@dataclass(frozen=True, kw_only=True)
class Facts:
    """What the maker knows better about a packaged ingredient; empty is "as packaged"."""

    price_per_kg: Decimal | None = None
    fat_g: Decimal | None = None
    supplier: str = ""
    note: str = ""


def create_ingredient(sheet: Sheet, *, why: str = "") -> OwnIngredient:
    """Store a new own ingredient, in one transaction; refuse the name of another one."""
    row = OwnIngredient(**_columns(_checked(sheet)))
    with looked_up_again(lambda: _check_name_is_free(row)):
        _check_name_is_free(row)
        save_new("stock.ingredient_added", row, why=why)
    return row


def update_ingredient(row: OwnIngredient, sheet: Sheet, *, why: str = "", seen: str = "") -> OwnIngredient:
    """Store what a sheet says differently; ``seen`` is the stamp of the record as its form was shown."""
    columns = _columns(_checked(sheet))
    name = columns["name"]
    with looked_up_again(lambda: _check_name_is_free(row, name)):
        locked = OwnIngredient.objects.select_for_update().get(pk=row.pk)
        check_seen(locked, seen)
        if locked.retired_at is None and not texts.same_name(locked.name, name):
            _check_name_is_free(locked, name)
        save_changes("stock.ingredient_changed", locked, columns, why=why)
    return locked


@transaction.atomic
def retire_ingredient(row: OwnIngredient, *, why: str = "") -> OwnIngredient:
    """Put an ingredient away: no list offers it, and the recipes that hold it keep it."""
    locked = OwnIngredient.objects.select_for_update().get(pk=row.pk)
    if locked.retired_at is None:
        save_changes("stock.ingredient_put_away", locked, {"retired_at": timezone.now()}, why=why)
    return locked


def bring_back_ingredient(row: OwnIngredient, *, why: str = "") -> OwnIngredient:
    """Offer an ingredient again that was put away; refuse it where its name has gone to another."""
    with looked_up_again(lambda: _check_name_is_free(row)):
        locked = OwnIngredient.objects.select_for_update().get(pk=row.pk)
        if locked.retired_at is not None:
            _check_name_is_free(locked)
        save_changes("stock.ingredient_brought_back", locked, {"retired_at": None}, why=why)
    return locked


def _check_name_is_free(row: OwnIngredient, name: str | None = None) -> None:
    """Refuse the name of a row, or another one for it, where a different ingredient has it."""
    others = OwnIngredient.objects.filter(retired_at=None).exclude(pk=row.pk)
    wanted = row.name if name is None else name
    texts.check_free(wanted, others.values_list("name", flat=True), "One of your ingredients")


def set_facts(key: str, facts: Facts, *, why: str = "", seen: str = "") -> IngredientFacts:
    """Store what the maker knows better about a packaged ingredient, in one transaction."""
    columns = _facts_columns(key, facts)
    with looked_up_again(lambda: check_seen(_facts_row(key), seen or NONE)):
        row = IngredientFacts.objects.select_for_update().filter(key=key).first()
        check_seen(row, seen)
        if row is None:
            row = IngredientFacts(key=key, **columns)
            save_new("stock.facts_set", row, why=why)
        else:
            save_changes("stock.facts_changed", row, columns, why=why)
    return row


def _facts_row(key: str) -> IngredientFacts | None:
    return IngredientFacts.objects.filter(key=key).first()


def _facts_columns(key: str, facts: Facts) -> dict[str, Any]:
    packaged = ingredient(key)
    fat = amounts.bounded(facts.fat_g, "fat_g")
    if fat is not None:
        if not {"water_g", "fat_g"} <= packaged.composition.keys():
            advice = "Make your own ingredient from it and type the sheet."
            raise InputError(
                f"The water and fat of {packaged.name} are not known", advice=advice, field="fat_g"
            )
        _check_fat(packaged, fat)
    return {
        "price_per_kg": _price(facts.price_per_kg),
        "fat_g": fat,
        "supplier": texts.line(facts.supplier, "supplier"),
        "note": texts.note(facts.note),
    }


def _check_fat(packaged: Ingredient, fat: Decimal) -> None:
    """Refuse another fat where there is nothing that could give way to it, or too little."""
    known = packaged.composition
    room = 100 - Decimal(repr(known["water_g"]))
    if Decimal(repr(known["fat_g"])) >= room:
        raise InputError(
            f"{packaged.name} is all fat but for its water",
            value=fat,
            advice="Make your own ingredient from it if your sheet says otherwise.",
            field="fat_g",
        )
    try:
        at_fat(packaged, float(fat))
    except InputError as error:
        error.field = "fat_g"
        raise


def _checked(sheet: Sheet) -> Sheet:
    """Return the sheet with its texts in order; refuse what cannot be true."""
    for column, value in sheet.constituents.items():
        high = 100 if column.endswith("_g") else 100_000
        amounts.bounded(value, column, high=high, decimals=6)
    _check_fat_range(sheet)
    for name in ("shell_percent", "germ_percent"):
        amounts.bounded(getattr(sheet, name), name)
    _check_words(sheet.allergens_us, allergen_words("us"), "allergens_us")
    _check_words(sheet.allergens_eu, allergen_words("eu"), "allergens_eu")
    _check_words(sheet.traits, TRAITS, "traits")
    _price(sheet.price_per_kg)
    tidy = replace(
        sheet,
        name=texts.name(sheet.name),
        supplier=texts.line(sheet.supplier, "supplier"),
        note=texts.note(sheet.note),
    )
    science_of(tidy, "")
    return tidy


def _check_fat_range(sheet: Sheet) -> None:
    low = amounts.bounded(sheet.fat_low_g, "fat_low_g")
    high = amounts.bounded(sheet.fat_high_g, "fat_high_g")
    if (low is None) != (high is None):
        empty = "fat_low_g" if low is None else "fat_high_g"
        raise InputError("A range of fat has two ends", advice="Type both, or neither.", field=empty)
    amounts.in_order(low, high, "fat_low_g")
    fat = sheet.constituents.get("fat_g")
    if low is not None and high is not None and fat is not None and not low <= fat <= high:
        limit = f"{low} to {high}"
        raise InputError("The fat lies outside its range", value=fat, limit=limit, field="fat_g")


def _check_words(given: tuple[str, ...], known: Any, field: str) -> None:
    for word in given:
        if word not in known:
            raise InputError(
                "This is not on the list", value=word, advice="Choose from the list.", field=field
            )


def _price(price: Decimal | None) -> Decimal | None:
    return amounts.bounded(price, "price_per_kg", high=HIGHEST_PRICE, decimals=4)


def _columns(sheet: Sheet) -> dict[str, Any]:
    return {
        "name": sheet.name,
        "kind": sheet.kind.value,
        "stage": sheet.stage.value,
        "grind": sheet.grind.value,
        "constituents": {column: str(value) for column, value in sorted(sheet.constituents.items())},
        "fat_low_g": sheet.fat_low_g,
        "fat_high_g": sheet.fat_high_g,
        "shell_percent": sheet.shell_percent,
        "germ_percent": sheet.germ_percent,
        "allergens_us": sorted(set(sheet.allergens_us)),
        "allergens_eu": sorted(set(sheet.allergens_eu)),
        "allergens_known": sheet.allergens_known,
        "traits": sorted(set(sheet.traits)),
        "price_per_kg": sheet.price_per_kg,
        "supplier": sheet.supplier,
        "note": sheet.note,
        "based_on": sheet.based_on,
    }
