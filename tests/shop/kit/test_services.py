"""Machines and moulds are written whole or not at all, each write with its entry in the change log."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from nibsmith.science.errors import InputError
from nibsmith.shop.common.changelog.models import ChangeEntry
from nibsmith.shop.kit import keeping, services
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
    services.update_mould(row, replace(BRICK, cavities=6))
    services.retire_mould(row)
    keeping.bring_back(row)

    assert Mould.objects.get().cavities == 6
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
        ({"cavities": 0}, "cavities"),
        ({"cavities": 1001}, "cavities"),
    ],
)
def test_a_mould_that_cannot_be_is_refused(changes: dict[str, Any], field: str) -> None:
    with pytest.raises(InputError) as refused:
        services.create_mould(replace(BRICK, **changes))

    assert refused.value.field == field
    assert not Mould.objects.exists()
