"""Machines and moulds are written whole or not at all, each write with its entry in the change log."""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from nibsmith.science.errors import InputError
from nibsmith.shop.common.changelog.models import ChangeEntry
from nibsmith.shop.kit import instruments, keeping, services
from nibsmith.shop.kit.instruments import FridgeCard, ProbeCard
from nibsmith.shop.kit.models import Mould, OwnKit
from nibsmith.shop.kit.services import KitCard, MouldCard

pytestmark = pytest.mark.django_db
BRICK = MouldCard(name="Brick", cavity_g=Decimal("62.5"), cavities=8)


def codes() -> list[str]:
    return [entry.what for entry in ChangeEntry.objects.order_by("pk")]


def test_a_kit_lives_from_new_to_brought_back(card: KitCard) -> None:
    row = services.create_kit(card)
    services.update_kit(row, replace(card, residue_g=Decimal(120)), why="weighed it")
    services.update_kit(row, replace(card, residue_g=Decimal(120)))
    services.retire_kit(row)
    services.retire_kit(row)
    keeping.bring_back(row)

    kept = OwnKit.objects.get()
    assert (kept.residue_g, kept.retired_at) == (Decimal(120), None)
    assert codes() == ["kit.kit_added", "kit.kit_changed", "kit.kit_put_away", "kit.kit_brought_back"]
    change = ChangeEntry.objects.get(what="kit.kit_changed")
    assert (change.before, change.after, change.why) == (
        {"residue_g": "140.00"},
        {"residue_g": "120"},
        "weighed it",
    )


def test_a_mould_lives_from_new_to_brought_back() -> None:
    row = services.create_mould(BRICK)
    services.update_mould(row, replace(BRICK, cavities=6, empty_g=Decimal(310)))
    services.retire_mould(row)
    keeping.bring_back(row)

    assert (Mould.objects.get().cavities, Mould.objects.get().empty_g) == (6, Decimal(310))
    assert codes() == ["kit.mould_added", "kit.mould_changed", "kit.mould_put_away", "kit.mould_brought_back"]


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"name": ""}, "name"),
        ({"name": "x" * 121}, "name"),
        ({"based_on": "kiwi"}, "kit"),
        ({"charge_min_g": Decimal(2501)}, "charge_min_g"),
        ({"charge_min_g": Decimal(-1)}, "charge_min_g"),
        ({"charge_max_g": Decimal("NaN")}, "charge_max_g"),
        ({"charge_max_g": Decimal(1_000_001)}, "charge_max_g"),
        ({"residue_g": Decimal("0.001")}, "residue_g"),
        ({"residue_g": Decimal(2500)}, "residue_g"),
        ({"residue_g": Decimal(2600), "charge_min_g": None}, "residue_g"),
        ({"loss_percent": Decimal("99.5")}, "loss_percent"),
        ({"loss_percent": Decimal(-1)}, "loss_percent"),
        ({"charge_max_g": None, "charge_min_g": Decimal(50_000)}, "charge_min_g"),
        ({"charge_min_g": None, "charge_max_g": Decimal(200), "residue_g": None}, "charge_max_g"),
        ({"end_water_percent": Decimal("10.1")}, "end_water_percent"),
        ({"ceiling_celsius": Decimal("Infinity")}, "ceiling_celsius"),
        ({"note": "\x00"}, "note"),
    ],
)
def test_a_kit_that_cannot_be_is_refused(card: KitCard, changes: dict[str, Any], field: str) -> None:
    with pytest.raises(InputError) as refused:
        services.create_kit(replace(card, **changes))

    assert refused.value.field == field
    assert not OwnKit.objects.exists()
    assert not ChangeEntry.objects.exists()


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"name": " "}, "name"),
        ({"cavity_g": Decimal(0)}, "cavity_g"),
        ({"cavity_g": Decimal("-0.1")}, "cavity_g"),
        ({"cavity_g": Decimal("NaN")}, "cavity_g"),
        ({"cavity_g": Decimal(10_001)}, "cavity_g"),
        ({"cavity_g": Decimal("1.0001")}, "cavity_g"),
        ({"empty_g": Decimal(0)}, "empty_g"),
        ({"empty_g": Decimal(20_001)}, "empty_g"),
        ({"cavities": 0}, "cavities"),
        ({"cavities": 1001}, "cavities"),
    ],
)
def test_a_mould_that_cannot_be_is_refused(changes: dict[str, Any], field: str) -> None:
    with pytest.raises(InputError) as refused:
        services.create_mould(replace(BRICK, **changes))

    assert refused.value.field == field
    assert not Mould.objects.exists()


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        (
            {"charge_min_g": Decimal("3000.00"), "charge_max_g": Decimal("1000.00"), "residue_g": None},
            "(got 3000 g, limit 1000 g)",
        ),
        ({"residue_g": Decimal("2500.00")}, "(got 2500 g, limit less than its largest charge, 2500 g)"),
        ({"charge_max_g": Decimal(2_000_000)}, "(got 2000000 g, limit 0 to 1000000 g)"),
        ({"loss_percent": Decimal(100)}, "(got 100 %, limit 0 to 99 %)"),
        ({"ceiling_celsius": Decimal(200)}, "(got 200 °C, limit 0 to 150 °C)"),
    ],
)
def test_a_refusal_of_a_kit_has_units(card: KitCard, changes: dict[str, Any], said: str) -> None:
    with pytest.raises(InputError, match=re.escape(said)):
        services.create_kit(replace(card, **changes))


def test_what_stays_behind_is_held_against_the_kind_where_no_largest_charge_is_typed() -> None:
    # A blender holds 1000 g at most, as the table says.
    with pytest.raises(InputError, match="1000 g") as refused:
        services.create_kit(KitCard(name="Jug", based_on="blender", residue_g=Decimal(2000)))
    assert refused.value.field == "residue_g"
    assert services.create_kit(KitCard(name="Jug", based_on="blender", residue_g=Decimal(999))).pk


THINGS = (
    (services.create_kit, services.update_kit, KitCard(name="Agnes", based_on="stone")),
    (services.create_mould, services.update_mould, BRICK),
    (instruments.create_fridge, instruments.update_fridge, FridgeCard(name="Larder", celsius=Decimal(11))),
    (instruments.create_probe, instruments.update_probe, ProbeCard(name="Needle", measures="mass")),
)


@pytest.mark.parametrize(("create", "update", "card"), THINGS)
def test_no_two_things_of_one_kind_in_the_lists_get_one_name(create: Any, update: Any, card: Any) -> None:
    first, other = create(card), create(replace(card, name="Another"))
    for write in (
        lambda: create(replace(card, name=f" {card.name.upper()} ")),
        lambda: update(other, replace(card, name=card.name.lower())),
    ):
        entries = ChangeEntry.objects.count()
        with pytest.raises(InputError, match="has this name") as refused:
            write()
        assert refused.value.field == "name"
        assert ChangeEntry.objects.count() == entries
    assert update(first, replace(card, name=card.name.upper())).name == card.name.upper()
    keeping.retire(first)
    create(card)
    with pytest.raises(InputError, match="has this name"):
        keeping.bring_back(first)
    assert keeping.bring_back(keeping.retire(other)).retired_at is None


def test_a_machine_is_not_called_as_a_kind_of_kit_is() -> None:
    with pytest.raises(InputError, match="A kind of kit has this name"):
        services.create_kit(KitCard(name="stone  grinder", based_on="stone"))
