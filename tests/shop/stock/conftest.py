"""A supplier's sheet of an invented cocoa mass, and the same as a browser sends it."""

from __future__ import annotations

from decimal import Decimal

import pytest

from nibsmith.science.mixture import Kind
from nibsmith.shop.stock.models import OwnIngredient
from nibsmith.shop.stock.services import create_ingredient
from nibsmith.shop.stock.sheets import Sheet


@pytest.fixture
def sheet() -> Sheet:
    return Sheet(
        name="Quayside mass",
        kind=Kind.MASS,
        constituents={
            "water_g": Decimal("1.4"),
            "fat_g": Decimal("54.2"),
            "protein_g": Decimal("12.6"),
            "carb_g": Decimal("28.3"),
            "fibre_g": Decimal("15.9"),
            "ash_g": Decimal("3.5"),
        },
        fat_low_g=Decimal(53),
        fat_high_g=Decimal(56),
        allergens_known=True,
        price_per_kg=Decimal("11.40"),
        supplier="Northlight Cocoa, sheet of March",
    )


@pytest.fixture
def mass(sheet: Sheet, db: None) -> OwnIngredient:
    return create_ingredient(sheet)


@pytest.fixture
def typed() -> dict[str, str]:
    return {
        "name": "Quayside mass",
        "kind": "cocoa_mass",
        "stage": "start",
        "grind": "refined",
        "water_g": "1.4",
        "fat_g": "54.2 ",
        "protein_g": "12.6",
        "carb_g": "28.3",
        "ash_g": "3.5",
        "price_per_kg": "11.40",
        "supplier": "Northlight Cocoa",
        "why": "new supplier",
    }
