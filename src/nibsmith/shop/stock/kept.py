"""What is known of ingredients, kept with a recipe: sheets and prices that change later change it no more."""

from __future__ import annotations

import uuid
from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Any, TypeVar

from django.db import models

from nibsmith.shop.stock.models import OWN, IngredientFacts, OwnIngredient
from nibsmith.shop.stock.selectors import Found, find_many, found_own, found_packaged, is_own, rows_of

Facts = Mapping[str, Any]
Row = TypeVar("Row", OwnIngredient, IngredientFacts)

# What answers read of each record; the rest is about the record itself.
_OWN_FIELDS = (
    *("name", "kind", "stage", "grind", "constituents", "fat_low_g", "fat_high_g", "shell_percent"),
    *("germ_percent", "allergens_us", "allergens_eu", "allergens_known", "traits", "price_per_kg"),
    "supplier",
)
_PACKAGED_FIELDS = ("price_per_kg", "fat_g")


def facts_now(keys: Iterable[str]) -> dict[str, Facts]:
    """Return what the maker says today of each ingredient, as a record can keep it; refuse an unknown one."""
    wanted = tuple(dict.fromkeys(keys))
    own, packaged = rows_of(wanted)
    return {
        key: _written(own[key], _OWN_FIELDS) if is_own(key) else _written(packaged.get(key), _PACKAGED_FIELDS)
        for key in wanted
    }


def find_kept(keys: Iterable[str], kept: Mapping[str, Facts]) -> Mapping[str, Found]:
    """Return ingredients as they were kept; those that were not, as they are today."""
    wanted = tuple(dict.fromkeys(keys))
    found = find_many(key for key in wanted if key not in kept)
    return {key: _found(key, kept[key]) if key in kept else found[key] for key in wanted}


def _found(key: str, facts: Facts) -> Found:
    if is_own(key):
        return found_own(_read(OwnIngredient(public_id=uuid.UUID(key.removeprefix(OWN))), facts))
    return found_packaged(key, _read(IngredientFacts(key=key), facts))


def _written(row: models.Model | None, fields: tuple[str, ...]) -> Facts:
    """Write a record as JSON takes it: a figure as the text of a Decimal, and nothing where there is none."""
    values = {} if row is None else {name: getattr(row, name) for name in fields}
    return {
        name: str(value) if isinstance(value, Decimal) else value
        for name, value in values.items()
        if value not in (None, "")
    }


def _read(row: Row, facts: Facts) -> Row:
    for name, value in facts.items():
        field = row._meta.get_field(name)
        setattr(row, name, Decimal(value) if isinstance(field, models.DecimalField) else value)
    return row
