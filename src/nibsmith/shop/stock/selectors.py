"""Read the ingredients: packaged ones, with what the maker knows better, and the maker's own."""

from __future__ import annotations

import uuid
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import lru_cache

from nibsmith.science.errors import UnknownIngredient
from nibsmith.science.mixture import Grind, Ingredient, Kind, Stage, at_fat, ingredient, ingredients
from nibsmith.shop.stock.models import OWN, IngredientFacts, OwnIngredient
from nibsmith.shop.stock.sheets import science_of, sheet_of
from nibsmith.shop.stock.words import GROUPS


@dataclass(frozen=True, slots=True)
class Choice:
    """An ingredient as a list offers it: its key, its name, and the defaults it brings to a recipe."""

    key: str
    name: str
    kind: Kind
    group: str
    stage: Stage
    grind: Grind
    own: bool
    price_per_kg: Decimal | None = None


@dataclass(frozen=True, slots=True)
class Found:
    """An ingredient by the key a recipe names it by, and what it costs per kg where that is known."""

    key: str
    ingredient: Ingredient
    price_per_kg: Decimal | None = None

    @property
    def own(self) -> bool:
        """Whether it is the maker's."""
        return is_own(self.key)


def is_own(key: str) -> bool:
    """Whether a key names one of the maker's own ingredients."""
    return key.startswith(OWN)


def find(key: str) -> Ingredient:
    """Return one ingredient by its key; refuse an unknown one with those near it."""
    return find_many((key,))[key].ingredient


def find_many(keys: Iterable[str]) -> Mapping[str, Found]:
    """Return the ingredients of several keys with their prices, in two queries at most."""
    wanted = tuple(dict.fromkeys(keys))
    own, facts = rows_of(wanted)
    return {
        key: found_own(own[key]) if is_own(key) else found_packaged(key, facts.get(key)) for key in wanted
    }


def rows_of(keys: Iterable[str]) -> tuple[Mapping[str, OwnIngredient], Mapping[str, IngredientFacts]]:
    """Return the records of own ingredients and of facts by key; refuse a key that names nothing."""
    wanted = tuple(keys)
    own = _own_rows([key for key in wanted if is_own(key)])
    facts = _facts_rows([ingredient(key).key for key in wanted if not is_own(key)])
    missing = next((key for key in wanted if is_own(key) and key not in own), None)
    if missing is not None:
        raise UnknownIngredient(missing)
    return own, facts


def price_for(key: str) -> Decimal | None:
    """Return what a kilogram costs, or none where no price was typed."""
    return find_many((key,))[key].price_per_kg


def everything() -> tuple[Found, ...]:
    """Return every ingredient that is not put away, by group, the maker's own first in each."""
    facts = {row.key: row for row in IngredientFacts.objects.all()}
    own = [found_own(row) for row in OwnIngredient.objects.filter(retired_at=None)]
    packaged = [found_packaged(key, facts.get(key)) for key in ingredients()]
    order = list(dict.fromkeys(GROUPS.values()))
    return tuple(sorted([*own, *packaged], key=lambda found: order.index(GROUPS[found.ingredient.kind])))


def choices() -> tuple[Choice, ...]:
    """List what a recipe can be made of, by group, the maker's own first in each."""
    return tuple(_choice(found) for found in everything())


def put_away() -> tuple[OwnIngredient, ...]:
    """List the own ingredients that were put away."""
    return tuple(OwnIngredient.objects.exclude(retired_at=None))


def own_row(key: str) -> OwnIngredient:
    """Return the record of an own ingredient, put away or not."""
    rows = _own_rows([key])
    if key not in rows:
        raise UnknownIngredient(key)
    return rows[key]


def facts_row(key: str) -> IngredientFacts | None:
    """Return what the maker knows better about a packaged ingredient, if anything."""
    return IngredientFacts.objects.filter(key=key).first()


def _own_rows(keys: list[str]) -> dict[str, OwnIngredient]:
    ids = [found for key in keys if (found := _public_id(key)) is not None]
    rows = OwnIngredient.objects.filter(public_id__in=ids) if ids else ()
    return {row.key: row for row in rows}


def _public_id(key: str) -> uuid.UUID | None:
    try:
        found = uuid.UUID(key.removeprefix(OWN))
    except ValueError:
        return None
    # Only the one way of writing it: a key is compared as text elsewhere.
    return found if f"{OWN}{found}" == key else None


def _facts_rows(keys: list[str]) -> dict[str, IngredientFacts]:
    return {row.key: row for row in IngredientFacts.objects.filter(key__in=keys)} if keys else {}


def found_own(row: OwnIngredient) -> Found:
    """Return an own ingredient as answers read it."""
    return Found(row.key, science_of(sheet_of(row), row.key), row.price_per_kg)


def found_packaged(key: str, row: IngredientFacts | None) -> Found:
    """Return a packaged ingredient with what the maker knows better."""
    if row is None:
        return Found(key, ingredient(key))
    thing = ingredient(key) if row.fat_g is None else _at_own_fat(key, row.fat_g)
    return Found(key, thing, row.price_per_kg)


@lru_cache(maxsize=256)
def _at_own_fat(key: str, fat_g: Decimal) -> Ingredient:
    packaged = ingredient(key)
    source = f"{packaged.source}; its fat from your own sheet"
    return replace(at_fat(packaged, float(fat_g)), source=source)


def _choice(found: Found) -> Choice:
    thing = found.ingredient
    return Choice(
        key=found.key,
        name=thing.name,
        kind=thing.kind,
        group=GROUPS[thing.kind],
        stage=thing.stage,
        grind=thing.grind,
        own=found.own,
        price_per_kg=found.price_per_kg,
    )
