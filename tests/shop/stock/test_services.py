"""Ingredients are written whole or not at all, each write with its entry in the change log."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from nibsmith.science.errors import InputError, UnknownIngredient
from nibsmith.science.mixture import Kind, ingredients
from nibsmith.shop.common.changelog.models import ChangeEntry
from nibsmith.shop.stock import services
from nibsmith.shop.stock.forms import initial_of_copy
from nibsmith.shop.stock.models import IngredientFacts, OwnIngredient
from nibsmith.shop.stock.services import Facts
from nibsmith.shop.stock.sheets import Sheet, science_of, sheet_of

pytestmark = pytest.mark.django_db


def last() -> ChangeEntry:
    return ChangeEntry.objects.all()[0]


def test_a_new_sheet_is_read_back_as_it_was(sheet: Sheet) -> None:
    row = services.create_ingredient(sheet, why="new supplier")

    assert sheet_of(OwnIngredient.objects.get(pk=row.pk)) == sheet
    assert (last().what, last().object_id, last().why) == (
        "stock.ingredient_added",
        str(row.public_id),
        "new supplier",
    )
    assert last().before is None
    assert last().after is not None
    assert last().after["constituents"]["fat_g"] == "54.2"


def test_a_correction_logs_what_differs_and_only_that(mass: OwnIngredient, sheet: Sheet) -> None:
    services.update_ingredient(mass, replace(sheet, price_per_kg=Decimal("12.10")), why="dearer")

    assert (last().what, last().why) == ("stock.ingredient_changed", "dearer")
    assert (last().before, last().after) == ({"price_per_kg": "11.4000"}, {"price_per_kg": "12.10"})


def test_a_correction_that_changes_nothing_writes_nothing(mass: OwnIngredient, sheet: Sheet) -> None:
    before, count = OwnIngredient.objects.get(pk=mass.pk).updated_at, ChangeEntry.objects.count()

    services.update_ingredient(mass, sheet)

    assert OwnIngredient.objects.get(pk=mass.pk).updated_at == before
    assert ChangeEntry.objects.count() == count


def test_putting_away_twice_and_bringing_back_is_logged_once_each(mass: OwnIngredient) -> None:
    count = ChangeEntry.objects.count()

    services.retire_ingredient(mass, why="sold out")
    services.retire_ingredient(mass)
    assert OwnIngredient.objects.get(pk=mass.pk).retired_at is not None
    services.bring_back_ingredient(mass)
    services.bring_back_ingredient(mass)

    assert OwnIngredient.objects.get(pk=mass.pk).retired_at is None
    written = list(ChangeEntry.objects.all()[: ChangeEntry.objects.count() - count])
    assert [entry.what for entry in written] == [
        "stock.ingredient_brought_back",
        "stock.ingredient_put_away",
    ]


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"name": "  "}, "name"),
        ({"name": "x" * 121}, "name"),
        ({"name": "mass\x00"}, "name"),
        ({"name": "mass\ud800"}, "name"),
        ({"constituents": {"fat_g": Decimal("100.1")}}, "fat_g"),
        ({"constituents": {"fat_g": Decimal(-1)}}, "fat_g"),
        ({"constituents": {"fat_g": Decimal("NaN")}}, "fat_g"),
        ({"constituents": {"fat_g": Decimal("Infinity")}}, "fat_g"),
        ({"constituents": {"fat_g": Decimal("0.0000001")}}, "fat_g"),
        ({"constituents": {"fat_pct": Decimal(50)}}, "fat_pct"),
        ({"constituents": {"protein_g": Decimal(60), "carb_g": Decimal(41)}}, "sum"),
        ({"constituents": {"carb_g": Decimal(10), "sugars_g": Decimal(11)}}, "sugars_g"),
        ({"fat_low_g": None}, "fat_low_g"),
        ({"fat_low_g": Decimal(57)}, "fat_low_g"),
        ({"fat_low_g": Decimal("54.5")}, "fat_g"),
        ({"shell_percent": Decimal(101)}, "shell_percent"),
        ({"allergens_eu": ("kiwi",)}, "allergens_eu"),
        ({"allergens_us": ("kiwi",)}, "allergens_us"),
        ({"traits": ("kiwi",)}, "traits"),
        ({"price_per_kg": Decimal("-0.01")}, "price_per_kg"),
        ({"price_per_kg": Decimal("NaN")}, "price_per_kg"),
        ({"price_per_kg": Decimal("1.00001")}, "price_per_kg"),
        ({"price_per_kg": Decimal("1000000.01")}, "price_per_kg"),
        ({"note": "x" * 2001}, "note"),
        ({"supplier": "\x07"}, "supplier"),
    ],
)
def test_a_sheet_that_cannot_be_true_is_refused_and_nothing_is_written(
    sheet: Sheet, changes: dict[str, Any], field: str
) -> None:
    with pytest.raises(InputError) as refused:
        services.create_ingredient(replace(sheet, **changes))

    assert refused.value.field == field
    assert not OwnIngredient.objects.exists()
    assert not ChangeEntry.objects.exists()


def test_a_full_analysis_must_close_and_a_blank_is_no_zero(sheet: Sheet) -> None:
    short = {**sheet.constituents, "carb_g": Decimal(26)}

    with pytest.raises(InputError, match="do not come to 100 g"):
        services.create_ingredient(replace(sheet, constituents=short))
    without_ash = {column: value for column, value in short.items() if column != "ash_g"}
    row = services.create_ingredient(replace(sheet, constituents=without_ash))

    assert "ash_g" not in science_of(sheet_of(row), row.key).composition


def test_a_fat_range_leaves_room_for_the_water(sheet: Sheet) -> None:
    wet = replace(
        sheet,
        constituents={"water_g": Decimal(40), "fat_g": Decimal(54)},
        fat_low_g=Decimal(50),
        fat_high_g=Decimal(61),
    )

    with pytest.raises(InputError, match="cannot hold this fat"):
        services.create_ingredient(wet)


def test_a_refused_why_takes_the_write_back(sheet: Sheet) -> None:
    with pytest.raises(InputError):
        services.create_ingredient(sheet, why="\x00")
    assert not OwnIngredient.objects.exists()


def test_facts_of_a_packaged_ingredient_are_set_then_changed() -> None:
    services.set_facts("sugar_granulated", Facts(price_per_kg=Decimal("1.35"), supplier="Harbour Foods"))
    assert last().what == "stock.facts_set"
    services.set_facts("sugar_granulated", Facts(price_per_kg=Decimal("1.50"), supplier="Harbour Foods"))

    assert IngredientFacts.objects.get().price_per_kg == Decimal("1.50")
    assert (last().what, last().after) == ("stock.facts_changed", {"price_per_kg": "1.50"})


@pytest.mark.parametrize(
    ("key", "facts", "field"),
    [
        ("sugar_granulated", Facts(price_per_kg=Decimal(-1)), "price_per_kg"),
        ("sugar_granulated", Facts(fat_g=Decimal(101)), "fat_g"),
        ("cocoa_nibs_roasted", Facts(fat_g=Decimal("99.5")), "fat_g"),
        ("sugar_granulated", Facts(note="\x1b"), "note"),
    ],
)
def test_facts_that_cannot_be_true_are_refused(key: str, facts: Facts, field: str | None) -> None:
    with pytest.raises(InputError) as refused:
        services.set_facts(key, facts)
    assert refused.value.field == field
    assert not IngredientFacts.objects.exists()


def test_facts_of_an_unknown_key_are_refused() -> None:
    with pytest.raises(UnknownIngredient):
        services.set_facts("sugar", Facts())


@pytest.mark.parametrize("key", list(ingredients()))
def test_every_packaged_ingredient_can_be_made_ones_own(key: str) -> None:
    """But for the one whose published analysis does not close: its sum is refused, and says so."""
    start = initial_of_copy(ingredients()[key])
    columns = {column: start[column] for column in ingredients()[key].composition}
    sheet = Sheet(
        name=start["name"],
        kind=Kind(start["kind"]),
        constituents=columns,
        fat_low_g=start["fat_low_g"],
        fat_high_g=start["fat_high_g"],
        allergens_us=tuple(start["allergens_us"]),
        allergens_eu=tuple(start["allergens_eu"]),
        traits=tuple(start["traits"]),
        note=start["note"],
    )
    if key == "pepper_black":
        with pytest.raises(InputError, match="do not come to 100 g"):
            services.create_ingredient(sheet)
        return
    row = services.create_ingredient(sheet)

    assert science_of(sheet_of(row), "").composition == ingredients()[key].composition


def test_no_two_ingredients_in_the_lists_get_one_name(sheet: Sheet) -> None:
    first = services.create_ingredient(sheet)
    second = services.create_ingredient(replace(sheet, name="Eastside mass"))
    for write in (
        lambda: services.create_ingredient(replace(sheet, name="quayside  MASS")),
        lambda: services.update_ingredient(second, replace(sheet, name="Quayside Mass")),
    ):
        entries = ChangeEntry.objects.count()
        with pytest.raises(InputError, match="has this name") as refused:
            write()
        assert refused.value.field == "name"
        assert ChangeEntry.objects.count() == entries
    assert services.update_ingredient(first, replace(sheet, name="Quayside MASS")).name == "Quayside MASS"


def test_an_ingredient_put_away_leaves_its_name_and_comes_back_only_while_that_is_free(sheet: Sheet) -> None:
    old = services.retire_ingredient(services.create_ingredient(sheet))
    new = services.create_ingredient(sheet)
    with pytest.raises(InputError, match="has this name"):
        services.bring_back_ingredient(old)
    services.update_ingredient(new, replace(sheet, name="Quayside mass, new crop"))
    assert services.bring_back_ingredient(old).retired_at is None
