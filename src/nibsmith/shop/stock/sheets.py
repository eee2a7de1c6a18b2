"""A supplier's sheet as the maker typed it, and the ingredient that science makes of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from functools import lru_cache
from types import MappingProxyType

from nibsmith.science.errors import InputError
from nibsmith.science.mixture import Grind, Ingredient, Kind, Stage, at_fat, own_ingredient
from nibsmith.shop.stock.models import OwnIngredient


@dataclass(frozen=True, kw_only=True)
class Sheet:
    """What is known of an own ingredient: its facts, per 100 g its constituents, its price.

    ``constituents`` is keyed by column name; an absent one is unknown. ``traits`` are the tags that answers
    read (nut, liquid, raw_cocoa ...).
    """

    name: str
    kind: Kind
    stage: Stage = Stage.START
    grind: Grind = Grind.REFINED
    constituents: Mapping[str, Decimal] = field(default_factory=dict, hash=False)
    fat_low_g: Decimal | None = None
    fat_high_g: Decimal | None = None
    shell_percent: Decimal | None = None
    germ_percent: Decimal | None = None
    allergens_us: tuple[str, ...] = ()
    allergens_eu: tuple[str, ...] = ()
    allergens_known: bool = False
    traits: tuple[str, ...] = ()
    price_per_kg: Decimal | None = None
    supplier: str = ""
    note: str = ""
    based_on: str = ""

    def __post_init__(self) -> None:
        object.__setattr__(self, "constituents", MappingProxyType(dict(self.constituents)))


def sheet_of(row: OwnIngredient) -> Sheet:
    """Read a stored ingredient back as its sheet."""
    return Sheet(
        name=row.name,
        kind=Kind(row.kind),
        stage=Stage(row.stage),
        grind=Grind(row.grind),
        constituents={column: Decimal(text) for column, text in row.constituents.items()},
        fat_low_g=row.fat_low_g,
        fat_high_g=row.fat_high_g,
        shell_percent=row.shell_percent,
        germ_percent=row.germ_percent,
        allergens_us=tuple(row.allergens_us),
        allergens_eu=tuple(row.allergens_eu),
        allergens_known=row.allergens_known,
        traits=tuple(row.traits),
        price_per_kg=row.price_per_kg,
        supplier=row.supplier,
        note=row.note,
        based_on=row.based_on,
    )


@lru_cache(maxsize=512)
def science_of(sheet: Sheet, key: str) -> Ingredient:
    """Return the ingredient that every answer reads; refuse a sheet that cannot be true.

    The same sheet gives the same object, so that what science keeps of an ingredient stays of use.
    """
    made = own_ingredient(
        sheet.name,
        sheet.kind,
        {column: float(value) for column, value in sheet.constituents.items()},
        key=key,
        stage=sheet.stage,
        grind=sheet.grind,
        fat_low_g=_float(sheet.fat_low_g),
        fat_high_g=_float(sheet.fat_high_g),
        shell_percent=_float(sheet.shell_percent),
        germ_percent=_float(sheet.germ_percent),
        allergens_us=sheet.allergens_us,
        allergens_eu=sheet.allergens_eu,
        allergens_known=sheet.allergens_known,
        tags=frozenset(sheet.traits),
        source=sheet.supplier,
        note=sheet.note,
    )
    _check_fat_ends(made)
    return made


def with_fibre_inside(known: Mapping[str, Decimal]) -> dict[str, Decimal]:
    """Return figures whose carbohydrate was without the fibre, as European sheets give it, with it inside."""
    if "carb_g" not in known:
        return dict(known)
    if "fibre_g" not in known:
        what = "The carbohydrate is without the fibre, and the fibre is not given"
        raise InputError(what, advice="Type the fibre too, or leave both empty.", field="fibre_g")
    return {**known, "carb_g": known["carb_g"] + known["fibre_g"]}


def _check_fat_ends(made: Ingredient) -> None:
    """Refuse a range of fat that leaves no room for the water."""
    if {"water_g", "fat_g"} <= made.composition.keys():
        for end in (made.fat_low_g, made.fat_high_g):
            if end is not None:
                at_fat(made, end)


def _float(value: Decimal | None) -> float | None:
    return None if value is None else float(value)
