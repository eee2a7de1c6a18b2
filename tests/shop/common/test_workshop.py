"""The settings of the workshop, and what answers know by them."""

from __future__ import annotations

import uuid
from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest
from django.db import IntegrityError, transaction
from pytest_django import DjangoAssertNumQueries

from nibsmith.answers.context import Context
from nibsmith.science.errors import InputError
from nibsmith.science.kit import kit
from nibsmith.shop.common import per_request
from nibsmith.shop.common.changelog.models import ChangeEntry
from nibsmith.shop.common.workshop.models import Workshop
from nibsmith.shop.common.workshop.selectors import WorkshopSettings, context, workshop
from nibsmith.shop.common.workshop.services import update_workshop
from nibsmith.shop.kit.services import KitCard, MouldCard, create_kit, create_mould

pytestmark = pytest.mark.django_db

CHANGED = WorkshopSettings(
    name="Two Herons",
    decimal_sign=",",
    mass_unit="oz",
    temperature_unit="F",
    scale_g=Decimal("0.1"),
    currency="GBP",
    markets=("eu", "us"),
    memory_rules=True,
    uses_lecithin=True,
    bean_yield=Decimal("0.78"),
    paper="letter",
)


def test_without_a_row_the_settings_are_the_defaults_and_nothing_is_written() -> None:
    assert workshop() == WorkshopSettings()
    assert context() == Context()
    assert not Workshop.objects.exists()


def test_settings_are_read_back_as_they_were_written() -> None:
    update_workshop(CHANGED, why="moved to London")

    assert workshop() == CHANGED
    entry = ChangeEntry.objects.get()
    assert (entry.what, entry.before, entry.why) == ("common.settings_changed", None, "moved to London")


def test_a_change_logs_what_differs_and_only_that() -> None:
    update_workshop(CHANGED)
    update_workshop(replace(CHANGED, markets=("us", "eu"), scale_g=Decimal("0.5")))
    update_workshop(replace(CHANGED, scale_g=Decimal("0.5")))

    assert Workshop.objects.count() == 1
    assert ChangeEntry.objects.count() == 2
    assert (ChangeEntry.objects.all()[0].before, ChangeEntry.objects.all()[0].after) == (
        {"scale_g": "0.100"},
        {"scale_g": "0.5"},
    )


def test_there_is_never_a_second_row() -> None:
    update_workshop(CHANGED)

    with pytest.raises(IntegrityError), transaction.atomic():
        Workshop.objects.create()
    with pytest.raises(IntegrityError), transaction.atomic():
        Workshop.objects.create(only=False)


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"decimal_sign": ";"}, "decimal_sign"),
        ({"mass_unit": "st"}, "mass_unit"),
        ({"temperature_unit": "K"}, "temperature_unit"),
        ({"paper": "A5"}, "paper"),
        ({"markets": ()}, "markets"),
        ({"markets": ("eu", "atlantis")}, "markets"),
        ({"scale_g": Decimal(0)}, "scale_g"),
        ({"scale_g": Decimal(-1)}, "scale_g"),
        ({"scale_g": Decimal("NaN")}, "scale_g"),
        ({"scale_g": Decimal(1001)}, "scale_g"),
        ({"bean_yield": Decimal(0)}, "bean_yield"),
        ({"bean_yield": Decimal("1.01")}, "bean_yield"),
        ({"currency": "eur"}, "currency"),
        ({"currency": "XYZ"}, "currency"),
        ({"name": "x" * 121}, "name"),
        ({"default_kit": "kiwi"}, "kit"),
        ({"default_mould": str(uuid.uuid4())}, "mould"),
    ],
)
def test_settings_that_cannot_be_are_refused(changes: dict[str, Any], field: str) -> None:
    with pytest.raises(InputError) as refused:
        update_workshop(replace(CHANGED, **changes))

    assert refused.value.field == field
    assert not Workshop.objects.exists()
    assert not ChangeEntry.objects.exists()


def test_the_context_holds_the_usual_kit_and_mould_and_the_settings() -> None:
    own = create_kit(KitCard(name="Agnes", based_on="stone", charge_max_g=Decimal(2500)))
    mould = create_mould(MouldCard(name="Brick", cavity_g=Decimal("62.5"), cavities=8))
    update_workshop(replace(CHANGED, default_kit=own.ref, default_mould=mould.ref))
    found = context(bars=12, shelf_g={"nibs": 500.0})

    assert found.kit is not None
    assert found.mould is not None
    assert (found.kit.name, found.kit.charge_max_g) == ("Agnes", 2500.0)
    assert (found.mould.name, found.mould.cavity_g, found.bars) == ("Brick", 62.5, 12)
    assert (found.scale_g, found.markets, found.currency) == (Decimal("0.1"), ("eu", "us"), "GBP")
    assert (found.memory_rules, found.uses_lecithin, found.bean_yield) == (True, True, Decimal("0.78"))
    assert found.shelf_g == {"nibs": 500.0}


def test_a_recipes_own_kit_comes_before_the_usual_one() -> None:
    update_workshop(replace(CHANGED, default_kit="blender"))

    assert context().kit is kit("blender")
    assert context(kit="stone").kit is kit("stone")


def test_a_usual_kit_that_is_gone_is_left_out_but_a_named_one_is_refused() -> None:
    update_workshop(CHANGED)
    Workshop.objects.update(default_kit=f"own:{uuid.uuid4()}", default_mould="kiwi")

    assert (context().kit, context().mould) == (None, None)
    with pytest.raises(InputError):
        context(kit="kiwi")
    with pytest.raises(InputError):
        context(mould="kiwi")


def test_in_one_request_the_settings_are_asked_for_once(
    django_assert_num_queries: DjangoAssertNumQueries,
) -> None:
    update_workshop(CHANGED)
    per_request.begin()
    try:
        with django_assert_num_queries(1):
            workshop()
            workshop()
        update_workshop(replace(CHANGED, name="Three Herons"))
        assert workshop().name == "Three Herons"
    finally:
        per_request.end()

    with django_assert_num_queries(2):
        workshop()
        workshop()


def test_one_request_does_not_see_what_another_remembered() -> None:
    for name in ("first", "second"):
        update_workshop(replace(CHANGED, name=name))
        per_request.begin()
        assert workshop().name == name
        per_request.end()
