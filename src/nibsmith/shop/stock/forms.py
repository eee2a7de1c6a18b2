"""The forms of an ingredient: a supplier's sheet, and what the maker knows better about a packaged one."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from decimal import Decimal
from functools import partial
from typing import Any

from django.forms.boundfield import BoundField

from nibsmith.science.label import allergen_lists
from nibsmith.science.mixture import Grind, Ingredient, Kind, Stage
from nibsmith.shop.common.forms import (
    ListField,
    NumberField,
    PercentField,
    PickField,
    RecordForm,
    TextField,
    WorkshopForm,
    YesField,
)
from nibsmith.shop.common.workshop.selectors import workshop
from nibsmith.shop.stock.models import IngredientFacts
from nibsmith.shop.stock.services import Facts
from nibsmith.shop.stock.sheets import Sheet, with_fibre_inside
from nibsmith.shop.stock.words import COLUMNS, GRINDS, KINDS, STAGES, TRAITS, allergen_choices

MAIN = frozenset(
    {"water_g", "fat_g", "sfa_g", "carb_g", "sugars_g", "fibre_g", "protein_g", "ash_g", "sodium_mg"}
)
MOST_MILLIGRAMS = Decimal(100_000)
_BEANS = "Of nibs from your own beans: the price of the beans; the yield in the settings does the rest."
_WHY = "It goes into the history."


class WhyForm(WorkshopForm):
    """Why something is done."""

    why = TextField(label="Why", required=False, help_text=_WHY)


class FactsForm(RecordForm):
    """What the maker knows better about a packaged ingredient."""

    price_per_kg = NumberField(label="Price of 1 kg", required=False, help_text=_BEANS)
    fat_g = NumberField(
        label="Its fat, in 100 g",
        required=False,
        unit="g",
        most=Decimal(100),
        help_text="From your supplier's sheet. Everything else follows it, and its range falls away.",
    )
    supplier = TextField(label="Supplier", required=False)
    note = TextField(label="Note", required=False, lines=3)
    why = TextField(label="Why", required=False, help_text=_WHY)

    @staticmethod
    def initial_of(row: IngredientFacts | None) -> dict[str, Any]:
        names = ("price_per_kg", "fat_g", "supplier", "note")
        return {} if row is None else {name: getattr(row, name) for name in names}

    def facts(self) -> Facts:
        """Return what was typed."""
        typed = dict(self.cleaned_data)
        typed.pop("why")
        return Facts(**typed)


class TickList:
    """A list to tick, shown open or closed, with what is ticked in words."""

    def __init__(self, title: str, field: BoundField, asked_by: Collection[str] = ()) -> None:
        self.title = title
        ticked = [tick.choice_label for tick in field if tick.data["selected"]]
        self.field = field
        self.ticked = ", ".join(ticked)
        self.open = bool(asked_by or ticked or field.errors)


class SheetForm(RecordForm):
    """A supplier's sheet. A figure that is not on it stays empty, and is then unknown, not zero."""

    name = TextField(label="Name")
    kind = PickField(
        label="What it is", choices=[("", "Choose"), *KINDS.items()], help_text="As the law takes it."
    )
    stage = PickField(label="Goes in", choices=list(STAGES.items()), initial=Stage.START.value)
    grind = PickField(label="Ends up", choices=list(GRINDS.items()), initial=Grind.REFINED.value)
    fat_low_g = NumberField(label="Fat, lowest lot", required=False, unit="g", most=Decimal(100))
    fat_high_g = NumberField(label="Fat, highest lot", required=False, unit="g", most=Decimal(100))
    fibre_apart = YesField(
        label="The carbohydrate is without the fibre",
        help_text="As on European sheets and labels; both are kept together here.",
    )
    shell_percent = PercentField(label="Shell left in it", required=False, help_text="Of nibs and mass.")
    germ_percent = PercentField(label="Germ left in it", required=False, help_text="Of nibs and mass.")
    allergens_eu = ListField(
        label="It holds, of the EU list", required=False, choices=partial(allergen_choices, "eu")
    )
    allergens_us = ListField(
        label="It holds, of the US list", required=False, choices=partial(allergen_choices, "us")
    )
    allergens_known = YesField(
        label="The sheet names all its allergens",
        help_text="Tick it only if the sheet says what it holds; untouched, the answer stays unknown.",
    )
    traits = ListField(label="It is", required=False, choices=list(TRAITS.items()))
    price_per_kg = NumberField(label="Price of 1 kg", required=False, help_text=_BEANS)
    supplier = TextField(label="Supplier, and which sheet", required=False)
    note = TextField(label="Note", required=False, lines=3)
    why = TextField(label="Why", required=False, help_text=_WHY)

    def more_fields(self) -> Mapping[str, NumberField]:
        return _column_fields()

    @property
    def main_columns(self) -> list[BoundField]:
        """The figures most sheets print."""
        return [self[column] for column, _, _ in COLUMNS if column in MAIN]

    @property
    def more_columns(self) -> list[BoundField]:
        """The figures some sheets print."""
        return [self[column] for column, _, _ in COLUMNS if column not in MAIN]

    @property
    def more_is_used(self) -> bool:
        """Whether one of the further figures is filled in or refused."""
        return any(field.value() not in (None, "") or field.errors for field in self.more_columns)

    @property
    def lists(self) -> list[TickList]:
        """The lists to tick, those open that the workshop's markets ask for or that hold something."""
        sold_in, laws = set(workshop().markets), allergen_lists()
        return [
            TickList("Allergens, EU list", self["allergens_eu"], sold_in & set(laws["eu"].markets)),
            TickList("Allergens, US list", self["allergens_us"], sold_in & set(laws["us"].markets)),
            TickList("What it is like", self["traits"]),
        ]

    def sheet(self, based_on: str = "") -> Sheet:
        """Return what was typed."""
        typed = dict(self.cleaned_data)
        typed.pop("why")
        columns = {column: typed.pop(column) for column, _, _ in COLUMNS}
        lists: dict[str, Any] = {
            name: tuple(typed.pop(name)) for name in ("allergens_us", "allergens_eu", "traits")
        }
        kind, stage, grind = Kind(typed.pop("kind")), Stage(typed.pop("stage")), Grind(typed.pop("grind"))
        known = {column: value for column, value in columns.items() if value is not None}
        if typed.pop("fibre_apart"):
            known = with_fibre_inside(known)
        return Sheet(
            kind=kind, stage=stage, grind=grind, constituents=known, based_on=based_on, **lists, **typed
        )


def initial_of_sheet(sheet: Sheet) -> dict[str, Any]:
    """Return a stored sheet as the form shows it."""
    names = (
        "name",
        "fat_low_g",
        "fat_high_g",
        "shell_percent",
        "germ_percent",
        "allergens_known",
        "price_per_kg",
        "supplier",
        "note",
    )
    return {
        **{name: getattr(sheet, name) for name in names},
        **{name: list(getattr(sheet, name)) for name in ("allergens_us", "allergens_eu", "traits")},
        **{name: getattr(sheet, name).value for name in ("kind", "stage", "grind")},
        **sheet.constituents,
    }


def initial_of_copy(thing: Ingredient) -> dict[str, Any]:
    """Return an ingredient as the start of another; its price, supplier and promises are not copied."""
    start = Sheet(
        name=f"{thing.name}, ours",
        kind=thing.kind,
        stage=thing.stage,
        grind=thing.grind,
        constituents={column: _exact(value) for column, value in thing.composition.items()},
        fat_low_g=None if thing.fat_low_g is None else _exact(thing.fat_low_g),
        fat_high_g=None if thing.fat_high_g is None else _exact(thing.fat_high_g),
        allergens_us=thing.allergens_us,
        allergens_eu=thing.allergens_eu,
        traits=tuple(sorted(thing.tags)),
        note=thing.note,
    )
    return initial_of_sheet(start)


def _exact(value: float) -> Decimal:
    return Decimal(repr(value))


def _column_fields() -> Mapping[str, NumberField]:
    return {
        column: NumberField(
            label=_label(name),
            unit=unit,
            required=False,
            most=Decimal(100) if unit == "g" else MOST_MILLIGRAMS,
        )
        for column, name, unit in COLUMNS
    }


def _label(name: str) -> str:
    bare = name.removeprefix("of which ")
    return bare[0].upper() + bare[1:]
